//! A form begun from what is traced: what it would be is computed beside the window's thread and told first.

use super::preview::Preview;
use crate::act;
use crate::app::App;
use desk::photographs::{Begun, Depth, begin_form};
use desk::{Outcome, Work};
use project::document::{Document, LineName, PictureView};
use std::sync::Arc;

/// A form as it would be begun.
pub(crate) struct Told {
    pub(crate) begun: Begun,
    pub(crate) previews: Vec<Preview>,
}

/// The document, and the tolerance of its lines, mm.
#[derive(Clone)]
struct Key(Arc<Document>, f64);

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) && self.1 == other.1
    }
}

/// The form that would be begun.
pub(crate) struct Beginning {
    work: Work<Key, Result<Told, String>>,
    found: Option<(Key, Result<Told, String>)>,
}

/// Whether the first form is still to be begun.
pub(crate) fn is_wanted(document: &Document) -> bool {
    let form = document.forms.first();
    let empty = form.is_some_and(|form| {
        form.sections.is_empty() && LineName::ALL.iter().all(|line| form.lines.get(*line).points.is_empty())
    });
    empty && document.pictures.iter().any(|p| !p.photograph.traces.is_empty())
}

impl Beginning {
    pub(super) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), found: None }
    }

    /// What the form would be, or what is missing; `None` while it is computed.
    pub(crate) fn begun(&self) -> Option<&Result<Told, String>> {
        self.found.as_ref().map(|(_, found)| found)
    }

    /// Forgets it.
    pub(super) fn put_away(&mut self) {
        self.work.cancel();
        self.found = None;
    }
}

/// Keeps it to the document at rest.
pub(super) fn refresh(app: &mut App, ctx: &egui::Context, tolerance: f64) {
    let document = app.desk.document().clone();
    let wanted = app.table.is_open() && is_wanted(&document);
    if !wanted {
        if let Some(beginning) = &mut app.table.tracing.beginning {
            beginning.put_away();
        }
        return;
    }
    let previewing = app.desk.is_previewing();
    let beginning = app.table.tracing.beginning.get_or_insert_with(|| Beginning::new(ctx));
    if let Some((key, outcome)) = beginning.work.poll() {
        let found = match outcome {
            Outcome::Done(found) => found,
            Outcome::Broke(why) => Err(why),
        };
        beginning.found = Some((key, found));
    }
    let key = Key(document, tolerance);
    if !previewing && beginning.found.as_ref().is_none_or(|(found, _)| *found != key) {
        beginning.work.want(key.clone(), move |_| told(&key.0, key.1));
    }
}

fn told(document: &Document, tolerance: f64) -> Result<Told, String> {
    let begun = begin_form(document, tolerance).map_err(|why| why.to_string())?;
    let side = document.pictures.iter().find(|p| p.view == PictureView::Side && !p.photograph.traces.is_empty());
    let over = side.and_then(|picture| Some((picture, Depth::of(document, picture).ok()?)));
    let form = begun.after.forms.first();
    let previews = LineName::ALL.iter().filter_map(|name| {
        let master = form?.lines.get(*name);
        let preview = Preview::of(*name, &form::line(master).ok()?, master);
        let on_centre_plane = matches!(name, LineName::Crown | LineName::Keel);
        Some(match over.as_ref().filter(|_| on_centre_plane) {
            Some((picture, depth)) => preview.over(document, picture, depth),
            None => preview,
        })
    });
    let previews = previews.collect();
    Ok(Told { begun, previews })
}

/// Begins the form, as one step.
pub(super) fn accept(app: &mut App) {
    let found = app.table.tracing.beginning.as_ref().and_then(Beginning::begun);
    let Some(Ok(told)) = found else { return };
    let edit = told.begun.edit.clone();
    act::edit_once(app, &edit);
    if app.message.is_none() {
        app.view.fit_wanted = true;
        app.note = Some("The form is begun. Next: solve its sections from the photographs.".into());
    }
}
