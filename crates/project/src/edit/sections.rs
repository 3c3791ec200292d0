//! Edits of the list of control sections.

use std::sync::Arc;

use super::{Refused, gone, lock};
use crate::document::{ControlSection, Form, SectionShape};
use crate::measured::unit_section;
use crate::promise;

pub(super) fn add(f: &mut Form, section: &ControlSection) -> Result<(), Refused> {
    promise::check_section(section)?;
    let at = f.sections.partition_point(|other| other.station < section.station);
    f.sections.insert(at, Arc::new(section.clone()));
    promise::check_section_order(f.sections.iter().map(|section| section.station))?;
    lock::lock(f, section)
}

/// Pinned to pinned and elsewhere, the locked points come along; unpinned, they stay as ordinary points.
pub(super) fn replace(f: &mut Form, index: usize, with: &ControlSection) -> Result<(), Refused> {
    let old = section_of(f, index)?;
    let stays = old.station == with.station;
    if !stays && matches!(with.shape, SectionShape::Pinned(_)) {
        lock::unlock(f, &old);
    }
    f.sections.remove(index);
    add(f, with)
}

pub(super) fn move_to(f: &mut Form, index: usize, station: f64) -> Result<(), Refused> {
    let old = section_of(f, index)?;
    replace(f, index, &ControlSection { station, shape: old.shape.clone() })
}

pub(super) fn copy(f: &mut Form, index: usize, station: f64) -> Result<(), Refused> {
    let shape = match &section_of(f, index)?.shape {
        SectionShape::Shaped(unit) => unit.clone(),
        SectionShape::Pinned(measured) => unit_section(measured).ok_or_else(|| {
            Refused::new(
                format!("Section {} has no shape to copy.", index + 1),
                "Copy one that has height above and below its breadth.",
            )
        })?,
    };
    add(f, &ControlSection { station, shape: SectionShape::Shaped(shape) })
}

pub(super) fn remove(f: &mut Form, index: usize) -> Result<(), Refused> {
    section_of(f, index)?;
    f.sections.remove(index);
    Ok(())
}

/// The section of that index.
pub(super) fn section_of(f: &Form, index: usize) -> Result<Arc<ControlSection>, Refused> {
    f.sections.get(index).cloned().ok_or_else(|| gone("control section", index))
}
