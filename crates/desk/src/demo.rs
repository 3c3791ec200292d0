//! The demo projects, built into the program, so that there is something to see on any machine.

use std::fs;
use std::path::PathBuf;

use project::document::Document;
use project::file::{FileError, from_file};

use crate::failure::FileFailure;
use crate::files::{self, ENDING};
use crate::state::StateFolder;

/// A demo's files: path in its folder, and bytes. The lists are written by the tool that makes the demos.
type Files = &'static [(&'static str, &'static [u8])];

const COWL: Files = include!("../../../demo-projects/ostrel/files.rs");
const BOWL: Files = include!("../../../demo-projects/bowl/files.rs");

/// A demo that is built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Demo {
    /// A nose cowl with photographs, openings and an added form; one piece of cloth goes over it.
    Cowl,
    /// A deep bowl that no one piece of cloth lies down on without slits.
    Bowl,
}

impl Demo {
    /// All of them; the first is what a first start opens.
    pub const ALL: [Self; 2] = [Self::Cowl, Self::Bowl];

    fn files(self) -> Files {
        match self {
            Self::Cowl => COWL,
            Self::Bowl => BOWL,
        }
    }

    /// The demo, pictures and all, straight from the program.
    ///
    /// # Errors
    /// The built-in demo is broken, which would be a mistake in the program.
    pub fn document(self) -> Result<Document, FileError> {
        let load = |path: &str| self.files().iter().find(|(name, _)| *name == path).map(|(_, bytes)| bytes.to_vec());
        let mut load_or_say = |path: &str| load(path).ok_or_else(|| "it is not built in".into());
        from_file(&self.text(), &mut load_or_say).map(|opened| opened.document)
    }

    fn text(self) -> String {
        let file = self.files().iter().find(|(name, _)| name.ends_with(ENDING));
        file.map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned()).unwrap_or_default()
    }
}

/// The first demo, pictures and all, straight from the program.
///
/// # Errors
/// The built-in demo is broken, which would be a mistake in the program.
pub fn document() -> Result<Document, FileError> {
    Demo::Cowl.document()
}

/// The builder's own copy of the first demo, to be changed at will: the one that is there, else a new one.
///
/// # Errors
/// It cannot be written.
pub fn working_copy(state: &StateFolder) -> Result<PathBuf, FileFailure> {
    let folder = state.path().join("demo");
    let project = folder.join(format!("demo{ENDING}"));
    if project.is_file() {
        return Ok(project);
    }
    for (name, bytes) in COWL.iter().filter(|(name, _)| !name.ends_with(ENDING)) {
        files::write_picture(&folder.join(name), bytes)?;
    }
    fs::create_dir_all(&folder).map_err(|cause| FileFailure::unwritable(&folder, cause))?;
    files::write_whole(&project, Demo::Cowl.text().as_bytes())?;
    Ok(project)
}
