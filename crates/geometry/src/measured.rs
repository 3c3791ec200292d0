//! A half section through measured points, in mm: the curve itself, and what it gives to a loft.
//!
//! Between knuckles the points are joined by one cubic spline by chord length. At a centre plane that is crossed square
//! the spline is that of the mirrored, closed section: y odd (no second derivative), z even (no first derivative). At a
//! knuckle or a ridge the end is not-a-knot. The breadth mark is the widest place of this curve, found exactly; the
//! cubic is divided there, so that the unit shape is the measured curve itself, mapped, and not a second fit.

use crate::arc::{Arc, CubicArc};
use crate::control::{ControlShape, HalfChain, halves};
use crate::spline::{EndRule, Parameter, Spline, SplineError};
use thiserror::Error;

/// Measured points of a half section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured<'a> {
    /// (half-breadth, height) in mm, from crown to keel.
    pub points: &'a [[f64; 2]],
    /// (number, index into `points`) of the knuckles, in order along the section.
    pub knuckles: &'a [(u32, usize)],
    /// The section leaves the centre plane at an angle at the crown.
    pub crown_ridge: bool,
    /// The same at the keel.
    pub keel_ridge: bool,
    /// The point that is the breadth mark; `None` takes the widest place of the curve.
    pub breadth_point: Option<usize>,
}

/// Why no curve can be laid through measured points.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MeasuredError {
    /// Fewer than two points.
    #[error("a measured section needs at least two points")]
    TooFew,
    /// A coordinate is not a finite number.
    #[error("point {n} has a coordinate that is not a finite number", n = .0 + 1)]
    NotFinite(usize),
    /// Two neighbouring points coincide.
    #[error("points {a} and {b} coincide; a knuckle is marked, not doubled", a = .0 + 1, b = .0 + 2)]
    Coincident(usize),
}

/// The curve through measured points, crown to keel, divided at its breadth mark.
#[derive(Clone, Debug)]
pub struct MeasuredCurve {
    arcs: Vec<CubicArc>,
    /// The breadth mark lies before this arc.
    breadth: usize,
    knuckles: Vec<(u32, usize)>,
    point_count: usize,
    /// Height at which the curve leaves the centre plane at the top, mm.
    pub crown: f64,
    /// Height at which it comes back, mm.
    pub keel: f64,
    /// Half-breadth of the breadth mark, mm.
    pub half_breadth: f64,
    /// Height of the breadth mark, mm.
    pub breadth_height: f64,
}

/// Below this, in mm, a half has no height and a section no breadth.
pub const NOTHING: f64 = 1e-9;

impl MeasuredCurve {
    /// The curve through the points.
    ///
    /// # Errors
    /// Too few points, coincident neighbours, coordinates that are not finite.
    pub fn new(measured: &Measured<'_>) -> Result<Self, MeasuredError> {
        let points = measured.points;
        if points.len() < 2 {
            return Err(MeasuredError::TooFew);
        }
        let arcs = spline_arcs(measured)?;
        let at = widest(&arcs, points, measured.breadth_point);
        let (arcs, breadth, shift) = divide(arcs, at);
        let knuckles =
            measured.knuckles.iter().map(|&(n, i)| (n, if i > breadth - shift { i + shift } else { i })).collect();
        let mark = arcs.get(breadth).map_or_else(|| points[points.len() - 1], |a| a.jet(0.0).p);
        Ok(Self {
            arcs,
            breadth,
            knuckles,
            point_count: points.len(),
            crown: points[0][1],
            keel: points[points.len() - 1][1],
            half_breadth: mark[0],
            breadth_height: mark[1],
        })
    }

    /// The point before which the breadth mark lies, and whether the mark is that point itself.
    pub fn breadth_mark(&self) -> (usize, bool) {
        (self.breadth, self.arcs.len() + 1 == self.point_count)
    }

    /// The arcs in mm, crown to keel.
    pub fn arcs(&self) -> &[CubicArc] {
        &self.arcs
    }

    /// The curve in unit coordinates; a section without breadth or height gives no half at all.
    pub fn control_shape(&self, station: f64) -> ControlShape {
        let (above, below) = (self.crown - self.breadth_height, self.breadth_height - self.keel);
        let scale = |height: f64| {
            let k = [1.0 / self.half_breadth, 1.0 / height];
            move |a: &CubicArc| Arc::Cubic(a.mapped(k, [0.0, -self.breadth_height * k[1]]))
        };
        let flat = |h: f64| h.abs() <= NOTHING;
        if self.half_breadth <= NOTHING || (flat(above) && flat(below)) {
            return ControlShape { station, upper: None, lower: None };
        }
        let unit_height = |h: f64| if flat(h) { 1.0 } else { h };
        let upper = self.arcs[..self.breadth].iter().map(scale(unit_height(above)));
        let lower = self.arcs[self.breadth..].iter().map(scale(unit_height(below)));
        let arcs: Vec<Arc> = upper.chain(lower).collect();
        let (upper, lower) = halves(&arcs, self.breadth, &self.knuckles);
        let there = |h: f64, half: HalfChain| (!flat(h)).then_some(half);
        ControlShape { station, upper: there(above, upper), lower: there(below, lower) }
    }
}

