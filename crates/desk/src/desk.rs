//! The desk: one open project, its history, and the edit that is under way.

mod forms;

use std::path::Path;
use std::sync::Arc;

use form::Lofted;
use forms::FirstForm;
use project::document::{Document, Form};
use project::edit::{Edit, Refused};
use project::file::Problem;
use project::history::History;
use project::starter::new_document;

use crate::autosave::Autosave;
use crate::claim::Claim;
use crate::demo;
use crate::failure::FileFailure;
use crate::files::{self, DiskNow, OnDisk, Overwrite};
use crate::plans::{PlanSource, Plans};
use crate::recent::{self, recent_projects};
use crate::reckoned::Reckoned;
use crate::recovery::Recovery;
use crate::skins::Skins;
use crate::state::StateFolder;

/// One open project.
#[derive(Debug)]
pub struct Desk {
    history: History,
    /// The edit of a gesture that has not ended, on a scratch copy.
    preview: Option<Preview>,
    on_disk: Option<OnDisk>,
    problems: Vec<Problem>,
    skins: Skins,
    first_form: FirstForm,
    reckoned: Reckoned,
    keep: Option<Keep>,
    /// The project's file, as far as other windows are concerned.
    claim: Claim,
}

/// What the desk keeps for the next start.
#[derive(Debug)]
struct Keep {
    state: StateFolder,
    autosave: Autosave,
}

#[derive(Debug)]
struct Preview {
    label: String,
    document: Arc<Document>,
}

impl Default for Desk {
    fn default() -> Self {
        Self::new()
    }
}

impl Desk {
    /// A desk with a new, empty project that keeps nothing for the next start: for commands and tests.
    pub fn new() -> Self {
        Self {
            history: History::new(new_document("Untitled")),
            preview: None,
            on_disk: None,
            problems: Vec::new(),
            skins: Skins::default(),
            first_form: FirstForm::default(),
            reckoned: Reckoned::default(),
            keep: None,
            claim: Claim::default(),
        }
    }

    /// A desk with a new, empty project that writes unsaved work aside and remembers which projects were open.
    pub fn keeping(state: StateFolder) -> Self {
        let autosave = Autosave::new(&state);
        Self { keep: Some(Keep { state, autosave }), ..Self::new() }
    }

    /// The document as it is to be shown: with the edit that is under way, if there is one.
    pub fn document(&self) -> &Arc<Document> {
        self.preview.as_ref().map_or(self.history.document(), |preview| &preview.document)
    }

