//! The lens from lines that are straight on the machine: panel lines, the edge of a hangar door, a hanging cord.
//!
//! The distortion is the one under which marked lines become straight (D. C. Brown, "Close-range camera calibration",
//! Photogrammetric Engineering 37, 1971: the plumb-line method). What is made least is how far, in the picture, each mark
//! lies from the curve that the lens makes of its straight line, to first order (P. D. Sampson, 1982, from memory); straight
//! lines of straightened marks alone would reward a lens that shrinks everything.

use crate::Lens;
use crate::chi_squared::{Z_95, chi_squared_quantile};
use nalgebra::{DMatrix, DVector, Matrix2, Vector2};

/// How many coefficients are sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Radial {
    /// k1 alone: enough for most lenses and for few lines.
    K1,
    /// k1 and k2: for wide lenses and many marks.
    K1AndK2,
}

/// A lens that straightens the marked lines.
#[derive(Clone, Debug, PartialEq)]
pub struct PlumbLine {
    /// The lens, in units of the focal length that was given.
    pub lens: Lens,
    /// Standard deviations of k1 and k2; zero for one that was not sought. Wider than the marks' deviation warrants where
    /// the lines stay crooked (chance 5 %).
    pub sigmas: [f64; 2],
    /// For each line, how far each mark lies from it in the picture, pixels, in the given order.
    pub residuals: Vec<Vec<f64>>,
    /// Root mean square of the residuals without a lens, pixels.
    pub before_px: f64,
    /// The same with it.
    pub after_px: f64,
}

/// Why lines give no lens. The text says what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlumbLineError {
    /// Not enough marks.
    #[error(
        "The lines have {found} marks to spare; {needed} are needed. Mark at least three points on each line, better six."
    )]
    TooFew {
        /// Marks beyond two on each line.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A number is not finite, or a size is not above zero.
    #[error("{what} is not a usable number. Enter it again.")]
    NotANumber {
        /// Which number.
        what: &'static str,
    },
    /// All marks of a line are one point.
    #[error("The marks of line {line} lie on one point. Mark it along its whole length.")]
    NoLine {
        /// Which, counted from 1.
        line: usize,
    },
    /// The lines say nothing about the lens.
    #[error(
        "These lines run through the middle of the picture or are too short, so they stay straight whatever the lens does. \
         Mark long lines near the edges."
    )]
    Undetermined,
}

/// The lens that makes lines straight. Each line is a list of marks in pixels; `centre` is the principal point and `focal_px`
/// the focal length in whose units the lens is given (a rough one will do: see [`Lens::at_focal`]); `sigma_px` is how well
/// each mark was made.
///
/// # Errors
/// What [`PlumbLineError`] lists.
pub fn lens_from_lines(
    lines: &[Vec<[f64; 2]>],
    centre: [f64; 2],
    focal_px: f64,
    radial: Radial,
    sigma_px: f64,
) -> Result<PlumbLine, PlumbLineError> {
    refuse(lines, centre, focal_px, radial, sigma_px)?;
    let normalise = |p: &[f64; 2]| Vector2::new((p[0] - centre[0]) / focal_px, (p[1] - centre[1]) / focal_px);
    let marks: Vec<Vec<Vector2<f64>>> = lines.iter().map(|l| l.iter().map(normalise).collect()).collect();
    let unbent = Fit::new(marks, radial);
    let before = unbent.rms();
    let fit = unbent.refined().ok_or(PlumbLineError::Undetermined)?;
    fit.answer(before, focal_px, sigma_px)
}

/// A straight line: unit normal at an angle, and distance from zero.
#[derive(Clone, Copy)]
struct Line {
    angle: f64,
    distance: f64,
}

#[derive(Clone)]
struct Fit {
    marks: Vec<Vec<Vector2<f64>>>,
    lines: Vec<Line>,
    lens: Lens,
    sought: usize,
}

