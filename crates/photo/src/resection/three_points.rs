//! Every camera of known focal length that sees three known points where they were seen.
//!
//! Grunert's problem, as reviewed by R. M. Haralick et al., "Review and analysis of solutions of the three point
//! perspective pose estimation problem", IJCV 13 (1994): the law of cosines in the three triangles at the eye. With the
//! distances s1, s2 = u s1 and s3 = v s1, u is a quotient of polynomials in v, and v a root of a quartic, put together
//! here by multiplying them out.

use nalgebra::{Matrix3, Matrix4, Schur, Vector3};

/// A pose: R and t of p_cam = R p + t.
pub(super) type Pose = (Matrix3<f64>, Vector3<f64>);

/// The up to four poses; none for points on a line. `sights` are unit vectors in camera axes.
pub(super) fn poses(points: &[Vector3<f64>; 3], sights: &[Vector3<f64>; 3]) -> Vec<Pose> {
    let side = |i: usize, j: usize| (points[i] - points[j]).norm_squared();
    let cosine = |i: usize, j: usize| sights[i].dot(&sights[j]);
    let (a, b, c) = (side(1, 2), side(0, 2), side(0, 1));
    let (ca, cb, cg) = (cosine(1, 2), cosine(0, 2), cosine(0, 1));
    let (a, c) = (a / b, c / b);
    // Coefficients from the constant upwards.
    let q = [1.0, -2.0 * cb, 1.0];
    let n = [(a - c) * q[0] + 1.0, (a - c) * q[1], (a - c) * q[2] - 1.0];
    let d = [2.0 * cg, -2.0 * ca];
    let mut quartic = [0.0; 5];
    add_product(&mut quartic, 1.0, &n, &n);
    let nd = product(&n, &d);
    add_product(&mut quartic, -2.0 * cg, &nd, &[1.0]);
    let dd = product(&d, &d);
    add_product(&mut quartic, 1.0, &dd, &[1.0 - c * q[0], -c * q[1], -c * q[2]]);
    let pose = |v: f64| {
        let u = at(&n, v) / at(&d, v);
        let s1 = (b / at(&q, v)).sqrt();
        let seen = [sights[0] * s1, sights[1] * (u * s1), sights[2] * (v * s1)];
        (u > 0.0 && s1.is_finite()).then(|| between(points, &seen)).flatten()
    };
    positive_roots(&quartic).into_iter().filter_map(pose).collect()
}

fn at(polynomial: &[f64], x: f64) -> f64 {
    polynomial.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

fn product(p: &[f64], q: &[f64]) -> [f64; 4] {
    let mut all = [0.0; 4];
    add_product(&mut all, 1.0, p, q);
    all
}

/// Adds `factor` p q; what lies beyond the highest place of `sum` is zero in every call here.
fn add_product(sum: &mut [f64], factor: f64, p: &[f64], q: &[f64]) {
    for (i, x) in p.iter().enumerate() {
        for (j, y) in q.iter().enumerate() {
            if let Some(place) = sum.get_mut(i + j) {
                *place += factor * x * y;
            }
        }
    }
}

/// Real positive roots as eigenvalues of the companion matrix. Pairs that noise has made just complex count by their
/// real part: they are starting values.
fn positive_roots(quartic: &[f64; 5]) -> Vec<f64> {
    let lead = quartic[4];
    let size = quartic.iter().fold(0.0_f64, |m, c| m.max(c.abs()));
    if lead.abs() <= 1e-12 * size || !size.is_finite() {
        return Vec::new();
    }
    let mut companion = Matrix4::zeros();
    for k in 0..4 {
        companion[(0, k)] = -quartic[3 - k] / lead;
    }
    for k in 1..4 {
        companion[(k, k - 1)] = 1.0;
    }
    let Some(schur) = Schur::try_new(companion, 1e-13, 200) else { return Vec::new() };
    let roots = schur.complex_eigenvalues();
    let real = roots.iter().filter(|r| r.im.abs() < 0.02 * (1.0 + r.re.abs()) && r.re > 0.0);
    real.map(|r| r.re).collect()
}

/// The rigid motion that carries one triangle to another of the same sides.
fn between(from: &[Vector3<f64>; 3], to: &[Vector3<f64>; 3]) -> Option<Pose> {
    let rotation = axes(to)? * axes(from)?.transpose();
    let middle = |p: &[Vector3<f64>; 3]| (p[0] + p[1] + p[2]) / 3.0;
    Some((rotation, middle(to) - rotation * middle(from)))
}

fn axes(p: &[Vector3<f64>; 3]) -> Option<Matrix3<f64>> {
    let along = (p[1] - p[0]).try_normalize(0.0)?;
    let normal = along.cross(&(p[2] - p[0])).try_normalize(1e-9 * (p[2] - p[0]).norm())?;
    Some(Matrix3::from_columns(&[along, normal.cross(&along), normal]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Rotation3;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_true_pose_is_among_the_four(
            turn in prop::array::uniform3(-3.0..3.0_f64),
            away in prop::array::uniform2(-0.3..0.3_f64),
            corners in prop::array::uniform9(-1.0..1.0_f64),
        ) {
            let rotation = Rotation3::new(Vector3::from(turn)).into_inner();
            let translation = Vector3::new(away[0], away[1], 6.0);
            let points = [0, 3, 6].map(|k| Vector3::new(corners[k], corners[k + 1], corners[k + 2]));
            let area = (points[1] - points[0]).cross(&(points[2] - points[0])).norm();
            prop_assume!(area > 0.1);
            let sights = points.map(|p| (rotation * p + translation).normalize());
            let found = poses(&points, &sights);
            let miss = |(r, t): &Pose| (r - rotation).norm() + (t - translation).norm();
            let best = found.iter().map(miss).fold(f64::INFINITY, f64::min);
            // Near double roots, which are few, half of the digits are lost.
            prop_assert!(best < 1e-3, "{best} of {}", found.len());
        }
    }
}
