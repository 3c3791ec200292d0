//! Runs of neighbouring points that belong to something else: a strut, an exhaust, a shadow traced along.
//!
//! Single outliers stand out of a fit to all points; a run pulls the fit to itself and puts others out in its place. So where
//! a first fit shows signs of trouble, fits are tried that never saw a window of neighbours, and points are taken back where they
//! fit (the idea of least trimmed squares, Rousseeuw 1984, with runs for random samples). Each is weighed by one cost,
//!
//! ```text
//!   landmarks and priors + sum over all points of min(r², 9),   r in stated deviations
//! ```
//!
//! in which a point left out costs 9: the smallest explanation wins, and only if it leaves the rest as noise. Windows are
//! screened on the linearised equations; only the best few are searched in earnest.

use crate::error::SightError;
use crate::look::{Look, Scene, weight};
use crate::misfit::{Fit, fits};
use crate::search::{Search, Tick};
use crate::state::State;
use crate::traced::Memory;
use nalgebra::{Cholesky, DMatrix, DVector};

/// What a point costs that is left out, in squared deviations.
const OUT: f64 = 9.0;
/// Form unknowns and landmarks beyond this many of their deviations are a sign of trouble.
const PULLED: f64 = 3.0;
/// Lengths of windows as shares of a trace's points.
const LENGTHS: [usize; 3] = [15, 8, 5];
/// Turns of taking back and leaving out.
const TURNS: usize = 4;
/// Most points that the screening looks at.
const SCREENED: usize = 240;
/// Searches in earnest: so many points in all, and so many searches.
const EARNEST: (usize, usize) = (300, 4);
/// At most one in so many points of a group may be left out.
const SHARE: usize = 3;
/// Points are explained when they are worth no less than this many times wider noise.
const CLEAN: f64 = 1.6;

/// Looks for a smaller explanation of what was traced. Where there is one, the search is left there, with the stated
/// closeness; otherwise it stays as it was.
pub(crate) fn reconsider(
    search: &mut Search<'_>,
    look: &Look,
    fits: &[Fit],
    tick: Tick<'_>,
) -> Result<Option<Look>, SightError> {
    if !troubled(search, fits) {
        return Ok(None);
    }
    let (state, memory) = (search.state.clone(), search.memory.clone());
    let used: Vec<f64> = search.scene.groups.iter().map(|group| group.used).collect();
    search.scene.groups.iter_mut().for_each(|group| group.used = group.stated);
    let mut least = cost(&search.scene, &state, look) - OUT;
    let mut best: Option<(State, Vec<Memory>, Look)> = None;
    let searches = (EARNEST.0 / search.scene.points.len().max(1)).clamp(1, EARNEST.1);
    for out in screened(search, look).into_iter().take(searches) {
        search.state.clone_from(&state);
        search.memory.clone_from(&memory);
        let found = match earnest(search, &out, tick) {
            Err(SightError::Cancelled) => return Err(SightError::Cancelled),
            found => found.ok(),
        };
        let Some(found) = found.filter(|look| explains(search, look)) else { continue };
        let own = cost(&search.scene, &search.state, &found);
        if own < least {
            least = own;
            best = Some((search.state.clone(), search.memory.clone(), found));
        }
    }
    if let Some((state, memory, look)) = best {
        (search.state, search.memory) = (state, memory);
        return Ok(Some(look));
    }
    (search.state, search.memory) = (state, memory);
    search.scene.groups.iter_mut().zip(used).for_each(|(group, used)| group.used = used);
    Ok(None)
}

/// Whether a fit shows signs that something else was traced.
fn troubled(search: &Search<'_>, fits: &[Fit]) -> bool {
    let state = &search.state;
    search.memory.iter().any(|memory| memory.left_out)
        || fits.iter().any(Fit::is_strained)
        || state.form.iter().any(|z| z.abs() > PULLED)
        || state.offsets.iter().any(|offset| offset.norm() > PULLED)
}

/// A point's squared distance in stated deviations.
fn squared(scene: &Scene<'_>, look: &Look, i: usize) -> f64 {
    let contact = look.contacts[i].as_ref();
    contact.map_or(f64::INFINITY, |c| (c.residual / scene.groups[scene.points[i].group].stated).powi(2))
}

/// Whether a point is to be left out at this squared distance. A seam lies on the form and shows what the model cannot take:
/// what strays from it is no run of something else.
fn foreign(scene: &Scene<'_>, i: usize, squared: f64) -> bool {
    scene.groups[scene.points[i].group].outline && squared > OUT
}

/// The cost by which explanations are weighed.
fn cost(scene: &Scene<'_>, state: &State, look: &Look) -> f64 {
    let nothing = vec![Memory { spot: None, left_out: true }; scene.points.len()];
    let held = scene.look(state, &nothing, false).map_or(f64::INFINITY, |look| look.cost);
    held + (0..scene.points.len()).map(|i| squared(scene, look, i).min(OUT)).sum::<f64>()
}

