//! Edits of the openings of a form.

use std::sync::Arc;

use super::{Refused, gone};
use crate::document::Form;
use crate::opening::Opening;
use crate::promise;

pub(super) fn add(f: &mut Form, opening: &Opening) -> Result<(), Refused> {
    promise::check_count("openings", f.openings.len() + 1, promise::MAX_OPENINGS)?;
    promise::check_opening(opening)?;
    f.openings.push(Arc::new(opening.clone()));
    Ok(())
}

pub(super) fn replace(f: &mut Form, index: usize, with: &Opening) -> Result<(), Refused> {
    promise::check_opening(with)?;
    let opening = f.openings.get_mut(index).ok_or_else(|| gone("opening", index))?;
    *opening = Arc::new(with.clone());
    Ok(())
}

pub(super) fn remove(f: &mut Form, index: usize) -> Result<(), Refused> {
    if index >= f.openings.len() {
        return Err(gone("opening", index));
    }
    f.openings.remove(index);
    Ok(())
}
