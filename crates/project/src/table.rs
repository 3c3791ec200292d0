//! The table of offsets: points on sections, measured or computed, as text.
//!
//! ```text
//! station_mm,half_breadth_mm,height_mm
//! # a row per point, from crown to keel within a station, stations rising
//! 40,0,80
//! 40,35.5,62.25
//! 40,0,-70
//! ```
//! Two equal rows in a row mark a knuckle; the first or the last row of a station doubled marks a ridge there. The first
//! and the last point of a station lie on the centre plane. All lengths in mm.

mod cells;
mod form;
mod points;
mod read;
mod section;
mod write;

pub use form::{end_kind, form_from_table};
pub use points::{PointsRead, read_points};
pub use read::read_table;
pub use write::write_table;

use crate::document::MeasuredSection;

/// The first row of every table.
pub const HEADER: &str = "station_mm,half_breadth_mm,height_mm";

/// A station of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct TableStation {
    /// Distance aft of the datum, mm.
    pub x: f64,
    /// The points, with knuckles numbered from the crown. Without breadth or without height it gives no shape
    /// ([`MeasuredSection::has_shape`]).
    pub section: MeasuredSection,
}

/// What is wrong with a table, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableError {
    /// Line of the text, from 1; `None` for the table as a whole.
    pub line: Option<usize>,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub hint: String,
}

impl std::error::Error for TableError {}

impl std::fmt::Display for TableError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Some(line) = self.line {
            write!(f, "Line {line}: ")?;
        }
        write!(f, "{} {}", self.reason, self.hint)
    }
}

impl TableError {
    fn at(line: usize, reason: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { line: Some(line), reason: reason.into(), hint: hint.into() }
    }

    fn whole(reason: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { line: None, reason: reason.into(), hint: hint.into() }
    }
}
