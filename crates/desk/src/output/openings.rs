//! Openings as they are made: holes in the mesh, and templates that are wrapped round the shell to cut them by.

mod cut_mesh;
mod flat;
mod lining;
mod trim;

pub use cut_mesh::{CutMesh, MeshKind, MeshOrder, cut_mesh};
pub(super) use flat::{Flat, ground};
pub(crate) use trim::TrimSource;
pub(super) use trim::place_lines;

use crate::reckoned::Reckoned;
use form::Lofted;
use project::document::Document;
use sheets::Part;
use std::sync::Arc;

/// The templates of all openings of a form, each wrapped round the finished shell to cut one by.
pub fn trim_parts(document: &Document, form: usize, lofted: &Arc<Lofted>, known: &Reckoned) -> Vec<Part> {
    TrimSource::all(document, form, lofted).iter().flat_map(|opening| opening.parts(known)).collect()
}

#[cfg(test)]
mod tests {
    use form::Lofted;
    use project::document::Document;
    use project::opening::{Duct, Opening, Outline, Purpose, Seen};
    use std::sync::Arc;

    /// A project of one form, flat at both ends, with these openings, and its loft.
    pub(super) fn document(openings: Vec<Opening>) -> (Document, Lofted) {
        let mut document = project::starter::new_document("Test");
        let mut form = project::starter::blank_form(240.0, 90.0, 110.0, 80.0);
        form.openings = openings.into_iter().map(Arc::new).collect();
        document.forms = vec![Arc::new(form)];
        let lofted = form::loft(&document.forms[0]);
        (document, lofted)
    }

    /// A slot in the side.
    pub(super) fn outlet(mirrored: bool) -> Opening {
        Opening {
            name: "Outlet".to_owned(),
            purpose: Purpose::Outlet,
            seen: Seen::Starboard,
            mirrored,
            outline: Outline::Box { centre: [150.0, 10.0], size: [60.0, 24.0], radius: 6.0, turn_deg: 0.0 },
            duct: None,
        }
    }

    /// A round one in the back, beside the centre plane.
    pub(super) fn intake(duct: Option<Duct>) -> Opening {
        Opening {
            name: "Intake".to_owned(),
            purpose: Purpose::Intake,
            seen: Seen::Above,
            mirrored: false,
            outline: Outline::Ellipse { centre: [80.0, 12.0], size: [40.0, 30.0], turn_deg: 15.0 },
            duct,
        }
    }

    /// A duct straight behind its opening.
    pub(super) fn duct(depth: f64, lip_radius: f64) -> Duct {
        Duct { depth, lip_radius, wall: 1.0, inner: None }
    }
}
