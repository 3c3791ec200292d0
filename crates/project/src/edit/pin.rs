//! A control section that follows the fuselage's section.

use std::sync::Arc;

use super::{Edit, Refused, airframe, forms, sections};
use crate::airframe::{FuselageEnd, Pin};
use crate::document::{ControlSection, Document, Form, SectionShape};
use crate::fuselage::{FINE, points};
use crate::promise::MIN_SECTION_GAP;

/// Sets the fuselage end and brings the section that follows it along.
pub(super) fn set_fuselage(d: &mut Document, end: Option<&FuselageEnd>) -> Result<(), Refused> {
    let old = d.airframe.fuselage.as_ref().and_then(followed_at);
    airframe::set_fuselage(Arc::make_mut(&mut d.airframe), end)?;
    let Some((end, pin)) = end.and_then(|end| Some((end, end.pinned?))) else { return Ok(()) };
    let with = following(end, pin)?;
    let form = d.forms.get(pin.form).ok_or_else(|| super::gone("form", pin.form))?;
    let old = old.filter(|(form, _)| *form == pin.form).and_then(|(_, x)| pinned_at(form, x));
    let there = form.sections.iter().position(|s| (s.station - with.station).abs() < MIN_SECTION_GAP);
    match old.or(there) {
        Some(index) if same(&form.sections[index], &with) => Ok(()),
        Some(index) => sections::replace(forms::form_mut(d, pin.form)?, index, &with),
        None => sections::add(forms::form_mut(d, pin.form)?, &with),
    }
}

/// After an edit: the link is dropped where its section follows no more; to move that section alone is refused.
pub(super) fn settle(edit: &Edit, d: &mut Document) -> Result<(), Refused> {
    if follows(d) {
        return Ok(());
    }
    if let Edit::MoveSection { section, .. } = edit {
        return Err(Refused::new(
            format!("Section {} follows the fuselage end and stays at its station.", section + 1),
            "Move the fuselage end on the bench, or let the section go there first.",
        ));
    }
    let_go(d);
    Ok(())
}

/// Another form has gone, or the one with the section that follows.
pub(super) fn form_removed(d: &mut Document, form: usize) {
    let Some(pin) = d.airframe.fuselage.as_ref().and_then(|end| end.pinned) else { return };
    if pin.form == form {
        let_go(d);
    } else if pin.form > form
        && let Some(end) = &mut Arc::make_mut(&mut d.airframe).fuselage
    {
        end.pinned = Some(Pin { form: pin.form - 1, ..pin });
    }
}

/// Drops the link of a document whose section does not follow; says whether it was dropped.
pub(crate) fn let_go_of_strays(d: &mut Document) -> bool {
    let stray = !follows(d);
    if stray {
        let_go(d);
    }
    stray
}

/// Whether the linked section is what the fuselage says. Also true where nothing is linked.
pub(crate) fn follows(d: &Document) -> bool {
    let Some((end, pin)) = d.airframe.fuselage.as_ref().and_then(|end| Some((end, end.pinned?))) else { return true };
    let Ok(wanted) = following(end, pin) else { return false };
    d.forms.get(pin.form).is_some_and(|form| form.sections.iter().any(|section| same(section, &wanted)))
}

fn let_go(d: &mut Document) {
    if let Some(end) = &mut Arc::make_mut(&mut d.airframe).fuselage {
        end.pinned = None;
    }
}

fn followed_at(end: &FuselageEnd) -> Option<(usize, f64)> {
    Some((end.pinned?.form, end.station))
}

fn following(end: &FuselageEnd, pin: Pin) -> Result<ControlSection, Refused> {
    let measured = points(&end.section, FINE, pin.proud).ok_or_else(|| {
        Refused::new(
            "The fuselage's section has no outline that a section could follow.",
            "Give it at least three measured points, or a width and height above zero.",
        )
    })?;
    let section = ControlSection { station: end.station, shape: SectionShape::Pinned(measured) };
    crate::promise::check_section(&section)?;
    Ok(section)
}

fn pinned_at(form: &Form, x: f64) -> Option<usize> {
    form.sections.iter().position(|s| s.station == x && matches!(s.shape, SectionShape::Pinned(_)))
}

/// The same to a millionth of a millimetre, so that another machine's last digit does not matter.
fn same(a: &ControlSection, b: &ControlSection) -> bool {
    let (SectionShape::Pinned(p), SectionShape::Pinned(q)) = (&a.shape, &b.shape) else { return false };
    let near = |x: f64, y: f64| (x - y).abs() <= 1e-6;
    let points = p.points.iter().zip(&q.points).all(|(p, q)| near(p[0], q[0]) && near(p[1], q[1]));
    let ridges = |m: &crate::document::MeasuredSection| (m.crown_ridge, m.keel_ridge, m.breadth_point);
    a.station == b.station
        && p.points.len() == q.points.len()
        && points
        && p.knuckles == q.knuckles
        && ridges(p) == ridges(q)
}
