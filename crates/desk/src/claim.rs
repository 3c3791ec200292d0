//! Which window works on which project. A lock in the state folder, one for each project, is held as long as a window has the project
//! open; the system lets it go when the program ends, in whatever way, so a window that was killed stands in nobody's way.
//!
//! It is there so that a second window can say so. What keeps one from writing over the other's work is that a project is only
//! saved over what was read or written last ([`crate::files::save`]), which also holds between machines.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::Path;

use crate::patience::lock_patiently;
use crate::state::StateFolder;

/// A project that is open on a desk.
#[derive(Debug, Default)]
pub(crate) struct Claim {
    lock: Option<File>,
    elsewhere: bool,
}

impl Claim {
    /// Takes a project. Where no lock can be had because the state folder cannot be written, nothing is known of other windows.
    pub(crate) fn on(state: &StateFolder, project: &Path) -> Self {
        let Some(file) = lock_file(state, project) else { return Self::default() };
        match lock_patiently(&file) {
            Ok(()) => Self { lock: Some(file), elsewhere: false },
            Err(TryLockError::WouldBlock) => Self { lock: None, elsewhere: true },
            Err(TryLockError::Error(_)) => Self::default(),
        }
    }

    /// Whether another window had it first.
    pub(crate) fn is_elsewhere(&self) -> bool {
        self.elsewhere && self.lock.is_none()
    }
}

/// The project's lock; two ways to name one file share it.
fn lock_file(state: &StateFolder, project: &Path) -> Option<File> {
    let whole = fs::canonicalize(project).unwrap_or_else(|_| project.to_owned());
    let name = blake3::hash(whole.as_os_str().as_encoded_bytes()).to_hex();
    let folder = state.path().join("open");
    fs::create_dir_all(&folder).ok()?;
    OpenOptions::new().create(true).truncate(false).write(true).open(folder.join(&name[..16])).ok()
}
