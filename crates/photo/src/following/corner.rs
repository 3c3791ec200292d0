//! Where two runs of an edge meet at a corner.

use super::curve::distance;
use super::{Doubt, EdgePoint, Following};

/// Points of each side that show which way it goes.
const SIDE: usize = 8;
/// Sides that meet at less than this are no corner, as a sine (about 6°).
const LEAST_TURN: f64 = 0.1;

/// Adds the next run. Points so near to the corner that the filter sees its other side give way to the corner itself, or are
/// marked where it cannot be made out.
pub(super) fn join(points: &mut Vec<EdgePoint>, mut next: Vec<EdgePoint>, how: &Following) {
    let (Some(end), Some(begin)) = (points.last(), next.first()) else {
        points.append(&mut next);
        return;
    };
    let rough = [0, 1].map(|k| 0.5 * (end.pixel[k] + begin.pixel[k]));
    let disturbed = 3.5 * how.scale;
    let usable = |p: &&EdgePoint| p.doubt.is_none() && distance(p.pixel, rough) > disturbed;
    let before: Vec<EdgePoint> = points.iter().rev().filter(usable).take(SIDE).copied().collect();
    let after: Vec<EdgePoint> = next.iter().filter(usable).take(SIDE).copied().collect();
    let corner = meeting(&before, &after, rough).filter(|c| distance(c.pixel, rough) <= how.half_width);
    let middle = corner.map_or(rough, |c| c.pixel);
    let near = |p: &EdgePoint| distance(p.pixel, middle) <= disturbed;
    if let Some(corner) = corner {
        points.retain(|p| !near(p));
        next.retain(|p| !near(p));
        points.push(corner);
    } else {
        points.iter_mut().chain(&mut next).filter(|p| near(p)).for_each(|p| p.doubt = Some(Doubt::AtCorner));
    }
    points.append(&mut next);
}

/// A side as a parabola over its own direction: place, direction, and bend.
struct Side {
    origin: [f64; 2],
    along: [f64; 2],
    /// Offset, slope and half the second derivative.
    shape: [f64; 3],
}

impl Side {
    /// From its points, nearest to the corner first.
    fn new(points: &[EdgePoint]) -> Option<Self> {
        let (near, far) = (points.first()?.pixel, points.last()?.pixel);
        let length = distance(near, far);
        if points.len() < 3 || length <= 0.0 {
            return None;
        }
        let along = [0, 1].map(|k| (near[k] - far[k]) / length);
        let local = |p: &EdgePoint| {
            let d = [p.pixel[0] - near[0], p.pixel[1] - near[1]];
            [d[0] * along[0] + d[1] * along[1], d[1] * along[0] - d[0] * along[1]]
        };
        let (mut m, mut r) = (nalgebra::Matrix3::zeros(), nalgebra::Vector3::zeros());
        for [u, v] in points.iter().map(local) {
            let row = nalgebra::Vector3::new(1.0, u, u * u);
            m += row * row.transpose();
            r += row * v;
        }
        let shape = m.cholesky()?.solve(&r);
        Some(Self { origin: near, along, shape: shape.into() })
    }

    fn at(&self, u: f64) -> ([f64; 2], [f64; 2]) {
        let [a, b, c] = self.shape;
        let (v, slope) = (a + u * (b + u * c), b + 2.0 * u * c);
        let [p, q] = self.along;
        ([self.origin[0] + u * p - v * q, self.origin[1] + u * q + v * p], [p - slope * q, q + slope * p])
    }
}

/// The place where both sides meet, by Newton's method on their two parameters.
fn meeting(before: &[EdgePoint], after: &[EdgePoint], rough: [f64; 2]) -> Option<EdgePoint> {
    let (a, b) = (Side::new(before)?, Side::new(after)?);
    let start = |s: &Side| (rough[0] - s.origin[0]) * s.along[0] + (rough[1] - s.origin[1]) * s.along[1];
    let (mut u, mut w) = (start(&a), start(&b));
    for _ in 0..20 {
        let ((p, dp), (q, dq)) = (a.at(u), b.at(w));
        let turn = dp[0] * dq[1] - dp[1] * dq[0];
        if turn.abs() < LEAST_TURN * dp[0].hypot(dp[1]) * dq[0].hypot(dq[1]) {
            return None;
        }
        let miss = [q[0] - p[0], q[1] - p[1]];
        u += (miss[0] * dq[1] - miss[1] * dq[0]) / turn;
        w += (miss[0] * dp[1] - miss[1] * dp[0]) / turn;
    }
    let ((pixel, dp), (other, dq)) = (a.at(u), b.at(w));
    let sine = (dp[0] * dq[1] - dp[1] * dq[0]) / (dp[0].hypot(dp[1]) * dq[0].hypot(dq[1]));
    let (left, right) = (before.first()?, after.first()?);
    (distance(pixel, other) < 1e-3).then(|| EdgePoint {
        pixel,
        strength: left.strength.min(right.strength),
        signal_to_noise: left.signal_to_noise.min(right.signal_to_noise),
        deviation: left.deviation.hypot(right.deviation) / sine.abs(),
        doubt: None,
    })
}
