//! The search for the fewest points.

use super::fit::{Data, distance};
use super::shape::{Shape, inflections};
use super::{FairError, Faired, Fairing, Outcome, TracedPoint};

/// Traced points that a fit looks at; all of them are looked at when the misfit is told.
const LOOKED_AT: usize = 160;
/// So many more points without better evidence follow noise.
const PATIENCE: usize = 3;
/// Bays that are tried for one more point, those with the largest sums of squares.
const TRIED: usize = 3;
/// What one inflection costs among bays, as a share of the sum of squares.
const INFLECTION: f64 = 0.05;
/// Most steps of a fit.
const STEPS: usize = 12;

struct Search<'a> {
    all: &'a [TracedPoint],
    data: Data,
    how: &'a Fairing,
}

/// The line for traced points in the order of their x.
pub(super) fn search(sorted: &[TracedPoint], how: &Fairing) -> Result<Faired, FairError> {
    let stride = sorted.len().div_ceil(LOOKED_AT).max(1);
    let mut looked_at: Vec<TracedPoint> = sorted.iter().step_by(stride).copied().collect();
    looked_at.extend(sorted.last().filter(|_| stride > 1));
    let search = Search { all: sorted, data: Data::new(looked_at, how.share < 1.0), how };
    let start = search.data.fitted(&Shape::start(sorted, how)?, STEPS);
    let (shape, stuck) = search.grown(start);
    let shape = if stuck.is_none() { search.thinned(shape) } else { shape };
    search.told(&shape, stuck).ok_or(FairError::TooFew)
}

/// Why the tolerance could not be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stuck {
    Noise,
    Limit,
}

impl Search<'_> {
    fn grown(&self, start: Shape) -> (Shape, Option<Stuck>) {
        let mut shape = start.clone();
        let mut best = (self.evidence(&start), start);
        let mut idle = 0;
        while self.within(&shape) > self.how.tolerance {
            if shape.knots.len() >= self.how.most_points {
                return (best.1, Some(Stuck::Limit));
            }
            // As many unknowns as points would follow them wherever they go.
            let enough = shape.unknowns() + 2 < self.data.points.len();
            let Some(next) = enough.then(|| self.with_one_more(&shape)).flatten() else {
                return (best.1, Some(Stuck::Noise));
            };
            shape = next;
            let evidence = self.evidence(&shape);
            if evidence < best.0 {
                (best, idle) = ((evidence, shape.clone()), 0);
            } else {
                idle += 1;
                if idle >= PATIENCE {
                    return (best.1, Some(Stuck::Noise));
                }
            }
        }
        (shape, None)
    }

    /// Schwarz's criterion; smaller is better.
    fn evidence(&self, shape: &Shape) -> f64 {
        let n = self.data.points.len() as f64;
        n * (self.data.squares(shape) / n).max(1e-12).ln() + shape.unknowns() as f64 * n.ln()
    }

    fn with_one_more(&self, shape: &Shape) -> Option<Shape> {
        let mut bays = self.squares_by_bay(shape)?;
        bays.sort_by(|a, b| b.1.total_cmp(&a.1));
        let tried =
            bays.into_iter().take(TRIED).filter_map(|(bay, _)| Some(self.data.fitted(&shape.with_point(bay)?, 3)));
        let worth = |s: &Shape| {
            let bends = s.line().map_or(0, |l| inflections(&l));
            self.data.squares(s) * (1.0 + INFLECTION * bends as f64)
        };
        let mut judged: Vec<(f64, Shape)> = tried.map(|s| (worth(&s), s)).filter(|(w, _)| w.is_finite()).collect();
        judged.sort_by(|a, b| a.0.total_cmp(&b.0));
        judged.into_iter().next().map(|(_, s)| self.data.fitted(&s, STEPS))
    }

    /// For each bay the sum of squares of its points.
    fn squares_by_bay(&self, shape: &Shape) -> Option<Vec<(usize, f64)>> {
        let line = shape.line()?;
        let mut bays: Vec<(usize, f64)> = (0..shape.knots.len() - 1).map(|bay| (bay, 0.0)).collect();
        for p in &self.data.points {
            let aft = shape.knots.partition_point(|k| k.point.x <= p.x).clamp(1, shape.knots.len() - 1);
            bays[aft - 1].1 += distance(&line, p).powi(2);
        }
        Some(bays)
    }

    /// Without the points that it can do without.
    fn thinned(&self, mut shape: Shape) -> Shape {
        loop {
            let fewer = (0..shape.knots.len()).filter_map(|i| Some(self.data.fitted(&shape.without(i)?, STEPS)));
            match fewer.into_iter().find(|s| self.within(s) <= self.how.tolerance) {
                Some(next) => shape = next,
                None => return shape,
            }
        }
    }

    /// Sizes of all distances, in the order of x.
    fn sizes(&self, shape: &Shape) -> Option<Vec<f64>> {
        let line = shape.line()?;
        Some(self.all.iter().map(|p| distance(&line, p).abs()).collect())
    }

    /// The distance within which the asked share lies.
    fn within(&self, shape: &Shape) -> f64 {
        self.sizes(shape).map_or(f64::INFINITY, |s| share_of(&s, self.how.share))
    }

    fn told(&self, shape: &Shape, stuck: Option<Stuck>) -> Option<Faired> {
        let line = shape.line()?;
        let sizes = self.sizes(shape)?;
        let within = share_of(&sizes, self.how.share);
        let worst = self.all.iter().max_by(|a, b| distance(&line, a).abs().total_cmp(&distance(&line, b).abs()))?;
        let outcome = match stuck {
            _ if within <= self.how.tolerance => Outcome::Holds,
            Some(Stuck::Limit) => Outcome::TooFewPoints { reachable: within },
            _ => Outcome::Noise { reachable: within },
        };
        Some(Faired {
            points: shape.points(),
            outcome,
            worst: distance(&line, worst).abs(),
            worst_at: [worst.x, worst.value],
            within,
            rms: (sizes.iter().map(|s| s * s).sum::<f64>() / sizes.len() as f64).sqrt(),
            inflections: inflections(&line),
            line,
        })
    }
}

/// The size that this share does not exceed; three in a row are never left out, as they show a form and no slip.
fn share_of(sizes: &[f64], share: f64) -> f64 {
    let mut rising = sizes.to_vec();
    rising.sort_by(f64::total_cmp);
    let count = (share * rising.len() as f64).ceil() as usize;
    let at_share = rising.get(count.clamp(1, rising.len().max(1)) - 1).copied().unwrap_or(f64::INFINITY);
    sizes.windows(3).map(|w| w[0].min(w[1]).min(w[2])).fold(at_share, f64::max)
}