/// A mark's distance from its curve, and its derivative by the coefficients, the line's angle and its distance.
struct Row {
    off: f64,
    by_lens: [f64; 2],
    by_line: [f64; 2],
}

impl Fit {
    fn new(marks: Vec<Vec<Vector2<f64>>>, radial: Radial) -> Self {
        let lines = marks.iter().map(|m| straight_line(m)).collect();
        let sought = match radial {
            Radial::K1 => 1,
            Radial::K1AndK2 => 2,
        };
        Self { marks, lines, lens: Lens::NONE, sought }
    }

    /// `None` where the lens shows nothing at the mark.
    fn row(&self, line: &Line, mark: &Vector2<f64>) -> Option<Row> {
        let straight = Vector2::from(self.lens.undistorted((*mark).into())?);
        let back = self.lens.by_point(straight.into()).try_inverse()?;
        let normal = Vector2::new(line.angle.cos(), line.angle.sin());
        let slope = (back.transpose() * normal).norm();
        let by_radial: Matrix2<f64> = -back * Lens::by_radial(straight.into());
        let by_lens = (normal.transpose() * by_radial) / slope;
        let along = Vector2::new(-normal.y, normal.x).dot(&straight);
        Some(Row {
            off: (normal.dot(&straight) - line.distance) / slope,
            by_lens: [by_lens[0], by_lens[1]],
            by_line: [along / slope, -1.0 / slope],
        })
    }

    fn rows(&self) -> Option<Vec<(usize, Row)>> {
        let one = |(k, (line, marks)): (usize, (&Line, &Vec<Vector2<f64>>))| {
            marks.iter().map(|m| Some((k, self.row(line, m)?))).collect::<Option<Vec<_>>>()
        };
        let all: Option<Vec<_>> = self.lines.iter().zip(&self.marks).enumerate().map(one).collect();
        Some(all?.into_iter().flatten().collect())
    }

    fn cost(&self) -> f64 {
        self.rows().map_or(f64::INFINITY, |rows| rows.iter().map(|(_, r)| r.off * r.off).sum())
    }

    fn rms(&self) -> f64 {
        let count: usize = self.marks.iter().map(Vec::len).sum();
        (self.cost() / count.max(1) as f64).sqrt()
    }

    /// The equations of a step: the coefficients first, then each line's angle and distance.
    fn normal(&self) -> Option<(DMatrix<f64>, DVector<f64>)> {
        let n = self.sought + 2 * self.lines.len();
        let (mut matrix, mut right) = (DMatrix::zeros(n, n), DVector::zeros(n));
        for (line, row) in self.rows()? {
            let at = self.sought + 2 * line;
            let lens = (0..self.sought).map(|k| (k, row.by_lens[k]));
            let numbers: Vec<(usize, f64)> = lens.chain([(at, row.by_line[0]), (at + 1, row.by_line[1])]).collect();
            for (i, a) in &numbers {
                right[*i] -= a * row.off;
                for (j, b) in &numbers {
                    matrix[(*i, *j)] += a * b;
                }
            }
        }
        Some((matrix, right))
    }

    fn stepped(&self, step: &DVector<f64>) -> Self {
        let mut next = self.clone();
        next.lens.k1 += step[0];
        if self.sought > 1 {
            next.lens.k2 += step[1];
        }
        for (k, line) in next.lines.iter_mut().enumerate() {
            line.angle += step[self.sought + 2 * k];
            line.distance += step[self.sought + 2 * k + 1];
        }
        next
    }

    /// Levenberg and Marquardt's method; `None` if the equations cannot be solved.
    fn refined(mut self) -> Option<Self> {
        let (mut cost, mut damping) = (self.cost(), 1e-3);
        for _ in 0..200 {
            let (mut matrix, right) = self.normal()?;
            for k in 0..right.len() {
                matrix[(k, k)] *= 1.0 + damping;
            }
            let step = matrix.cholesky()?.solve(&right);
            let next = self.stepped(&step);
            let next_cost = next.cost();
            if next_cost <= cost {
                let gained = cost - next_cost;
                (self, cost) = (next, next_cost);
                damping *= 0.1;
                if gained <= 1e-13 * cost || step.norm() < 1e-13 {
                    break;
                }
            } else if damping > 1e8 {
                break;
            } else {
                damping *= 10.0;
            }
        }
        Some(self)
    }

