//! The forms as they are in force: with the stations that the stack gives, remembered by the parts that they follow from, so that
//! what is derived from a form is not made anew while none of these parts changes.

use std::sync::{Arc, Mutex, PoisonError};

use project::airframe::Airframe;
use project::build::Build;
use project::document::{Document, Form};

/// The first form as it was last asked for. (The others have no stack.)
#[derive(Debug, Default)]
pub(crate) struct FirstForm(Mutex<Option<Known>>);

#[derive(Debug)]
struct Known {
    from: (Arc<Form>, Arc<Airframe>, Arc<Build>),
    form: Arc<Form>,
}

impl FirstForm {
    /// A form of a document with its stations in force; see [`Document::in_force`].
    pub(crate) fn form(&self, document: &Document, index: usize) -> Option<Arc<Form>> {
        let own = document.forms.get(index)?;
        if index > 0 || !document.build.stack.used {
            return Some(own.clone());
        }
        // What is kept is whole at every moment, so a poisoned lock harms nothing.
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |k: &&Known| {
            Arc::ptr_eq(&k.from.0, own)
                && Arc::ptr_eq(&k.from.1, &document.airframe)
                && Arc::ptr_eq(&k.from.2, &document.build)
        };
        if let Some(known) = known.as_ref().filter(same) {
            return Some(known.form.clone());
        }
        let form = document.in_force().forms.first()?.clone();
        let from = (own.clone(), document.airframe.clone(), document.build.clone());
        *known = Some(Known { from, form: form.clone() });
        Some(form)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::starter::{blank_form, new_document};

    #[test]
    fn the_first_form_follows_the_stack_and_is_made_once() {
        let mut document = new_document("Stack");
        let form = blank_form(290.0, 90.0, 110.0, 80.0);
        document.forms = vec![Arc::new(form.clone()), Arc::new(form)];
        let mut build = Build::default();
        build.stack.used = true;
        build.stack.boards = vec![30.0; 9];
        document.build = Arc::new(build);
        let memory = FirstForm::default();
        let first = memory.form(&document, 0).unwrap();
        assert_eq!(first.stations.len(), 12);
        assert!(Arc::ptr_eq(&first, &memory.form(&document, 0).unwrap()));
        assert!(Arc::ptr_eq(&document.forms[1], &memory.form(&document, 1).unwrap()));
        assert!(memory.form(&document, 2).is_none());
    }
}
