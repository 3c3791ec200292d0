//! Lofts, remembered by exactly what they depend on.

use std::cell::RefCell;
use std::sync::Arc;

use form::{Lofted, UnitMemory};
use project::document::{Form, LineName};

/// How many are kept: enough to go back and forth between the last steps.
const KEPT: usize = 8;

/// The lofts that were asked for last, the newest at the end, and the unit form of the last.
#[derive(Debug, Default)]
pub(crate) struct Skins {
    kept: RefCell<Vec<(Arc<Form>, Arc<Lofted>)>>,
    units: RefCell<UnitMemory>,
}

impl Skins {
    /// The loft of a form, computed if no form with the same parts has been lofted of late.
    pub(crate) fn skin(&self, form: &Arc<Form>) -> Arc<Lofted> {
        let mut kept = self.kept.borrow_mut();
        let known = kept.iter().position(|(of, _)| same_skin(of, form)).map(|at| kept.remove(at).1);
        let lofted = known.unwrap_or_else(|| Arc::new(form::loft_remembering(form, &mut self.units.borrow_mut())));
        if kept.len() == KEPT {
            kept.remove(0);
        }
        kept.push((Arc::clone(form), Arc::clone(&lofted)));
        lofted
    }
}

/// Whether two forms share all that the loft reads: lines, edge radii, control sections and how it runs
/// between them. Shared parts
/// are the same in memory, so nothing is compared point by point.
fn same_skin(a: &Arc<Form>, b: &Arc<Form>) -> bool {
    let same_line = |name: &LineName| Arc::ptr_eq(a.lines.get(*name), b.lines.get(*name));
    Arc::ptr_eq(a, b)
        || a.lengthwise == b.lengthwise
            && a.front_edge_radius == b.front_edge_radius
            && a.rear_edge_radius == b.rear_edge_radius
            && LineName::ALL.iter().all(same_line)
            && a.sections.len() == b.sections.len()
            && a.sections.iter().zip(&b.sections).all(|(a, b)| Arc::ptr_eq(a, b))
}
