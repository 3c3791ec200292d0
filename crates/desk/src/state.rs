//! The folder in which the program keeps what is not the builder's: autosaves and the last project's path.

use std::path::{Path, PathBuf};

/// Puts the state folder elsewhere: for tests, and for carrying the program on a stick.
pub const STATE_VARIABLE: &str = "PLUGWRIGHT_STATE_DIR";

/// Where the state lies. It is made when something is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StateFolder {
    path: PathBuf,
    spare: Option<PathBuf>,
}

impl StateFolder {
    /// A folder of one's own choice.
    pub fn at(path: impl Into<PathBuf>) -> Self {
        Self { path: path.into(), spare: None }
    }

    /// The same, with a second folder where unsaved work is kept safe while the first cannot be written: its disk is full, or it is
    /// on a stick that is protected.
    #[must_use]
    pub fn with_spare(self, spare: impl Into<PathBuf>) -> Self {
        Self { spare: Some(spare.into()), ..self }
    }

    /// The one the environment names, else the one the system has for it; `None` where there is no home.
    pub fn find() -> Option<Self> {
        if let Some(path) = std::env::var_os(STATE_VARIABLE).filter(|path| !path.is_empty()) {
            return Some(Self::at(path).with_spare(spare()));
        }
        let system = directories::ProjectDirs::from("", "", "plugwright")?;
        Some(Self::at(system.state_dir().unwrap_or(system.data_local_dir())).with_spare(spare()))
    }

    /// The folder.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Where unsaved work goes while the folder cannot be written.
    pub fn spare(&self) -> Option<&Path> {
        self.spare.as_deref()
    }
}

/// In the folder for what is of the moment, which is another disk than the home on many systems.
fn spare() -> PathBuf {
    let whose = ["USER", "USERNAME"].into_iter().find_map(|name| std::env::var(name).ok());
    let whose: String = whose.unwrap_or_default().chars().filter(|c| c.is_alphanumeric()).collect();
    std::env::temp_dir().join(format!("plugwright-{whose}"))
}
