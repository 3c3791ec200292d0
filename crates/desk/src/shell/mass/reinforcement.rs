//! Plies that are proposed for the rim and the screws.

use super::fittings::places_of_screws;
use project::airframe::Airframe;
use project::document::{Document, LineName};
use project::laminate::{Coupon, Extent, Fabric, Ply};

/// Width of the strip at a rim without a lap, mm (common practice, no source).
const RIM: f64 = 20.0;
/// A patch is so many hole diameters wide, but not below the least, mm (common practice, no source).
const PATCH_HOLES: f64 = 8.0;
const LEAST_PATCH: f64 = 20.0;
/// Reinforcement lies across the yarns of a whole ply laid straight, degrees.
const ACROSS_DEG: f64 = 45.0;
/// Places nearer than this are the same, mm.
const SAME: f64 = 1.0;

/// Plies that would stiffen the rear rim, a strip over the lap and as far ahead of the joint, and a patch at every screw, in the cloth
/// of the first whole ply. What the schedule has already is not proposed again.
pub fn proposed_reinforcement(document: &Document) -> Vec<Ply> {
    let like = document.shell.laminate.plies.iter().find(|ply| ply.extent == Extent::Whole);
    let fabric = like.map_or_else(Fabric::usual, |ply| ply.fabric.clone());
    let coupon: Option<Coupon> = like.and_then(|ply| ply.coupon);
    let extents = strip(document).into_iter().chain(patches(&document.airframe));
    let lacking = extents.filter(|extent| !document.shell.laminate.plies.iter().any(|ply| serves(&ply.extent, extent)));
    let ply = |extent| Ply { fabric: fabric.clone(), warp_deg: ACROSS_DEG, extent, crowding: 1.0, coupon };
    lacking.map(ply).collect()
}

fn strip(document: &Document) -> Option<Extent> {
    if let Some(end) = document.airframe.fuselage.as_ref().filter(|end| end.lap.length > 0.0) {
        return Some(Extent::Strip { from: end.station - end.lap.length, to: end.station + end.lap.length });
    }
    let form = document.forms.first()?;
    let rears = LineName::ALL.iter().filter_map(|name| form.lines.get(*name).points.last().map(|p| p.x));
    let rear = rears.fold(f64::NEG_INFINITY, f64::max);
    rear.is_finite().then_some(Extent::Strip { from: rear - RIM, to: rear })
}

fn patches(airframe: &Airframe) -> Option<Extent> {
    let places = places_of_screws(airframe);
    let hole = airframe.fuselage.as_ref().and_then(|end| end.screws).map_or(0.0, |screws| screws.hole);
    let side = (PATCH_HOLES * hole).max(LEAST_PATCH).round();
    (!places.is_empty()).then_some(Extent::Patches { places, size: [side, side] })
}

/// Whether a ply that is there does what a proposed one would.
fn serves(there: &Extent, proposed: &Extent) -> bool {
    match (there, proposed) {
        (Extent::Strip { from, to }, Extent::Strip { from: f, to: t }) => *from <= f + SAME && *to >= t - SAME,
        (Extent::Patches { places, .. }, Extent::Patches { places: wanted, .. }) => {
            let apart = |a: &[f64; 3], b: &[f64; 3]| (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt();
            wanted.iter().all(|w| places.iter().any(|p| apart(p, w) <= SAME))
        }
        _ => false,
    }
}
