//! Templates: a former for every station, and the centre template.

use super::NotLofted;
use super::added::{Joint, fit_line_parts, own_project};
use super::openings::TrimSource;
use super::plug_parts::{plug_parts_by, tick_marks, tick_note};
use super::remembering::PartsSource;
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use form::Lofted;
use form::openings::Target;
use geometry::loft::Loft;
use plug::{EdgeTick, OpeningOnPlug, Plan, Region};
use project::document::{Document, Form};
use sheets::{CentreStation, CentreTemplate, FormerTemplate, Mark, Part, Task, side_by_side};
use std::sync::Arc;

/// What every sheet says until card and laminate are known to the project.
pub const UNFINISHED_NOTE: &str = "finished outside: no laminate, no card thickness taken off";

/// Chord error of everything that is cut out, mm.
const CUT: f64 = 0.01;
/// A former smaller than this in breadth or height, mm, is not worth a template.
const LEAST_FORMER: f64 = 0.5;

/// The stations of a form that get a former, with their numbers: inside the form, and with some breadth and height.
pub fn former_stations(form: &Form, loft: &Loft) -> Vec<(usize, f64)> {
    let has_former = |x: f64| {
        loft.section(x).is_some_and(|s| 2.0 * s.half_breadth() > LEAST_FORMER && s.top() - s.bottom() > LEAST_FORMER)
    };
    form.stations.iter().enumerate().map(|(i, &x)| (i + 1, x)).filter(|(_, x)| has_former(*x)).collect()
}

/// All templates of a document: for every form its formers and its centre template.
///
/// # Errors
/// A form that cannot be lofted yet.
pub fn parts(document: &Document, lofted: &[Arc<Lofted>]) -> Result<Vec<Part>, NotLofted> {
    Ok(Arc::unwrap_or_clone(parts_by(document, lofted, &Reckoned::default())?))
}

/// The same with all that was reckoned of late.
///
/// # Errors
/// As [`parts()`].
pub fn parts_by(document: &Document, all: &[Arc<Lofted>], known: &Reckoned) -> Result<Arc<Vec<Part>>, NotLofted> {
    let source = PartsSource::of(document, all);
    let made = known.parts.made(&source, &mut |_| true, |_| made(document, all, known).map(Some))?;
    Ok(made.unwrap_or_default())
}

type Made = Result<Vec<Part>, NotLofted>;

