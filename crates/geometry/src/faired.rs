//! A faired line: traced points become a master line within a tolerance, with as few points as hold it.
//!
//! The points of the line are its own and not some of the traced ones: their values and places are unknowns, fitted by least
//! squares of the distances of all traced points (K. Levenberg 1944, D. W. Marquardt 1963) through the very curve that
//! [`Line`] draws. So what is reported is the misfit of the line that the builder gets.
//!
//! 1. It begins with the ends and the corners alone.
//! 2. While the tolerance does not hold, a point is put in where it takes off most, and all are fitted anew. Of two places
//!    that are nearly as good the one with fewer inflections is taken.
//! 3. Then every inner point is taken out on trial, for good where the tolerance holds without it.
//!
//! It ends early when more points would follow noise: when three more have not improved the evidence N ln(S/N) + k ln N
//! (G. Schwarz, "Estimating the dimension of a model", Annals of Statistics 6, 1978), S being the sum of squares and k the
//! number of unknowns. Then it says which tolerance could be held. Sources are cited from memory.

mod corners;
mod fit;
mod search;
mod shape;
mod solve;

use crate::line::{Line, LineEnd, LinePoint, Pass};
pub use corners::{FoundCorner, find_corners};

/// A point of a traced edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TracedPoint {
    /// Distance aft of the datum, mm.
    pub x: f64,
    /// Height or half-breadth, mm.
    pub value: f64,
    /// Standard deviation across the edge, mm; only ratios matter. Where it is not above zero, that of a usual point.
    pub deviation: f64,
}

/// What the line is to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Fairing {
    /// How far traced points may lie from the line, mm, square to it.
    pub tolerance: f64,
    /// What share of them must lie so near: 1 for every single one. Below 1, those that lie far off hardly pull, unless
    /// three neighbours do.
    pub share: f64,
    /// Most points that the line may have, ends and corners among them: at least 2, at most 40.
    pub most_points: usize,
    /// How the line ends in front. An upright end finds its x by itself.
    pub front: LineEnd,
    /// How it ends at the rear.
    pub rear: LineEnd,
    /// A front point that stands fast (where the form meets a ring): x, value and, with [`Pass::Slope`], its slope.
    pub fixed_front: Option<LinePoint>,
    /// A rear point that stands fast.
    pub fixed_rear: Option<LinePoint>,
    /// Stations at which the line breaks, mm; see [`find_corners`].
    pub corners: Vec<f64>,
}

impl Default for Fairing {
    fn default() -> Self {
        Self {
            tolerance: 0.5,
            share: 1.0,
            most_points: 12,
            front: LineEnd::Free,
            rear: LineEnd::Free,
            fixed_front: None,
            fixed_rear: None,
            corners: Vec::new(),
        }
    }
}

/// Whether the tolerance holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// It holds.
    Holds,
    /// More points would only follow the noise of the tracing; this tolerance, mm, would hold.
    Noise {
        /// mm.
        reachable: f64,
    },
    /// It needs more points than are allowed; with these, this tolerance, mm, would hold.
    TooFewPoints {
        /// mm.
        reachable: f64,
    },
}

impl Outcome {
    /// What to tell the builder.
    pub fn text(self) -> String {
        match self {
            Self::Holds => "The line keeps the tolerance.".into(),
            Self::Noise { reachable } => format!(
                "The traced points scatter more than the tolerance: more points would only follow their noise. A tolerance of \
                 {reachable:.2} mm holds."
            ),
            Self::TooFewPoints { reachable } => format!(
                "The line needs more points than are allowed. Allow more, or a tolerance of {reachable:.2} mm; a corner in the \
                 tracing wants a corner in the line."
            ),
        }
    }
}

/// A faired line and how well it fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Faired {
    /// Its points, x rising.
    pub points: Vec<LinePoint>,
    /// The line through them, with the ends that were asked for.
    pub line: Line,
    /// Whether the tolerance holds.
    pub outcome: Outcome,
    /// Largest distance of a traced point, mm.
    pub worst: f64,
    /// That traced point, (x, value).
    pub worst_at: [f64; 2],
    /// The distance within which the asked share of the traced points lies, mm.
    pub within: f64,
    /// Root mean square distance, mm.
    pub rms: f64,
    /// How often the line changes the side to which it bends; fewer is fairer. Bends of less than a tenth of a degree do
    /// not count.
    pub inflections: usize,
}

/// Why there is no line. The text says what to do.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum FairError {
    /// Fewer than two different stations.
    #[error("A line needs traced points at two stations at least. Trace along the edge.")]
    TooFew,
    /// A coordinate is not a finite number.
    #[error("traced point {n} has a coordinate that is not a finite number", n = .0 + 1)]
    NotFinite(usize),
    /// A setting is out of its range.
    #[error("The {what} must be {range}.")]
    Setting {
        /// Which.
        what: &'static str,
        /// Its range.
        range: &'static str,
    },
    /// A corner or a fixed end that does not lie between its neighbours.
    #[error(
        "The corner or end at {0} mm does not lie between its neighbours. Corners lie between both ends of the line."
    )]
    Order(f64),
    /// More corners than points.
    #[error("Both ends and the corners are {needed} points already. Allow more points.")]
    TooManyCorners {
        /// Points that ends and corners need.
        needed: usize,
    },
}

/// The line with the fewest points that keeps the tolerance; where none does, the best that noise and the limit of points
/// allow, with its [`Outcome`]. Traced points may come in any order; ends that are not fixed lie at the first and last of them.
///
/// # Errors
/// What [`FairError`] lists.
pub fn fair(traced: &[TracedPoint], how: &Fairing) -> Result<Faired, FairError> {
    check(traced, how)?;
    let mut sorted = traced.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x));
    search::search(&sorted, how)
}

fn check(traced: &[TracedPoint], how: &Fairing) -> Result<(), FairError> {
    if let Some(i) = traced.iter().position(|p| !p.x.is_finite() || !p.value.is_finite()) {
        return Err(FairError::NotFinite(i));
    }
    let setting = |what, range, good: bool| if good { Ok(()) } else { Err(FairError::Setting { what, range }) };
    setting("tolerance", "more than 0 mm", how.tolerance > 0.0 && how.tolerance.is_finite())?;
    setting("share", "more than 0 and at most 1", how.share > 0.0 && how.share <= 1.0)?;
    setting("most points", "2 to 40", (2..=40).contains(&how.most_points))?;
    let fixed = [how.fixed_front, how.fixed_rear].into_iter().flatten();
    let slope = |p: &LinePoint| if let Pass::Slope(s) = p.pass { s.is_finite() && s.abs() < 90.0 } else { true };
    let usable = |p: LinePoint| p.x.is_finite() && p.value.is_finite() && slope(&p);
    setting("fixed end", "finite, its slope less than 90° either way", fixed.into_iter().all(usable))
}

#[cfg(test)]
mod tests;
