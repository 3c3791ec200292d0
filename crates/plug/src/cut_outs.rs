//! Ducts cut out of the plug's cards, and what that does to them.

use crate::openings::CutOut;
use crate::region::Region;
use form::{Finding, Part, Severity};

/// Cuts a duct out of a card. `outline` is the card before slots and holes, `web` the least width that is to be left beside them.
/// Tells where it runs into a slot or hole, and where it cuts the card in two; gives whether it took anything.
pub(crate) fn cut(
    (part, outline): (&mut Region, &Region),
    cut_out: &CutOut,
    card: &str,
    web: f64,
    findings: &mut Vec<Finding>,
) -> bool {
    let taken = part.intersection(&cut_out.region);
    if taken.area() < 1e-3 {
        return false;
    }
    let place = taken.centroid();
    let at = |f: Finding| place.map_or(f.clone(), |p| f.at_point(p));
    let gone_before = outline.without(part);
    if gone_before.intersection(&cut_out.region.grown(web)).area() > LEAST_OVERLAP {
        let what = format!("The duct of {} comes within {web:.1} mm of a slot or hole in {card}.", cut_out.name);
        let hint =
            "Move the duct or the hole, or give the duct a smaller inner outline; else glue this card with care.";
        findings.push(at(duct(cut_out, what, hint)));
    }
    let pieces = part.pieces.len();
    *part = part.without(&cut_out.region);
    if part.pieces.len() > pieces {
        let what = format!("The duct of {} cuts {card} in two.", cut_out.name);
        let hint = "Make the duct shorter or narrower, or glue the pieces in one by one, each against its neighbours.";
        findings.push(at(duct(cut_out, what, hint)));
    }
    if part.is_empty() {
        let what = format!("The duct of {} leaves nothing of {card}.", cut_out.name);
        findings.push(duct(cut_out, what, "Make the duct shorter or narrower."));
    }
    true
}

/// A finding about a duct belongs to its opening.
fn duct(cut_out: &CutOut, what: String, hint: &str) -> Finding {
    Finding::new(Severity::Warning, Part::Opening(cut_out.opening), what, hint)
}

/// Overlaps of less area are rounding, mm².
const LEAST_OVERLAP: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;

    fn round(at: [f64; 2], radius: f64) -> CutOut {
        CutOut { opening: 0, name: "Intake".to_owned(), region: Region::disc(at, radius, 0.001) }
    }

    /// What is taken is the disc's own area, a closed form, or the part of it on the card.
    #[test]
    fn a_duct_takes_its_own_area_and_tells_what_it_meets() {
        let plate = Region::rectangle([-50.0, -30.0], [50.0, 30.0]);
        let slotted = plate.without(&Region::rectangle([-1.0, -30.0], [1.0, 0.0]));
        let mut findings = Vec::new();
        let mut part = slotted.clone();
        assert!(cut((&mut part, &plate), &round([25.0, 0.0], 10.0), "former 2", 4.0, &mut findings));
        assert!((slotted.area() - part.area() - std::f64::consts::PI * 100.0).abs() < 0.05 && findings.is_empty());
        assert!(!cut((&mut part, &plate), &round([90.0, 0.0], 10.0), "former 2", 4.0, &mut findings));
        assert!(cut((&mut part, &plate), &round([-13.0, -10.0], 10.0), "former 2", 4.0, &mut findings));
        assert!(findings.len() == 1 && findings[0].what.contains("slot or hole in former 2"), "{findings:?}");
        findings.clear();
        let mut part = plate.clone();
        assert!(cut((&mut part, &plate), &round([0.0, 0.0], 32.0), "former 3", 4.0, &mut findings));
        assert!(findings.len() == 1 && findings[0].what.contains("in two"), "{findings:?}");
        findings.clear();
        assert!(cut((&mut plate.clone(), &plate), &round([0.0, 0.0], 90.0), "former 1", 4.0, &mut findings));
        assert!(findings.iter().any(|f| f.what.contains("leaves nothing")), "{findings:?}");
    }
}
