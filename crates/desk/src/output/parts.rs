//! Templates: a former for every station, and the centre template.

use super::{NotLofted, plug_parts};
use crate::plans::Planned;
use form::Lofted;
use geometry::loft::Loft;
use plug::Plan;
use project::document::{Document, Form};
use sheets::{CentreStation, CentreTemplate, FormerTemplate, Part};

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
pub fn parts(document: &Document, lofted: &[std::sync::Arc<Lofted>]) -> Result<Vec<Part>, NotLofted> {
    let planned = Planned::of(document, lofted)?;
    parts_by(document, lofted, planned.as_ref().and_then(Planned::used))
}

/// The same by a plan that was made before.
pub(super) fn parts_by(
    document: &Document,
    lofted: &[std::sync::Arc<Lofted>],
    plan: Option<&Plan>,
) -> Result<Vec<Part>, NotLofted> {
    let document = &*document.in_force();
    let mut parts = Vec::new();
    for (i, (form, lofted)) in document.forms.iter().zip(lofted).enumerate() {
        let loft = lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?.loft();
        let mut own = own_parts(document, form, loft, plan.filter(|_| i == 0));
        // The first form is the one that meets the fuselage.
        own.extend(super::screw_strip::part(document, form).filter(|_| i == 0));
        own.extend(super::openings::trim_parts(document, i, lofted));
        if document.forms.len() > 1 {
            own.iter_mut().for_each(|p| p.id = format!("form-{}-{}", i + 1, p.id));
        }
        parts.append(&mut own);
    }
    Ok(parts)
}

/// The parts of one form: those of its plug where its stack is used, or plain formers and a plain centre template.
fn own_parts(document: &Document, form: &Form, loft: &Loft, plan: Option<&Plan>) -> Vec<Part> {
    if let Some(plan) = plan.filter(|plan| !plan.formers.is_empty()) {
        return plug_parts(document, form, plan);
    }
    let formers = former_stations(form, loft).into_iter().filter_map(|s| former(document, form, loft, s));
    formers.chain([centre(document, form, loft).part()]).collect()
}

fn former(document: &Document, form: &Form, loft: &Loft, (number, x): (usize, f64)) -> Option<Part> {
    let section = loft.section(x)?;
    let template = FormerTemplate {
        number,
        station_mm: x,
        half_section: section.polyline(CUT),
        breadth_height: section.breadth_height(),
        half_breadth: section.breadth(),
        datum_z: 0.0,
        knuckles: section.knuckles().into_iter().map(|k| k.1).collect(),
        notes: vec![UNFINISHED_NOTE.to_owned()],
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
