//! What leaves the program: templates on pages, the table of offsets, meshes, pictures. Everything here is a pure function of
//! the document and its lofts, to bytes or text; [`crate::files`] puts them on disk.

mod added;
mod book;
mod cloth_parts;
mod cut;
mod everything;
mod keep_out_marks;
mod mesh;
mod openings;
mod pages;
mod parting_marks;
mod parts;
mod picture;
mod plug_parts;
pub(crate) mod remembering;
mod screw_strip;
mod table;
mod wire;

pub use added::{assembled, assembled_file, fit_parts, picture_of};
pub use book::{BookFailure, book, book_by};
pub use cut::{CutFailure, CutSheet, CutSheets, cut_sheets, cut_sheets_by, write_cut_sheets};
pub use everything::{EverythingFailure, write_everything};
pub use mesh::{MeshFailure, MeshFormat, closed_ends, mesh_file, mesh_file_of, ring_plane};
pub use openings::{CutMesh, MeshKind, MeshOrder, cut_mesh, trim_parts};
pub use pages::{SheetsFailure, sheets, sheets_by};
pub use parts::{UNFINISHED_NOTE, former_stations, parts, parts_by};
pub use picture::{PictureFailure, View, picture};
pub use plug_parts::{plug_parts, plug_plan, plug_templates};
pub use table::{document_offsets, form_from_offsets, offsets};

use form::Lofted;
use std::fmt::Write as _;

/// A form that cannot be lofted yet, so that nothing can be written of it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("The form \"{form}\" cannot be lofted yet. {reasons}")]
pub struct NotLofted {
    /// The form's name.
    pub form: String,
    /// The first finding that stands in the way, with its hint, and how many more there are.
    pub reasons: String,
}

impl NotLofted {
    /// For the form of that name, with the findings that are errors.
    pub fn of(name: &str, lofted: &Lofted) -> Self {
        let mut errors = lofted.findings.iter().filter(|f| f.severity == form::Severity::Error);
        let mut reasons = errors.next().map_or_else(String::new, |f| format!("{} {}", f.what, f.hint));
        let more = errors.count();
        if more > 0 {
            // Writing to a string does not fail.
            let _ = write!(reasons, " ({more} more in the list of findings.)");
        }
        Self { form: name.to_owned(), reasons }
    }
}