/// The splines between knuckles, as one list of cubics, one for each pair of neighbouring points.
fn spline_arcs(measured: &Measured<'_>) -> Result<Vec<CubicArc>, MeasuredError> {
    let points = measured.points;
    let last = points.len() - 1;
    let inner = measured.knuckles.iter().map(|k| k.1).filter(|&i| i > 0 && i < last);
    let breaks: Vec<usize> = std::iter::once(0).chain(inner).chain([last]).collect();
    let mut arcs = Vec::with_capacity(last);
    for w in breaks.windows(2) {
        let start = centre_rules(w[0] == 0 && !measured.crown_ridge);
        let end = centre_rules(w[1] == last && !measured.keel_ridge);
        let rules = std::array::from_fn(|k| [start[k], end[k]]);
        let spline = Spline::with_rules(&points[w[0]..=w[1]], Parameter::ChordLength, rules);
        arcs.extend(cubics(&spline.map_err(|e| shifted(e, w[0]))?));
    }
    Ok(arcs)
}

/// End rules of y and z where the curve meets the centre plane square, or ends freely.
pub(crate) fn centre_rules(square: bool) -> [EndRule; 2] {
    if square { [EndRule::Natural, EndRule::Slope(0.0)] } else { [EndRule::NotAKnot; 2] }
}

/// The bays of a spline as cubics.
pub(crate) fn cubics(spline: &Spline<2>) -> impl Iterator<Item = CubicArc> + '_ {
    (0..spline.points().len() - 1).map(|i| {
        let h = spline.knots()[i + 1] - spline.knots()[i];
        let d = |j: usize| spline.slopes()[j].map(|m| m * h);
        CubicArc::hermite(spline.points()[i], d(i), spline.points()[i + 1], d(i + 1))
    })
}

fn shifted(e: SplineError, by: usize) -> MeasuredError {
    match e {
        SplineError::TooFew { .. } => MeasuredError::TooFew,
        SplineError::Coincident(i) => MeasuredError::Coincident(i + by),
        SplineError::NotFinite(i) => MeasuredError::NotFinite(i + by),
    }
}

/// Where a curve is to be divided.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Division {
    /// Before this arc (the number of arcs: at the very end).
    Before(usize),
    /// Inside this arc, at this parameter.
    Inside(usize, f64),
}

/// The widest place. On a flat side (points of the same greatest half-breadth) it is the middle of the flat.
fn widest(arcs: &[CubicArc], points: &[[f64; 2]], chosen: Option<usize>) -> Division {
    if let Some(i) = chosen {
        return Division::Before(i.min(arcs.len()));
    }
    let greatest = points.iter().fold(0.0, |m: f64, p| m.max(p[0]));
    let slack = 1e-9 * greatest;
    let (mut best, mut place) = (f64::NEG_INFINITY, Division::Before(0));
    for (i, arc) in arcs.iter().enumerate() {
        for t in arc.stationary(0) {
            let y = arc.jet(t).p[0];
            if y > best.max(greatest + slack) {
                (best, place) = (y, Division::Inside(i, t));
            }
        }
    }
    if best > greatest + slack && !is_side_flat(points, greatest) {
        return place;
    }
    let flat: Vec<usize> = (0..points.len()).filter(|&i| points[i][0] >= greatest - slack).collect();
    middle_of(&flat, arcs)
}

/// Whether two neighbouring points share the greatest half-breadth: a wall side, on which the spline's own ripple must
/// not choose the mark.
fn is_side_flat(points: &[[f64; 2]], greatest: f64) -> bool {
    let at = |p: &[f64; 2]| p[0] >= greatest * (1.0 - 1e-9);
    points.windows(2).any(|w| at(&w[0]) && at(&w[1]))
}

/// The middle of the points `flat`: the middle one, or the middle of the arc between the two middle ones.
fn middle_of(flat: &[usize], arcs: &[CubicArc]) -> Division {
    let (first, last) = (flat.first().copied().unwrap_or(0), flat.last().copied().unwrap_or(0));
    if (first + last) % 2 == 0 || first == arcs.len() {
        Division::Before(usize::midpoint(first, last))
    } else {
        Division::Inside(usize::midpoint(first, last), 0.5)
    }
}

/// The arcs divided there, the number of the arc that follows the division, and how many arcs were added.
fn divide(mut arcs: Vec<CubicArc>, at: Division) -> (Vec<CubicArc>, usize, usize) {
    match at {
        Division::Before(i) => (arcs, i, 0),
        Division::Inside(i, t) => {
            let (a, b) = (arcs[i].part(0.0, t), arcs[i].part(t, 1.0));
            arcs.splice(i..=i, [a, b]);
            (arcs, i + 1, 1)
        }
    }
}
