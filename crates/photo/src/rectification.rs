//! A known flat figure makes its plane readable: from pixels to millimetres, and how far to trust each reading.
//!
//! The map is the one that shows the known points nearest to where they were marked, in the picture, where the error is
//! made: least squares by Gauss and Newton from the normalised direct linear transformation (Hartley and Zisserman,
//! *Multiple View Geometry*, 2nd ed. 2004, chapters 4 and 5). What the marks' deviation does to a reading follows from the
//! map's covariance.

use crate::chi_squared::{Z_95, chi_squared_quantile};
use crate::homography::{Homography, normalising};
use nalgebra::{Matrix2, Matrix3, SMatrix, SVector, Vector2};

/// A point of a flat figure and where the picture shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Its place in the figure's plane, mm.
    pub plane: [f64; 2],
    /// Where it is marked, pixels.
    pub pixel: [f64; 2],
}

/// Why marks give no readable plane. The text says what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RectificationError {
    /// Fewer than four.
    #[error("{found} points are too few: mark at least 4 of the flat figure.")]
    TooFew {
        /// How many there are.
        found: usize,
    },
    /// A number is not finite.
    #[error("Point {point} has a place that is not a number. Mark it again.")]
    NotFinite {
        /// Which, counted from 1.
        point: usize,
    },
    /// The deviation of the marks is not above zero.
    #[error("How well points are marked must be more than 0 pixels.")]
    NoDeviation,
    /// The same place or the same pixel twice.
    #[error("Points {first} and {second} are the same. Mark one of them elsewhere.")]
    Repeated {
        /// One, counted from 1.
        first: usize,
        /// The other, counted from 1.
        second: usize,
    },
    /// No four of them have no three in a line.
    #[error(
        "Three of every four points lie in a line{}. Four are needed of which no three do: mark one to the side.",
        three.map_or(String::new(), |[a, b, c]| format!(", such as points {a}, {b} and {c}"))
    )]
    InALine {
        /// Three that do, counted from 1.
        three: Option<[usize; 3]>,
    },
    /// The order of the marks does not go with the order of the figure.
    #[error(
        "The points are not in the order of the figure: its outline crosses itself in the picture. Mark them in the same \
         order, around the figure."
    )]
    Crossed,
    /// Sides or spacing that are no lengths.
    #[error("The sides of the figure must be more than 0 mm.")]
    NoSize,
    /// The number of marks is not that of the figure.
    #[error(
        "The figure has {expected} points, but {found} are marked. Mark every corner, row by row from the upper left."
    )]
    Count {
        /// How many the figure has.
        expected: usize,
        /// How many are marked.
        found: usize,
    },
}

/// A readable plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Rectification {
    /// From pixels to mm in the figure's plane.
    pub to_plane: Homography,
    /// From mm in the figure's plane to pixels.
    pub to_picture: Homography,
    /// For each mark, in the given order.
    pub residuals: Vec<MarkResidual>,
    /// Root of the mean squared residual per degree of freedom, in the deviations that were given: near 1 where marks are as
    /// good as was said. 1 for four marks, which leave nothing to compare.
    pub misfit: f64,
    /// By what the foretold errors are larger than the given deviation warrants, because the residuals are (chance 5 %).
    pub widened: f64,
    sigma_px: f64,
    /// Covariance of the eight numbers of `local`.
    covariance: SMatrix<f64, 8, 8>,
    /// From the normalised plane to the normalised picture, with 1 as its last number.
    local: Matrix3<f64>,
    plane_to_local: Matrix3<f64>,
    picture_scale: f64,
}

/// How a mark fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkResidual {
    /// Marked less shown by the map, pixels.
    pub off_px: [f64; 2],
    /// The length of that, pixels.
    pub px: f64,
    /// How far that is in the plane, mm.
    pub mm: f64,
}

/// A point read in the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Its place in the plane, mm.
    pub at: [f64; 2],
    /// Covariance of that place, mm².
    pub covariance: Matrix2<f64>,
}

impl Reading {
    /// Standard deviation along each axis of the plane, mm.
    pub fn sigmas(&self) -> [f64; 2] {
        [self.covariance[(0, 0)].max(0.0).sqrt(), self.covariance[(1, 1)].max(0.0).sqrt()]
    }

