//! The centre template: the side outline of the plug less the inset, as a card of real thickness in the centre plane.

use crate::openings::{CutOut, EdgeTick};
use crate::region::{Point, Region};
use crate::surface::{follow, heights_within, near_centre};
use form::PlugSurface;

/// The centre template, seen with x aft and z up, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Centre {
    /// Its front and rear end.
    pub range: (f64, f64),
    /// Before slots were cut.
    pub outline: Region,
    /// As it is cut; more than one piece only where a shaft's channel or a duct divides it.
    pub part: Region,
    /// Where edges of openings cross the centre plane.
    pub ticks: Vec<EdgeTick>,
    /// What ducts take out of it.
    pub cut_outs: Vec<CutOut>,
}

/// The outline between two stations: at each, the heights that lie inside the plug less the inset over the whole thickness of the
/// card. Edges follow the plug within 0.02 mm, on its inner side where it is round.
pub(crate) fn outline(
    plug: &PlugSurface,
    range: (f64, f64),
    cards: &[(f64, f64)],
    thickness: f64,
    inset: f64,
) -> Region {
    let read = |x: f64| {
        heights_within(&near_centre(plug, x, inset, 0.5 * thickness), 0.5 * thickness).map(|(low, high)| [low, high])
    };
    let samples = follow(&stations(range, cards), &read);
    let low = samples.iter().map(|(x, v)| [*x, v[0]]);
    let high = samples.iter().rev().map(|(x, v)| [*x, v[1]]);
    Region::of(&low.chain(high).collect::<Vec<Point>>())
}

/// Both ends and every card's faces between them, rising.
pub(crate) fn stations(range: (f64, f64), cards: &[(f64, f64)]) -> Vec<f64> {
    let faces = cards.iter().flat_map(|c| [c.0, c.1]);
    let mut all: Vec<f64> = faces.chain([range.0, range.1]).filter(|x| *x >= range.0 && *x <= range.1).collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < 1e-6);
    all
}
