//! What deserves a look about the openings of a form: whether they lie on it, how near they come to its edges and to each other, and
//! whether their ducts fit.

use super::hole::{Hole, Missed, Why, holes};
use super::target::{Sheet, Target};
use crate::finding::{Finding, Part, Severity};
use crate::skin::Lofted;
use crate::space::{Vector, length, sub};
use project::document::{Document, Form};

/// Chord error at which edges are looked at, mm.
const FINE: f64 = 0.2;
/// Laminate left between an opening and an edge of the shell, the ring or a screw hole (common practice, no source), mm.
pub const LEAST_LAND: f64 = 10.0;
/// Laminate left between two openings (common practice, no source), mm.
pub const LEAST_BRIDGE: f64 = 5.0;

/// Every finding on the openings of form number `index`; nothing while it cannot be lofted.
pub fn findings(document: &Document, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let Some(form) = document.forms.get(index).filter(|form| !form.openings.is_empty()) else { return Vec::new() };
    let Some(target) = Target::of(document, index, lofted) else { return Vec::new() };
    let mut found = Vec::new();
    let mut cut: Vec<Hole> = Vec::new();
    for hole in holes(&target, form, FINE) {
        match hole {
            Ok(hole) => cut.push(hole),
            Err((i, why)) => {
                let what = format!("{} cannot be cut: {why}.", name(form, i));
                let hint = "Draw its outline anew, or remove it.";
                found.push(Finding::new(Severity::Error, Part::Opening(i), what, hint));
            }
        }
    }
    for hole in &cut {
        outline_findings(form, hole, &target, &mut found);
        edge_findings(document, index, form, hole, &target, &mut found);
        duct_findings(form, hole, &target, &mut found);
    }
    pair_findings(form, &cut, &target, &mut found);
    // What is found of both of a mirrored pair is told once.
    let mut told: Vec<Finding> = Vec::new();
    for finding in found {
        if !told.iter().any(|t| t.what == finding.what && t.place.part == finding.place.part) {
            told.push(finding);
        }
    }
    told.iter_mut().for_each(|f| f.place.form = Some(index));
    told
}

fn name(form: &Form, i: usize) -> String {
    form.openings.get(i).map_or_else(|| format!("Opening {}", i + 1), |opening| opening.name.clone())
}

fn at(finding: Finding, [x, y, z]: Vector) -> Finding {
    finding.at_station(x).at_point([y, z])
}

/// A place of a view in space, as far as the view tells: for pointing.
fn in_view(finding: Finding, hole: &Hole, view: [f64; 2]) -> Finding {
    match hole.seen.axes() {
        [0, _] => finding.at_station(view[0]),
        _ => finding.at_point(view),
    }
}

fn outline_findings(form: &Form, hole: &Hole, target: &Target<'_>, found: &mut Vec<Finding>) {
    let (part, name) = (Part::Opening(hole.opening), name(form, hole.opening));
    if let Some(p) = hole.curve.crosses_itself() {
        let hint = "Move the points of the loop apart, or remove one of them.";
        let finding = Finding::new(Severity::Error, part, format!("The outline of {name} crosses itself."), hint);
        found.push(in_view(finding, hole, p));
    }
    if hole.runs.is_empty() {
        let what =
            format!("{name} misses the form: no line of sight {} through its outline meets it.", hole.seen.label());
        let finding = Finding::new(Severity::Error, part, what, "Move it onto the form, or see it from another side.");
        found.push(in_view(finding, hole, hole.curve.centre()));
        return;
    }
    found.extend(hole.missed.iter().map(|missed| missed_finding(&name, part, hole, missed, target)));
}

fn missed_finding(name: &str, part: Part, hole: &Hole, missed: &Missed, target: &Target<'_>) -> Finding {
    let (low, high) = target.loft().x_range();
    let along = hole.seen.axes()[0] == 0;
    let (severity, what, hint) = match missed.why {
        Why::Fold => (
            Severity::Warning,
            format!("The edge of {name} steps from a nearer part of the form to a farther one."),
            "Make it smaller, or see it from a side from which nothing stands before it.",
        ),
        Why::Beyond if along && missed.at[0] > high => (
            Severity::Note,
            format!("{name} runs over the rear edge: it is a notch, open there."),
            "Nothing to do if that is meant; the rim is weaker there.",
        ),
        Why::Beyond if along && missed.at[0] < low => {
            (Severity::Warning, format!("{name} runs over the front edge."), "Move it aft, or see it from ahead.")
        }
        Why::Beyond => (
            Severity::Warning,
            format!("A part of the outline of {name} misses the form."),
            "Move it onto the form, or see it from another side.",
        ),
    };
    in_view(Finding::new(severity, part, what, hint), hole, missed.at)
}

/// An edge that an opening must keep away from: how far each place lies from it, mm.
struct Edge<'a> {
    what: &'a str,
    hint: &'a str,
    land: f64,
    far: Box<dyn Fn(Vector) -> f64 + 'a>,
}