    fn answer(self, before: f64, focal_px: f64, sigma_px: f64) -> Result<PlumbLine, PlumbLineError> {
        let (matrix, _) = self.normal().ok_or(PlumbLineError::Undetermined)?;
        let inverse = matrix.cholesky().ok_or(PlumbLineError::Undetermined)?.inverse();
        let count: usize = self.marks.iter().map(Vec::len).sum();
        let freedom = count - self.sought - 2 * self.lines.len();
        let squares = self.cost() * (focal_px / sigma_px).powi(2);
        let crooked = freedom > 0 && squares > chi_squared_quantile(freedom, Z_95);
        let widened = if crooked { (squares / freedom as f64).sqrt().max(1.0) } else { 1.0 };
        let sigma =
            |k: usize| if k < self.sought { inverse[(k, k)].sqrt() * sigma_px / focal_px * widened } else { 0.0 };
        let sigmas = [sigma(0), sigma(1)];
        if !self.matters(sigmas[0]) {
            return Err(PlumbLineError::Undetermined);
        }
        let rows = self.rows().ok_or(PlumbLineError::Undetermined)?;
        let mut residuals = vec![Vec::new(); self.lines.len()];
        for (line, row) in rows {
            residuals[line].push(row.off * focal_px);
        }
        let after_px = self.rms() * focal_px;
        Ok(PlumbLine { lens: self.lens, sigmas, residuals, before_px: before * focal_px, after_px })
    }

    /// Whether k1 is known well enough to move the outermost mark by less than a tenth of its distance from the middle.
    fn matters(&self, sigma_k1: f64) -> bool {
        let outermost = self.marks.iter().flatten().map(|m| m.norm_squared()).fold(0.0, f64::max);
        sigma_k1 * outermost < 0.1
    }
}

/// The line of least squared distances: along the longer axis of the marks.
fn straight_line(marks: &[Vector2<f64>]) -> Line {
    let middle = marks.iter().sum::<Vector2<f64>>() / marks.len().max(1) as f64;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for mark in marks {
        let d = mark - middle;
        (xx, xy, yy) = (xx + d.x * d.x, xy + d.x * d.y, yy + d.y * d.y);
    }
    let along = 0.5 * (2.0 * xy).atan2(xx - yy);
    let angle = along + std::f64::consts::FRAC_PI_2;
    Line { angle, distance: middle.x * angle.cos() + middle.y * angle.sin() }
}

fn refuse(
    lines: &[Vec<[f64; 2]>],
    centre: [f64; 2],
    focal_px: f64,
    radial: Radial,
    sigma_px: f64,
) -> Result<(), PlumbLineError> {
    let refuse = |what| Err(PlumbLineError::NotANumber { what });
    if !lines.iter().flatten().flatten().all(|c| c.is_finite()) {
        return refuse("The place of a mark");
    }
    if !centre.iter().all(|c| c.is_finite()) {
        return refuse("The middle of the picture");
    }
    if !(focal_px > 0.0 && focal_px.is_finite()) {
        return refuse("The focal length");
    }
    if !(sigma_px > 0.0 && sigma_px.is_finite()) {
        return refuse("How well lines are marked");
    }
    if let Some(k) = lines.iter().position(|l| l.iter().all(|p| Some(p) == l.first())) {
        return Err(PlumbLineError::NoLine { line: k + 1 });
    }
    let found = lines.iter().map(|l| l.len().saturating_sub(2)).sum();
    let needed = match radial {
        Radial::K1 => 1,
        Radial::K1AndK2 => 2,
    };
    if found < needed { Err(PlumbLineError::TooFew { found, needed }) } else { Ok(()) }
}
