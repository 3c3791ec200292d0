//! What the shell promises.

use super::{check_coat, check_count, check_mm, check_name, check_range};
use crate::edit::Refused;
use crate::laminate::{Extent, Film, LaminateError, Ply, Resin, Schedule, Span};
use crate::shell::{AirRatio, BallastPlace, Draping, Parting, Release, Shell, Weighed, Weights};

/// A laminate has at most this many plies.
pub const MAX_PLIES: usize = 50;
/// A ply has at most this many patches.
pub const MAX_PATCHES: usize = 500;
/// At most this many parts are weighed, and so many places for ballast named.
pub const MAX_WEIGHED: usize = 200;
/// Resin, filler and paint weigh at most this much an area, g/m².
pub const MAX_AREAL_MASS: f64 = 100_000.0;
/// Nothing weighs more than this, grams.
pub const MAX_GRAMS: f64 = 1e6;

/// The whole shell.
///
/// # Errors
/// The first promise that is broken.
pub fn check_shell(shell: &Shell) -> Result<(), Refused> {
    check_laminate(&shell.laminate)?;
    check_feeds(shell)?;
    check_draping(&shell.draping)?;
    check_release(&shell.release)?;
    check_weights(&shell.weights)?;
    check_air_ratio(shell.air_ratio)
}

/// Plies, resin, filler and paint.
///
/// # Errors
/// A number out of its range, or too many plies or patches.
pub fn check_laminate(schedule: &Schedule) -> Result<(), Refused> {
    check_count("plies", schedule.plies.len(), MAX_PLIES)?;
    schedule.plies.iter().enumerate().try_for_each(|(index, ply)| check_ply(index, ply))?;
    check_resin(&schedule.resin)?;
    schedule.check_numbers().map_err(|error| refused(&error))
}

/// A ply; `index` is its place in the schedule, for the message.
///
/// # Errors
/// A number out of its range, or too many patches.
pub fn check_ply(index: usize, ply: &Ply) -> Result<(), Refused> {
    check_name("The cloth", &ply.fabric.name)?;
    if let Extent::Patches { places, .. } = &ply.extent {
        check_count("patches", places.len(), MAX_PATCHES)?;
    }
    ply.check(index).map_err(|error| refused(&error))
}

/// The resin.
///
/// # Errors
/// A number out of its range.
pub fn check_resin(resin: &Resin) -> Result<(), Refused> {
    check_name("The resin", &resin.name)?;
    resin.check().map_err(|error| refused(&error))
}

/// Filler or paint, as `what` says.
///
/// # Errors
/// Thickness or mass is no range.
pub fn check_film(what: &'static str, film: Film) -> Result<(), Refused> {
    film.check(what).map_err(|error| refused(&error))
}

fn refused(error: &LaminateError) -> Refused {
    let (reason, hint) = error.told();
    Refused::new(reason, hint)
}

/// A laminate that is taken off the plug has a ply over the whole, and is no thicker than a coat may be.
fn check_feeds(shell: &Shell) -> Result<(), Refused> {
    if !shell.feeds_coat {
        return Ok(());
    }
    let thickness = shell.laminate.thickness().map_err(|error| {
        let (reason, hint) = error.told();
        Refused::new(
            format!("The plug cannot follow this laminate. {reason}"),
            format!("{hint} Or give the thickness by hand."),
        )
    })?;
    check_coat(&thickness.coat())
}

/// How cloth is laid.
///
/// # Errors
/// A value out of range.
pub fn check_draping(draping: &Draping) -> Result<(), Refused> {
    if let Some([station, turn]) = draping.start {
        check_mm("The station of the start point", station)?;
        check_range("The turn of the start point", turn, 0.0, 1.0)?;
    }
    draping.cell.map_or(Ok(()), |cell| check_range("The cell of the net", cell, 0.5, 50.0))?;
    for allowance in draping.allowance {
        check_range("The trim allowance", allowance, 0.0, 500.0)?;
    }
    check_range("The overlap of cloth", draping.overlap, 0.0, 200.0)?;
    check_range("The stagger of seams", draping.stagger, 0.0, 500.0)
}

