//! What the wall of an added form must not touch: keep-outs and the spinner.
//!
//! The least distance from the solid to the skin is sought over the added form's own skin; only what stands out of the first form
//! counts, as the rest is cut away. What passes through an open end touches no wall.

use super::AddedMeeting;
use fit::shell::Shell;
use fit::solid::{NotPlaced, Placed as Standing};
use form::meeting::{Placed, mirrored};
use form::space::{Vector, add, times};
use form::{Finding, Lofted, Part, Severity};
use project::airframe::{Airframe, Solid};
use project::document::Document;
use std::sync::Arc;

/// Something in the way: its name, how far it wants to be left alone, mm, and which keep-out it is.
struct Obstacle {
    name: String,
    solid: Standing,
    clearance: f64,
    keep_out: Option<usize>,
}

/// A spinner is taken to turn in a space as long as its diameter ahead of its back plate (common practice, no source), and needs the gap
/// that the builder gives it behind its plate all round.
fn obstacles(airframe: &Airframe) -> Vec<Obstacle> {
    let shaft = airframe.thrust.as_ref().map(form::shaft::shaft);
    let keep_outs = airframe.keep_outs.iter().enumerate().filter_map(|(i, keep_out)| {
        let solid = match Standing::of(keep_out, shaft.as_ref()) {
            Ok(solid) => solid,
            // Told among the findings of the first form.
            Err(NotPlaced::NoThrustLine | NotPlaced::NoSize) => return None,
        };
        Some(Obstacle { name: keep_out.name.clone(), solid, clearance: keep_out.clearance, keep_out: Some(i) })
    });
    let spinner =
        airframe.thrust.as_ref().zip(shaft).filter(|(line, _)| line.spinner.diameter > 0.0).map(|(line, shaft)| {
            let diameter = line.spinner.diameter;
            let tip = add(shaft.hub, times(shaft.ahead, diameter));
            let solid = Standing::new(Solid::Cylinder { diameter, length: diameter }, tip, times(shaft.ahead, -1.0));
            Obstacle { name: "The spinner".to_owned(), solid, clearance: line.spinner.gap, keep_out: None }
        });
    keep_outs.chain(spinner).collect()
}

/// What an added form, and its mirror image, comes too near to.
pub(super) fn hits(document: &Document, lofted: &[Arc<Lofted>], added: &AddedMeeting) -> Vec<Finding> {
    let all = obstacles(&document.airframe);
    let (Some(first), Some(own)) = (skin(lofted, 0), skin(lofted, added.form)) else { return Vec::new() };
    if all.is_empty() {
        return Vec::new();
    }
    let name = document.forms.get(added.form).map_or("", |f| f.name.as_str());
    let placed = Placed::new(&added.mount);
    let wall = Shell::new(own, 0.0, None);
    let body = Shell::new(first, 0.0, None);
    let sides: &[bool] = if added.mount.mirrored { &[false, true] } else { &[false] };
    let one = |obstacle: &Obstacle| {
        sides.iter().find_map(|twin| {
            let at = |p: Vector| {
                let p = placed.to_first(p);
                if *twin { mirrored(p) } else { p }
            };
            let distance = |p: Vector| obstacle.solid.distance(at(p)).distance;
            // Most are far away, which the whole skin tells soon.
            wall.least(&distance).filter(|least| least.value < obstacle.clearance - 1e-6)?;
            let outside = |p: Vector| if within(&body, at(p)) { f64::INFINITY } else { distance(p) };
            let least = wall.least(&outside).filter(|least| least.value < obstacle.clearance - 1e-6)?;
            Some(finding(name, obstacle, least.value, at(least.at)))
        })
    };
    all.iter().filter_map(one).collect()
}

fn skin(lofted: &[Arc<Lofted>], index: usize) -> Option<&geometry::loft::Loft> {
    Some(lofted.get(index)?.whole_skin()?.loft())
}

/// Whether a place lies inside the first form.
fn within(body: &Shell<'_>, p: Vector) -> bool {
    body.outline(p[0]).is_some_and(|outline| outline.holds([p[1].abs(), p[2]]))
}

fn finding(name: &str, obstacle: &Obstacle, distance: f64, [x, y, z]: Vector) -> Finding {
    let other = &obstacle.name;
    let (severity, what) = if distance < 0.0 {
        (Severity::Error, format!("{other} goes {:.1} mm into the wall of {name}.", -distance))
    } else {
        (Severity::Warning, format!("{other} comes within {distance:.1} mm of {name}."))
    };
    let lacking = obstacle.clearance - distance;
    let hint = format!("Move {name}, or draw it {lacking:.1} mm further out here.");
    let part = obstacle.keep_out.map_or(Part::Thrust, Part::KeepOut);
    Finding::new(severity, part, what, hint).at_station(x).at_point([y, z]).with(distance, obstacle.clearance, "mm")
}