    /// Applies an edit as one step. An edit that changes nothing leaves no step; one under way is given up.
    ///
    /// # Errors
    /// The edit is refused; the document stays as it is.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), Refused> {
        self.cancel_preview();
        let next = edit.apply(self.history.document())?;
        self.push(edit.label(), Arc::new(next));
        Ok(())
    }

    /// Shows what an edit would do, without making it a step: for a drag. Each preview starts from the document before
    /// the gesture, so the last one alone counts.
    ///
    /// # Errors
    /// The edit is refused; the preview before it stays.
    pub fn preview(&mut self, edit: &Edit) -> Result<(), Refused> {
        let document = Arc::new(edit.apply(self.history.document())?);
        self.preview = Some(Preview { label: edit.label(), document });
        self.keep_preview();
        Ok(())
    }

    /// Makes the preview a step; false if there is none or it changes nothing.
    pub fn commit_preview(&mut self) -> bool {
        let Some(preview) = self.preview.take() else { return false };
        let changes = self.push(preview.label, preview.document);
        if !changes {
            self.keep_unsaved();
        }
        changes
    }

    /// Gives the preview up; the document is as before the gesture.
    pub fn cancel_preview(&mut self) {
        if self.preview.take().is_some() {
            self.keep_unsaved();
        }
    }

    /// Whether an edit is under way.
    pub fn is_previewing(&self) -> bool {
        self.preview.is_some()
    }

    fn push(&mut self, label: String, document: Arc<Document>) -> bool {
        let changes = *document != **self.history.document();
        if changes {
            self.history.push(label, document);
            self.keep_unsaved();
        }
        changes
    }

    /// Takes the last step back; false if there is none. A preview is given up.
    pub fn undo(&mut self) -> bool {
        self.cancel_preview();
        let done = self.history.undo();
        self.keep_unsaved();
        done
    }

    /// Makes the step again; false if there is none. A preview is given up.
    pub fn redo(&mut self) -> bool {
        self.cancel_preview();
        let done = self.history.redo();
        self.keep_unsaved();
        done
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.history.undo_label()
    }

    /// What redo would make again.
    pub fn redo_label(&self) -> Option<&str> {
        self.history.redo_label()
    }

    /// Whether there is work that is not on disk.
    pub fn is_changed(&self) -> bool {
        self.history.is_changed()
    }

    /// The project's file, if it has one.
    pub fn path(&self) -> Option<&Path> {
        self.on_disk.as_ref().map(|on_disk| &*on_disk.path)
    }

    /// What could not be had when the project was opened, and what to do.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// A form of the document as it is in force: the first one with the stations of its stack, where that is used.
    pub fn form(&self, form: usize) -> Option<Arc<Form>> {
        self.first_form.form(self.document(), form)
    }

    /// The loft of a form of the document that is shown, remembered as long as what it depends on stays.
    pub fn skin(&self, form: usize) -> Option<Arc<Lofted>> {
        let forms = &self.document().forms;
        forms.get(form).map(|form| self.skins.skin(form, forms.len()))
    }

    /// The plans that were made of late; a copy of it may go to other threads.
    pub fn plans(&self) -> &Plans {
        self.reckoned.plans()
    }

    /// All that was reckoned of late; a copy of it may go to other threads.
    pub fn reckoned(&self) -> &Reckoned {
        &self.reckoned
    }

    /// What the plug of the document that is shown is planned by.
    pub fn plan_source(&self) -> Option<PlanSource> {
        PlanSource::of(self.document(), &self.skin(0)?)
    }

    /// Begins a new project. Unsaved work is gone: ask before.
    pub fn new_project(&mut self) {
        self.put(History::new(new_document("Untitled")), None, Vec::new());
        self.keep_unsaved();
    }

    /// Opens a project file, or the only project in a folder. Unsaved work is gone: ask before.
    ///
    /// # Errors
    /// The project cannot be opened; the one on the desk stays.
    pub fn open(&mut self, path: &Path) -> Result<(), FileFailure> {
        let opened = files::open(path)?;
        self.put(History::new(opened.document), Some(opened.on_disk), opened.problems);
        self.keep_unsaved();
        self.remember_project();
        Ok(())
    }

    /// Opens the project that was open last, else the builder's copy of the demo, else the demo as it is built in.
    ///
    /// # Errors
    /// The last project, or the copy, could not be had, and why; the next best is on the desk then.
    pub fn open_last_or_demo(&mut self) -> Result<(), FileFailure> {
        let last = self.keep.as_ref().and_then(|keep| recent_projects(&keep.state).into_iter().next());
        match last.map(|path| self.open(&path)) {
            Some(Ok(())) => Ok(()),
            Some(Err(failure)) => self.open_demo().and(Err(failure)),
            None => self.open_demo(),
        }
    }

    /// Opens the builder's copy of the demo, else the demo as it is built in. Unsaved work is gone: ask before.
    ///
    /// # Errors
    /// The copy could not be had, and why; the demo is on the desk all the same.
    pub fn open_demo(&mut self) -> Result<(), FileFailure> {
        let copy = self.keep.as_ref().map(|keep| demo::working_copy(&keep.state));
        let opened = copy.map(|path| path.and_then(|path| self.open(&path)));
        if !matches!(opened, Some(Ok(())))
            && let Ok(document) = demo::document()
        {
            self.put(History::new(document), None, Vec::new());
            self.keep_unsaved();
        }
        opened.unwrap_or(Ok(()))
    }

    /// Puts what an earlier run left unsaved on the desk, as unsaved work on its project. Unsaved work is gone: ask before.
    ///
    /// # Errors
    /// It cannot be read; it stays where it is, and so does the project on the desk.
    pub fn recover(&mut self, recovery: Recovery) -> Result<(), FileFailure> {
        let opened = recovery.open()?;
        self.put(History::unsaved(opened.document), recovery.origin().cloned(), opened.problems);
        if let Some(keep) = &self.keep {
            keep.autosave.adopt(Arc::clone(self.history.document()), recovery);
        }
        Ok(())
    }

    fn put(&mut self, history: History, on_disk: Option<OnDisk>, problems: Vec<Problem>) {
        self.history = history;
        self.preview = None;
        self.on_disk = on_disk;
        self.problems = problems;
        self.claim();
    }

    /// Has other windows know that the project is open here.
    fn claim(&mut self) {
        // The old one first: it may be the same file.
        self.claim = Claim::default();
        if let (Some(keep), Some(on_disk)) = (&self.keep, &self.on_disk) {
            self.claim = Claim::on(&keep.state, &on_disk.path);
        }
    }

    /// Whether another window of this machine had the project's file open before this one took it up.
    pub fn is_open_elsewhere(&self) -> bool {
        self.claim.is_elsewhere()
    }

    /// What has become of the project's file since it was read or written here.
    pub fn disk_now(&self) -> DiskNow {
        self.on_disk.as_ref().map_or(DiskNow::AsKnown, files::disk_now)
    }

    /// Closes the desk for good: saved, or not wanted any more. A desk that is dropped otherwise keeps its unsaved work
    /// for the next start.
    pub fn close(self) {
        if let Some(keep) = self.keep {
            keep.autosave.discard();
        }
    }

    /// Why unsaved work cannot be written aside at present, for the builder.
    pub fn autosave_trouble(&self) -> Option<String> {
        self.keep.as_ref().and_then(|keep| keep.autosave.trouble())
    }

    /// Has unsaved work written aside, or what was written aside removed.
    fn keep_unsaved(&self) {
        let Some(keep) = &self.keep else { return };
        if self.history.is_changed() {
            keep.autosave.note(Arc::clone(self.history.document()), self.on_disk.clone());
        } else {
            keep.autosave.discard();
        }
    }

    /// What is being dragged is work too: a hand may rest on it for long.
    fn keep_preview(&self) {
        if let (Some(keep), Some(preview)) = (&self.keep, &self.preview) {
            keep.autosave.note(Arc::clone(&preview.document), self.on_disk.clone());
        }
    }

    /// A list that cannot be written costs a convenience, and is no reason to trouble the builder.
    fn remember_project(&self) {
        if let (Some(keep), Some(path)) = (&self.keep, self.path()) {
            let _ = recent::remember(&keep.state, path);
        }
    }

    /// Saves the project where it came from.
    ///
    /// # Errors
    /// It has no file yet, somebody else changed the file, or it cannot be written. Nothing is lost.
    pub fn save(&mut self) -> Result<(), FileFailure> {
        let path = self.path().ok_or(FileFailure::NoPath)?.to_owned();
        self.save_as(&path, Overwrite::Refuse)
    }

    /// Saves the project to a file, which becomes the project's own.
    ///
    /// # Errors
    /// Another file is there, somebody else changed it, or it cannot be written. Nothing is lost.
    pub fn save_as(&mut self, path: &Path, overwrite: Overwrite) -> Result<(), FileFailure> {
        let document = Arc::clone(self.history.document());
        let before = self.path().map(Path::to_owned);
        self.on_disk = Some(files::save(&document, path, self.on_disk.as_ref(), overwrite)?);
        self.history.mark_saved(&document);
        if before.as_deref() != self.path() {
            self.claim();
        }
        self.keep_unsaved();
        self.remember_project();
        Ok(())
    }
}
