//! Where traced points seem to turn a corner; the builder decides whether it is one.

use super::TracedPoint;
use super::solve::solved;

/// A place at which the traced line seems to break.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundCorner {
    /// Where, mm.
    pub x: f64,
    /// By how much the line turns upwards, degrees.
    pub turn: f64,
    /// The break of slope in its own standard deviations.
    pub strength: f64,
}

/// A break that turns less than this is none, degrees.
const LEAST_TURN: f64 = 5.0;
/// A break weaker than this may be chance.
const LEAST_STRENGTH: f64 = 6.0;

/// A parabola through the points of one side: value and slope at the corner, and the variance of the slope in units of the
/// points' own.
struct Side {
    value: f64,
    slope: f64,
    slope_variance: f64,
    squares: f64,
    count: usize,
}

/// Corners of a traced line, x rising: where parabolas through the points before and behind meet with different slopes. Needs
/// five points on each side. A curve as tight as the points lie apart cannot be told from a corner.
pub fn find_corners(traced: &[TracedPoint]) -> Vec<FoundCorner> {
    let mut sorted: Vec<TracedPoint> =
        traced.iter().filter(|p| p.x.is_finite() && p.value.is_finite()).copied().collect();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x));
    let count = (sorted.len() / 8).clamp(5, 15);
    let last = sorted.len().saturating_sub(count);
    let all: Vec<FoundCorner> = (count..last.max(count)).filter_map(|i| corner(&sorted, i, count)).collect();
    let reach = |c: &FoundCorner| {
        let i = sorted.partition_point(|p| p.x < c.x);
        let (a, b) = (i.saturating_sub(count), (i + count).min(sorted.len() - 1));
        (sorted[a].x, sorted[b].x)
    };
    let stands = |c: &&FoundCorner| {
        let (low, high) = reach(c);
        all.iter().filter(|o| (low..=high).contains(&o.x)).all(|o| o.strength <= c.strength)
    };
    let clear = |c: &&FoundCorner| c.strength >= LEAST_STRENGTH && c.turn.abs() >= LEAST_TURN;
    let mut found: Vec<FoundCorner> = all.iter().filter(clear).filter(stands).copied().collect();
    found.dedup_by(|a, b| a.x == b.x);
    found
}

/// The break between point `i - 1` and point `i`.
fn corner(sorted: &[TracedPoint], i: usize, count: usize) -> Option<FoundCorner> {
    let x = 0.5 * (sorted[i - 1].x + sorted[i].x);
    let before = Side::new(&sorted[i - count..i], x)?;
    let after = Side::new(&sorted[i..i + count], x)?;
    let freedom = (before.count + after.count).checked_sub(6).filter(|f| *f > 0)?;
    let variance = ((before.squares + after.squares) / freedom as f64).max(1e-10);
    let turn = after.slope - before.slope;
    let strength = turn.abs() / (variance * (before.slope_variance + after.slope_variance)).sqrt();
    // The line itself does not jump, so both sides meet where their values agree.
    let meet = x - (after.value - before.value) / turn;
    let near = sorted[i.saturating_sub(3)].x..=sorted[(i + 2).min(sorted.len() - 1)].x;
    let degrees = after.slope.atan().to_degrees() - before.slope.atan().to_degrees();
    near.contains(&meet).then_some(FoundCorner { x: meet, turn: degrees, strength })
}

impl Side {
    fn new(points: &[TracedPoint], x: f64) -> Option<Self> {
        let span = points.last()?.x - points.first()?.x;
        let row = |p: &TracedPoint| {
            let t = (p.x - x) / span;
            [1.0, t, t * t]
        };
        let (mut normal, mut right) = (vec![0.0; 9], vec![0.0; 3]);
        for p in points {
            let r = row(p);
            for j in 0..3 {
                right[j] += r[j] * p.value;
                for k in 0..3 {
                    normal[3 * j + k] += r[j] * r[k];
                }
            }
        }
        let fit = solved(normal.clone(), right)?;
        let variance = solved(normal, vec![0.0, 1.0, 0.0])?[1];
        let off = |p: &TracedPoint| p.value - row(p).iter().zip(&fit).map(|(r, f)| r * f).sum::<f64>();
        let squares = points.iter().map(|p| off(p).powi(2)).sum();
        let slope_variance = variance / (span * span);
        Some(Self { value: fit[0], slope: fit[1] / span, slope_variance, squares, count: points.len() })
    }
}
