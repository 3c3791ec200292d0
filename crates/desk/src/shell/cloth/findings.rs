//! What deserves a look about the cloth.

use super::{ClothFailure, ClothPlan, GapOnForm, PlaceOnForm, PlyPlan};
use crate::reckoned::Reckoned;
use form::{Finding, Lofted, Part, Severity};
use project::document::Document;
use std::sync::Arc;

/// Of every form with a surface, as soon as the laminate has a ply that covers the whole shell; some tenths of a second each. `None`
/// when `progress` says not to go on.
pub fn findings(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Option<Vec<Finding>> {
    let mut found = Vec::new();
    for (index, lofted) in lofted.iter().enumerate() {
        if lofted.whole_skin().is_none() {
            continue;
        }
        let own = match known.cloth(document, index, lofted, progress) {
            Ok(plan) => of_plan(&*plan?),
            Err(why) => vec![not_laid(&why)],
        };
        found.extend(own.into_iter().map(|mut finding| {
            finding.place.form = Some(index);
            finding
        }));
    }
    Some(found)
}

fn not_laid(why: &ClothFailure) -> Finding {
    Finding::new(Severity::Warning, Part::Laminate, why.to_string(), "Nothing is known of the cloth until then.")
}

fn of_plan(plan: &ClothPlan) -> Vec<Finding> {
    if plan.assumed {
        return Vec::new();
    }
    let folds = plan.plies.iter().filter_map(folds);
    let wide = plan.rolls.iter().flat_map(|roll| &roll.too_wide).filter_map(|index| plan.plies.get(*index)).map(wide);
    folds.chain(wide).collect()
}

fn folds(ply: &PlyPlan) -> Option<Finding> {
    if ply.one_piece() {
        return None;
    }
    let (laid, name) = (&ply.cloth().judgement, ply.ply.name());
    let place = PlaceOnForm::of(laid.greatest_at);
    let [x, y, z] = place.at;
    if ply.lies_down() {
        let what = format!("Ply {name} does not lie down in one piece; with {} it does.", ply.slits_in_words());
        let hint = "Search for a better start or warp, or cut the slits as the book shows.";
        return Some(Finding::new(Severity::Note, Part::Laminate, what, hint));
    }
    if let Some(gap) = GapOnForm::largest(laid).filter(|_| laid.locked == 0.0) {
        return Some(not_reached(&name, laid.missed, &gap));
    }
    let what = format!(
        "Ply {name} folds: {:.0} cm² of it are sheared past its locking angle and {:.0} cm² are not reached.",
        0.01 * laid.locked,
        0.01 * laid.missed
    );
    let hint =
        "Search for a better start or warp, allow slits, take a cloth that locks later, or measure its locking angle.";
    let finding = Finding::new(Severity::Warning, Part::Laminate, what, hint).at_station(x).at_point([y, z]);
    Some(finding.with(laid.greatest_deg.abs(), ply.ply.fabric.locking_deg, "degrees"))
}

fn not_reached(name: &str, missed: f64, gap: &GapOnForm) -> Finding {
    let [x, y, z] = gap.place.at;
    let what = format!("Ply {name} does not reach {:.1} cm²: {}.", 0.01 * missed, gap.reason());
    Finding::new(Severity::Warning, Part::Laminate, what, gap.remedy()).at_station(x).at_point([y, z])
}

fn wide(ply: &PlyPlan) -> Finding {
    let what = format!("The pattern of ply {} is wider than its roll.", ply.ply.name());
    let hint = "Join two breadths with an overlap, turn its warp, or take a wider roll.";
    let finding = Finding::new(Severity::Warning, Part::Laminate, what, hint);
    finding.with(ply.pattern.roll.across, ply.ply.fabric.roll_width, "mm")
}
