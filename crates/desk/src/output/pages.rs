//! Templates on pages.

use super::parts::{UNFINISHED_NOTE, centre, parts_by};
use super::plug_parts::plug_note;
use super::remembering::PartsSource;
use super::{NotLofted, former_stations};
use crate::reckoned::Reckoned;
use crate::shell::added::as_project;
use form::Lofted;
use project::document::{Document, Paper, PaperSetup};
use sheets::{Drawing, Layout, LayoutError, PageSetup, PaperSize, lay_out, set_picture};
use std::sync::Arc;

/// Why there are no sheets.
#[derive(Debug, PartialEq, thiserror::Error)]
pub enum SheetsFailure {
    /// A form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// The parts do not go on the paper.
    #[error("The sheets cannot be laid out: {0}.")]
    Layout(#[from] LayoutError),
}

/// Lays out the templates of all forms on the given paper. `progress` is told how far the work is, from 0 to 1, and answers
/// whether to go on.
///
/// # Errors
/// A form that cannot be lofted yet, paper that is too small, or stopped.
pub fn sheets(
    document: &Document,
    lofted: &[Arc<Lofted>],
    paper: &PaperSetup,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Layout, SheetsFailure> {
    sheets_by(document, lofted, &Reckoned::default(), paper, progress)
}

/// The same with all that was reckoned of late.
///
/// # Errors
/// As [`sheets()`].
pub fn sheets_by(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    paper: &PaperSetup,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Layout, SheetsFailure> {
    let source = (PartsSource::of(document, lofted), *paper);
    let made = known.layouts.made(&source, progress, |progress| laid_out(document, lofted, known, paper, progress))?;
    // Somebody else was laying them out, and was waited for as long as they were wanted.
    made.map(Arc::unwrap_or_clone).ok_or(SheetsFailure::Layout(LayoutError::Cancelled))
}

fn laid_out(
    document: &Document,
    lofted: &[Arc<Lofted>],
    known: &Reckoned,
    paper: &PaperSetup,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Option<Layout>, SheetsFailure> {
    let parts = parts_by(document, lofted, known)?;
    let setup = PageSetup {
        paper: paper.paper.size_mm().map_or(PaperSize::OneSheet, PaperSize::Size),
        margin_mm: paper.margin,
        overlap_mm: paper.overlap,
        measured_mm: paper.measured,
        project: document.name.clone(),
        notes: notes(document),
        set_picture: overview(document, lofted),
        overview: paper.paper != Paper::OneSheet,
        ..PageSetup::default()
    };
    Ok(Some(lay_out(&parts, &setup, progress)?))
}

/// What was taken off: of each form's plug where its stack is used, of every other form nothing. Each is said once, with the names of the
/// forms where they differ.
fn notes(document: &Document) -> Vec<String> {
    let said = |own: &Document| if own.build.stack.used { plug_note(own) } else { UNFINISHED_NOTE.to_owned() };
    let projects = (0..document.forms.len().max(1)).map(|i| {
        let own = as_project(document, i);
        (document.forms.get(i).map_or("", |form| form.name.as_str()), said(own.as_ref().unwrap_or(document)))
    });
    let mut notes: Vec<(Vec<&str>, String)> = Vec::new();
    for (name, note) in projects {
        match notes.iter_mut().find(|(_, known)| *known == note) {
            Some((names, _)) => names.push(name),
            None => notes.push((vec![name], note)),
        }
    }
    let alone = notes.len() == 1;
    notes.into_iter().map(|(names, note)| if alone { note } else { format!("{}: {note}", names.join(", ")) }).collect()
}

/// The small picture of the first form's set.
fn overview(document: &Document, lofted: &[Arc<Lofted>]) -> Option<Drawing> {
    let document = &*document.in_force();
    let (form, lofted) = (document.forms.first()?, lofted.first()?);
    let loft = lofted.skin.as_ref()?.loft();
    let outline = |(_, x): (usize, f64)| Some(loft.section(x)?.polyline(0.1));
    let sections: Vec<Vec<[f64; 2]>> = former_stations(form, loft).into_iter().filter_map(outline).collect();
    Some(set_picture(&centre(document, form, loft), &sections, [170.0, 80.0]))
}
