//! What can go wrong with files, each in words for the builder, with the path and what to do.

use std::io;
use std::path::{Path, PathBuf};

use project::file::FileError;

/// A project could not be read or written. Nothing on disk was changed, unless the text says so.
#[derive(Debug, thiserror::Error)]
pub enum FileFailure {
    /// Nothing is there.
    #[error("{} does not exist. Check the path.", path.display())]
    Missing {
        /// What was asked for.
        path: PathBuf,
    },
    /// A folder without a project.
    #[error("There is no project in the folder {}. Name a file that ends in {}.", folder.display(), crate::files::ENDING)]
    NoProject {
        /// The folder.
        folder: PathBuf,
    },
    /// A folder with more than one project.
    #[error("The folder {} holds several projects: {}. Name one of them.", folder.display(), names.join(", "))]
    SeveralProjects {
        /// The folder.
        folder: PathBuf,
        /// The names of the project files, sorted.
        names: Vec<String>,
    },
    /// The file cannot be read.
    #[error("{} cannot be read ({cause}). {hint}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
        /// What to do.
        hint: &'static str,
    },
    /// The file's text is no good; the error has line and column.
    #[error("{}: {error}", path.display())]
    Text {
        /// The file.
        path: PathBuf,
        /// What is wrong, where, and what to do.
        error: FileError,
    },
    /// The project has no file yet.
    #[error("The project has no file yet. Choose where to save it.")]
    NoPath,
    /// Somebody else changed the file since it was opened or saved here. Ask before overwriting.
    #[error(
        "{} has been changed by somebody else since it was opened. Save under another name, or overwrite it on purpose.",
        path.display()
    )]
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
    /// Another file has the chosen name. Ask before overwriting.
    #[error("{} exists already. Choose another name, or overwrite it on purpose.", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// Something that is no project was to be written over one.
    #[error("{} is a project and is not written over. Choose another name.", path.display())]
    ProjectInTheWay {
        /// The project file.
        path: PathBuf,
    },
    /// Something that we did not write has the name of what was to be written.
    #[error(
        "{} was not written by Plugwright and is not written over. Choose another name, or take it away first.",
        path.display()
    )]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// The file may not be changed.
    #[error(
        "{} is protected against writing. Choose another name, or take the protection off. Nothing was written.",
        path.display()
    )]
    Protected {
        /// The file.
        path: PathBuf,
    },
    /// A picture file with the name of one of ours has another content.
    #[error(
        "{} is no longer the picture that the project has. Move or rename it and save again, or save the project under another name \
         in another folder; nothing was written over.",
        path.display()
    )]
    PictureInTheWay {
        /// The picture file.
        path: PathBuf,
    },
    /// The file cannot be written. What was there before is still there, whole.
    #[error("{} cannot be written ({cause}). {hint}", path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
        /// What to do.
        hint: &'static str,
    },
}

impl FileFailure {
    /// Whether overwriting on purpose would help, so that the front end asks.
    pub fn may_overwrite(&self) -> bool {
        matches!(self, Self::ChangedOnDisk { .. } | Self::Exists { .. })
    }

    /// Whether saving somewhere else would help.
    pub fn helps_elsewhere(&self) -> bool {
        matches!(self, Self::Unwritable { .. } | Self::Protected { .. } | Self::PictureInTheWay { .. })
    }

    pub(crate) fn unreadable(path: &Path, cause: io::Error) -> Self {
        match cause.kind() {
            io::ErrorKind::NotFound => Self::Missing { path: path.to_owned() },
            kind => Self::Unreadable { path: path.to_owned(), cause, hint: read_hint(kind) },
        }
    }

    pub(crate) fn unwritable(path: &Path, cause: io::Error) -> Self {
        let hint = write_hint(cause.kind());
        Self::Unwritable { path: path.to_owned(), cause, hint }
    }
}

fn read_hint(kind: io::ErrorKind) -> &'static str {
    match kind {
        io::ErrorKind::PermissionDenied => "Ask for the right to read it, or open a copy.",
        io::ErrorKind::InvalidData => "It is not text in UTF-8: save it as UTF-8, or choose another file.",
        io::ErrorKind::FileTooLarge => "It is larger than 32 MiB, far more than is needed: choose another file.",
        io::ErrorKind::InvalidInput => "Choose a file, not a folder or a device.",
        _ => "Check that the disk is still there, or open a copy.",
    }
}

fn write_hint(kind: io::ErrorKind) -> &'static str {
    match kind {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "Choose a folder that you may write to. Nothing was written."
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "Make room on the disk, or choose another one. Nothing was written."
        }
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            "Its folder is not there: choose another one. Nothing was written."
        }
        _ => "Choose another place. Nothing was written.",
    }
}
