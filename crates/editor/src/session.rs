//! The editor's hold on the project: the document under the hand, its history, and the file it lives in.

use project::document::Document;
use project::edit::{Edit, Refused};
use project::history::History;
use std::sync::Arc;

/// One open project.
pub(crate) struct Session {
    history: History,
    preview: Option<(Edit, Arc<Document>)>,
}

impl Session {
    /// A session over a document.
    pub(crate) fn new(document: Document) -> Self {
        Self { history: History::new(document), preview: None }
    }

    /// The document as it shows now, with a gesture's preview in it.
    pub(crate) fn document(&self) -> Arc<Document> {
        self.preview.as_ref().map_or_else(|| self.history.document().clone(), |(_, d)| d.clone())
    }

    /// Applies one edit as one step.
    pub(crate) fn apply(&mut self, edit: &Edit) -> Result<(), Refused> {
        self.preview = None;
        let document = edit.apply(self.history.document())?;
        self.history.push(edit.label(), Arc::new(document));
        Ok(())
    }

    /// Shows what an edit would do, without a step.
    pub(crate) fn preview(&mut self, edit: Edit) -> Result<(), Refused> {
        let document = edit.apply(self.history.document())?;
        self.preview = Some((edit, Arc::new(document)));
        Ok(())
    }

    /// Makes the preview a step.
    pub(crate) fn commit_preview(&mut self) {
        if let Some((edit, document)) = self.preview.take() {
            self.history.push(edit.label(), document);
        }
    }

    /// Drops the preview.
    pub(crate) fn cancel_preview(&mut self) {
        self.preview = None;
    }

    pub(crate) fn undo(&mut self) -> bool {
        self.preview = None;
        self.history.undo()
    }

    pub(crate) fn redo(&mut self) -> bool {
        self.preview = None;
        self.history.redo()
    }

    pub(crate) fn undo_label(&self) -> Option<&str> {
        self.history.undo_label()
    }

    pub(crate) fn redo_label(&self) -> Option<&str> {
        self.history.redo_label()
    }

    pub(crate) fn is_changed(&self) -> bool {
        self.history.is_changed()
    }
}
