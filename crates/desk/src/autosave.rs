//! Unsaved work is written aside while the builder draws, so that a crash or a power cut costs seconds.
//!
//! A thread of its own writes; drawing never waits for a disk.

mod schedule;
mod writer;

use std::path::PathBuf;
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{Builder, JoinHandle};

use project::document::Document;

use crate::files::OnDisk;
use crate::recovery::Recovery;
use crate::state::StateFolder;

pub use schedule::{DELAY, Schedule};

/// Keeps the unsaved document of one desk in a recovery folder of its own.
#[derive(Debug)]
pub struct Autosave {
    sender: Option<Sender<Message>>,
    thread: Option<JoinHandle<()>>,
    trouble: Trouble,
}

const NO_THREAD: &str = "Unsaved work cannot be kept safe for you: the system is short of memory. Save often.";

/// What went wrong at the last attempt, if it did.
type Trouble = Arc<Mutex<Option<String>>>;

/// What the writing thread is told.
enum Message {
    /// This is the unsaved document now, of the project on disk there.
    Note(Arc<Document>, Option<OnDisk>),
    /// Nothing is unsaved any more.
    Discard,
    /// As a note, written at once; then the recovery it came from is no longer needed.
    Adopt(Arc<Document>, Box<Recovery>),
}

impl Autosave {
    /// Begins with nothing unsaved.
    pub fn new(state: &StateFolder) -> Self {
        let (sender, receiver) = channel();
        let trouble = Trouble::default();
        let writer = writer::Writer::new(crate::recovery::new_folders(state), Arc::clone(&trouble));
        let thread = Builder::new().name("autosave".into()).spawn(move || writer.run(&receiver)).ok();
        if thread.is_none() {
            *trouble.lock().unwrap_or_else(PoisonError::into_inner) = Some(NO_THREAD.into());
        }
        Self { sender: Some(sender), thread, trouble }
    }

    /// The document as it stands has not been saved; it will be on disk within [`DELAY`] of the first such note.
    pub fn note(&self, document: Arc<Document>, on_disk: Option<OnDisk>) {
        self.send(Message::Note(document, on_disk));
    }

    /// All is saved, or given up on purpose: what was written aside goes.
    pub fn discard(&self) {
        self.send(Message::Discard);
    }

    /// A recovered document is this desk's now. The recovery goes as soon as the document is written again.
    pub(crate) fn adopt(&self, document: Arc<Document>, recovery: Recovery) {
        self.send(Message::Adopt(document, Box::new(recovery)));
    }

    /// Why unsaved work cannot be written aside at present, for the builder.
    pub fn trouble(&self) -> Option<String> {
        self.trouble.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn send(&self, message: Message) {
        if let Some(sender) = &self.sender {
            // The thread ends only when the sender does.
            let _ = sender.send(message);
        }
    }
}

impl Drop for Autosave {
    /// Writes what is unsaved at once and waits for it: a window that closes without asking loses nothing.
    fn drop(&mut self) {
        self.sender = None;
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// Where a project is written aside.
pub(crate) fn project_in(folder: &std::path::Path) -> PathBuf {
    folder.join(format!("recovered{}", crate::files::ENDING))
}
