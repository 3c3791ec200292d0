//! Airframe, keep-outs, gauges and fairness: findings.
//!
//! Everything here is a pure function of the document and of the loft made of it. Lengths are mm, x aft from the datum, y to
//! starboard, z up. Each kind of finding has its own file and its own type for what was measured; [`findings`] puts them
//! in words for one form. A form that cannot be lofted yet gives only what does not need a surface.
//!
//! The airframe and the way of building belong to the project's first form. The surface that is compared is the finished skin; its
//! inside is the skin less the coat of the build ([`wall`]), whichever process is chosen.

pub mod draw_off;
pub mod fair;
pub mod fuselage;
pub mod gauges;
pub mod hollow;
mod join;
pub mod keep_outs;
mod mend;
pub mod outline;
pub mod shell;
mod smooth;
pub mod solid;
pub mod spacing;
#[cfg(test)]
mod testing;
pub mod thick;
pub mod thrust;

pub(crate) use form::space;
use form::{Finding, Lofted};
use geometry::loft::Loft;
use keep_outs::Standing;
use project::airframe::{Airframe, DrawOff, FuselageEnd, KeepOut, Solid};
use project::build::Build;
use project::document::{Document, Form, LineName};
use shell::Shell;
use solid::Placed;
use thrust::{RingTrim, Shaft};

/// Thickness of the shell along the normal, mm.
pub fn wall(build: &Build) -> f64 {
    build.coat.total()
}

/// Every finding of this crate on form number `index` of a document.
pub fn document_findings(document: &Document, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let Some(form) = document.forms.get(index) else { return Vec::new() };
    if index == 0 {
        return findings(&document.airframe, &document.build, form, lofted);
    }
    let mut found = shape_findings(form, index, lofted);
    found.extend(added_findings(document, form, index, lofted));
    found.iter_mut().for_each(|f| f.place.form = Some(index));
    found
}

/// What is found about how a form is built that is put on the first one. The airframe is the first form's affair: fuselage end, ring and
/// gauges say nothing of this one, whose stations are its own.
fn added_findings(document: &Document, form: &Form, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let Some(skin) = lofted.whole_skin().filter(|_| form.mount.is_some()) else { return Vec::new() };
    let build = form.build.as_ref().unwrap_or(&document.build);
    // Where a stack of its own sets the cards, the plan of its plug tells which of its bays bend too much.
    let stacked = form.build.as_ref().is_some_and(|own| own.stack.used);
    let spacing = if stacked { None } else { spacing::finding(form, index, skin.loft(), build.stack.allowed_sagitta) };
    spacing.into_iter().chain(thick::finding(form, lofted, wall(build))).collect()
}

/// Every finding on the project's first form: its shape, how it is built, and how it fits the airframe.
pub fn findings(airframe: &Airframe, build: &Build, form: &Form, lofted: &Lofted) -> Vec<Finding> {
    let mut found = shape_findings(form, 0, lofted);
    if let Some(skin) = lofted.whole_skin() {
        let loft = skin.loft();
        // Where a stack sets the cards, the plan of the plug tells which of its bays bend too much.
        if !build.stack.used {
            found.extend(spacing::finding(form, 0, loft, build.stack.allowed_sagitta));
        }
        found.extend(thick::finding(form, lofted, wall(build)));
        found.extend(airframe_findings(airframe, form, loft, wall(build)));
        found.extend(gauges::findings(&airframe.gauges, form, 0, lofted));
    }
    found.iter_mut().for_each(|f| f.place.form = Some(0));
    found
}

/// What is found about the shape alone of form number `index`: lines that are not fair, control sections that cross.
pub fn shape_findings(form: &Form, index: usize, lofted: &Lofted) -> Vec<Finding> {
    let lines = LineName::ALL.into_iter().filter_map(|name| {
        let curve = lofted.line(name)?;
        Some(fair::findings(name, form, index, curve))
    });
    let mut found: Vec<Finding> = lines.flatten().collect();
    if let Some(skin) = lofted.whole_skin() {
        found.extend(hollow::findings(form, skin.loft()));
    }
    found
}

/// The plane that trims the front of the first form: the rear face of the ring, where there is a thrust line with a spinner.
pub fn ring_trim(airframe: &Airframe) -> Option<RingTrim> {
    airframe.thrust.as_ref().filter(|line| line.spinner.diameter > 0.0).map(|line| thrust::ring(line).rear)
}

