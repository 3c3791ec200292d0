//! What openings and mounts promise.

use super::{MAX_MM, MIN_SIZE, check_count, check_mm, check_name, check_range, check_thickness};
use crate::edit::Refused;
use crate::mount::Mount;
use crate::opening::{Duct, Opening, Outline, OutlinePoint};

/// A form has at most this many openings.
pub const MAX_OPENINGS: usize = 500;
/// An outline has at most this many points.
pub const MAX_OUTLINE_POINTS: usize = 500;
/// Neighbouring points of a drawn outline lie at least this far apart, mm.
pub const MIN_OUTLINE_GAP: f64 = 0.01;

/// An opening.
///
/// # Errors
/// The first promise that is broken.
pub fn check_opening(opening: &Opening) -> Result<(), Refused> {
    check_name("The opening", &opening.name)?;
    check_outline(&opening.outline)?;
    opening.duct.iter().try_for_each(check_duct)
}

/// How an opening goes on behind the surface.
///
/// # Errors
/// A value out of range.
pub fn check_duct(duct: &Duct) -> Result<(), Refused> {
    check_range("The depth of the duct", duct.depth, MIN_SIZE, 2000.0)?;
    check_thickness("The lip radius of the opening", duct.lip_radius)?;
    check_thickness("The wall of the duct", duct.wall)?;
    duct.inner.iter().try_for_each(check_outline)
}

/// A closed outline.
///
/// # Errors
/// A size out of range, corners rounder than the box, too few points, or two that coincide.
pub fn check_outline(outline: &Outline) -> Result<(), Refused> {
    match outline {
        Outline::Ellipse { centre, size, turn_deg } => check_box(*centre, *size, *turn_deg),
        Outline::Box { centre, size, radius, turn_deg } => {
            check_box(*centre, *size, *turn_deg)?;
            check_corners(*radius, size[0].min(size[1]) / 2.0)
        }
        Outline::Drawn { points } => check_drawn(points),
    }
}

fn check_box(centre: [f64; 2], size: [f64; 2], turn_deg: f64) -> Result<(), Refused> {
    centre.iter().try_for_each(|mm| check_mm("The middle of the outline", *mm))?;
    size.iter().try_for_each(|mm| check_range("The size of the outline", *mm, MIN_SIZE, MAX_MM))?;
    check_range("The turn of the outline in degrees", turn_deg, -180.0, 180.0)
}

fn check_corners(radius: f64, most: f64) -> Result<(), Refused> {
    check_range("The corner radius of the outline", radius, 0.0, MAX_MM)?;
    if radius <= most {
        return Ok(());
    }
    Err(Refused::new(
        format!("Corners of {radius} mm radius do not fit the outline."),
        format!("Keep to half of its smaller side: at most {most} mm."),
    ))
}

fn check_drawn(points: &[OutlinePoint]) -> Result<(), Refused> {
    check_count("points in the outline", points.len(), MAX_OUTLINE_POINTS)?;
    if points.len() < 3 {
        return Err(Refused::new(
            format!("An outline of {} points encloses nothing.", points.len()),
            "Give at least three points.",
        ));
    }
    for point in points {
        point.at.iter().try_for_each(|mm| check_mm("A point of the outline", *mm))?;
    }
    let closed = points.iter().zip(points.iter().cycle().skip(1));
    for (here, next) in closed {
        if (next.at[0] - here.at[0]).hypot(next.at[1] - here.at[1]) < MIN_OUTLINE_GAP {
            return Err(Refused::new(
                format!("Two neighbouring points of the outline lie at {}, {} mm.", here.at[0], here.at[1]),
                format!("Keep them at least {MIN_OUTLINE_GAP} mm apart; the outline closes by itself."),
            ));
        }
    }
    Ok(())
}

/// Where an added form sits.
///
/// # Errors
/// A value out of range.
pub fn check_mount(mount: &Mount) -> Result<(), Refused> {
    mount.place.iter().try_for_each(|mm| check_mm("The place of the form", *mm))?;
    for (what, degrees) in [("roll", mount.roll_deg), ("pitch", mount.pitch_deg), ("yaw", mount.yaw_deg)] {
        check_range(&format!("The {what} of the form in degrees"), degrees, -180.0, 180.0)?;
    }
    Ok(())
}
