//! What a drag from a place would move, found by taking hold of it and pulling it to where it is. That costs many lofts, so it is
//! done beside the window's thread: the pointer is never slowed by what it passes over.

use desk::photographs::FoundCamera;
use desk::pulled::{Grip, Hold};
use desk::{Outcome, Work};
use egui::Context;
use form::seen::Near;
use project::document::Document;
use project::edit::Edit;
use std::sync::Arc;

/// What was found.
#[derive(Clone, Debug)]
pub(super) enum Looked {
    /// The edit that a drag begins with, and what the grip calls it.
    Moves(Box<Edit>, String),
    /// Nothing moves, and why.
    Refused(String),
    /// It is only to be selected.
    Selects,
}

/// What is looked at.
#[derive(Clone)]
pub(super) struct Sought {
    pub(super) document: Arc<Document>,
    pub(super) form: usize,
    pub(super) camera: Arc<FoundCamera>,
    pub(super) hold: Hold,
    pub(super) near: Near,
}

impl PartialEq for Sought {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.document, &other.document)
            && Arc::ptr_eq(&self.camera, &other.camera)
            && (self.form, self.hold, self.near) == (other.form, other.hold, other.near)
    }
}

/// The look under way, and the last one.
#[derive(Default)]
pub(super) struct Looking {
    work: Option<Work<Sought, Looked>>,
    last: Option<(Sought, Looked)>,
}

impl Looking {
    /// What was found at that very place, if it is there yet; else it is sought, one look after the other.
    pub(super) fn of(&mut self, ctx: &Context, from: Sought) -> Option<Looked> {
        let ctx = ctx.clone();
        let work = self.work.get_or_insert_with(|| Work::new(Arc::new(move || ctx.request_repaint())));
        if let Some((from, Outcome::Done(looked))) = work.poll() {
            self.last = Some((from, looked));
        }
        if let Some((_, looked)) = self.last.as_ref().filter(|(last, _)| *last == from) {
            return Some(looked.clone());
        }
        if work.progress().is_none() {
            work.want(from.clone(), move |_| look(&from));
        }
        None
    }
}

fn look(from: &Sought) -> Looked {
    let camera = from.camera.resection.camera;
    let pulled = Grip::take(&from.document, from.form, &camera, &from.hold).and_then(|mut grip| {
        let pulled = grip.pull(from.near.place.pixel)?;
        Ok(Looked::Moves(Box::new(pulled.edit), grip.label().to_owned()))
    });
    pulled.unwrap_or_else(|refused| Looked::Refused(refused.reason))
}
