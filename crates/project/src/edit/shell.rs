//! Edits of the shell, and of where added forms sit.

use std::sync::Arc;

use super::{Refused, forms};
use crate::build::Coat;
use crate::document::Document;
use crate::mount::Mount;
use crate::promise;
use crate::shell::Shell;

pub(super) fn set(d: &mut Document, shell: &Shell) -> Result<(), Refused> {
    promise::check_shell(shell)?;
    d.shell = Arc::new(shell.clone());
    Ok(())
}

pub(super) fn set_mount(d: &mut Document, form: usize, mount: Option<Mount>) -> Result<(), Refused> {
    mount.iter().try_for_each(promise::check_mount)?;
    let edited = forms::form_mut(d, form)?;
    edited.mount = mount;
    if form == 0 { promise::check_stands_alone(edited) } else { Ok(()) }
}

/// The form that is first now is put on none, and built as the project says.
pub(super) fn settle_first(d: &mut Document) {
    if let Some(first) = d.forms.first_mut().filter(|first| promise::check_stands_alone(first).is_err()) {
        let first = Arc::make_mut(first);
        (first.mount, first.build) = (None, None);
    }
}

/// Whether some plug is made smaller by another coat than the laminate that feeds it comes to.
pub(crate) fn strays(d: &Document) -> bool {
    let Some(coat) = d.shell.coat() else { return false };
    let own = d.forms.iter().filter_map(|form| form.build.as_ref());
    own.chain([&d.build]).any(|build| !same(build.coat, coat))
}

/// The same to a billionth of a millimetre: a file may be written by hand, where the last digit does not matter.
fn same(a: Coat, b: Coat) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= 1e-9;
    near(a.laminate, b.laminate) && near(a.filler, b.filler) && near(a.paint, b.paint)
}

/// Sets the coat of every plug to what the laminate comes to, where that feeds it. Says whether one was another.
pub(crate) fn settle_coats(d: &mut Document) -> bool {
    let Some(coat) = d.shell.coat().filter(|_| strays(d)) else { return false };
    Arc::make_mut(&mut d.build).coat = coat;
    for form in d.forms.iter_mut().filter(|form| form.build.is_some()) {
        if let Some(build) = &mut Arc::make_mut(form).build {
            Arc::make_mut(build).coat = coat;
        }
    }
    true
}
