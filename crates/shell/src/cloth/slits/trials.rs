//! Which slits are tried, and how the fewest are sought.

use super::anew::laid_beyond;
use super::{Piece, lies_in, steps_to};
use crate::cloth::Cloth;
use crate::drape::{Cell, Number, Surface};
use std::collections::BTreeSet;

/// Most slits that are laid in a quarter to try sets of fewer. They are what takes time: laying one takes about as long as laying its
/// quarter of the cloth.
const MOST_TRIALS: usize = 120;
/// One after the other a slit is cut only if it leaves no more of what is bad than this share.
const HELPS: f64 = 0.98;
/// Where tips are tried, as shares of the way to the first place that is bad: along the slit, and across it.
const COARSE: [&[f64]; 2] = [&[1.0, 0.75, 0.5, 0.25, 0.0], &[1.0, 0.75, 0.5]];
/// The same, closer, where one slit is sought that does it alone.
const FINE: [&[f64]; 2] = [&[1.0, 0.875, 0.75, 0.625, 0.5, 0.375, 0.25, 0.125, 0.0], &[1.0, 0.875, 0.75, 0.625, 0.5]];

/// A slit that has been tried.
#[derive(Clone, Debug)]
pub(super) struct Trial {
    pub(super) corner: Number,
    pub(super) along: usize,
    pub(super) piece: Piece,
    pub(super) bad: f64,
    pub(super) length: i32,
}

/// Slits sought for a quarter, for a cloth with an overlap, mm.
pub(super) struct Search<'a, S: Surface> {
    pub(super) surface: &'a S,
    pub(super) with: (&'a Cloth, f64),
}

