//! Forms that are put on the first one, as they leave the program: marks on the cards of both, templates of the line of meeting, and
//! all forms together as a mesh and as a picture.

mod assembled;
mod fit_line;
mod marks;

pub use assembled::{assembled, assembled_file, picture_of};
pub(super) use fit_line::parts as fit_line_parts;
pub(super) use marks::Joint;

use super::NotLofted;
use crate::plans::{PlanSource, Planned};
use crate::shell::added::as_project;
use form::Lofted;
use project::document::Document;
use std::sync::Arc;

/// An added form as a project of its own, its stations in force, and its planned plug where it is built as a stack; `None` for the first
/// form.
///
/// # Errors
/// The form cannot be lofted yet.
pub(super) fn own_project(
    document: &Document,
    index: usize,
    lofted: &Arc<Lofted>,
) -> Result<Option<(Document, Option<Planned>)>, NotLofted> {
    let Some(own) = as_project(document, index) else { return Ok(None) };
    let own = own.in_force().into_owned();
    let source = PlanSource::of(&own, lofted).filter(|_| own.build.stack.used);
    let planned = source.map_or(Ok(None), |of| Planned::new(&of, &mut |_| true))?;
    Ok(Some((own, planned)))
}
