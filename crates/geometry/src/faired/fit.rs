//! A shape fitted to traced points by least squares of their distances.

use super::TracedPoint;
use super::shape::Shape;
use super::solve::solved;
use crate::line::{Line, LineEnd, Place};

/// Traced points with their weights.
pub(super) struct Data {
    pub(super) points: Vec<TracedPoint>,
    weights: Vec<f64>,
    /// Far points hardly pull.
    robust: bool,
}

/// Where a line rises or falls more steeply than this, distances are taken to the nearest place and not to first order.
const STEEP: f64 = 0.7;

/// The place of a line that a traced point belongs to.
struct Foot {
    place: Place,
    at: [f64; 2],
    /// To the left of the way aft.
    normal: [f64; 2],
}

impl Foot {
    fn new(line: &Line, p: &TracedPoint) -> Self {
        let (low, high) = line.range();
        let over = line.place_at(p.x);
        let at = line.point_of(over);
        let slope = line.at(at[0]).slope;
        if slope.abs() <= STEEP && (low..=high).contains(&p.x) {
            return Self { place: over, at, normal: normal(slope) };
        }
        let place = line.place_nearest([p.x, p.value]);
        let at = line.point_of(place);
        let apart = [p.x - at[0], p.value - at[1]];
        let upright = normal(line.at(at[0]).slope);
        // Beyond an end the way to the point is not square to the line.
        let length = apart[0].hypot(apart[1]);
        let side = (apart[0] * upright[0] + apart[1] * upright[1]).signum();
        let normal = if length > 1e-9 { apart.map(|c| side * c / length) } else { upright };
        Self { place, at, normal }
    }

    fn distance(&self, p: &TracedPoint) -> f64 {
        (p.x - self.at[0]) * self.normal[0] + (p.value - self.at[1]) * self.normal[1]
    }
}

fn normal(slope: f64) -> [f64; 2] {
    let length = slope.hypot(1.0);
    [-slope / length, 1.0 / length]
}

/// Signed distance of a traced point from a line, mm: to first order square to the line, to the nearest place where it is
/// steep or ends.
pub(super) fn distance(line: &Line, p: &TracedPoint) -> f64 {
    Foot::new(line, p).distance(p)
}

impl Data {
    pub(super) fn new(points: Vec<TracedPoint>, robust: bool) -> Self {
        let mut known: Vec<f64> = points.iter().map(|p| p.deviation).filter(|d| *d > 0.0 && d.is_finite()).collect();
        known.sort_by(f64::total_cmp);
        let usual = known.get(known.len() / 2).copied().unwrap_or(1.0);
        // One very sure point must not outweigh a hundred.
        let weight = |p: &TracedPoint| if p.deviation > 0.0 { (usual / p.deviation).clamp(0.05, 3.0) } else { 1.0 };
        let weights = points.iter().map(weight).collect();
        Self { points, weights, robust }
    }

    /// Weighted distances; `None` for a shape that is no line.
    fn residuals(&self, shape: &Shape) -> Option<Vec<f64>> {
        let line = shape.line()?;
        Some(self.points.iter().zip(&self.weights).map(|(p, w)| w * distance(&line, p)).collect())
    }

    /// Sum of squares of a shape.
    pub(super) fn squares(&self, shape: &Shape) -> f64 {
        self.residuals(shape).map_or(f64::INFINITY, |r| r.iter().map(|r| r * r).sum())
    }

    /// The shape that fits best, from one nearby, in so many steps at most.
    pub(super) fn fitted(&self, shape: &Shape, steps: usize) -> Shape {
        let Some(mut residuals) = self.residuals(shape) else { return shape.clone() };
        let (mut best, mut damping) = (shape.clone(), 1e-3);
        for _ in 0..steps {
            let pull = self.pulls(&residuals);
            let cost = cost(&residuals, &pull);
            let Some((next, moved, less)) = self.step(&best, &residuals, &pull, cost, &mut damping) else { break };
            (best, residuals) = (next, moved);
            if less < 1e-4 * cost {
                break;
            }
        }
        best
    }

    /// One step downhill: the shape, its residuals, and how much it gained.
    fn step(
        &self,
        shape: &Shape,
        residuals: &[f64],
        pull: &[f64],
        cost_before: f64,
        damping: &mut f64,
    ) -> Option<(Shape, Vec<f64>, f64)> {
        let n = shape.unknowns();
        let columns = self.derivatives(shape)?;
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).zip(pull).map(|((a, b), w)| w * a * b).sum::<f64>();
        let mut normal = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                normal[i * n + j] = dot(&columns[i], &columns[j]);
                normal[j * n + i] = normal[i * n + j];
            }
        }
        let right: Vec<f64> = columns.iter().map(|c| -dot(c, residuals)).collect();
        // Free steps reach further where they lead anywhere; from the level between upright ends they lead astray.
        let upright = shape.ends.contains(&LineEnd::Upright);
        for held in [[upright; 6], [true; 6]].into_iter().flatten() {
            let mut damped = normal.clone();
            for i in 0..n {
                damped[i * n + i] *= 1.0 + *damping;
                damped[i * n + i] += 1e-9;
            }
            let step = solved(damped, right.clone())?;
            let next = shape.moved(&if held { shape.held(step) } else { step });
            if let Some(moved) = self.residuals(&next) {
                let less = cost_before - cost(&moved, pull);
                if less > 0.0 {
                    *damping = (*damping * 0.2).max(1e-9);
                    return Some((next, moved, less));
                }
            }
            *damping *= 8.0;
        }
        None
    }

    /// Differences of the residuals by every unknown: how far the foot of each point moves along its normal, as moving along
    /// the line changes no distance. Backwards where forwards there is no line.
    fn derivatives(&self, shape: &Shape) -> Option<Vec<Vec<f64>>> {
        const H: f64 = 1e-5;
        let line = shape.line()?;
        let feet: Vec<Foot> = self.points.iter().map(|p| Foot::new(&line, p)).collect();
        let n = shape.unknowns();
        let moves = |line: &Line, h: f64| {
            let one = |(f, w): (&Foot, &f64)| {
                let to = line.point_of(f.place);
                -w * ((to[0] - f.at[0]) * f.normal[0] + (to[1] - f.at[1]) * f.normal[1]) / h
            };
            feet.iter().zip(&self.weights).map(one).collect()
        };
        let column = |k: usize| {
            let mut step = vec![0.0; n];
            [H, -H].into_iter().find_map(|h| {
                step[k] = h;
                Some(moves(&shape.moved(&step).line()?, h))
            })
        };
        (0..n).map(column).collect()
    }

    /// How much each point pulls: fully within three usual distances, then less and less (P. J. Huber 1964).
    fn pulls(&self, residuals: &[f64]) -> Vec<f64> {
        if !self.robust {
            return vec![1.0; residuals.len()];
        }
        let mut sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let far = 3.0 * 1.4826 * sizes.get(sizes.len() / 2).copied().unwrap_or(0.0) + 1e-9;
        // As long as three in a row are far, they show a form that the line does not follow yet.
        let in_a_row = |i: usize| {
            (i.saturating_sub(2)..=i).any(|k| residuals.get(k..k + 3).is_some_and(|w| w.iter().all(|r| r.abs() > far)))
        };
        let pull = |(i, r): (usize, &f64)| if in_a_row(i) { 1.0 } else { (far / r.abs().max(far)).powi(2) };
        residuals.iter().enumerate().map(pull).collect()
    }
}

fn cost(residuals: &[f64], pull: &[f64]) -> f64 {
    residuals.iter().zip(pull).map(|(r, w)| w * r * r).sum()
}
