//! Undo is a list of documents.

use std::sync::Arc;

use crate::document::Document;

/// How many steps are kept.
pub const MAX_STEPS: usize = 1000;

/// The documents that came about, one a finished edit, and where we are among them.
#[derive(Clone, Debug)]
pub struct History {
    /// From the oldest to the newest; never empty.
    revisions: Vec<Revision>,
    /// Index of the one that is shown.
    at: usize,
    /// What is on disk, if anything is.
    saved: Option<Arc<Document>>,
}

#[derive(Clone, Debug)]
struct Revision {
    /// What made it out of the one before.
    label: String,
    document: Arc<Document>,
}

impl History {
    /// Begins with a document that is not worth keeping yet (a new one) or lies on disk (an opened one).
    pub fn new(document: Document) -> Self {
        let document = Arc::new(document);
        let saved = Some(Arc::clone(&document));
        Self { revisions: vec![Revision { label: String::new(), document }], at: 0, saved }
    }

    /// Begins with a document that is not on disk as it is, such as a recovered one.
    pub fn unsaved(document: Document) -> Self {
        Self { saved: None, ..Self::new(document) }
    }

    /// The document as it stands.
    pub fn document(&self) -> &Arc<Document> {
        &self.revisions[self.at].document
    }

    /// Adds a finished edit. What had been undone is forgotten; past [`MAX_STEPS`] the oldest goes.
    pub fn push(&mut self, label: String, document: Arc<Document>) {
        self.revisions.truncate(self.at + 1);
        self.revisions.push(Revision { label, document });
        if self.revisions.len() > MAX_STEPS + 1 {
            self.revisions.remove(0);
        }
        self.at = self.revisions.len() - 1;
    }

    /// Goes one step back; false if there is none.
    pub fn undo(&mut self) -> bool {
        let can = self.at > 0;
        self.at -= usize::from(can);
        can
    }

    /// Goes one step forward again; false if there is none.
    pub fn redo(&mut self) -> bool {
        let can = self.at + 1 < self.revisions.len();
        self.at += usize::from(can);
        can
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        (self.at > 0).then(|| self.revisions[self.at].label.as_str())
    }

    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.revisions.get(self.at + 1).map(|revision| revision.label.as_str())
    }

    /// Notes that this document is on disk now.
    pub fn mark_saved(&mut self, document: &Arc<Document>) {
        self.saved = Some(Arc::clone(document));
    }

    /// Whether the document differs from the one on disk. Undoing back to that one counts as unchanged.
    pub fn is_changed(&self) -> bool {
        !self.saved.as_ref().is_some_and(|saved| Arc::ptr_eq(saved, self.document()))
    }
}
