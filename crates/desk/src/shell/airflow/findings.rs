//! What deserves a look about the air.

use super::{Airflow, HoleAir, RULE};
use fit::solid::Placed;
use form::openings::{Hole, Passage, Target};
use form::shaft::shaft;
use form::{Finding, Part, Severity};
use project::document::Document;
use project::opening::Purpose;

/// A share of an intake that spinner and keep-outs may take before it is told (common practice, no source).
const MUCH: f64 = 0.25;
/// An intake that stands to the flow with less than this share of its area lies along it.
const ALONG: f64 = 0.2;
/// Rings along a duct at which its distance from keep-outs is looked at.
const RINGS: u32 = 8;

/// What deserves a look about the air of a form: of its own openings, those of others are told with them.
pub(super) fn of(air: &Airflow, index: usize) -> Vec<Finding> {
    let own = air.holes.iter().filter(|h| !h.mirrored && h.form == index);
    let mut found: Vec<Finding> = own.flat_map(intake).collect();
    found.extend(ratio(air, index));
    found
}

/// Whether a finding is the one on the ratio.
pub(super) fn is_ratio(finding: &Finding) -> bool {
    finding.hint.ends_with(&by_rule())
}

fn by_rule() -> String {
    format!("It is {RULE}.")
}

fn intake(hole: &HoleAir) -> Vec<Finding> {
    let mut found = Vec::new();
    let part = Part::Opening(hole.opening);
    if hole.purpose != Purpose::Intake || hole.areas.surface <= 0.0 {
        return found;
    }
    let share = hole.areas.to_flow / hole.areas.surface;
    if share < ALONG {
        let what = format!("{} lies along the flow: only {:.0} % of it stands square to it.", hole.name, 100.0 * share);
        let hint = "Give it a scoop, or move it to where the form faces ahead.";
        found.push(Finding::new(Severity::Note, part, what, hint).with(100.0 * share, 100.0 * ALONG, "%"));
    }
    let taken = hole.blocked_area / hole.areas.to_flow.max(f64::MIN_POSITIVE);
    if taken > MUCH && share >= ALONG {
        let names: Vec<&str> = hole.blocked.iter().map(|b| b.name.as_str()).collect();
        let what = format!("{:.0} % of {} lies in front of or behind {}.", 100.0 * taken, hole.name, names.join(", "));
        let hint = "Move it outward, clear of spinner and motor, or count on less air.";
        found.push(Finding::new(Severity::Warning, part, what, hint).with(100.0 * taken, 100.0 * MUCH, "%"));
    }
    found
}

fn ratio(air: &Airflow, index: usize) -> Option<Finding> {
    let ratio = air.ratio?;
    let mut counts = air.holes.iter().filter(|h| h.purpose != Purpose::Access).peekable();
    counts.peek()?;
    let part = counts.find(|h| h.form == index).map_or(Part::Form, |first| Part::Opening(first.opening));
    let [from, to] = air.rule.aim;
    let sums = format!("{:.1} cm² of outlets to {:.1} cm² of intakes", 0.01 * air.outlet, 0.01 * air.intake);
    let (severity, what, allowed) = if ratio < air.rule.least {
        let what = format!("The air finds too little way out: {sums}, a ratio of {ratio:.2}.");
        (Severity::Warning, what, air.rule.least)
    } else if ratio < from {
        (
            Severity::Note,
            format!("{sums} is a ratio of {ratio:.2}, below the {from:.1} to {to:.1} that is aimed for."),
            from,
        )
    } else if ratio > to {
        (
            Severity::Note,
            format!("{sums} is a ratio of {ratio:.2}, above the {from:.1} to {to:.1} that is aimed for."),
            to,
        )
    } else {
        return None;
    };
    let hint = if ratio > to { "Smaller outlets would do." } else { "Make outlets larger, or intakes smaller." };
    let hint = format!("{hint} {}", by_rule());
    Some(Finding::new(severity, part, what, hint).with(ratio, allowed, ""))
}

/// Ducts that come too near to a keep-out: at places of their outside.
pub(super) fn ducts(document: &Document, cut: &[Hole], target: &Target<'_>) -> Vec<Finding> {
    let airframe = &document.airframe;
    if airframe.keep_outs.is_empty() {
        return Vec::new();
    }
    let shaft = airframe.thrust.as_ref().map(shaft);
    let placed: Vec<_> =
        airframe.keep_outs.iter().filter_map(|k| Some((k, Placed::of(k, shaft.as_ref()).ok()?))).collect();
    let mut found = Vec::new();
    for hole in cut {
        let Some(passage) = hole.passage(target) else { continue };
        let form_name = || {
            let openings = document.forms.first().map(|form| &form.openings);
            openings.and_then(|o| o.get(hole.opening)).map(|o| o.name.clone()).unwrap_or_default()
        };
        for (keep_out, solid) in &placed {
            let Some((far, [x, y, z])) = nearest(&passage, solid) else { continue };
            if far >= keep_out.clearance {
                continue;
            }
            let (severity, what) = if far < 0.0 {
                (Severity::Error, format!("The duct of {} runs into {}.", form_name(), keep_out.name))
            } else {
                let what = format!("The duct of {} comes within {far:.1} mm of {}.", form_name(), keep_out.name);
                (Severity::Warning, what)
            };
            let hint = "Make the duct shallower, or lead its inner end past it.";
            let finding = Finding::new(severity, Part::Opening(hole.opening), what, hint);
            found.push(finding.at_station(x).at_point([y, z]).with(far, keep_out.clearance, "mm"));
        }
    }
    found
}

fn nearest(passage: &Passage, solid: &Placed) -> Option<(f64, [f64; 3])> {
    let rings = (0..=RINGS).flat_map(|k| passage.outside_ring(f64::from(k) / f64::from(RINGS)));
    rings.map(|p| (solid.distance(p).distance, p)).min_by(|a, b| a.0.total_cmp(&b.0))
}
