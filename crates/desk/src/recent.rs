//! The projects that were open last, so that the program opens where the builder left off.

use std::fs;
use std::path::{Path, PathBuf};

use crate::failure::FileFailure;
use crate::files::{read_text, write_whole};
use crate::state::StateFolder;

/// How many are remembered.
const KEPT: usize = 10;

/// The projects that were open last, the latest first; those that are gone are left out.
pub fn recent_projects(state: &StateFolder) -> Vec<PathBuf> {
    let text = read_text(&list(state)).unwrap_or_default();
    text.lines().map(PathBuf::from).filter(|path| path.is_file()).collect()
}

/// Puts a project first in the list. Paths that are no Unicode text or hold a line break cannot be listed.
///
/// # Errors
/// The list cannot be written.
pub(crate) fn remember(state: &StateFolder, project: &Path) -> Result<(), FileFailure> {
    let Some(first) = project.to_str().filter(|path| !path.contains(['\n', '\r'])) else { return Ok(()) };
    let mut lines = vec![first.to_owned()];
    let others = recent_projects(state).into_iter().filter(|path| path != project);
    lines.extend(others.filter_map(|path| path.to_str().map(str::to_owned)).take(KEPT - 1));
    fs::create_dir_all(state.path()).map_err(|cause| FileFailure::unwritable(state.path(), cause))?;
    write_whole(&list(state), format!("{}\n", lines.join("\n")).as_bytes())
}

fn list(state: &StateFolder) -> PathBuf {
    state.path().join("recent-projects.txt")
}
