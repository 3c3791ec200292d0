//! A half section through measured points, in mm: the curve itself, and what it gives to a loft.
//!
//! Between knuckles the points are joined by one cubic spline by chord length. At a centre plane that is crossed square
//! the spline is that of the mirrored, closed section: y odd (no second derivative), z even (no first derivative). At a
//! knuckle or a ridge the end is not-a-knot. The breadth mark is a place of this curve, the middle of what is nearly widest;
//! the cubic is divided there, so that the unit shape is the measured curve itself, mapped, and not a second fit.

use crate::arc::{Arc, CubicArc};
use crate::control::{ControlShape, HalfChain, halves};
use crate::quadrature::gauss8;
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
    /// The point that is the breadth mark; `None` takes the middle of what is nearly widest.
    pub breadth_point: Option<usize>,
    /// Where there is no such point: the share of the girth, from the crown, at which the breadth mark lies.
    pub breadth_girth: Option<f64>,
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
        let at = breadth_mark(&arcs, measured);
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

    /// The share of the half section's length, from the crown, at which the breadth mark lies.
    pub fn breadth_girth(&self) -> f64 {
        let length = |arcs: &[CubicArc]| arcs.iter().map(|a| length(a, 1.0)).sum::<f64>();
        length(&self.arcs[..self.breadth]) / length(&self.arcs)
    }

    /// Half-breadth at a share of the half section's length, mm.
    pub fn half_breadth_at(&self, share: f64) -> f64 {
        let ruler = Ruler::new(&self.arcs);
        ruler.half_breadth(ruler.division(share.clamp(0.0, 1.0) * ruler.length()))
    }

    /// Greatest half-breadth of the curve, mm.
    pub fn greatest_half_breadth(&self) -> f64 {
        let (arc, t) = Ruler::new(&self.arcs).widest();
        self.arcs[arc].jet(t).p[0]
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

/// How far below the greatest half-breadth, as a share of it, the curve still counts as widest.
///
/// A side that is nearly flat has no widest place worth the name: noise or a slight lean moves it from one end of the side
/// to the other, and what corresponds along the body would jump with it. The middle of all that is nearly widest moves
/// smoothly; on a curved side it is the widest place itself, but for what the curvature differs above and below.
const NEARLY_WIDEST: f64 = 0.02;

/// The breadth mark: the chosen point, else the knuckle that is (nearly) widest if there is just one, else the middle of the
/// nearly widest stretch by its length.
fn breadth_mark(arcs: &[CubicArc], measured: &Measured<'_>) -> Division {
    let ruler = Ruler::new(arcs);
    let point = measured.breadth_point.map(|i| Division::Before(i.min(arcs.len())));
    let girth = measured.breadth_girth.map(|share| ruler.division(share.clamp(0.0, 1.0) * ruler.length()));
    // A mark without breadth would leave nothing to hold the section by.
    if let Some(chosen) = point.or(girth).filter(|at| ruler.half_breadth(*at) > NOTHING) {
        return chosen;
    }
    let (from, to) = ruler.widest_stretch();
    let at_knuckles: Vec<usize> = measured
        .knuckles
        .iter()
        .map(|k| k.1)
        .filter(|&i| (from - 1e-9..=to + 1e-9).contains(&ruler.length_to(i)))
        .collect();
    match at_knuckles[..] {
        [] => ruler.division(0.5 * (from + to)),
        [only] => Division::Before(only),
        [first, .., last] => ruler.division(0.5 * (ruler.length_to(first) + ruler.length_to(last))),
    }
}

/// The curve by its length.
struct Ruler<'a> {
    arcs: &'a [CubicArc],
    /// Length up to the start of each arc, and the whole length.
    starts: Vec<f64>,
}

impl<'a> Ruler<'a> {
    fn new(arcs: &'a [CubicArc]) -> Self {
        let mut starts = vec![0.0];
        let mut sum = 0.0;
        for arc in arcs {
            sum += length(arc, 1.0);
            starts.push(sum);
        }
        Self { arcs, starts }
    }

