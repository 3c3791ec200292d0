//! The thread that writes unsaved work aside.

use std::fs::{self, File};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::sync::{Arc, PoisonError};
use std::time::Instant;

use project::document::Document;

use super::{Message, Schedule, Trouble, project_in};
use crate::failure::FileFailure;
use crate::files::{self, OnDisk, Overwrite};
use crate::recovery::{self, Recovery};

pub(super) struct Writer {
    folder: PathBuf,
    /// Held as long as the folder is ours, so that another program does not take it for left behind.
    lock: Option<File>,
    unsaved: Option<(Arc<Document>, Option<OnDisk>)>,
    schedule: Schedule,
    trouble: Trouble,
}

impl Writer {
    pub(super) fn new(folder: PathBuf, trouble: Trouble) -> Self {
        Self { folder, lock: None, unsaved: None, schedule: Schedule::default(), trouble }
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
        // Without the lock first, some systems do not let the folder go.
        if self.lock.take().is_some() {
            recovery::remove(&self.folder);
        }
        self.tell(None);
    }

    /// Writes what is unsaved; on failure tries again after the usual delay.
    fn write(&mut self) {
        let Some((document, on_disk)) = self.unsaved.clone() else { return };
        let written = self.try_write(&document, on_disk.as_ref());
        self.schedule.written();
        if written.is_err() {
            self.schedule.edited(Instant::now());
        }
        self.tell(written.err().map(|failure| format!("Unsaved work cannot be kept safe for you: {failure}")));
    }

    fn try_write(&mut self, document: &Document, on_disk: Option<&OnDisk>) -> Result<(), FileFailure> {
        fs::create_dir_all(&self.folder).map_err(|cause| FileFailure::unwritable(&self.folder, cause))?;
        if self.lock.is_none() {
            self.lock = Some(recovery::lock(&self.folder)?);
        }
        recovery::write_origin(&self.folder, on_disk)?;
        files::save(document, &project_in(&self.folder), None, Overwrite::OnPurpose)?;
        Ok(())
    }

    fn tell(&self, trouble: Option<String>) {
        *self.trouble.lock().unwrap_or_else(PoisonError::into_inner) = trouble;
    }
}
