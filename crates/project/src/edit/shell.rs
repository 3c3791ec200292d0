//! Edits of the shell, and of where added forms sit.

use std::sync::Arc;

use super::{Refused, forms};
use crate::build::Build;
use crate::document::{Document, Form};
use crate::mount::Mount;
use crate::promise;
use crate::shell::Shell;

pub(super) fn set(d: &mut Document, shell: &Shell) -> Result<(), Refused> {
    promise::check_shell(shell)?;
    d.shell = Arc::new(shell.clone());
    Ok(())
}

pub(super) fn set_mount(d: &mut Document, form: usize, mount: Option<Mount>) -> Result<(), Refused> {
    if form == 0 && mount.is_some() {
        return Err(Refused::new(
            "The first form is the one that others are put on.",
            "Choose a form after the first, or add one.",
        ));
    }
    mount.iter().try_for_each(promise::check_mount)?;
    forms::form_mut(d, form)?.mount = mount;
    Ok(())
}

/// What follows from the rest: the coat from the laminate where that feeds it, and that the first form is put on none.
/// Says whether the coat was another.
pub(crate) fn settle_coat(d: &mut Document) -> bool {
    if let Some(first) = d.forms.first_mut().filter(|first| first.mount.is_some() || first.build.is_some()) {
        *first = Arc::new(Form { mount: None, build: None, ..(**first).clone() });
    }
    let Some(coat) = d.shell.coat().filter(|coat| *coat != d.build.coat) else { return false };
    d.build = Arc::new(Build { coat, ..(*d.build).clone() });
    true
}
