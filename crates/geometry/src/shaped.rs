//! A half section shaped by the builder in unit coordinates: points, and the kind of arc between neighbours.
//!
//! One guiding spline by chord length runs through the points between two breaks (crown, breadth, knuckles, keel). It gives
//! every smooth point its tangent; a cubic arc is its piece of that spline, a conic arc takes its end tangents from it.
//! At the breadth mark the tangent is upright unless a knuckle runs there; crown and keel leave the centre plane square
//! or, as a ridge, as the spline comes.

use crate::arc::{Arc, CubicArc};
use crate::conic::ConicArc;
use crate::control::{ControlShape, halves};
use crate::measured::{centre_rules, cubics};
use crate::spline::{EndRule, Parameter, Spline, SplineError};
use crate::superellipse::SuperellipticArc;
use thiserror::Error;

/// What a point of a shaped section is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShapedRole {
    /// Smooth.
    Smooth,
    /// The breadth mark.
    Breadth,
    /// The breadth mark with the knuckle of that number.
    BreadthKnuckle(u32),
    /// A knuckle.
    Knuckle(u32),
    /// A knuckle that is faded out here: corresponding, but smooth.
    Faded(u32),
}

/// The curve between two neighbouring points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShapedArc {
    /// Its piece of the guiding spline.
    Cubic,
    /// A conic of this fullness.
    Conic(f64),
    /// A superelliptic quarter of this exponent in the box of its points.
    Superelliptic(f64),
}

/// A shaped half section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaped<'a> {
    /// (u, v) from crown (0, 1) to keel (0, -1).
    pub points: &'a [[f64; 2]],
    /// What each point is; the first and last entry are not read.
    pub roles: &'a [ShapedRole],
    /// The arcs, one fewer than the points.
    pub arcs: &'a [ShapedArc],
    /// The section leaves the centre plane at an angle at the crown.
    pub crown_ridge: bool,
    /// The same at the keel.
    pub keel_ridge: bool,
}

/// Why a shaped section gives no curve.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ShapedError {
    /// Points, roles and arcs do not go together.
    #[error("a section needs points, one role each, and one arc fewer")]
    Uneven,
    /// There is not exactly one breadth mark between crown and keel.
    #[error("a section needs exactly one breadth mark")]
    Breadth,
    /// A coordinate is not a finite number.
    #[error("point {n} has a coordinate that is not a finite number", n = .0 + 1)]
    NotFinite(usize),
    /// Two neighbouring points coincide.
    #[error("points {a} and {b} coincide", a = .0 + 1, b = .0 + 2)]
    Coincident(usize),
}

/// The arcs of a shaped section.
#[derive(Clone, Debug)]
pub struct ShapedCurve {
    arcs: Vec<Arc>,
    breadth: usize,
    knuckles: Vec<(u32, usize)>,
    /// Arcs that were asked to be conics but whose end tangents no conic can join; they are cubics instead.
    pub not_conic: Vec<usize>,
}

impl ShapedCurve {
    /// The curve.
    ///
    /// # Errors
    /// Lists of unequal length, no or several breadth marks, coincident points, numbers that are not finite.
    pub fn new(shaped: &Shaped<'_>) -> Result<Self, ShapedError> {
        let n = shaped.points.len();
        if n < 3 || shaped.roles.len() != n || shaped.arcs.len() + 1 != n {
            return Err(ShapedError::Uneven);
        }
        let breadth = breadth_mark(shaped)?;
        let mut curve = Self { arcs: Vec::new(), breadth, knuckles: knuckles(shaped), not_conic: Vec::new() };
        let breaks = breaks(shaped, breadth);
        for w in breaks.windows(2) {
            curve.add_run(shaped, w[0], w[1])?;
        }
        Ok(curve)
    }

    /// The arcs in unit coordinates, crown to keel; arc i runs from point i to point i + 1.
    pub fn arcs(&self) -> &[Arc] {
        &self.arcs
    }

    /// The shape at its station.
    pub fn control_shape(&self, station: f64) -> ControlShape {
        let (upper, lower) = halves(&self.arcs, self.breadth, &self.knuckles);
        ControlShape { station, upper: Some(upper), lower: Some(lower) }
    }

