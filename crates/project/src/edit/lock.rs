//! Points of the master lines that a pinned section locks.

use std::sync::Arc;

use super::Refused;
use crate::document::{ControlSection, Form, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use crate::measured::{MasterValues, master_values};
use crate::promise::{self, MIN_POINT_GAP, apart};

/// Index of the pinned section that locks a line's point at `x`, if one does.
pub fn locked_by(form: &Form, line: LineName, x: f64) -> Option<usize> {
    let locks = |section: &Arc<ControlSection>| {
        same_place(section.station, x) && pinned_values(section).is_some_and(|values| values.get(line).is_some())
    };
    form.sections.iter().position(locks)
}

/// Refuses to touch a point that a pinned section locks.
pub(super) fn check_free(form: &Form, line: LineName, x: f64) -> Result<(), Refused> {
    match locked_by(form, line, x) {
        None => Ok(()),
        Some(section) => Err(Refused::new(
            format!("Section {} is pinned to measured points and locks this point.", section + 1),
            format!("Unpin section {} or edit its measured points.", section + 1),
        )),
    }
}

/// Sets the points that all pinned sections of a form lock.
///
/// # Errors
/// A line would no longer keep its promises.
pub fn lock_all(form: &mut Form) -> Result<(), Refused> {
    for section in form.sections.clone() {
        lock(form, &section)?;
    }
    Ok(())
}

/// Sets the points that a section locks, if it is pinned.
pub(super) fn lock(form: &mut Form, section: &ControlSection) -> Result<(), Refused> {
    let Some(values) = pinned_values(section) else { return Ok(()) };
    for name in LineName::ALL {
        let Some(value) = values.get(name) else { continue };
        let line = form.lines.get_mut(name);
        if !holds(line, section.station, value) {
            set_point(Arc::make_mut(line), section.station, value);
            promise::check_line(name, line)?;
        }
    }
    Ok(())
}

/// Takes away the points that a section locks, as when it moves on.
pub(super) fn unlock(form: &mut Form, section: &ControlSection) {
    let Some(values) = pinned_values(section) else { return };
    for name in LineName::ALL.into_iter().filter(|name| values.get(*name).is_some()) {
        let line = Arc::make_mut(form.lines.get_mut(name));
        line.points.retain(|point| !same_place(point.x, section.station));
    }
}

fn pinned_values(section: &ControlSection) -> Option<MasterValues> {
    match &section.shape {
        SectionShape::Pinned(measured) => Some(master_values(measured)),
        SectionShape::Shaped(_) => None,
    }
}

fn same_place(x: f64, other: f64) -> bool {
    !apart(0.0, (x - other).abs(), MIN_POINT_GAP)
}

/// A line that holds the value to a millionth of a millimetre is left as it is, so that a project stays the same to the
/// last digit when it is opened on another machine.
fn holds(line: &MasterLine, x: f64, value: f64) -> bool {
    line.points.iter().any(|point| point.x == x && (point.value - value).abs() <= 1e-6)
}

/// Puts a point there in place of those that are; it keeps the kind of the first of them.
fn set_point(line: &mut MasterLine, x: f64, value: f64) {
    let kind = line.points.iter().find(|point| same_place(point.x, x)).map_or(LinePointKind::Smooth, |old| old.kind);
    line.points.retain(|point| !same_place(point.x, x));
    let at = line.points.partition_point(|point| point.x < x);
    line.points.insert(at, LinePoint { x, value, kind });
}
