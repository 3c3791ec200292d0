//! Lofts, remembered by exactly what they depend on.

use std::cell::RefCell;
use std::sync::Arc;

use form::{Lofted, UnitMemory};
use project::document::{Form, LineName};

/// How many are kept beside one of each form: enough to go back and forth between the last steps.
const KEPT: usize = 8;

/// The lofts that were asked for last, the newest at the end, and the unit form of the last.
#[derive(Debug, Default)]
pub(crate) struct Skins {
    kept: RefCell<Vec<(Arc<Form>, Arc<Lofted>)>>,
    units: RefCell<UnitMemory>,
}

impl Skins {
    /// The loft of one of so many forms, computed if no form with the same parts has been lofted of late. Who asks for all of them in turn,
    /// again and again, has each of them made once.
    pub(crate) fn skin(&self, form: &Arc<Form>, forms: usize) -> Arc<Lofted> {
        let mut kept = self.kept.borrow_mut();
        let known = kept.iter().position(|(of, _)| same_skin(of, form)).map(|at| kept.remove(at).1);
        let lofted = known.unwrap_or_else(|| Arc::new(form::loft_remembering(form, &mut self.units.borrow_mut())));
        let too_many = (kept.len() + 1).saturating_sub(forms + KEPT);
        kept.drain(..too_many);
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

#[cfg(test)]
mod tests {
    use super::*;
    use project::starter::blank_form;

    #[test]
    fn a_round_of_many_forms_is_lofted_once() {
        let forms: Vec<Arc<Form>> =
            (0..20).map(|k| Arc::new(blank_form(290.0 + f64::from(k), 90.0, 110.0, 80.0))).collect();
        let skins = Skins::default();
        let round = || forms.iter().map(|form| skins.skin(form, forms.len())).collect::<Vec<_>>();
        let (first, second) = (round(), round());
        assert!(first.iter().zip(&second).all(|(a, b)| Arc::ptr_eq(a, b)));
    }
}