    fn add_run(&mut self, shaped: &Shaped<'_>, from: usize, to: usize) -> Result<(), ShapedError> {
        let (start, end) = (self.end_rules(shaped, from), self.end_rules(shaped, to));
        let rules = std::array::from_fn(|k| [start[k], end[k]]);
        let spline = Spline::with_rules(&shaped.points[from..=to], Parameter::ChordLength, rules)
            .map_err(|e| located(e, from))?;
        for (i, cubic) in cubics(&spline).enumerate() {
            let arc = self.arc(shaped, from + i, &cubic);
            self.arcs.push(arc);
        }
        Ok(())
    }

    fn end_rules(&self, shaped: &Shaped<'_>, at: usize) -> [EndRule; 2] {
        if at == 0 {
            centre_rules(!shaped.crown_ridge)
        } else if at + 1 == shaped.points.len() {
            centre_rules(!shaped.keel_ridge)
        } else if at == self.breadth && shaped.roles[at] == ShapedRole::Breadth {
            [EndRule::Slope(0.0), EndRule::NotAKnot]
        } else {
            [EndRule::NotAKnot; 2]
        }
    }

    fn arc(&mut self, shaped: &Shaped<'_>, i: usize, cubic: &CubicArc) -> Arc {
        let (a, b) = (shaped.points[i], shaped.points[i + 1]);
        match shaped.arcs[i] {
            ShapedArc::Cubic => Arc::Cubic(*cubic),
            ShapedArc::Superelliptic(n) => Arc::Superelliptic(SuperellipticArc::in_box(a, b, i < self.breadth, n)),
            ShapedArc::Conic(rho) => {
                let (along_a, along_b) = (cubic.jet(0.0).d1, cubic.jet(1.0).d1);
                let conic = ConicArc::from_tangents(a, along_a, b, along_b, rho);
                conic.map_or_else(
                    || {
                        self.not_conic.push(i);
                        Arc::Cubic(*cubic)
                    },
                    Arc::Conic,
                )
            }
        }
    }
}

fn breadth_mark(shaped: &Shaped<'_>) -> Result<usize, ShapedError> {
    let last = shaped.points.len() - 1;
    if let Some(i) = shaped.points.iter().position(|p| !p[0].is_finite() || !p[1].is_finite()) {
        return Err(ShapedError::NotFinite(i));
    }
    let is_mark = |r: &ShapedRole| matches!(r, ShapedRole::Breadth | ShapedRole::BreadthKnuckle(_));
    let mut marks = (1..last).filter(|&i| is_mark(&shaped.roles[i]));
    match (marks.next(), marks.next()) {
        (Some(i), None) => Ok(i),
        _ => Err(ShapedError::Breadth),
    }
}

fn knuckles(shaped: &Shaped<'_>) -> Vec<(u32, usize)> {
    let number = |r: &ShapedRole| match r {
        ShapedRole::Knuckle(n) | ShapedRole::Faded(n) | ShapedRole::BreadthKnuckle(n) => Some(*n),
        ShapedRole::Smooth | ShapedRole::Breadth => None,
    };
    let last = shaped.points.len() - 1;
    (1..last).filter_map(|i| number(&shaped.roles[i]).map(|n| (n, i))).collect()
}

/// Points at which one guiding spline ends and the next begins.
fn breaks(shaped: &Shaped<'_>, breadth: usize) -> Vec<usize> {
    let last = shaped.points.len() - 1;
    let inner = (1..last).filter(|&i| i == breadth || matches!(shaped.roles[i], ShapedRole::Knuckle(_)));
    std::iter::once(0).chain(inner).chain([last]).collect()
}

fn located(e: SplineError, by: usize) -> ShapedError {
    match e {
        SplineError::TooFew { .. } => ShapedError::Uneven,
        SplineError::Coincident(i) => ShapedError::Coincident(i + by),
        SplineError::NotFinite(i) => ShapedError::NotFinite(i + by),
    }
}
