//! The thread that writes unsaved work aside.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::sync::{Arc, PoisonError};
use std::time::Instant;

use project::document::Document;

use super::{Message, Schedule, Trouble, project_in};
use crate::failure::FileFailure;
use crate::files::{self, OnDisk, Overwrite};
use crate::recovery::{self, Recovery};

pub(super) struct Writer {
    /// Where it may be kept, the best place first.
    folders: Vec<PathBuf>,
    /// Where it is kept.
    folder: Option<PathBuf>,
    /// Held as long as the folder is ours, so that another program does not take it for left behind.
    lock: Option<File>,
    unsaved: Option<(Arc<Document>, Option<OnDisk>)>,
    schedule: Schedule,
    trouble: Trouble,
}

impl Writer {
    pub(super) fn new(folders: Vec<PathBuf>, trouble: Trouble) -> Self {
        Self { folders, folder: None, lock: None, unsaved: None, schedule: Schedule::default(), trouble }
    }

    /// Until the desk hangs up.
    pub(super) fn run(mut self, messages: &Receiver<Message>) {
        loop {
            match self.next(messages) {
                Ok(Message::Note(document, on_disk)) => self.note(document, on_disk),
                Ok(Message::Discard) => self.discard(),
                Ok(Message::Adopt(document, recovery)) => self.adopt(document, *recovery),
                Err(RecvTimeoutError::Timeout) => self.write(),
                Err(RecvTimeoutError::Disconnected) => break,
            }
        }
        if self.schedule != Schedule::default() {
            self.write();
        }
    }

    /// The next message, or a timeout when it is time to write.
    fn next(&self, messages: &Receiver<Message>) -> Result<Message, RecvTimeoutError> {
        match self.schedule.wait(Instant::now()) {
            Some(wait) => messages.recv_timeout(wait),
            None => messages.recv().map_err(|_| RecvTimeoutError::Disconnected),
        }
    }

    fn note(&mut self, document: Arc<Document>, on_disk: Option<OnDisk>) {
        self.unsaved = Some((document, on_disk));
        self.schedule.edited(Instant::now());
        if self.schedule.due(Instant::now()) {
            self.write();
        }
    }

    fn adopt(&mut self, document: Arc<Document>, recovery: Recovery) {
        self.note(document, recovery.origin().cloned());
        self.write();
        if self.schedule == Schedule::default() {
            recovery.discard();
        }
    }

    fn discard(&mut self) {
        self.unsaved = None;
        self.schedule.written();
        self.leave();
        self.tell(None);
    }

    /// Removes what is kept.
    fn leave(&mut self) {
        // Without the lock first, some systems do not let the folder go.
        self.lock = None;
        if let Some(folder) = self.folder.take() {
            recovery::remove(&folder);
        }
    }

    /// Writes what is unsaved; on failure tries again after the usual delay.
    fn write(&mut self) {
        let Some((document, on_disk)) = self.unsaved.clone() else { return };
        let written = self.try_anywhere(&document, on_disk.as_ref());
        self.schedule.written();
        if written.is_err() {
            self.schedule.edited(Instant::now());
        }
        self.tell(written.err().map(|failure| format!("Unsaved work cannot be kept safe for you: {failure}")));
    }

    /// Where it was kept before, else in the best place that can be written. What was kept stays until the next is whole.
    fn try_anywhere(&mut self, document: &Document, on_disk: Option<&OnDisk>) -> Result<(), FileFailure> {
        let mut first = None;
        let places: Vec<PathBuf> = self.folder.iter().chain(&self.folders).cloned().collect();
        for folder in places {
            match self.try_write(&folder, document, on_disk) {
                Ok(()) => return Ok(()),
                Err(failure) => first = first.or(Some(failure)),
            }
        }
        first.map_or(Ok(()), Err)
    }

    fn try_write(&mut self, folder: &Path, document: &Document, on_disk: Option<&OnDisk>) -> Result<(), FileFailure> {
        recovery::make(folder)?;
        let here = self.folder.as_deref() == Some(folder);
        let lock = if here && self.lock.is_some() { None } else { Some(recovery::lock(folder)?) };
        recovery::write_origin(folder, on_disk)?;
        files::save(document, &project_in(folder), None, Overwrite::OnPurpose)?;
        if let Some(lock) = lock {
            self.leave();
            self.lock = Some(lock);
            self.folder = Some(folder.to_owned());
        }
        Ok(())
    }

    fn tell(&self, trouble: Option<String>) {
        *self.trouble.lock().unwrap_or_else(PoisonError::into_inner) = trouble;
    }
}