fn airframe_findings(airframe: &Airframe, form: &Form, loft: &Loft, wall: f64) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(end) = &airframe.fuselage {
        found.extend(fuselage::findings(end, form, 0, loft, wall));
    }
    if let Some(line) = &airframe.thrust {
        found.extend(thrust::findings(line, loft));
    }
    let nothing_stands = airframe.keep_outs.is_empty() && airframe.thrust.is_none() && airframe.fuselage.is_none();
    if nothing_stands {
        return found;
    }
    let shell = Shell::new(loft, wall, ring_trim(airframe));
    let shaft = airframe.thrust.as_ref().map(thrust::shaft);
    let standing = keep_outs::standing(&airframe.keep_outs, shaft.as_ref(), &shell);
    let pairs = || airframe.keep_outs.iter().zip(&standing);
    found.extend(pairs().enumerate().filter_map(|(i, (keep_out, standing))| {
        let finding = keep_outs::finding(i, keep_out, standing)?;
        let mend = standing.as_ref().ok().and_then(|s| keep_outs::mend(keep_out, s, form, 0, &shell));
        Some(finding.mended_by(mend))
    }));
    found.extend(in_the_way(airframe, &standing, &shell));
    found
}

/// What the shell hits when it is drawn off: keep-outs (which stand as [`keep_outs::standing`] tells), the spinner's back plate,
/// the fuselage. Empty where it comes off freely.
pub fn in_the_way(
    airframe: &Airframe,
    standing: &[Result<Standing, solid::NotPlaced>],
    shell: &Shell<'_>,
) -> Vec<Finding> {
    let ahead = way_off(airframe);
    let pairs = airframe.keep_outs.iter().zip(standing);
    let keep_outs =
        pairs.filter_map(|(keep_out, standing)| on_the_way(keep_out, standing.as_ref().ok()?, shell, ahead));
    let plate = airframe
        .thrust
        .as_ref()
        .and_then(|line| back_plate_finding(line.spinner.diameter, &thrust::shaft(line), shell, ahead));
    let fuselage = airframe.fuselage.as_ref().and_then(|end| fuselage_on_the_way(end, shell, ahead));
    keep_outs.chain(plate).chain(fuselage).collect()
}

/// The way the shell is drawn off, as a unit vector that points ahead; along the datum axis while there is no thrust line.
pub fn way_off(airframe: &Airframe) -> [f64; 3] {
    match (&airframe.thrust, airframe.draw_off) {
        (Some(line), DrawOff::ThrustLine) => thrust::shaft(line).ahead,
        _ => [-1.0, 0.0, 0.0],
    }
}

/// A keep-out on the shell's way; what already stands in the shell's wall is told as a keep-out.
fn on_the_way(keep_out: &KeepOut, standing: &Standing, shell: &Shell<'_>, ahead: [f64; 3]) -> Option<Finding> {
    standing.clearance.filter(|c| c.distance >= 0.0)?;
    let hit = draw_off::hit(&standing.solid, shell, ahead)?;
    let hint = "Widen the form behind it, draw the shell off another way, or take it off first.";
    Some(draw_off::finding(&keep_out.name, &hit, hint))
}

fn fuselage_on_the_way(end: &FuselageEnd, shell: &Shell<'_>, ahead: [f64; 3]) -> Option<Finding> {
    let fuselage = fuselage::FuselageShape::of(end)?;
    let hit = draw_off::fuselage_hit(end, &fuselage, shell, ahead)?;
    let hint = "Give the lap more clearance, shorten it, or draw the shell off another way.";
    Some(draw_off::finding("the fuselage", &hit, hint))
}

/// A back plate is taken to be this thick, mm; only its edge matters.
const BACK_PLATE: f64 = 2.0;

/// A spinner is nearly always in the way; that is worth knowing, but no fault.
fn back_plate_finding(diameter: f64, shaft: &Shaft, shell: &Shell<'_>, ahead: [f64; 3]) -> Option<Finding> {
    if diameter <= 0.0 {
        return None;
    }
    let front = space::add(shaft.hub, space::times(shaft.ahead, BACK_PLATE));
    let plate = Placed::new(Solid::Cylinder { diameter, length: BACK_PLATE }, front, space::times(shaft.ahead, -1.0));
    let hit = draw_off::hit(&plate, shell, ahead)?;
    let hint = "Take spinner and back plate off before the shell.";
    let finding = draw_off::finding("the spinner's back plate", &hit, hint);
    Some(Finding { severity: form::Severity::Note, ..finding })
}

#[cfg(test)]
mod tests;
