//! What is promised of photographs: how they were taken, and what is picked and traced in them.

use super::pictures::{check_known, check_pick};
use super::{check_count, check_mm, check_name, check_range};
use crate::edit::Refused;
use crate::photograph::{FlatFigure, FocalLength, Landmark, LandmarkPlace, NamedDistance, Photograph, Trace, Traced};

/// A picture has at most this many further known distances.
pub const MAX_DISTANCES: usize = 100;
/// A picture has at most this many landmarks.
pub const MAX_LANDMARKS: usize = 200;
/// A picture has at most this many traces, and as many straight lines.
pub const MAX_TRACES: usize = 200;
/// A trace, a straight line or a flat figure has at most this many points.
pub const MAX_TRACE_POINTS: usize = 5000;
/// A flat figure is known by at least this many points.
pub const MIN_FIGURE_POINTS: usize = 4;
/// A straight line is marked by at least this many points: two always lie straight.
pub const MIN_STRAIGHT_POINTS: usize = 3;

/// How far something may be off is at most this, mm.
const MAX_TRUST: f64 = 10_000.0;
/// From the camera to the machine, mm at full size.
const CAMERA_DISTANCE: (f64, f64) = (1.0, 1e6);
/// Focal lengths, px.
const FOCAL: (f64, f64) = (1.0, 1e6);
/// How closely a hand picks or traces, px.
const CLOSENESS: (f64, f64) = (0.01, 1000.0);

/// All that is known of a photograph.
///
/// # Errors
/// The first promise that is broken.
pub fn check_photograph(photograph: &Photograph) -> Result<(), Refused> {
    check_distances(&photograph.distances)?;
    photograph.figure.iter().try_for_each(check_figure)?;
    check_straight(&photograph.straight)?;
    photograph.focal.iter().try_for_each(check_focal)?;
    photograph.distance_mm.iter().try_for_each(|mm| check_camera_distance(*mm))?;
    check_landmarks(&photograph.landmarks)?;
    check_count("traces", photograph.traces.len(), MAX_TRACES)?;
    photograph.traces.iter().try_for_each(check_trace)?;
    check_closeness(photograph.picked_px, photograph.traced_px)
}

/// Further known distances.
///
/// # Errors
/// Too many, one without a name, a length or a usable trust.
pub fn check_distances(distances: &[NamedDistance]) -> Result<(), Refused> {
    check_count("known distances", distances.len(), MAX_DISTANCES)?;
    distances.iter().try_for_each(|distance| {
        check_name("The known distance", &distance.name)?;
        check_known(&distance.known)?;
        check_trust(distance.trust_mm)
    })
}

/// A flat figure.
///
/// # Errors
/// Fewer than [`MIN_FIGURE_POINTS`] points, or a place out of range.
pub fn check_figure(figure: &FlatFigure) -> Result<(), Refused> {
    check_points("a flat figure", figure.points.len(), MIN_FIGURE_POINTS)?;
    figure.points.iter().try_for_each(|point| {
        check_pick(&point.pixel)?;
        point.plane.iter().try_for_each(|mm| check_mm("The place of a point in the flat figure", *mm))
    })
}

/// Lines that are straight in truth.
///
/// # Errors
/// Too many, or one with fewer than [`MIN_STRAIGHT_POINTS`] points.
pub fn check_straight(lines: &[Vec<[f64; 2]>]) -> Result<(), Refused> {
    check_count("straight lines", lines.len(), MAX_TRACES)?;
    lines.iter().try_for_each(|line| {
        check_points("a straight line", line.len(), MIN_STRAIGHT_POINTS)?;
        line.iter().try_for_each(check_pick)
    })
}

/// A focal length.
///
/// # Errors
/// Out of range or not a number.
pub fn check_focal(focal: &FocalLength) -> Result<(), Refused> {
    check_range("The focal length in pixels", focal.px, FOCAL.0, FOCAL.1)?;
    check_range("How far the focal length may be off, in pixels,", focal.tolerance_px, 0.0, FOCAL.1)
}

/// The distance to the camera, mm at full size.
///
/// # Errors
/// Out of range or not a number.
pub fn check_camera_distance(mm: f64) -> Result<(), Refused> {
    check_range("The distance to the camera in mm", mm, CAMERA_DISTANCE.0, CAMERA_DISTANCE.1)
}

/// How closely landmarks are picked and lines traced, px.
///
/// # Errors
/// Out of range or not a number.
pub fn check_closeness(picked_px: f64, traced_px: f64) -> Result<(), Refused> {
    check_range("How closely landmarks are picked, in pixels,", picked_px, CLOSENESS.0, CLOSENESS.1)?;
    check_range("How closely lines are traced, in pixels,", traced_px, CLOSENESS.0, CLOSENESS.1)
}

/// The landmarks of a picture.
///
/// # Errors
/// Too many, two of one name, or one that breaks its own promises.
pub fn check_landmarks(landmarks: &[Landmark]) -> Result<(), Refused> {
    check_count("landmarks", landmarks.len(), MAX_LANDMARKS)?;
    for (i, landmark) in landmarks.iter().enumerate() {
        check_landmark(landmark)?;
        check_new_name(&landmarks[..i], &landmark.name)?;
    }
    Ok(())
}

/// A landmark's name is not taken yet.
///
/// # Errors
/// It is.
pub(crate) fn check_new_name(others: &[Landmark], name: &str) -> Result<(), Refused> {
    if others.iter().all(|other| other.name != name) {
        return Ok(());
    }
    Err(Refused::new(
        format!("There is a landmark \"{name}\" in this picture already."),
        "Give it another name, or move the one that is there.",
    ))
}

/// A landmark.
///
/// # Errors
/// The first promise that is broken.
pub fn check_landmark(landmark: &Landmark) -> Result<(), Refused> {
    check_name("The landmark", &landmark.name)?;
    check_place(landmark.place)?;
    check_trust(landmark.trust_mm)?;
    check_pick(&landmark.pixel)
}

fn check_place(place: LandmarkPlace) -> Result<(), Refused> {
    match place {
        LandmarkPlace::At(at) => at.iter().try_for_each(|mm| check_mm("The place of a landmark", *mm)),
        LandmarkPlace::SpinnerTip { ahead } => check_mm("The length of the spinner", ahead),
        LandmarkPlace::Crown { station } | LandmarkPlace::Keel { station } | LandmarkPlace::Breadth { station, .. } => {
            check_mm("The station of a landmark", station)
        }
        LandmarkPlace::Hub
        | LandmarkPlace::Mount
        | LandmarkPlace::FuselageCrown
        | LandmarkPlace::FuselageKeel
        | LandmarkPlace::FuselageBreadth { .. } => Ok(()),
    }
}

fn check_trust(mm: f64) -> Result<(), Refused> {
    check_range("How far this may be off, in mm,", mm, 0.0, MAX_TRUST)
}

/// A trace.
///
/// # Errors
/// No points, too many, or a station or pixel out of range.
pub fn check_trace(trace: &Trace) -> Result<(), Refused> {
    if let Traced::Seam { station } = trace.of {
        check_mm("The station of a seam", station)?;
    }
    check_points("a trace", trace.points.len(), 1)?;
    trace.points.iter().try_for_each(check_pick)
}

fn check_points(what: &str, count: usize, least: usize) -> Result<(), Refused> {
    if (least..=MAX_TRACE_POINTS).contains(&count) {
        return Ok(());
    }
    Err(Refused::new(
        format!("There are {count} points in {what}."),
        format!("Mark at least {least}, at most {MAX_TRACE_POINTS}."),
    ))
}
