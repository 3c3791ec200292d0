//! Forms that are put on the first one, as they leave the program: marks on the cards of both, templates of the line of meeting, and
//! all forms together as a mesh and as a picture.

mod assembled;
mod fit_line;
mod marks;

pub use assembled::{assembled, assembled_file, picture_of};
pub(super) use fit_line::parts as fit_line_parts;
pub(super) use marks::Joint;

use super::NotLofted;
use crate::plans::Planned;
use crate::reckoned::Reckoned;
use crate::shell::added::as_project;
use form::Lofted;
use project::document::Document;
use sheets::Part;
use std::sync::Arc;

/// An added form as a project of its own, with its planned plug.
type OwnProject = (Document, Option<Arc<Planned>>);

/// An added form as a project of its own, its stations in force, and its planned plug where it is built as a stack; `None` for the first
/// form.
///
/// # Errors
/// The form cannot be lofted yet.
pub(super) fn own_project(
    document: &Document,
    index: usize,
    lofted: &Arc<Lofted>,
    known: &Reckoned,
) -> Result<Option<OwnProject>, NotLofted> {
    let Some(own) = as_project(document, index) else { return Ok(None) };
    let own = own.in_force().into_owned();
    let used = own.build.stack.used;
    let planned = if used { known.planned(&own, std::slice::from_ref(lofted))? } else { None };
    Ok(Some((own, planned)))
}

/// The templates of all lines where added forms meet the first.
pub fn fit_parts(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned) -> Vec<Part> {
    let meetings = known.meetings(document, lofted);
    meetings.iter().flat_map(|added| fit_line_parts(document, lofted, added, known)).collect()
}