    /// Root of the mean squared distance from the true place, mm.
    pub fn error(&self) -> f64 {
        self.covariance.trace().max(0.0).sqrt()
    }
}

/// The corners of a rectangle in its plane, mm, marked in the order upper left, upper right, lower right, lower left; x to
/// the right and y down from the first.
///
/// # Errors
/// Sides that are not above zero.
pub fn rectangle(width: f64, height: f64, corners: [[f64; 2]; 4]) -> Result<Vec<Mark>, RectificationError> {
    if !(is_length(width) && is_length(height)) {
        return Err(RectificationError::NoSize);
    }
    let plane = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
    Ok(plane.into_iter().zip(corners).map(|(plane, pixel)| Mark { plane, pixel }).collect())
}

/// The crossings of a chequered board or grid in its plane, mm: `columns` times `rows` of them, `spacing` mm apart, marked
/// row by row from the upper left.
///
/// # Errors
/// A spacing that is not above zero, or a number of marks that is not that of the crossings.
pub fn grid(columns: usize, rows: usize, spacing: f64, pixels: &[[f64; 2]]) -> Result<Vec<Mark>, RectificationError> {
    if !is_length(spacing) {
        return Err(RectificationError::NoSize);
    }
    let expected = columns.saturating_mul(rows);
    if pixels.len() != expected {
        return Err(RectificationError::Count { expected, found: pixels.len() });
    }
    let mark = |(k, pixel): (usize, &[f64; 2])| {
        let plane = [(k % columns) as f64 * spacing, (k / columns) as f64 * spacing];
        Mark { plane, pixel: *pixel }
    };
    Ok(pixels.iter().enumerate().map(mark).collect())
}

/// Makes the plane of a known flat figure readable from four or more of its points. `sigma_px` is how well each was marked
/// (standard deviation in each direction). Where the lens bends straight lines, give straightened pixels.
///
/// # Errors
/// What [`RectificationError`] lists.
pub fn rectify(marks: &[Mark], sigma_px: f64) -> Result<Rectification, RectificationError> {
    refuse(marks, sigma_px)?;
    let in_a_line = || RectificationError::InALine { three: three_in_a_line(marks) };
    let pairs: Vec<_> = marks.iter().map(|m| (m.plane, m.pixel)).collect();
    let first = Homography::through(&pairs).ok_or_else(in_a_line)?;
    if !on_one_side(&first, marks) {
        return Err(RectificationError::Crossed);
    }
    let fit = Fit::new(marks, &first).ok_or_else(in_a_line)?.refined();
    fit.rectification(marks, sigma_px).ok_or_else(in_a_line)
}

impl Rectification {
    /// Where in its plane what is shown at `pixel` lies, if it lies in that plane, mm. `None` on the plane's horizon and
    /// beyond it.
    pub fn read(&self, pixel: [f64; 2]) -> Option<[f64; 2]> {
        self.to_plane.apply(pixel).filter(|at| self.is_before(*at))
    }

    /// Where the picture shows a place of the plane, pixels. `None` for what lies behind the camera.
    pub fn show(&self, at: [f64; 2]) -> Option<[f64; 2]> {
        self.is_before(at).then(|| self.to_picture.apply(at)).flatten()
    }

    /// Whether a place lies on the same side of the camera as the marks.
    fn is_before(&self, at: [f64; 2]) -> bool {
        self.to_picture.weight(at) * self.to_picture.weight(self.a_mark()) > 0.0
    }

    /// The same with its error: of the map, and of pointing with `sigma_px` in each direction (0 for an exact pixel).
    pub fn read_with_error(&self, pixel: [f64; 2], sigma_px: f64) -> Option<Reading> {
        let at = self.read(pixel)?;
        let local = Homography::new(self.plane_to_local)?.apply(at)?;
        let by_map = by_numbers(&self.local, local) / self.picture_scale;
        let pointing = Matrix2::identity() * (sigma_px * sigma_px);
        let in_picture = by_map * self.covariance * by_map.transpose() + pointing;
        let back = self.to_picture.by_point(at).try_inverse()?;
        Some(Reading { at, covariance: back * in_picture * back.transpose() })
    }

    /// The deviation that was given for the marks, pixels.
    pub fn sigma_px(&self) -> f64 {
        self.sigma_px
    }