    fn length(&self) -> f64 {
        self.length_to(self.arcs.len())
    }

    fn length_to(&self, arc: usize) -> f64 {
        self.starts[arc.min(self.starts.len() - 1)]
    }

    fn half_breadth(&self, at: Division) -> f64 {
        match at {
            Division::Before(i) if i == self.arcs.len() => self.arcs[i - 1].jet(1.0).p[0],
            Division::Before(i) => self.arcs[i].jet(0.0).p[0],
            Division::Inside(i, t) => self.arcs[i].jet(t).p[0],
        }
    }

    /// The stretch about the widest place in which the curve is nearly as wide, as lengths.
    fn widest_stretch(&self) -> (f64, f64) {
        let (arc, t) = self.widest();
        let enough = (1.0 - NEARLY_WIDEST) * self.arcs[arc].jet(t).p[0];
        (self.end_of_stretch((arc, t), enough, false), self.end_of_stretch((arc, t), enough, true))
    }

    /// The widest place of all.
    fn widest(&self) -> (usize, f64) {
        let places =
            self.arcs.iter().enumerate().flat_map(|(i, arc)| arc.stationary(0).chain([0.0, 1.0]).map(move |t| (i, t)));
        let wider = |a: (usize, f64), b: (usize, f64)| {
            let y = |p: (usize, f64)| self.arcs[p.0].jet(p.1).p[0];
            if y(b) > y(a) { b } else { a }
        };
        places.reduce(wider).unwrap_or((0, 0.0))
    }

    /// The length at which the curve, followed from a place down or up, becomes narrower than `enough`.
    fn end_of_stretch(&self, (arc, t): (usize, f64), enough: f64, forward: bool) -> f64 {
        let last = self.arcs.len() - 1;
        let (mut i, mut from) = (arc, t);
        loop {
            let to = if forward { 1.0 } else { 0.0 };
            if let Some(t) = first_below(&self.arcs[i], from, to, enough) {
                return self.starts[i] + length(&self.arcs[i], t);
            }
            if (forward && i == last) || (!forward && i == 0) {
                return if forward { self.length() } else { 0.0 };
            }
            i = if forward { i + 1 } else { i - 1 };
            from = 1.0 - to;
        }
    }

    /// The division of the curve at a length.
    fn division(&self, s: f64) -> Division {
        let i = self.starts.partition_point(|start| *start <= s).clamp(1, self.arcs.len()) - 1;
        let own = s - self.starts[i];
        let whole = self.starts[i + 1] - self.starts[i];
        let at_end = 1e-9 * self.length();
        if own <= at_end {
            return Division::Before(i);
        }
        if whole - own <= at_end {
            return Division::Before(i + 1);
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let t = 0.5 * (low + high);
            if length(&self.arcs[i], t) < own { low = t } else { high = t }
        }
        Division::Inside(i, 0.5 * (low + high))
    }
}

/// Length of a cubic from its start to `t`.
fn length(arc: &CubicArc, t: f64) -> f64 {
    let speed = |t: f64| {
        let d = arc.jet(t).d1;
        d[0].hypot(d[1])
    };
    gauss8().integrate(0.0, t, speed)
}

/// The first parameter on the way from `from` to `to` at which the arc is narrower than `enough`.
fn first_below(arc: &CubicArc, from: f64, to: f64, enough: f64) -> Option<f64> {
    const STEPS: u32 = 8;
    let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(STEPS);
    let is_below = |t: f64| arc.jet(t).p[0] < enough;
    let i = (1..=STEPS).find(|&i| is_below(at(i)))?;
    let (mut inside, mut outside) = (at(i - 1), at(i));
    for _ in 0..50 {
        let t = 0.5 * (inside + outside);
        if is_below(t) { outside = t } else { inside = t }
    }
    Some(0.5 * (inside + outside))
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
