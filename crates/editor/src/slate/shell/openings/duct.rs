//! What lies behind an opening: a duct to its inner outline.

use super::outline;
use crate::on_shell::openings::grips;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::units::Units;
use egui::Ui;
use form::openings::OutlineCurve;
use project::edit::Edit;
use project::opening::{Duct, Opening, Outline};

/// A new duct is as deep as this share of the opening's greater size.
const DEPTH: f64 = 0.8;
/// Wall and lip of a new duct, mm: what a layer of glass over a turned edge comes to (common practice, no source).
const WALL: f64 = 1.0;
const LIP: f64 = 3.0;

/// Its numbers, or a way to begin it.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, opening: &Part<'_, Opening>, index: usize, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    opening.tick(ui, "A duct behind it", opening.now.duct.is_some(), asks, |opening, wanted| {
        opening.duct = wanted.then(|| begin(&opening.outline));
    });
    let Some(duct) = &opening.now.duct else { return };
    let now = opening.now;
    let name = format!("{} duct", opening.name);
    let edit = |duct| (opening.edit)(Opening { duct: Some(duct), ..now.clone() });
    let part = Part::<Duct> { name: &name, now: duct, units: opening.units, edit: &edit };
    let depth =
        ("Depth", "Along the line of sight, from the middle of the opening on the surface to the inner outline.");
    part.explained(ui, depth, duct.depth, asks, |duct, mm| duct.depth = mm);
    let lip = ("Lip radius", "How round the edge is, from the surface into the duct.");
    part.explained(ui, lip, duct.lip_radius, asks, |duct, mm| duct.lip_radius = mm);
    part.explained(ui, ("Wall", "Thickness of the duct's wall."), duct.wall, asks, |duct, mm| duct.wall = mm);
    inner(ui, seen, &part, now, asks);
    narrowest(ui, seen, index, now, opening.units);
}

/// Where the duct is narrowest, of what is really cut.
fn narrowest(ui: &mut Ui, seen: &Seen<'_>, index: usize, now: &Opening, units: Units) {
    let one = seen.shell.and_then(|shell| shell.openings.laid.one(index));
    let first = one.and_then(|one| one.holes.as_ref().ok()).and_then(|holes| holes.first());
    let Some(passage) = first.and_then(|first| first.passage.as_ref()) else { return };
    let narrowest = passage.narrowest();
    let depth = now.duct.as_ref().map_or(0.0, |duct| duct.depth);
    let (area, at) = (units.area(narrowest.area), units.length(narrowest.share * depth));
    note(ui, format!("Narrowest {at} in: {area}, square to the way of the air."));
    let round = passage.strips.iter().filter(|strip| strip.lip.is_none()).count();
    if passage.lip_radius > 0.0 && round > 0 {
        note(ui, "The lip does not fit all the way round: make its radius smaller, or the duct deeper.");
    }
}

fn begin(outline: &Outline) -> Duct {
    let [a, b] = grips::bounds(outline);
    Duct { depth: (DEPTH * a.max(b)).round().max(1.0), lip_radius: LIP, wall: WALL, inner: None }
}

/// The outline at its inner end: the opening's own, or another.
fn inner(ui: &mut Ui, seen: &Seen<'_>, duct: &Part<'_, Duct>, opening: &Opening, asks: &mut Vec<Ask>) {
    let own = duct.now.inner.is_some();
    let ways = [("as the opening", false), ("its own", true)];
    duct.choice(ui, "Inner outline", &ways, own, asks, |duct, own| {
        duct.inner = own.then(|| opening.outline.clone());
    });
    let area = |outline: &Outline| OutlineCurve::of(outline).ok().map(|curve| curve.area());
    let now = duct.now.inner.as_ref().unwrap_or(&opening.outline);
    if let Some((outer, inside)) = area(&opening.outline).zip(area(now)) {
        // More than the opening slows the air down and lets its pressure rise; less speeds it up.
        duct.number(ui, "Inner to outer area", ("", 3, 0.005), inside / outer, asks, |duct, ratio| {
            if ratio > 0.0 {
                duct.inner = Some(grips::scaled(now, (ratio * outer / inside).sqrt()));
            }
        });
        note(ui, format!("{} outside, {} inside.", duct.units.area(outer), duct.units.area(inside)));
    }
    let Some(inner) = &duct.now.inner else { return };
    let name = format!("{} inner outline", opening_name(duct.name));
    let edit = |outline| -> Edit { (duct.edit)(Duct { inner: Some(outline), ..duct.now.clone() }) };
    let part = Part::<Outline> { name: &name, now: inner, units: duct.units, edit: &edit };
    outline::fields(ui, seen, &part, opening.seen, None, asks);
}

fn opening_name(duct: &str) -> &str {
    duct.strip_suffix(" duct").unwrap_or(duct)
}
