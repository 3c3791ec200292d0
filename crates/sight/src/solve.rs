//! From what is traced to the form: search, outliers, and points that the form cannot follow.

use crate::error::SightError;
use crate::look::{Look, Scene};
use crate::misfit::{Fit, fits};
use crate::pose::MOVES;
use crate::runs::reconsider;
use crate::search::{Search, Tick};
use crate::solution::{Settled, Solution};
use crate::state::{Layout, State};
use crate::task::{CameraTrust, Task};
use crate::traced::{Memory, groups, points};
use crate::weigh::weigh;
use nalgebra::Cholesky;

/// A point further from the form than this many deviations is left out.
const OUTLIER: f64 = 4.5;
/// A normal deviation by the median of sizes.
const BY_MEDIAN: f64 = 1.4826;
/// Most rounds of leaving out and of widening.
const ROUNDS: usize = 4;
/// What is traced belongs to another form when the middle point lies beyond this many deviations and this share of the
/// traced extent.
const GROSS: (f64, f64) = (20.0, 0.01);
/// A camera is open when landmarks leave it looser than this: radians of turning, shares of the distance.
const OPEN: f64 = 0.25;
/// Half of the progress is told after so many steps.
const USUAL_STEPS: f64 = 10.0;

/// Solves the form and the sought cameras together.
///
/// `progress` is told a rising share from 0 to 1 before every step; the solve is given up when it answers `false`. Nothing
/// here depends on time or chance: the same task gives the same answer.
///
/// # Errors
/// Those of [`Task::check`]; a camera that its landmarks leave open; an outline of something else; an answer that is not
/// fixed by what is given; [`SightError::Cancelled`].
pub fn solve(task: &Task, progress: &dyn Fn(f64) -> bool) -> Result<Solution, SightError> {
    task.check()?;
    let looseness = vec![1.0; task.model.unknowns()];
    let scene = Scene { task, layout: Layout::new(task), points: points(task), groups: groups(task), looseness };
    let memory = vec![Memory::default(); scene.points.len()];
    let mut search = Search { scene, state: State::start(task), memory, steps: 0 };
    let mut taken = 0.0;
    let mut tick = || {
        taken += 1.0;
        progress(taken / (taken + USUAL_STEPS))
    };
    if task.photographs.iter().any(|p| p.trust != CameraTrust::Exact) {
        search.cameras_first(&mut tick)?;
        closed_cameras(&search)?;
    }
    let look = search.settle(&mut tick)?;
    belongs(&search.scene, &look)?;
    let (mut look, mut fits) = sift(&mut search, look, &mut tick)?;
    if let Some(better) = reconsider(&mut search, &look, &fits, &mut tick)? {
        (look, fits) = sift(&mut search, better, &mut tick)?;
    }
    belongs(&search.scene, &look)?;
    let (look, covariance) = weigh(&mut search, look, &mut tick)?;
    let Search { scene, state, memory, .. } = search;
    let settled =
        Settled { layout: scene.layout, groups: scene.groups, points: scene.points, state, memory, look, fits };
    Ok(Solution::new(task.clone(), settled, covariance))
}

/// # Errors
/// A camera that the landmarks alone leave open.
fn closed_cameras(search: &Search<'_>) -> Result<(), SightError> {
    let scene = &search.scene;
    let look = scene.look(&search.state, &search.memory, false).ok_or(SightError::Singular)?;
    let normal = scene.normal(&search.state, &look, &search.memory).ok_or(SightError::Singular)?;
    let root = Cholesky::new(normal.matrix);
    for (k, at) in scene.layout.cameras.iter().enumerate() {
        let Some(at) = *at else { continue };
        let open = SightError::CameraOpen { photograph: k + 1, sightings: scene.task.photographs[k].sightings.len() };
        let inverse = root.as_ref().ok_or_else(|| open.clone())?.inverse();
        let loose = |m: usize| {
            let variance = inverse[(at + m, at + m)];
            !variance.is_finite() || variance > OPEN * OPEN
        };
        if (0..MOVES).any(loose) {
            return Err(open);
        }
    }
    Ok(())
}

