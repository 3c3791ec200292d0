//! The folder in which the program keeps what is not the builder's: autosaves and the last project's path.

use std::path::{Path, PathBuf};

/// Puts the state folder elsewhere: for tests, and for carrying the program on a stick.
pub const STATE_VARIABLE: &str = "PLUGWRIGHT_STATE_DIR";

/// Where the state lies. It is made when something is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StateFolder(PathBuf);

impl StateFolder {
    /// A folder of one's own choice.
    pub fn at(path: impl Into<PathBuf>) -> Self {
        Self(path.into())
    }

    /// The one the environment names, else the one the system has for it; `None` where there is no home.
    pub fn find() -> Option<Self> {
        if let Some(path) = std::env::var_os(STATE_VARIABLE).filter(|path| !path.is_empty()) {
            return Some(Self(path.into()));
        }
        let system = directories::ProjectDirs::from("", "", "plugwright")?;
        Some(Self(system.state_dir().unwrap_or(system.data_local_dir()).to_owned()))
    }

    /// The folder.
    pub fn path(&self) -> &Path {
        &self.0
    }
}
