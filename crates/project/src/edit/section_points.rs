//! Edits of the points and arcs of a shaped section.

use std::sync::Arc;

use super::{Refused, gone};
use crate::document::{ArcKind, Form, PointRole, SectionShape, UnitPoint, UnitSection};
use crate::promise;

pub(super) fn add(f: &mut Form, section: usize, after: usize, point: UnitPoint) -> Result<(), Refused> {
    change(f, section, |unit| {
        let divided = *unit.arcs.get(after).ok_or_else(|| gone("arc", after))?;
        unit.points.insert(after + 1, point);
        unit.arcs.insert(after, divided);
        Ok(())
    })
}

pub(super) fn move_point(f: &mut Form, section: usize, index: usize, u: f64, v: f64) -> Result<(), Refused> {
    change(f, section, |unit| {
        let point = unit.points.get_mut(index).ok_or_else(|| gone("section point", index))?;
        check_no_mark(point.role)?;
        (point.u, point.v) = (u, v);
        Ok(())
    })
}

/// The breadth mark may gain or lose a knuckle; other marks stay what they are.
pub(super) fn set_role(f: &mut Form, section: usize, index: usize, role: PointRole) -> Result<(), Refused> {
    change(f, section, |unit| {
        let point = unit.points.get_mut(index).ok_or_else(|| gone("section point", index))?;
        if !matches!((point.role, role), (PointRole::Breadth { .. }, PointRole::Breadth { .. })) {
            check_no_mark(point.role)?;
            check_no_mark(role)?;
        }
        point.role = role;
        Ok(())
    })
}

/// The arc before the point stays; the one behind it goes with it.
pub(super) fn remove(f: &mut Form, section: usize, index: usize) -> Result<(), Refused> {
    change(f, section, |unit| {
        let point = *unit.points.get(index).ok_or_else(|| gone("section point", index))?;
        check_no_mark(point.role)?;
        unit.points.remove(index);
        unit.arcs.remove(index);
        Ok(())
    })
}

pub(super) fn set_arc(f: &mut Form, section: usize, index: usize, kind: ArcKind) -> Result<(), Refused> {
    change(f, section, |unit| {
        *unit.arcs.get_mut(index).ok_or_else(|| gone("arc", index))? = kind;
        Ok(())
    })
}

pub(super) fn set_ridges(f: &mut Form, section: usize, crown: bool, keel: bool) -> Result<(), Refused> {
    change(f, section, |unit| {
        (unit.crown_ridge, unit.keel_ridge) = (crown, keel);
        Ok(())
    })
}

/// Changes a shaped section and checks it again.
fn change(
    f: &mut Form,
    index: usize,
    change: impl FnOnce(&mut UnitSection) -> Result<(), Refused>,
) -> Result<(), Refused> {
    let section = f.sections.get_mut(index).ok_or_else(|| gone("control section", index))?;
    match &mut Arc::make_mut(section).shape {
        SectionShape::Shaped(unit) => {
            change(unit)?;
            promise::check_unit(unit)
        }
        SectionShape::Pinned(_) => Err(Refused::new(
            format!("Section {} is pinned to measured points.", index + 1),
            "Edit its measured points, or unpin it to shape it freely.",
        )),
    }
}

fn check_no_mark(role: PointRole) -> Result<(), Refused> {
    let line = match role {
        PointRole::Smooth | PointRole::Knuckle { .. } => return Ok(()),
        PointRole::Crown => "crown",
        PointRole::Keel => "keel",
        PointRole::Breadth { .. } => "breadth or breadth height",
    };
    Err(Refused::new(
        "Crown, breadth and keel marks follow the master lines.",
        format!("Move the {line} line at this station instead."),
    ))
}