impl<S: Surface> Search<'_, S> {
    /// The slit that helps most, then that beyond it, until nothing is bad or none helps.
    pub(super) fn one_by_one(
        &self,
        piece: &Piece,
        way: Number,
        most: usize,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Vec<Trial>> {
        let mut chain: Vec<Trial> = Vec::new();
        while chain.len() < most {
            let last = chain.last().map_or(piece, |trial| &trial.piece);
            let (cells, bad) = bad_in(last, way, self.with.0);
            if cells.is_empty() {
                break;
            }
            if !go_on() {
                return None;
            }
            let trials = trials(self.surface, last, way, &cells, self.with, COARSE);
            let Some(best) = trials.into_iter().next().filter(|best| best.bad <= HELPS * bad) else { break };
            chain.push(best);
        }
        Some(chain)
    }

    /// The smallest set that cures a quarter with fewer slits than a chain that does, or with no more than one that does not; and whether
    /// all that are smaller have been tried. `None` if `go_on` says so.
    pub(super) fn fewer(
        &self,
        piece: &Piece,
        way: Number,
        chain: &[Trial],
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<(Option<Vec<Trial>>, bool)> {
        let cured = bad_in(chain.last().map_or(piece, |trial| &trial.piece), way, self.with.0).0.is_empty();
        let most = if cured { chain.len().saturating_sub(1) } else { chain.len().max(2) };
        let mut left = MOST_TRIALS;
        for count in 1..=most {
            let tips = if count == 1 { FINE } else { COARSE };
            let found = self.cured((piece, way), count, tips, &mut left, go_on)?;
            if found.is_some() {
                return Some((found, left > 0));
            }
        }
        Some((None, left > 0))
    }

    /// A set of so many slits, or fewer, each beyond the one before, after which nothing is bad; `left` are the slits that may still be
    /// tried. Stopped, none, or found.
    #[expect(clippy::option_option)]
    fn cured(
        &self,
        (piece, way): (&Piece, Number),
        count: usize,
        tips: [&[f64]; 2],
        left: &mut usize,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Option<Vec<Trial>>> {
        if *left == 0 {
            return Some(None);
        }
        if !go_on() {
            return None;
        }
        let (cells, _) = bad_in(piece, way, self.with.0);
        let trials = trials(self.surface, piece, way, &cells, self.with, tips);
        *left = left.saturating_sub(trials.len());
        let mut trials = trials.into_iter();
        if count == 1 {
            return Some(trials.next().filter(|best| best.bad == 0.0).map(|best| vec![best]));
        }
        for trial in trials {
            if trial.bad == 0.0 {
                return Some(Some(vec![trial]));
            }
            if let Some(mut chain) = self.cured((&trial.piece, way), count - 1, tips, left, go_on)? {
                chain.insert(0, trial);
                return Some(Some(chain));
            }
        }
        Some(None)
    }
}

/// Cells past locking or missing of a quarter, in steps from its corner, with their area in mm² of cloth.
pub(super) fn bad_in(piece: &Piece, way: Number, cloth: &Cloth) -> (Vec<Number>, f64) {
    let inside = |cell: Number| lies_in(cell, [0, 0], way) && piece.holds(cell);
    let net = &piece.net;
    let locks = |c: &Cell| c.counts() && c.shear_deg.abs() > cloth.locking_deg && inside(c.number);
    let mut cells = net.missing(inside);
    let missing = cells.len() as f64;
    cells.extend(net.cells().filter(locks).map(|c| c.number));
    let area = (cells.len() as f64 - 0.5 * missing) * net.cell() * net.cell();
    (cells.into_iter().map(|cell| steps_to(cell, way)).collect(), area)
}

/// The slits that are tried in a quarter, those first after which least is bad, and of equals the shorter: their tips lie before all that
/// is bad in both ways, so that only what is laid anew can still be; that it is less than before shows in the end. At a yarn on which the
/// quarter starts a slit always helps.
fn trials(
    surface: &impl Surface,
    piece: &Piece,
    way: Number,
    bad: &[Number],
    with: (&Cloth, f64),
    tips: [&[f64]; 2],
) -> Vec<Trial> {
    let first = [0, 1].map(|k: usize| bad.iter().map(|steps| steps[k]).min().unwrap_or(0));
    let places = [0, 1].into_iter().flat_map(|along: usize| {
        tips[0].iter().flat_map(move |share| tips[1].iter().map(move |across| (along, *share, *across)))
    });
    let mut places: Vec<(usize, Number)> = places
        .map(|(along, share, across)| {
            let mut steps = first;
            steps[along] = (share * f64::from(first[along])) as i32;
            steps[1 - along] = (across * f64::from(first[1 - along])) as i32;
            (along, [0, 1].map(|k| steps[k] * way[k]))
        })
        .filter(|(_, corner)| *corner != [0, 0])
        .collect();
    let mut seen = BTreeSet::new();
    places.retain(|place| seen.insert(*place));
    let laid = |places: &[(usize, Number)]| -> Vec<Trial> {
        places.iter().filter_map(|(along, corner)| tried(surface, piece, way, (*corner, *along), with)).collect()
    };
    let mut trials = on_all_cores(&places, laid);
    // Stable, so that of equals the one that was tried first stays first.
    trials.sort_by(|a, b| (a.bad, a.length).partial_cmp(&(b.bad, b.length)).unwrap_or(std::cmp::Ordering::Equal));
    trials
}

/// The work on parts of a list side by side, what comes out in the list's order.
fn on_all_cores<T: Sync, R: Send>(list: &[T], work: impl Fn(&[T]) -> Vec<R> + Sync) -> Vec<R> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut parts = list.chunks(list.len().div_ceil(cores).max(1));
    let own = parts.next().unwrap_or_default();
    std::thread::scope(|scope| {
        let others: Vec<_> = parts.map(|part| scope.spawn(|| work(part))).collect();
        let mut all = work(own);
        for other in others {
            match other.join() {
                Ok(more) => all.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    })
}

fn tried(
    surface: &impl Surface,
    piece: &Piece,
    way: Number,
    (corner, along): (Number, usize),
    (cloth, overlap): (&Cloth, f64),
) -> Option<Trial> {
    let (piece, length) = laid_beyond(surface, &piece.net, way, (corner, along), overlap)?;
    let (_, bad) = bad_in(&piece, way, cloth);
    Some(Trial { corner, along, piece, bad, length })
}
