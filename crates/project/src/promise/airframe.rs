//! What the airframe promises.

use super::sections::check_measured;
use super::{MAX_MM, MAX_THICKNESS, apart, check_count, check_mm, check_name, check_range, check_thickness};
use crate::airframe::{
    Airframe, FuselageEnd, FuselageSection, Gauge, GaugeMeasure, KeepOut, KeepOutPlace, Lap, Ring, ScrewSpacing,
    Screws, Solid, Spinner, ThrustLine,
};
use crate::edit::Refused;

/// An airframe has at most this many keep-outs.
pub const MAX_KEEP_OUTS: usize = 100;
/// An airframe has at most this many gauges.
pub const MAX_GAUGES: usize = 100;
/// There are at most this many screws around the fuselage end.
pub const MAX_SCREWS: u32 = 500;
/// The thrust line is canted by at most this, degrees either way. Common practice, no source: up to 5.
pub const MAX_CANT_DEG: f64 = 30.0;
/// What has a size measures at least this much, mm.
pub const MIN_SIZE: f64 = 0.1;
/// The further section of a fuselage lies at least this far behind its end, mm; from less no slope can be read.
pub const MIN_FURTHER: f64 = 1.0;

/// The whole airframe.
///
/// # Errors
/// The first promise that is broken.
pub fn check_airframe(airframe: &Airframe) -> Result<(), Refused> {
    airframe.fuselage.iter().try_for_each(check_fuselage)?;
    airframe.thrust.iter().try_for_each(check_thrust)?;
    check_count("keep-outs", airframe.keep_outs.len(), MAX_KEEP_OUTS)?;
    airframe.keep_outs.iter().try_for_each(check_keep_out)?;
    check_count("gauges", airframe.gauges.len(), MAX_GAUGES)?;
    airframe.gauges.iter().try_for_each(check_gauge)
}

/// The end of the existing fuselage.
///
/// # Errors
/// A value out of range, or a further section that does not lie further aft.
pub fn check_fuselage(end: &FuselageEnd) -> Result<(), Refused> {
    check_mm("The station of the fuselage end", end.station)?;
    check_fuselage_section(&end.section)?;
    if let Some((station, section)) = &end.further {
        check_mm("The station of the further fuselage section", *station)?;
        check_further(end.station, *station)?;
        check_fuselage_section(section)?;
    }
    check_lap(end.lap)?;
    end.screws.iter().try_for_each(|screws| check_screws(*screws))?;
    end.pinned.iter().try_for_each(|pin| {
        check_range("What the pinned section stands proud of the fuselage", pin.proud, -MAX_THICKNESS, MAX_THICKNESS)
    })?;
    check_thickness("The gap that is allowed at the fuselage end", end.allowed_gap)?;
    check_range("The break in slope that is allowed, in degrees,", end.allowed_break_deg, 0.0, 90.0)
}

fn check_further(station: f64, further: f64) -> Result<(), Refused> {
    if apart(station, further, MIN_FURTHER) {
        return Ok(());
    }
    Err(Refused::new(
        format!("The further fuselage section at {further} mm does not lie behind the fuselage end at {station} mm."),
        format!("Measure it at least {MIN_FURTHER} mm further aft, better 20 to 50 mm, or leave it out."),
    ))
}

/// A section of the fuselage.
///
/// # Errors
/// A size out of range, or corners that are rounder than the box.
pub fn check_fuselage_section(section: &FuselageSection) -> Result<(), Refused> {
    match section {
        FuselageSection::Measured(measured) => check_measured(measured),
        FuselageSection::Circle { diameter, centre_height } => {
            check_size("The diameter of the fuselage", *diameter)?;
            check_mm("The height of the fuselage's centre", *centre_height)
        }
        FuselageSection::Ellipse { width, height, centre_height } => check_box(*width, *height, *centre_height),
        FuselageSection::RoundedBox { width, height, radius, centre_height } => {
            check_box(*width, *height, *centre_height)?;
            check_corners(*radius, width.min(*height) / 2.0)
        }
    }
}

fn check_box(width: f64, height: f64, centre_height: f64) -> Result<(), Refused> {
    check_size("The width of the fuselage", width)?;
    check_size("The height of the fuselage", height)?;
    check_mm("The height of the fuselage's centre", centre_height)
}

fn check_corners(radius: f64, most: f64) -> Result<(), Refused> {
    check_range("The corner radius of the fuselage", radius, 0.0, MAX_MM)?;
    if radius <= most {
        return Ok(());
    }
    Err(Refused::new(
        format!("Corners of {radius} mm radius do not fit the fuselage."),
        format!("Keep to half of its smaller side: at most {most} mm."),
    ))
}

fn check_lap(lap: Lap) -> Result<(), Refused> {
    check_range("The length of the lap", lap.length, 0.0, MAX_MM)?;
    check_thickness("The clearance of the lap", lap.clearance)
}

