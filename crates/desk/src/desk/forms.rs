//! The forms as they are in force: with the stations that the stack gives, remembered by the parts that they follow from, so that
//! what is derived from a form is not made anew while none of these parts changes.

use std::sync::{Arc, Mutex, PoisonError};

use crate::shell::added::as_project;
use project::airframe::Airframe;
use project::build::Build;
use project::document::{Document, Form};

/// How many are remembered beside one of each added form.
const KEPT: usize = 16;

/// The first form as it was last asked for, and added forms with a stack of their own.
#[derive(Debug, Default)]
pub(crate) struct FirstForm {
    first: Mutex<Option<Known>>,
    /// As it stands in the document, and as it is in force; the newest at the end.
    added: Mutex<Vec<(Arc<Form>, Arc<Form>)>>,
}

#[derive(Debug)]
struct Known {
    from: (Arc<Form>, Arc<Airframe>, Arc<Build>),
    form: Arc<Form>,
}

impl FirstForm {
    /// A form of a document with its stations in force; see [`Document::in_force`].
    pub(crate) fn form(&self, document: &Document, index: usize) -> Option<Arc<Form>> {
        let own = document.forms.get(index)?;
        if index > 0 {
            return Some(self.added(document, index, own));
        }
        if !document.build.stack.used {
            return Some(own.clone());
        }
        // What is kept is whole at every moment, so a poisoned lock harms nothing.
        let mut known = self.first.lock().unwrap_or_else(PoisonError::into_inner);
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

    /// A form after the first: its stack is its own.
    fn added(&self, document: &Document, index: usize, own: &Arc<Form>) -> Arc<Form> {
        if !own.build.as_ref().is_some_and(|build| build.stack.used) {
            return own.clone();
        }
        let mut added = self.added.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, form)) = added.iter().find(|(of, _)| Arc::ptr_eq(of, own)) {
            return form.clone();
        }
        let project = as_project(document, index);
        let stations = project.and_then(|project| Some(project.in_force().forms.first()?.stations.clone()));
        let form = stations.map_or_else(|| own.clone(), |stations| Arc::new(Form { stations, ..(**own).clone() }));
        let too_many = (added.len() + 1).saturating_sub(document.forms.len() + KEPT);
        added.drain(..too_many);
        added.push((own.clone(), form.clone()));
        form
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

    #[test]
    fn an_added_form_follows_its_own_stack_and_keeps_its_mount() {
        let mut document = new_document("Stack");
        let mut build = Build::default();
        build.stack.used = true;
        build.stack.boards = vec![30.0; 3];
        let added = Form {
            mount: Some(project::mount::Mount::default()),
            build: Some(Arc::new(build)),
            ..blank_form(98.0, 30.0, 40.0, 20.0)
        };
        document.forms = vec![Arc::new(blank_form(290.0, 90.0, 110.0, 80.0)), Arc::new(added.clone())];
        let memory = FirstForm::default();
        let form = memory.form(&document, 1).unwrap();
        // Both ends and the middles of four cards.
        assert_eq!(form.stations.len(), 6);
        assert_eq!((form.mount, &form.build), (added.mount, &added.build));
        assert!(Arc::ptr_eq(&form, &memory.form(&document, 1).unwrap()));
        assert!(Arc::ptr_eq(&document.forms[0], &memory.form(&document, 0).unwrap()));
    }
}
