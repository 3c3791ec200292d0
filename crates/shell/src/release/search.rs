//! The way along which the shell comes off most easily.

use super::survey::Survey;
use super::undercut::{LEVEL, Region};
use form::space::{Vector, add, dot, times, triad, unit};

/// Ways tried all round, evenly spread.
const WAYS: u32 = 400;
/// How many of the best are followed further.
const FOLLOWED: usize = 3;
/// First and last step of following, degrees.
const STEPS_DEG: (f64, f64) = (6.0, 0.02);
/// Undercut that counts as none, as a share of the area.
const NOTHING: f64 = 1e-6;

/// Rougher than [`Survey::undercut`], quick: cells count whole, by the normals at their middles.
struct Cells {
    all: Vec<(Vector, f64)>,
    total: f64,
}

/// Less is better: first undercut, then the least sine of the draft, turned round.
type Cost = (f64, f64);

impl Cells {
    fn new(survey: &Survey<'_>, regions: &[&Region<'_>]) -> Self {
        let within = survey.cells.iter().filter(|c| regions.iter().all(|r| r(c.middle()) >= 0.0));
        let all: Vec<(Vector, f64)> = within.map(|c| (c.middle().n, c.area)).collect();
        Self { total: all.iter().map(|c| c.1).sum(), all }
    }

    fn cost(&self, way: Vector) -> Cost {
        let (mut area, mut least) = (0.0, f64::INFINITY);
        for (n, a) in &self.all {
            let sine = dot(*n, way);
            least = least.min(sine);
            if sine < -LEVEL {
                area += a;
            }
        }
        (if area > NOTHING * self.total { area } else { 0.0 }, -least)
    }

    fn follow(&self, mut way: Vector) -> (Cost, Vector) {
        let mut cost = self.cost(way);
        let mut step = STEPS_DEG.0.to_radians();
        while step > STEPS_DEG.1.to_radians() {
            let [_, a, b] = triad(way);
            let beside = |k: u32| {
                let (sin, cos) = (f64::from(k) * std::f64::consts::FRAC_PI_4).sin_cos();
                unit(add(way, times(add(times(a, cos), times(b, sin)), step)))
            };
            let best = (0..8).map(|k| (self.cost(beside(k)), beside(k))).min_by(|x, y| order(&x.0, &y.0));
            match best {
                Some(found) if order(&found.0, &cost).is_lt() => (cost, way) = found,
                _ => step *= 0.5,
            }
        }
        (cost, way)
    }
}

fn order(a: &Cost, b: &Cost) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
}

/// The best way for what lies within regions: least undercut, and where several have none, the greatest least draft. `natural` ways
/// are tried first, and kept if nothing is better.
pub(crate) fn best_way(survey: &Survey<'_>, regions: &[&Region<'_>], natural: &[Vector]) -> Vector {
    let cells = Cells::new(survey, regions);
    let all_round = (0..WAYS).map(|k| {
        // Points of a spiral at equal heights and the golden angle.
        let z = 1.0 - (2.0 * f64::from(k) + 1.0) / f64::from(WAYS);
        let (sin, cos) = (f64::from(k) * std::f64::consts::PI * (3.0 - 5f64.sqrt())).sin_cos();
        let r = (1.0 - z * z).sqrt();
        [r * cos, r * sin, z]
    });
    let mut tried: Vec<(Cost, Vector)> = natural.iter().copied().chain(all_round).map(|w| (cells.cost(w), w)).collect();
    tried.sort_by(|a, b| order(&a.0, &b.0));
    let followed = tried.iter().take(FOLLOWED).map(|(_, way)| cells.follow(*way));
    let best = tried.first().copied().into_iter().chain(followed).min_by(|a, b| order(&a.0, &b.0));
    best.map_or([-1.0, 0.0, 0.0], |b| b.1)
}