/// Parts of different kinds are made side by side: none needs another.
fn made(document: &Document, all: &[Arc<Lofted>], known: &Reckoned) -> Made {
    let own = &*document.in_force();
    let mut tasks: Vec<(usize, Task<'_, Made>)> = Vec::new();
    for (i, (form, lofted)) in own.forms.iter().zip(all).enumerate() {
        lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?;
        tasks.push((i, Box::new(move || plug_or_formers((document, own), i, all, known))));
        tasks.push((i, Box::new(move || cloth_parts(own, i, lofted, known))));
        for trim in TrimSource::all(own, i, lofted) {
            tasks.push((i, Box::new(move || Ok(trim.parts(known)))));
        }
        for added in if i == 0 { known.meetings(own, all) } else { Vec::new() } {
            tasks.push((i, Box::new(move || Ok(fit_line_parts(own, all, &added, known)))));
        }
    }
    let (forms, tasks): (Vec<usize>, Vec<Task<'_, Made>>) = tasks.into_iter().unzip();
    let mut parts = Vec::new();
    for (i, made) in forms.into_iter().zip(side_by_side(tasks)) {
        let mut made = made?;
        if own.forms.len() > 1 {
            made.iter_mut().for_each(|p| p.id = format!("form-{}-{}", i + 1, p.id));
        }
        parts.append(&mut made);
    }
    Ok(parts)
}

fn cloth_parts(document: &Document, i: usize, lofted: &Arc<Lofted>, known: &Reckoned) -> Made {
    let Some(form) = document.forms.get(i) else { return Ok(Vec::new()) };
    let cloth = super::cloth_parts::plan(document, i, lofted, known)?;
    Ok(cloth.map(|cloth| super::cloth_parts::parts(document, form, &cloth)).unwrap_or_default())
}

/// The parts that a form is built from: those of its plug or plain ones, and the strip that its screws are marked by. `documents` are
/// the project, and the same with its stations in force.
fn plug_or_formers(documents: (&Document, &Document), i: usize, all: &[Arc<Lofted>], known: &Reckoned) -> Made {
    let (document, own) = documents;
    let (Some(form), Some(lofted)) = (own.forms.get(i), all.get(i)) else { return Ok(Vec::new()) };
    let loft = lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?.loft();
    let joint = Joint::of(own, all, i, known);
    let mut parts = match own_project(own, i, lofted, known)? {
        Some((project, planned)) => {
            let form = project.forms.first().unwrap_or(form);
            own_parts(&project, form, loft, planned.as_deref().and_then(Planned::used), &joint)
        }
        None => {
            let planned = known.planned(document, all)?;
            own_parts(own, form, loft, planned.as_deref().and_then(Planned::used), &joint)
        }
    };
    // The first form is the one that meets the fuselage.
    parts.extend(super::screw_strip::part(own, form).filter(|_| i == 0));
    Ok(parts)
}

/// The parts of one form: those of its plug where its stack is used, or plain formers and a plain centre template.
fn own_parts(document: &Document, form: &Form, loft: &Loft, plan: Option<&Plan>, joint: &Joint<'_>) -> Vec<Part> {
    if let Some(plan) = plan.filter(|plan| !plan.formers.is_empty()) {
        return plug_parts_by(document, form, plan, joint);
    }
    // A plain former shows the finished outside: nothing is taken off.
    let openings = plug::openings_on_plug(&Target::new(loft, None), form, 0.0);
    let formers =
        former_stations(form, loft).into_iter().filter_map(|s| former(document, form, loft, s, (joint, &openings)));
    let mut middle = centre(document, form, loft);
    let outline: Vec<[f64; 2]> = middle.crown.iter().chain(middle.keel.iter().rev()).copied().collect();
    let marks = joint.on_centre();
    middle.marks =
        marks.iter().flat_map(|m| m.runs(|p| holds(&outline, p)).into_iter().map(|points| m.drawn(points))).collect();
    middle.notes.extend(joint.notes());
    let card = Region::of(&outline);
    let ticks: Vec<EdgeTick> = openings.iter().flat_map(|o| o.ticks(&card, &o.crossings(1, 0.0))).collect();
    middle.marks.extend(tick_marks(&ticks, false));
    middle.notes.extend(tick_note(&ticks));
    formers.chain([middle.part()]).collect()
}

/// Whether a closed outline holds a place.
fn holds(outline: &[[f64; 2]], [x, z]: [f64; 2]) -> bool {
    let ends = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed =
        ends.filter(|(a, b)| (a[1] > z) != (b[1] > z) && x < a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
    crossed.count() % 2 == 1
}

fn former(
    document: &Document,
    form: &Form,
    loft: &Loft,
    (number, x): (usize, f64),
    (joint, openings): (&Joint<'_>, &[OpeningOnPlug]),
) -> Option<Part> {
    let section = loft.section(x)?;
    let half = section.polyline(CUT);
    let looking_aft = |points: Vec<[f64; 2]>| points.into_iter().map(|[y, z]| [-y, z]).collect();
    let found = joint.on_station(x);
    let mut marks: Vec<Mark> = found
        .iter()
        .flat_map(|m| {
            m.runs(|[y, z]| holds(&half, [y.abs(), z])).into_iter().map(|points| m.drawn(looking_aft(points)))
        })
        .collect();
    let mut notes = vec![UNFINISHED_NOTE.to_owned()];
    if !found.is_empty() {
        notes.extend(joint.notes());
    }
    let whole: Vec<[f64; 2]> = half.iter().copied().chain(half.iter().rev().map(|p| [-p[0], p[1]])).collect();
    let card = Region::of(&whole);
    let ticks: Vec<EdgeTick> = openings.iter().flat_map(|o| o.ticks(&card, &o.crossings(0, x))).collect();
    marks.extend(tick_marks(&ticks, true));
    notes.extend(tick_note(&ticks));
    let template = FormerTemplate {
        number,
        station_mm: x,
        half_section: half,
        breadth_height: section.breadth_height(),
        half_breadth: section.breadth(),
        datum_z: 0.0,
        knuckles: section.knuckles().into_iter().map(|k| k.1).collect(),
        marks,
        notes,
        project: document.name.clone(),
        form: form.name.clone(),
    };
    Some(template.part())
}

/// The centre template, with every station that has a former marked.
pub(super) fn centre(document: &Document, form: &Form, loft: &Loft) -> CentreTemplate {
    let (low, high) = loft.x_range();
    let lines = loft.lines();
    let mark = |(number, x): (usize, f64)| {
        let section = loft.section(x)?;
        Some(CentreStation { number, x_mm: x, low_mm: section.keel(), high_mm: section.crown() })
    };
    CentreTemplate {
        crown: between(lines.crown.polyline(CUT), &lines.crown, low, high),
        keel: between(lines.keel.polyline(CUT), &lines.keel, low, high),
        stations: former_stations(form, loft).into_iter().filter_map(mark).collect(),
        datum_z: 0.0,
        marks: Vec::new(),
        notes: vec![UNFINISHED_NOTE.to_owned()],
        project: document.name.clone(),
        form: form.name.clone(),
    }
}

/// The part of a line's polyline that the form uses, with its exact ends.
fn between(points: Vec<[f64; 2]>, line: &geometry::line::Line, low: f64, high: f64) -> Vec<[f64; 2]> {
    let inside = points.into_iter().filter(|p| p[0] > low + 1e-9 && p[0] < high - 1e-9);
    std::iter::once([low, line.at(low).value]).chain(inside).chain([[high, line.at(high).value]]).collect()
}