/// What the shell must come off by.
///
/// # Errors
/// A value out of range, or a way of no length.
pub fn check_release(release: &Release) -> Result<(), Refused> {
    if let Some(way) = release.way {
        way.iter().try_for_each(|part| check_mm("The way off", *part))?;
        if way.iter().map(|part| part * part).sum::<f64>() < 1e-12 {
            return Err(Refused::new("The way off has no direction.", "Give one, such as -1, 0, 0 for ahead."));
        }
    }
    if let Parting::Across(station) = release.parting {
        check_mm("The station of the joint", station)?;
    }
    check_range("The least draft in degrees", release.draft_deg, 0.0, 45.0)?;
    check_range("What the shell may be sprung by", release.spring, 0.0, 50.0)
}

/// What the shell is weighed against.
///
/// # Errors
/// The first promise that is broken.
pub fn check_weights(weights: &Weights) -> Result<(), Refused> {
    weights.aircraft.iter().chain(&weights.replaces).try_for_each(check_weighed)?;
    check_count("weighed parts", weights.parts.len(), MAX_WEIGHED)?;
    weights.parts.iter().try_for_each(check_weighed)?;
    check_grams("The mass of a screw", weights.screw)?;
    check_range("The density of the ring in g/cm³", weights.ring_density, 0.0, 25.0)?;
    check_range("The opening of the ring as a share of its diameter", weights.ring_bore, 0.0, 0.99)?;
    weights.wanted.iter().try_for_each(|x| check_mm("The station of the centre of gravity", *x))?;
    check_range("What the centre of gravity may be off", weights.allowed, 0.0, 1000.0)?;
    check_count("places for ballast", weights.ballast.len(), MAX_WEIGHED)?;
    weights.ballast.iter().try_for_each(check_ballast)
}

/// Something that has been weighed.
///
/// # Errors
/// No name, a mass that is no range, or a centre out of range.
pub fn check_weighed(part: &Weighed) -> Result<(), Refused> {
    check_name("The weighed part", &part.name)?;
    check_grams(&format!("The mass of \"{}\"", part.name), part.mass)?;
    part.centre.iter().try_for_each(|mm| check_mm(&format!("The centre of \"{}\"", part.name), *mm))?;
    check_range("How far a centre may be off", part.within, 0.0, 10_000.0)
}

fn check_grams(what: &str, mass: Span) -> Result<(), Refused> {
    mass.ends().iter().try_for_each(|grams| check_range(what, *grams, 0.0, MAX_GRAMS))?;
    if mass.is_at_least(0.0) {
        return Ok(());
    }
    Err(Refused::new(
        format!("{what} is no range."),
        "Give the least, the likely and the greatest value in this order.",
    ))
}

/// Where ballast could go.
///
/// # Errors
/// No name, a station out of range, or stations out of order.
pub fn check_ballast(place: &BallastPlace) -> Result<(), Refused> {
    check_name("The place for ballast", &place.name)?;
    place.stations.iter().try_for_each(|x| check_mm("The station of the ballast", *x))?;
    if place.stations[0] <= place.stations[1] {
        return Ok(());
    }
    Err(Refused::new(
        format!("The place \"{}\" for ballast ends ahead of where it begins.", place.name),
        "Give its foremost station first.",
    ))
}

/// What outlet area is to be to intake area.
///
/// # Errors
/// A ratio out of range, or an aim that is none.
pub fn check_air_ratio(ratio: AirRatio) -> Result<(), Refused> {
    check_range("The least ratio of outlet to intake", ratio.least, 0.0, 100.0)?;
    ratio.aim.iter().try_for_each(|aim| check_range("The ratio of outlet to intake", *aim, 0.0, 100.0))?;
    if ratio.aim[0] <= ratio.aim[1] {
        return Ok(());
    }
    Err(Refused::new("The ratio that is aimed for is no range.", "Give the smaller one first."))
}
