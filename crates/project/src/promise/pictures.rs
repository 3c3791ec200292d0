//! What pictures promise.

use super::{MAX_MM, check_name, check_photograph, check_range};
use crate::document::{KnownDistance, Picture, Placement};
use crate::edit::Refused;

/// The longest side of a picture, px.
pub const MAX_PIXELS: u32 = 100_000;
/// Picked points lie within this many pixels of the corner: they may lie a little outside of the picture.
const MAX_PICK: f64 = 1e6;
/// Two picked points lie at least this far apart, px.
const MIN_PICK_GAP: f64 = 0.5;

/// A whole picture; its bytes may be missing.
///
/// # Errors
/// The first promise that is broken.
pub fn check_picture(picture: &Picture) -> Result<(), Refused> {
    check_name("The picture", &picture.name)?;
    for side in picture.size_px {
        check_range("A side of the picture in pixels", f64::from(side), 1.0, f64::from(MAX_PIXELS))?;
    }
    check_placement(&picture.placement)?;
    picture.scale.iter().chain(&picture.check).try_for_each(check_known)?;
    picture.level.iter().try_for_each(check_level)?;
    check_opacity(picture.opacity)?;
    check_photograph(&picture.photograph)
}

/// From 0, invisible, to 1, opaque.
///
/// # Errors
/// Outside of that.
pub(crate) fn check_opacity(opacity: f64) -> Result<(), Refused> {
    check_range("The opacity", opacity, 0.0, 1.0)
}

/// Where a picture lies.
///
/// # Errors
/// Out of range or not a number.
pub fn check_placement(placement: &Placement) -> Result<(), Refused> {
    check_range("The size of a pixel in mm", placement.mm_per_px, 1e-6, 1e4)?;
    check_range("The turn of a picture in degrees", placement.rotation_deg, -360.0, 360.0)?;
    placement.offset.iter().try_for_each(|mm| check_range("The place of a picture in mm", *mm, -MAX_MM, MAX_MM))
}

/// Two points and their distance.
///
/// # Errors
/// The points coincide or the distance is not positive.
pub fn check_known(known: &KnownDistance) -> Result<(), Refused> {
    check_level(&[known.a, known.b])?;
    check_range("The known distance in mm", known.distance_mm, 0.001, MAX_MM)
}

/// Two picked points.
///
/// # Errors
/// They coincide or lie far off the picture.
pub fn check_level(points: &[[f64; 2]; 2]) -> Result<(), Refused> {
    points.iter().try_for_each(check_pick)?;
    let [a, b] = points;
    if (b[0] - a[0]).hypot(b[1] - a[1]) < MIN_PICK_GAP {
        return Err(Refused::new("The two points lie on one another.", "Pick two points far apart on the picture."));
    }
    Ok(())
}

/// A picked point.
///
/// # Errors
/// It lies far off the picture.
pub(super) fn check_pick(point: &[f64; 2]) -> Result<(), Refused> {
    point.iter().try_for_each(|px| check_range("A picked point in pixels", *px, -MAX_PICK, MAX_PICK))
}