    /// The middle of the marks in the plane: a place that is before the camera.
    fn a_mark(&self) -> [f64; 2] {
        let scale = self.plane_to_local[(0, 0)];
        [-self.plane_to_local[(0, 2)] / scale, -self.plane_to_local[(1, 2)] / scale]
    }
}

/// The map in normalised coordinates, in which it is fitted.
struct Fit {
    map: Matrix3<f64>,
    plane_to_local: Matrix3<f64>,
    picture_to_local: Matrix3<f64>,
    points: Vec<(Vector2<f64>, Vector2<f64>)>,
}

impl Fit {
    fn new(marks: &[Mark], first: &Homography) -> Option<Self> {
        let plane_to_local = normalising(&marks.iter().map(|m| m.plane).collect::<Vec<_>>())?;
        let picture_to_local = normalising(&marks.iter().map(|m| m.pixel).collect::<Vec<_>>())?;
        let map = picture_to_local * first.matrix() * plane_to_local.try_inverse()?;
        let (plane, picture) = (Homography::new(plane_to_local)?, Homography::new(picture_to_local)?);
        let point = |m: &Mark| Some((plane.apply(m.plane)?.into(), picture.apply(m.pixel)?.into()));
        let points = marks.iter().map(point).collect::<Option<_>>()?;
        // The middle of the marks is before the camera, so its weight is not zero and may be made one.
        let map = map / map[(2, 2)];
        map.iter().all(|c| c.is_finite()).then_some(Self { map, plane_to_local, picture_to_local, points })
    }

    fn cost(&self, map: &Matrix3<f64>) -> f64 {
        self.points.iter().map(|(a, b)| (b - shown(map, a)).norm_squared()).sum()
    }

    fn normal(&self) -> (SMatrix<f64, 8, 8>, SVector<f64, 8>) {
        let (mut matrix, mut right) = (SMatrix::zeros(), SVector::zeros());
        for (a, b) in &self.points {
            let by = by_numbers(&self.map, (*a).into());
            matrix += by.transpose() * by;
            right += by.transpose() * (b - shown(&self.map, a));
        }
        (matrix, right)
    }

    /// Gauss and Newton's steps, halved while they do not help.
    fn refined(mut self) -> Self {
        let mut cost = self.cost(&self.map);
        for _ in 0..20 {
            let (matrix, right) = self.normal();
            let Some(mut step) = matrix.cholesky().map(|c| c.solve(&right)) else { break };
            let mut better = None;
            for _ in 0..8 {
                let next = stepped(&self.map, &step);
                let next_cost = self.cost(&next);
                if next_cost < cost {
                    better = Some((next, next_cost));
                    break;
                }
                step *= 0.5;
            }
            let Some((next, next_cost)) = better else { break };
            let gained = cost - next_cost;
            (self.map, cost) = (next, next_cost);
            if gained <= 1e-14 * cost {
                break;
            }
        }
        self
    }

    fn rectification(self, marks: &[Mark], sigma_px: f64) -> Option<Rectification> {
        let picture_scale = self.picture_to_local[(0, 0)];
        let map = self.picture_to_local.try_inverse()? * self.map * self.plane_to_local;
        let to_picture = Homography::new(map)?;
        let to_plane = to_picture.inverse()?;
        let freedom = 2 * marks.len() - 8;
        let squares = self.cost(&self.map) / (picture_scale * sigma_px).powi(2);
        let misfit = if freedom > 0 { (squares / freedom as f64).sqrt() } else { 1.0 };
        let fits_badly = freedom > 0 && squares > chi_squared_quantile(freedom, Z_95);
        let widened = if fits_badly { misfit.max(1.0) } else { 1.0 };
        let deviation = picture_scale * sigma_px * widened;
        let covariance = self.normal().0.cholesky()?.inverse() * (deviation * deviation);
        let residuals = marks.iter().map(|m| residual(m, &to_picture)).collect::<Option<_>>()?;
        let (local, plane_to_local) = (self.map, self.plane_to_local);
        Some(Rectification {
            to_plane,
            to_picture,
            residuals,
            misfit,
            widened,
            sigma_px,
            covariance,
            local,
            plane_to_local,
            picture_scale,
        })
    }
}