fn edge_findings(
    document: &Document,
    index: usize,
    form: &Form,
    hole: &Hole,
    target: &Target<'_>,
    found: &mut Vec<Finding>,
) {
    let (part, name) = (Part::Opening(hole.opening), name(form, hole.opening));
    if hole.places().any(|p| p.on == Sheet::Front) {
        let plate = target.trim().map_or("the flat front", |_| "the ring's plane");
        let what = format!("{name} goes into {plate}.");
        let hint = "Nothing to do where the front stays open; else move it outward, clear of the front's edge.";
        found.push(Finding::new(Severity::Note, part, what, hint));
    }
    for edge in edges(document, index, hole, target) {
        let places =
            hole.places().filter(|p| p.on != Sheet::Front).map(|p| (edge.far)(p.point).abs()).zip(hole.places());
        let Some((far, place)) = places.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        if far < edge.land {
            let what = format!("{name} comes within {far:.1} mm of {}.", edge.what);
            let finding = at(Finding::new(Severity::Warning, part, what, edge.hint), place.point);
            found.push(finding.with(far, edge.land, "mm"));
        }
    }
}

fn edges<'a>(document: &'a Document, index: usize, hole: &Hole, target: &'a Target<'_>) -> Vec<Edge<'a>> {
    let (low, high) = target.loft().x_range();
    let hint = "Leave a land of laminate (common practice, no source), or plan a reinforcement round it.";
    let mut out = Vec::new();
    let notch = hole.missed.iter().any(|m| m.why == Why::Beyond && hole.seen.axes()[0] == 0 && m.at[0] > high);
    if !notch {
        out.push(Edge { what: "the rear edge", hint, land: LEAST_LAND, far: Box::new(move |p| high - p[0]) });
    }
    match target.trim() {
        Some(trim) => out.push(Edge { what: "the ring", hint, land: LEAST_LAND, far: Box::new(|p| trim.ahead(p)) }),
        None if !target.is_pointed() => {
            out.push(Edge { what: "the front edge", hint, land: LEAST_LAND, far: Box::new(move |p| p[0] - low) });
        }
        None => (),
    }
    let end = document.airframe.fuselage.as_ref().filter(|_| index == 0);
    if let Some((end, screws)) = end.and_then(|end| Some((end, end.screws.as_ref()?))) {
        let row = end.station + end.lap.length - screws.edge_distance;
        let hint = "Move it away from the screws: their holes need laminate all round (common practice, no source).";
        let land = LEAST_LAND + 0.5 * screws.hole;
        out.push(Edge { what: "the row of screws", hint, land, far: Box::new(move |p| row - p[0]) });
    }
    out
}

fn duct_findings(form: &Form, hole: &Hole, target: &Target<'_>, found: &mut Vec<Finding>) {
    let Some(passage) = hole.passage(target) else { return };
    let (part, name) = (Part::Opening(hole.opening), name(form, hole.opening));
    let outside = passage.strips.iter().filter(|s| !target.holds(s.inner)).map(|s| s.inner).collect::<Vec<_>>();
    if let Some(p) = outside.first() {
        let share = 100.0 * outside.len() as f64 / passage.strips.len() as f64;
        let what = format!("The duct of {name} leaves the form: {share:.0} % of its inner end lies outside.");
        let hint = "Make the duct shallower, or its inner outline smaller or further in.";
        found.push(at(Finding::new(Severity::Error, part, what, hint), *p).with(share, 0.0, "%"));
    }
    let no_lip = passage.strips.iter().filter(|s| s.lip.is_none()).map(|s| s.outer.point).collect::<Vec<_>>();
    if let Some(p) = no_lip.first().filter(|_| passage.lip_radius > 0.0) {
        let what = format!("A lip of {:.1} mm radius does not fit {name} all round.", passage.lip_radius);
        let hint = "Choose a smaller radius, or a deeper duct.";
        found.push(at(Finding::new(Severity::Warning, part, what, hint), *p));
    }
}

fn pair_findings(form: &Form, cut: &[Hole], target: &Target<'_>, found: &mut Vec<Finding>) {
    for (i, a) in cut.iter().enumerate() {
        for b in cut.iter().skip(i + 1) {
            let Some((far, place)) = nearest(a, b) else { continue };
            let own = a.opening == b.opening;
            let other = if own { "its own mirror image".to_owned() } else { name(form, b.opening) };
            let part = Part::Opening(b.opening);
            let name = name(form, a.opening);
            if far < 1e-6 || holds(a, b, target) || holds(b, a, target) {
                let hint =
                    if own { "Do not mirror it, or move it aside." } else { "Move one of them, or make one of both." };
                let finding =
                    Finding::new(Severity::Error, part, format!("{name} and {other} run into each other."), hint);
                found.push(at(finding, place));
            } else if far < LEAST_BRIDGE {
                let what = format!("Between {name} and {other} only {far:.1} mm are left.");
                let hint = "Leave a wider bridge of laminate (common practice, no source).";
                let finding = at(Finding::new(Severity::Warning, part, what, hint), place);
                found.push(finding.with(far, LEAST_BRIDGE, "mm"));
            }
        }
    }
}

/// The least distance between places of two edges, within the length of their chords.
fn nearest(a: &Hole, b: &Hole) -> Option<(f64, Vector)> {
    let to_b = |p: Vector| b.places().map(|q| length(sub(q.point, p))).fold(f64::INFINITY, f64::min);
    let all = a.places().map(|p| (to_b(p.point), p.point));
    all.min_by(|p, q| p.0.total_cmp(&q.0)).filter(|p| p.0.is_finite())
}

/// Whether a place of one hole's edge lies inside the other.
fn holds(a: &Hole, b: &Hole, target: &Target<'_>) -> bool {
    let [i, j] = a.seen.axes();
    b.places().any(|p| {
        let view = [p.point[i], p.point[j]];
        let same = |q: Vector| length(sub(q, p.point)) < 0.05;
        a.curve.inside(view) && target.meet(a.seen, view).is_some_and(|met| same(met.point))
    })
}
