//! The demo project, built into the program, so that there is something to see on any machine.

use std::fs;
use std::path::PathBuf;

use project::document::Document;
use project::file::{FileError, from_file};

use crate::failure::FileFailure;
use crate::files::{self, ENDING};
use crate::state::StateFolder;

/// The demo's files: path in its folder, and bytes. The list is written by the tool that makes the demo.
const FILES: &[(&str, &[u8])] = include!("../../../demo-projects/ostrel/files.rs");

/// The demo, pictures and all, straight from the program.
///
/// # Errors
/// The built-in demo is broken, which would be a mistake in the program.
pub fn document() -> Result<Document, FileError> {
    let load = |path: &str| FILES.iter().find(|(name, _)| *name == path).map(|(_, bytes)| bytes.to_vec());
    let mut load_or_say = |path: &str| load(path).ok_or_else(|| "it is not built in".to_owned());
    from_file(&project_text(), &mut load_or_say).map(|opened| opened.document)
}

/// The builder's own copy of the demo, to be changed at will: the one that is there, else a new one.
///
/// # Errors
/// It cannot be written.
pub fn working_copy(state: &StateFolder) -> Result<PathBuf, FileFailure> {
    let folder = state.path().join("demo");
    let project = folder.join(format!("demo{ENDING}"));
    if project.is_file() {
        return Ok(project);
    }
    for (name, bytes) in FILES.iter().filter(|(name, _)| !name.ends_with(ENDING)) {
        files::write_picture(&folder.join(name), bytes)?;
    }
    fs::create_dir_all(&folder).map_err(|cause| FileFailure::unwritable(&folder, cause))?;
    files::write_whole(&project, project_text().as_bytes())?;
    Ok(project)
}

fn project_text() -> String {
    let file = FILES.iter().find(|(name, _)| name.ends_with(ENDING));
    file.map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned()).unwrap_or_default()
}
