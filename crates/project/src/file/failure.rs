//! Why a project could not be read, and where.

use ron::error::{Error, SpannedError};

/// Between reason and hint in a message that passes through the parser.
pub(super) const HINT: char = '\u{1f}';

/// Why a project could not be read or written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileError {
    /// Line and column in the text, from 1, where it is known.
    pub position: Option<(usize, usize)>,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub hint: String,
}

impl std::error::Error for FileError {}

impl std::fmt::Display for FileError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Some((line, column)) = self.position {
            write!(f, "Line {line}, column {column}: ")?;
        }
        write!(f, "{} {}", self.reason, self.hint)
    }
}

impl FileError {
    /// Something that is wrong with the project as a whole.
    pub(super) fn whole(reason: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { position: None, reason: reason.into(), hint: hint.into() }
    }

    /// What the parser found.
    pub(super) fn from_ron(error: &SpannedError) -> Self {
        let (reason, hint) = explained(&error.code);
        Self { position: Some((error.span.start.line, error.span.start.col)), reason, hint }
    }
}

fn explained(error: &Error) -> (String, String) {
    match error {
        Error::Message(message) => match message.split_once(HINT) {
            Some((reason, hint)) => (reason.into(), hint.into()),
            None => (format!("{message}."), CORRECT.into()),
        },
        Error::Eof => ("The text ends in the middle of something.".into(), CUT_OFF.into()),
        Error::ExceededRecursionLimit => {
            ("Brackets are nested far too deeply.".into(), "Check that this is a project file.".into())
        }
        Error::DuplicateStructField { field, .. } => {
            (format!("The field {field} is given twice."), "Remove one of the two.".into())
        }
        Error::MissingStructField { field, .. } => {
            (format!("The field {field} is missing before this place."), "Add it.".into())
        }
        other => (format!("{other}."), CORRECT.into()),
    }
}

const CORRECT: &str = "Correct the text there, or open a copy that still works.";
const CUT_OFF: &str = "The file may have been cut off while it was copied: open another copy.";