/// # Errors
/// The first group of points that has little to do with the form.
fn belongs(scene: &Scene<'_>, look: &Look) -> Result<(), SightError> {
    for (number, group) in scene.groups.iter().enumerate() {
        let mine = || scene.points.iter().zip(&look.contacts).filter(move |(p, _)| p.group == number);
        let median_px = median(mine().map(|(_, c)| c.as_ref().map_or(f64::INFINITY, |c| c.residual.abs())).collect());
        let Some(median_px) = median_px else { continue };
        let pixels = || mine().map(|(p, _)| p.pixel);
        let low = pixels().fold([f64::INFINITY; 2], |a, q| [a[0].min(q.x), a[1].min(q.y)]);
        let high = pixels().fold([f64::NEG_INFINITY; 2], |a, q| [a[0].max(q.x), a[1].max(q.y)]);
        let extent = (high[0] - low[0]).hypot(high[1] - low[1]);
        let allowed_px = (GROSS.0 * group.stated).max(GROSS.1 * extent);
        if median_px > allowed_px {
            let what = if group.outline { "outline" } else { "seams" };
            return Err(SightError::NotThisForm { photograph: group.photograph + 1, what, median_px, allowed_px });
        }
    }
    Ok(())
}

fn median(mut all: Vec<f64>) -> Option<f64> {
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied()
}

/// Leaves outliers out and widens the closeness of points that the form cannot follow, in turns: once a closeness is widened,
/// points come back that only the form's own misfit had put out.
fn sift(search: &mut Search<'_>, mut look: Look, tick: Tick<'_>) -> Result<(Look, Vec<Fit>), SightError> {
    let mut factors = vec![1.0_f64; search.scene.groups.len()];
    for _ in 0..ROUNDS {
        look = leave_out(search, look, tick)?;
        let before = factors.clone();
        look = widen(search, look, &mut factors, tick)?;
        if factors == before {
            break;
        }
    }
    let root = search.root(&look)?;
    let mut found = fits(&search.scene, &search.state, &look, &search.memory, &root);
    found.iter_mut().for_each(|fit| fit.widened = factors[group(fit)]);
    Ok((look, found))
}

/// The group whose fit it is.
fn group(fit: &Fit) -> usize {
    2 * fit.photograph + usize::from(!fit.outline)
}

/// Leaves outliers out and settles again, until the same points are out.
fn leave_out(search: &mut Search<'_>, mut look: Look, tick: Tick<'_>) -> Result<Look, SightError> {
    for _ in 0..ROUNDS {
        let out = outliers(&search.scene, &look);
        let changed = search.memory.iter().zip(&out).any(|(memory, out)| memory.left_out != *out);
        if !changed {
            break;
        }
        search.memory.iter_mut().zip(&out).for_each(|(memory, out)| memory.left_out = *out);
        look = search.settle(tick)?;
    }
    Ok(look)
}

/// Points beyond what their group usually strays, which is taken from the median so that outliers do not set it.
fn outliers(scene: &Scene<'_>, look: &Look) -> Vec<bool> {
    let size = |c: &Option<crate::outline::Contact>| c.as_ref().map_or(f64::INFINITY, |c| c.residual.abs());
    let usual: Vec<f64> = (0..scene.groups.len())
        .map(|g| {
            let mine = scene.points.iter().zip(&look.contacts).filter(|(p, _)| p.group == g);
            BY_MEDIAN * median(mine.map(|(_, c)| size(c)).collect()).unwrap_or(0.0)
        })
        .collect();
    let far = |p: &crate::traced::Point, c| size(c) > OUTLIER * scene.groups[p.group].used.max(usual[p.group]);
    scene.points.iter().zip(&look.contacts).map(|(p, c)| far(p, c)).collect()
}

/// Widens the closeness of points that the form cannot follow and settles again, until nothing widens further.
fn widen(search: &mut Search<'_>, mut look: Look, factors: &mut [f64], tick: Tick<'_>) -> Result<Look, SightError> {
    for _ in 0..ROUNDS {
        let root = search.root(&look)?;
        let mut wider = false;
        for fit in fits(&search.scene, &search.state, &look, &search.memory, &root) {
            let factor = &mut factors[group(&fit)];
            if fit.widened > 1.1 * *factor {
                (*factor, wider) = (fit.widened, true);
            }
        }
        if !wider {
            break;
        }
        search.scene.groups.iter_mut().zip(&*factors).for_each(|(group, factor)| group.used = group.stated * factor);
        look = search.settle(tick)?;
    }
    Ok(look)
}
