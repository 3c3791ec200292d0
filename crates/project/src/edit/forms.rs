//! Edits of the project as a whole and of its list of forms.

use std::sync::Arc;

use super::{Refused, gone, lock, pin};
use crate::document::{Document, Form, Lengthwise, PaperSetup};
use crate::promise;

pub(super) fn set_name(d: &mut Document, name: &str) -> Result<(), Refused> {
    promise::check_name("The project", name)?;
    d.name = name.to_owned();
    Ok(())
}

pub(super) fn set_model_scale(d: &mut Document, scale: f64) -> Result<(), Refused> {
    promise::check_model_scale(scale)?;
    d.model_scale = scale;
    Ok(())
}

pub(super) fn set_paper(d: &mut Document, setup: PaperSetup) -> Result<(), Refused> {
    promise::check_paper(&setup)?;
    d.paper = setup;
    Ok(())
}

/// The form of that index, to be changed; the other revisions keep theirs.
pub(super) fn form_mut(d: &mut Document, form: usize) -> Result<&mut Form, Refused> {
    d.forms.get_mut(form).map(Arc::make_mut).ok_or_else(|| gone("form", form))
}

pub(super) fn add(d: &mut Document, form: &Form) -> Result<(), Refused> {
    promise::check_form_count(d.forms.len() + 1)?;
    d.forms.push(Arc::new(settled(form)?));
    Ok(())
}

pub(super) fn replace(d: &mut Document, form: usize, with: &Form) -> Result<(), Refused> {
    *form_mut(d, form)? = settled(with)?;
    Ok(())
}

/// A form from outside, with the points that its pinned sections lock.
fn settled(form: &Form) -> Result<Form, Refused> {
    promise::check_form(form)?;
    let mut form = form.clone();
    lock::lock_all(&mut form)?;
    Ok(form)
}

pub(super) fn remove(d: &mut Document, form: usize) -> Result<(), Refused> {
    if form >= d.forms.len() {
        return Err(gone("form", form));
    }
    if d.forms.len() == 1 {
        return Err(Refused::new("This is the project's only form.", "Add another one first, or draw this one anew."));
    }
    d.forms.remove(form);
    pin::form_removed(d, form);
    // Whoever is first now is built as the project says; if it had a build of its own, that is what the project says.
    if form == 0
        && let Some(build) = d.forms.first().and_then(|first| first.build.as_ref())
    {
        d.build = Arc::clone(build);
    }
    Ok(())
}

pub(super) fn rename(f: &mut Form, name: &str) -> Result<(), Refused> {
    promise::check_name("The form", name)?;
    f.name = name.to_owned();
    Ok(())
}

pub(super) fn set_lengthwise(f: &mut Form, lengthwise: Lengthwise) -> Result<(), Refused> {
    f.lengthwise = lengthwise;
    Ok(())
}

pub(super) fn set_edge_radii(f: &mut Form, front: f64, rear: f64) -> Result<(), Refused> {
    promise::check_edge_radii(front, rear)?;
    (f.front_edge_radius, f.rear_edge_radius) = (front, rear);
    Ok(())
}