fn check_screws(screws: Screws) -> Result<(), Refused> {
    match screws.spacing {
        ScrewSpacing::Count(count) => {
            check_range("The number of screws", f64::from(count), 1.0, f64::from(MAX_SCREWS))?;
        }
        ScrewSpacing::Pitch(pitch) => check_range("The pitch of the screws", pitch, 1.0, MAX_MM)?,
    }
    check_range("The edge distance of the screws", screws.edge_distance, 0.0, MAX_MM)?;
    check_range("The diameter of the screw holes", screws.hole, MIN_SIZE, 100.0)
}

/// Shaft, spinner and ring.
///
/// # Errors
/// A value out of range, an angle beyond [`MAX_CANT_DEG`], or a ring of no diameter.
pub fn check_thrust(thrust: &ThrustLine) -> Result<(), Refused> {
    check_mm("The station of the firewall", thrust.firewall)?;
    check_range("The distance from the firewall to the hub", thrust.hub_distance, 0.0, MAX_MM)?;
    check_mm("The height of the hub", thrust.hub_height)?;
    check_cant("The down-thrust in degrees", thrust.down_thrust_deg)?;
    check_cant("The side-thrust in degrees", thrust.side_thrust_deg)?;
    check_spinner(thrust.spinner)?;
    check_ring(thrust.ring, thrust.spinner.diameter)
}

fn check_cant(what: &str, degrees: f64) -> Result<(), Refused> {
    check_range(what, degrees, -MAX_CANT_DEG, MAX_CANT_DEG)
}

fn check_spinner(spinner: Spinner) -> Result<(), Refused> {
    check_size("The spinner's diameter", spinner.diameter)?;
    check_thickness("The gap between spinner and ring", spinner.gap)
}

fn check_ring(ring: Ring, spinner: f64) -> Result<(), Refused> {
    check_thickness("The thickness of the ring", ring.thickness)?;
    check_mm("The step from the spinner in to the ring", ring.step)?;
    if spinner - 2.0 * ring.step >= MIN_SIZE {
        return Ok(());
    }
    Err(Refused::new(
        format!("A ring that stands back by {} mm all round has no diameter left.", ring.step),
        format!("Keep the step below half of the spinner's diameter of {spinner} mm."),
    ))
}

/// Something the shell must not touch.
///
/// # Errors
/// The first promise that is broken.
pub fn check_keep_out(keep_out: &KeepOut) -> Result<(), Refused> {
    check_name("The keep-out", &keep_out.name)?;
    check_solid(keep_out.shape)?;
    check_place(keep_out.place)?;
    check_range("The clearance of the keep-out", keep_out.clearance, 0.0, 1000.0)
}

fn check_solid(solid: Solid) -> Result<(), Refused> {
    match solid {
        Solid::Cylinder { diameter, length } => {
            check_size("The diameter of the cylinder", diameter)?;
            check_size("The length of the cylinder", length)
        }
        Solid::Box { length, breadth, height } => {
            check_size("The length of the box", length)?;
            check_size("The breadth of the box", breadth)?;
            check_size("The height of the box", height)
        }
        Solid::Cone { front_diameter, rear_diameter, length } => {
            check_range("The front diameter of the cone", front_diameter, 0.0, MAX_MM)?;
            check_range("The rear diameter of the cone", rear_diameter, 0.0, MAX_MM)?;
            check_size("The greater diameter of the cone", front_diameter.max(rear_diameter))?;
            check_size("The length of the cone", length)
        }
    }
}

fn check_place(place: KeepOutPlace) -> Result<(), Refused> {
    match place {
        KeepOutPlace::OnThrustLine { behind_hub } => check_mm("The distance behind the hub", behind_hub),
        KeepOutPlace::Free { front, pitch_deg, yaw_deg } => {
            front.iter().try_for_each(|mm| check_mm("The place of the keep-out", *mm))?;
            check_range("The turn down in degrees", pitch_deg, -90.0, 90.0)?;
            check_range("The turn to starboard in degrees", yaw_deg, -180.0, 180.0)
        }
    }
}

/// A width or height the form must keep.
///
/// # Errors
/// The first promise that is broken.
pub fn check_gauge(gauge: &Gauge) -> Result<(), Refused> {
    check_name("The gauge", &gauge.name)?;
    check_mm("The station of the gauge", gauge.station)?;
    match gauge.measure {
        GaugeMeasure::WidthAt { height } => check_mm("The height of the gauge", height)?,
        GaugeMeasure::HeightAt { half_breadth } => {
            check_range("The half-breadth of the gauge", half_breadth, 0.0, MAX_MM)?;
        }
    }
    check_range("The value of the gauge", gauge.value, 0.0, MAX_MM)?;
    check_thickness("The tolerance of the gauge", gauge.tolerance)
}

fn check_size(what: &str, mm: f64) -> Result<(), Refused> {
    check_range(what, mm, MIN_SIZE, MAX_MM)
}
