//! The table of offsets, out and in.

use super::NotLofted;
use form::Lofted;
use geometry::section::Section;
use project::document::{Document, Form, MeasuredKnuckle, MeasuredSection};
use project::starter::{empty_form, new_document};
use project::table::{TableError, TableStation, form_from_table, read_table, write_table};

/// Chord error of the points of a table, mm.
const CHORD: f64 = 0.01;
/// Fewest chords of each half of a section.
const LEAST_CHORDS: usize = 16;

/// The table of offsets of a form of a document: where a stack sets its stations, the builder's own are in the table too, so that it
/// says as much of the shape as before.
///
/// # Errors
/// As [`offsets`].
pub fn document_offsets(document: &Document, form: usize, lofted: &Lofted) -> Result<String, NotLofted> {
    let in_force = document.in_force();
    let own = document.forms.get(form).map(|f| f.stations.iter()).into_iter().flatten().copied();
    let mut whole = in_force.forms.get(form).map(|f| Form::clone(f)).unwrap_or_else(|| empty_form("Form"));
    whole.stations.extend(own);
    offsets(&whole, lofted)
}

/// The table of offsets of a form: all control sections, all stations and both ends.
///
/// # Errors
/// The form cannot be lofted yet.
pub fn offsets(form: &Form, lofted: &Lofted) -> Result<String, NotLofted> {
    let loft = lofted.skin.as_ref().ok_or_else(|| NotLofted::of(&form.name, lofted))?.loft();
    let (low, high) = loft.x_range();
    let inner = form.sections.iter().map(|s| s.station).chain(form.stations.iter().copied());
    let mut xs: Vec<f64> = inner.filter(|x| *x > low && *x < high).chain([low, high]).collect();
    xs.sort_by(f64::total_cmp);
    // The table is written to a millionth of a millimetre.
    xs.dedup_by(|b, a| *b - *a < 2e-6);
    let stations: Vec<TableStation> = xs.into_iter().filter_map(|x| Some(station(&loft.section(x)?))).collect();
    Ok(write_table(&stations))
}

fn station(section: &Section<'_>) -> TableStation {
    let points = section.polyline_of(CHORD, LEAST_CHORDS);
    let (crown_ridge, keel_ridge) = section.ridges();
    let nearest = |p: [f64; 2]| {
        let away = |q: &[f64; 2]| (q[0] - p[0]).hypot(q[1] - p[1]);
        (1..points.len().saturating_sub(1)).min_by(|&a, &b| away(&points[a]).total_cmp(&away(&points[b])))
    };
    let knuckles = section.knuckles().into_iter();
    let knuckles = knuckles.filter_map(|(number, p)| Some(MeasuredKnuckle { number, point: nearest(p)? })).collect();
    let section_points =
        MeasuredSection { points, knuckles, crown_ridge, keel_ridge, breadth_point: None, breadth_girth: None };
    TableStation { x: section.x(), section: section_points }
}

/// A project with one form read from a table of offsets; every station becomes a pinned control section.
///
/// # Errors
/// The table is no good; the error has line and hint.
pub fn form_from_offsets(text: &str, name: &str) -> Result<Document, TableError> {
    let mut form = form_from_table(&read_table(text)?);
    name.clone_into(&mut form.name);
    let mut document = new_document(name);
    document.forms = vec![std::sync::Arc::new(form)];
    Ok(document)
}
