//! A line whose points are not decided yet, and what of them is free.

use super::{FairError, Fairing, TracedPoint};
use crate::line::{CombTooth, Line, LineEnd, LinePoint, Pass};
use std::cmp::Ordering;

/// A point of the line under trial.
#[derive(Clone, Copy, Debug)]
pub(super) struct Knot {
    pub(super) point: LinePoint,
    /// Whether its x is sought.
    pub(super) x_free: bool,
    /// Whether its value is sought.
    pub(super) value_free: bool,
}

/// A line under trial.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub(super) knots: Vec<Knot>,
    pub(super) ends: [LineEnd; 2],
}

/// Points of the line keep this share of its length from each other at least.
const LEAST_GAP: f64 = 0.004;
/// No step of a fit takes a point further than this share of the way to a neighbour.
const MOST_OF_GAP: f64 = 0.45;

impl Shape {
    /// Ends and corners alone.
    pub(super) fn start(sorted: &[TracedPoint], how: &Fairing) -> Result<Self, FairError> {
        let (Some(first), Some(last)) = (sorted.first(), sorted.last()) else { return Err(FairError::TooFew) };
        if first.x >= last.x {
            return Err(FairError::TooFew);
        }
        let near = |x: f64| {
            let i = sorted.partition_point(|p| p.x < x).min(sorted.len() - 1);
            sorted[i].value
        };
        let end = |fixed: Option<LinePoint>, traced: &TracedPoint, end: LineEnd| match fixed {
            Some(point) => {
                let pass = if matches!(point.pass, Pass::Slope(_)) { point.pass } else { Pass::Smooth };
                Knot { point: LinePoint { pass, ..point }, x_free: false, value_free: false }
            }
            None => {
                let point = LinePoint { x: traced.x, value: traced.value, pass: Pass::Smooth };
                Knot { point, x_free: end == LineEnd::Upright, value_free: true }
            }
        };
        let mut corners = how.corners.clone();
        corners.sort_by(f64::total_cmp);
        let mut knots = vec![end(how.fixed_front, first, how.front)];
        knots.extend(corners.into_iter().map(|x| {
            let point = LinePoint { x, value: near(x), pass: Pass::Corner };
            Knot { point, x_free: false, value_free: true }
        }));
        knots.push(end(how.fixed_rear, last, how.rear));
        let shape = Self { knots, ends: [how.front, how.rear] };
        let rises = |w: &&[Knot]| w[1].point.x.partial_cmp(&w[0].point.x) == Some(Ordering::Greater);
        match shape.knots.windows(2).find(|w| !rises(w)) {
            Some(w) => Err(FairError::Order(w[1].point.x)),
            None if shape.knots.len() > how.most_points => Err(FairError::TooManyCorners { needed: shape.knots.len() }),
            None => Ok(shape),
        }
    }

    pub(super) fn points(&self) -> Vec<LinePoint> {
        self.knots.iter().map(|k| k.point).collect()
    }

    /// The line, unless its points come too near to each other or it turns back.
    pub(super) fn line(&self) -> Option<Line> {
        let points = self.points();
        let gap = LEAST_GAP * (points.last()?.x - points.first()?.x);
        if points.windows(2).any(|w| w[1].x - w[0].x < gap) {
            return None;
        }
        Line::new(&points, self.ends[0], self.ends[1]).ok().filter(|line| line.turns_back().is_none())
    }

    /// How many numbers are sought.
    pub(super) fn unknowns(&self) -> usize {
        self.knots.iter().map(|k| usize::from(k.x_free) + usize::from(k.value_free)).sum()
    }

    /// The shape moved by a step, one number for each unknown: values and places in the order of the points.
    pub(super) fn moved(&self, step: &[f64]) -> Self {
        let mut shape = self.clone();
        let mut step = step.iter();
        for knot in &mut shape.knots {
            if knot.x_free {
                knot.point.x += step.next().copied().unwrap_or(0.0);
            }
            if knot.value_free {
                knot.point.value += step.next().copied().unwrap_or(0.0);
            }
        }
        shape
    }

    /// A step that takes no point along x past half the way to a neighbour. On a nearly straight line a point's place
    /// hardly matters, so a fit would send it far beyond its neighbours, where there is no line, and stop at once.
    pub(super) fn held(&self, mut step: Vec<f64>) -> Vec<f64> {
        let gap = |i: usize| self.knots.get(i..i + 2).map(|w| MOST_OF_GAP * (w[1].point.x - w[0].point.x));
        let mut unknown = 0;
        for (i, knot) in self.knots.iter().enumerate() {
            if knot.x_free {
                // An end may go out as far as in.
                let (before, after) = (i.checked_sub(1).and_then(gap), gap(i));
                let (low, high) = (before.or(after).unwrap_or(0.0), after.or(before).unwrap_or(0.0));
                if let Some(along) = step.get_mut(unknown) {
                    *along = along.max(-low).min(high);
                }
                unknown += 1;
            }
            unknown += usize::from(knot.value_free);
        }
        step
    }

    /// With one more smooth point on the line, in a bay; where that begins or ends upright, nearer to the upright end.
    pub(super) fn with_point(&self, bay: usize) -> Option<Self> {
        let line = self.line()?;
        let (a, b) = (self.knots[bay].point.x, self.knots[bay + 1].point.x);
        let upright =
            |front: bool| line.is_upright(front) && if front { bay == 0 } else { bay + 2 == self.knots.len() };
        let share = match (upright(true), upright(false)) {
            (true, false) => 0.25,
            (false, true) => 0.75,
            _ => 0.5,
        };
        let x = a + share * (b - a);
        let mut shape = self.clone();
        let point = LinePoint { x, value: line.at(x).value, pass: Pass::Smooth };
        shape.knots.insert(bay + 1, Knot { point, x_free: true, value_free: true });
        Some(shape)
    }

    /// Without an inner point that is no corner.
    pub(super) fn without(&self, i: usize) -> Option<Self> {
        let mut shape = self.clone();
        (i > 0 && i + 1 < shape.knots.len() && shape.knots[i].x_free).then(|| {
            shape.knots.remove(i);
            shape
        })
    }
}

/// Teeth of the comb in every bay, by which bends are told.
const TEETH: usize = 16;
/// A bend that turns less than this is none, radians (a tenth of a degree).
const LEAST_BEND: f64 = 0.001_745;

/// How often a line changes the side to which it bends.
pub(super) fn inflections(line: &Line) -> usize {
    let comb = line.comb(TEETH);
    let (mut sides, mut turn) = (Vec::new(), 0.0_f64);
    let turned = |w: &[CombTooth]| {
        let chord = (w[1].at[0] - w[0].at[0]).hypot(w[1].at[1] - w[0].at[1]);
        0.5 * (w[0].curvature + w[1].curvature) * chord
    };
    for bend in comb.windows(2).map(turned).chain([0.0]) {
        if bend == 0.0 || bend.signum() != turn.signum() {
            if turn.abs() > LEAST_BEND {
                sides.push(turn > 0.0);
            }
            turn = bend;
        } else {
            turn += bend;
        }
    }
    sides.dedup();
    sides.len().saturating_sub(1)
}
