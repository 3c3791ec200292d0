//! How a plane is shown: the projective map between its millimetres and the picture's pixels.

use nalgebra::{DMatrix, Matrix2, Matrix3, Vector3};

/// An invertible projective map from one plane to another, exact up to rounding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Homography(Matrix3<f64>);

impl Homography {
    /// The map of a matrix, which acts on (x, y, 1). `None` unless it is finite and can be inverted.
    pub fn new(matrix: Matrix3<f64>) -> Option<Self> {
        let size = matrix.abs().max();
        let inverse = matrix.try_inverse()?;
        let usable = size.is_finite() && size > 0.0 && inverse.iter().all(|c| c.is_finite());
        usable.then(|| Self(matrix / size))
    }

    /// The map that carries each first point to its second: exact for four pairs in general position, for more the least
    /// algebraic error. `None` if they do not determine one. For four pairs of which no three lie on a line it always
    /// exists.
    ///
    /// Source: the normalised direct linear transformation, Hartley and Zisserman, *Multiple View Geometry*, 2nd ed. 2004,
    /// algorithm 4.2.
    pub fn through(pairs: &[([f64; 2], [f64; 2])]) -> Option<Self> {
        if pairs.len() < 4 {
            return None;
        }
        let (from, to): (Vec<_>, Vec<_>) = pairs.iter().copied().unzip();
        let (first, second) = (normalising(&from)?, normalising(&to)?);
        let mut equations = DMatrix::zeros(2 * pairs.len().max(5), 9);
        for (k, (a, b)) in pairs.iter().enumerate() {
            let ([x, y], [u, v]) = (Self(first).apply(*a)?, Self(second).apply(*b)?);
            let rows = [[0.0, 0.0, 0.0, -x, -y, -1.0, v * x, v * y, v], [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u]];
            for (j, row) in rows.iter().enumerate() {
                equations.row_mut(2 * k + j).copy_from_slice(row);
            }
        }
        // The pair of rows of zeros that four pairs leave makes the decomposition give all nine directions.
        let decomposition = equations.try_svd(false, true, f64::EPSILON, 500)?;
        let values = &decomposition.singular_values;
        let mut order: Vec<usize> = (0..9).collect();
        order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
        // Two directions of no error: the pairs leave more than one map.
        if values[order[1]] < 1e-9 * values[order[8]] {
            return None;
        }
        let h = decomposition.v_t?.row(order[0]).into_owned();
        let matrix = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8]);
        Self::new(second.try_inverse()? * matrix * first)
    }

    /// The matrix, of arbitrary scale.
    pub fn matrix(&self) -> &Matrix3<f64> {
        &self.0
    }

    /// Where a point goes; `None` on the line that goes to infinity.
    pub fn apply(&self, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
        let p = self.0 * Vector3::new(x, y, 1.0);
        let to = [p.x / p.z, p.y / p.z];
        (to[0].is_finite() && to[1].is_finite()).then_some(to)
    }

    /// Derivative of where a point goes by that point.
    pub fn by_point(&self, [x, y]: [f64; 2]) -> Matrix2<f64> {
        let h = &self.0;
        let p = h * Vector3::new(x, y, 1.0);
        let [u, v] = [p.x / p.z, p.y / p.z];
        Matrix2::new(
            h[(0, 0)] - u * h[(2, 0)],
            h[(0, 1)] - u * h[(2, 1)],
            h[(1, 0)] - v * h[(2, 0)],
            h[(1, 1)] - v * h[(2, 1)],
        ) / p.z
    }

    /// The third coordinate of a point's image before division. Its sign tells the two sides of the line that goes to
    /// infinity, the horizon.
    pub(crate) fn weight(&self, [x, y]: [f64; 2]) -> f64 {
        self.0[(2, 0)] * x + self.0[(2, 1)] * y + self.0[(2, 2)]
    }

    /// The way back.
    #[must_use]
    pub fn inverse(&self) -> Option<Self> {
        Self::new(self.0.try_inverse()?)
    }
}

/// Carries the points' middle to zero and their mean distance from it to √2. `None` for points that are all one.
pub(crate) fn normalising(points: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    let n = points.len() as f64;
    let middle = [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / n);
    let mean = points.iter().map(|p| (p[0] - middle[0]).hypot(p[1] - middle[1])).sum::<f64>() / n;
    let scale = 2.0_f64.sqrt() / mean;
    scale
        .is_finite()
        .then(|| Matrix3::new(scale, 0.0, -scale * middle[0], 0.0, scale, -scale * middle[1], 0.0, 0.0, 1.0))
}