/// Whether what counts is noise, and enough of it counts.
fn explains(search: &Search<'_>, look: &Look) -> bool {
    let Ok(root) = search.root(look) else { return false };
    let all = || search.scene.points.iter().zip(&search.memory);
    let enough = (0..search.scene.groups.len()).all(|g| {
        let mine = || all().filter(move |(p, _)| p.group == g);
        SHARE * mine().filter(|(_, m)| m.left_out).count() <= mine().count()
    });
    enough && fits(&search.scene, &search.state, look, &search.memory, &root).iter().all(|fit| fit.widened < CLEAN)
}

/// Settles without the given points, then takes back what fits.
fn earnest(search: &mut Search<'_>, out: &[bool], tick: Tick<'_>) -> Result<Look, SightError> {
    mark(search, out);
    let mut look = search.settle(tick)?;
    for _ in 0..TURNS {
        let out: Vec<bool> =
            (0..out.len()).map(|i| foreign(&search.scene, i, squared(&search.scene, &look, i))).collect();
        if search.memory.iter().zip(&out).all(|(memory, out)| memory.left_out == *out) {
            break;
        }
        mark(search, &out);
        look = search.settle(tick)?;
    }
    Ok(look)
}

fn mark(search: &mut Search<'_>, out: &[bool]) {
    search.memory.iter_mut().zip(out).for_each(|(memory, out)| memory.left_out = *out);
}

/// The linearised equations where a search stands.
struct Linear {
    /// Of landmarks and priors alone.
    matrix: DMatrix<f64>,
    slope: DVector<f64>,
    /// Points looked at, each with its row and its residual in stated deviations.
    rows: Vec<(usize, DVector<f64>, f64)>,
}

impl Linear {
    fn new(search: &Search<'_>, look: &Look) -> Option<Self> {
        let scene = &search.scene;
        let nothing = vec![Memory { spot: None, left_out: true }; scene.points.len()];
        let normal = scene.normal(&search.state, look, &nothing)?;
        let every = scene.points.len().div_ceil(SCREENED).max(1);
        let row = |i: usize| {
            let (contact, point) = (look.contacts[i].as_ref()?, &scene.points[i]);
            let stated = scene.groups[point.group].stated;
            let row = DVector::from_vec(scene.row(&search.state, point.photograph, contact)?) / stated;
            Some((i, row, contact.residual / stated))
        };
        let rows = (0..scene.points.len()).step_by(every).filter_map(row).collect();
        Some(Self { matrix: normal.matrix, slope: normal.slope, rows })
    }

    /// Residuals and cost once the points that are not out are followed.
    fn follow(&self, out: &[bool], weights: &[f64]) -> Option<(Vec<f64>, f64)> {
        let (mut matrix, mut slope) = (self.matrix.clone(), self.slope.clone());
        for ((_, row, r), w) in self.rows.iter().zip(weights).filter(|((i, ..), _)| !out[*i]) {
            matrix.ger(*w, row, row, 1.0);
            slope.axpy(w * r, row, 1.0);
        }
        let step = -Cholesky::new(matrix)?.solve(&slope);
        let after: Vec<f64> = self.rows.iter().map(|(_, row, r)| r + row.dot(&step)).collect();
        let held = 2.0 * step.dot(&self.slope) + step.dot(&(&self.matrix * &step));
        let cost = held + after.iter().map(|r| (r * r).min(OUT)).sum::<f64>();
        Some((after, cost))
    }

    /// From a window left out to the points that then do not fit, with their cost.
    fn settle(&self, scene: &Scene<'_>, window: &[bool]) -> Option<(f64, Vec<bool>)> {
        let mut out = window.to_vec();
        let mut best: Option<(f64, Vec<bool>)> = None;
        let mut weights = vec![1.0; self.rows.len()];
        for _ in 0..TURNS {
            let (after, cost) = self.follow(&out, &weights)?;
            for ((i, ..), r) in self.rows.iter().zip(&after) {
                out[*i] = foreign(scene, *i, r * r);
            }
            weights = after.iter().map(|r| weight(r * r)).collect();
            if best.as_ref().is_none_or(|b| cost < b.0) {
                best = Some((cost, out.clone()));
            }
        }
        best
    }
}

/// Which points to leave out at first, the most promising choice first.
fn screened(search: &Search<'_>, look: &Look) -> Vec<Vec<bool>> {
    let Some(linear) = Linear::new(search, look) else { return Vec::new() };
    let mut found: Vec<(f64, Vec<bool>)> = windows(&search.scene)
        .into_iter()
        .filter_map(|window| {
            let (cost, mut out) = linear.settle(&search.scene, &window)?;
            out.iter_mut().zip(&window).for_each(|(out, window)| *out |= *window);
            Some((cost, out))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.dedup_by(|a, b| a.1 == b.1);
    found.into_iter().map(|(_, out)| out).collect()
}

/// Every window of neighbours of every outline.
fn windows(scene: &Scene<'_>) -> Vec<Vec<bool>> {
    let mut all = Vec::new();
    for group in (0..scene.groups.len()).filter(|g| scene.groups[*g].outline) {
        let mine: Vec<usize> = (0..scene.points.len()).filter(|i| scene.points[*i].group == group).collect();
        for share in LENGTHS {
            let length = (mine.len() / share).max(2);
            for window in mine.windows(length).step_by(length.div_ceil(2)) {
                let mut out = vec![false; scene.points.len()];
                window.iter().for_each(|i| out[*i] = true);
                all.push(out);
            }
        }
    }
    all
}