fn residual(mark: &Mark, to_picture: &Homography) -> Option<MarkResidual> {
    let [u, v] = to_picture.apply(mark.plane)?;
    let off_px = [mark.pixel[0] - u, mark.pixel[1] - v];
    let in_plane = to_picture.by_point(mark.plane).try_inverse()? * Vector2::from(off_px);
    Some(MarkResidual { off_px, px: off_px[0].hypot(off_px[1]), mm: in_plane.norm() })
}

fn shown(map: &Matrix3<f64>, at: &Vector2<f64>) -> Vector2<f64> {
    let p = map * at.push(1.0);
    Vector2::new(p.x / p.z, p.y / p.z)
}

fn stepped(map: &Matrix3<f64>, step: &SVector<f64, 8>) -> Matrix3<f64> {
    let mut next = *map;
    for (k, change) in step.iter().enumerate() {
        next[(k / 3, k % 3)] += change;
    }
    next
}

/// Derivative of where a point is shown by the first eight numbers of the map, row by row.
fn by_numbers(map: &Matrix3<f64>, [x, y]: [f64; 2]) -> SMatrix<f64, 2, 8> {
    let p = map * nalgebra::Vector3::new(x, y, 1.0);
    let (u, v, w) = (p.x / p.z, p.y / p.z, p.z);
    let rows = [[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y], [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y]];
    SMatrix::from_fn(|i, j| rows[i][j] / w)
}

fn on_one_side(map: &Homography, marks: &[Mark]) -> bool {
    let positive = marks.iter().filter(|m| map.weight(m.plane) > 0.0).count();
    positive == 0 || positive == marks.len()
}

fn is_length(mm: f64) -> bool {
    mm > 0.0 && mm.is_finite()
}

fn refuse(marks: &[Mark], sigma_px: f64) -> Result<(), RectificationError> {
    let finite = |m: &Mark| m.plane.iter().chain(&m.pixel).all(|c| c.is_finite());
    if let Some(k) = marks.iter().position(|m| !finite(m)) {
        return Err(RectificationError::NotFinite { point: k + 1 });
    }
    if !(sigma_px > 0.0 && sigma_px.is_finite()) {
        return Err(RectificationError::NoDeviation);
    }
    for (i, a) in marks.iter().enumerate() {
        let same = |b: &Mark| a.plane == b.plane || a.pixel == b.pixel;
        if let Some(j) = marks[i + 1..].iter().position(same) {
            return Err(RectificationError::Repeated { first: i + 1, second: i + j + 2 });
        }
    }
    if marks.len() < 4 {
        return Err(RectificationError::TooFew { found: marks.len() });
    }
    if in_general_position(marks) { Ok(()) } else { Err(RectificationError::InALine { three: three_in_a_line(marks) }) }
}

/// A triangle whose height is less than this share of its longest side is a line.
const FLAT: f64 = 0.005;

fn is_line(points: [[f64; 2]; 3]) -> bool {
    let [a, b, c] = points.map(Vector2::from);
    let longest = (b - a).norm().max((c - a).norm()).max((c - b).norm());
    (b - a).perp(&(c - a)).abs() < FLAT * longest * longest
}

fn are_in_a_line(marks: [&Mark; 3]) -> bool {
    is_line(marks.map(|m| m.plane)) || is_line(marks.map(|m| m.pixel))
}

/// Whether there are four of which no three lie in a line.
fn in_general_position(marks: &[Mark]) -> bool {
    let n = marks.len();
    let line = |i: usize, j: usize, k: usize| are_in_a_line([&marks[i], &marks[j], &marks[k]]);
    (0..n).any(|i| {
        (i + 1..n).any(|j| {
            let aside: Vec<usize> = (j + 1..n).filter(|k| !line(i, j, *k)).collect();
            let fourth = |(a, k): (usize, &usize)| aside[a + 1..].iter().any(|l| !line(i, *k, *l) && !line(j, *k, *l));
            aside.iter().enumerate().any(fourth)
        })
    })
}

/// The first three that lie in a line, counted from 1.
fn three_in_a_line(marks: &[Mark]) -> Option<[usize; 3]> {
    let n = marks.len();
    let triples = (0..n).flat_map(|i| (i + 1..n).flat_map(move |j| (j + 1..n).map(move |k| [i, j, k])));
    let mut lines = triples.filter(|t| are_in_a_line(t.map(|i| &marks[i])));
    lines.next().map(|t| t.map(|i| i + 1))
}
