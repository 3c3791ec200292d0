//! Where landmarks lie: measured, or tied to the first form or to the airframe.

use crate::line;
use crate::shaft::shaft;
use crate::space::{add, times};
use project::airframe::ThrustLine;
use project::document::{Document, LineName};
use project::edit::Refused;
use project::fuselage::{FINE, points};
use project::measured::{MasterValues, master_values};
use project::photograph::{LandmarkPlace, Side};

/// The place of a landmark, mm at the model in the project's axes.
///
/// # Errors
/// What it is tied to is not there, with what to do about it.
pub fn landmark_place(document: &Document, place: LandmarkPlace) -> Result<[f64; 3], Refused> {
    match place {
        LandmarkPlace::At(at) => Ok(at),
        LandmarkPlace::Hub => Ok(shaft(thrust(document)?).hub),
        LandmarkPlace::SpinnerTip { ahead } => {
            let shaft = shaft(thrust(document)?);
            Ok(add(shaft.hub, times(shaft.ahead, ahead)))
        }
        LandmarkPlace::Mount => Ok(shaft(thrust(document)?).mount),
        LandmarkPlace::Crown { station } => Ok([station, 0.0, on_line(document, LineName::Crown, station)?]),
        LandmarkPlace::Keel { station } => Ok([station, 0.0, on_line(document, LineName::Keel, station)?]),
        LandmarkPlace::Breadth { station, side } => {
            let y = side.sign() * on_line(document, LineName::Breadth, station)?;
            Ok([station, y, on_line(document, LineName::BreadthHeight, station)?])
        }
        LandmarkPlace::FuselageCrown => fuselage(document).map(|(x, values)| [x, 0.0, values.crown]),
        LandmarkPlace::FuselageKeel => fuselage(document).map(|(x, values)| [x, 0.0, values.keel]),
        LandmarkPlace::FuselageBreadth { side } => fuselage_breadth(document, side),
    }
}

fn thrust(document: &Document) -> Result<&ThrustLine, Refused> {
    let missing = || Refused::new("There is no thrust line.", "Enter shaft and spinner, or type the place.");
    document.airframe.thrust.as_ref().ok_or_else(missing)
}

fn on_line(document: &Document, name: LineName, station: f64) -> Result<f64, Refused> {
    let label = name.label().to_lowercase();
    let missing =
        || Refused::new(format!("The first form has no {label} line yet."), "Draw it, or type the place instead.");
    let curve = document.forms.first().and_then(|f| line(f.lines.get(name)).ok()).ok_or_else(missing)?;
    let (low, high) = curve.range();
    if !(low..=high).contains(&station) {
        return Err(Refused::new(
            format!("The {label} line does not reach station {station} mm."),
            format!("It runs from {low} to {high} mm: choose a station there, or type the place."),
        ));
    }
    Ok(curve.at(station).value)
}

fn fuselage(document: &Document) -> Result<(f64, MasterValues), Refused> {
    let missing = || Refused::new("There is no fuselage end.", "Enter its section, or type the place.");
    let end = document.airframe.fuselage.as_ref().ok_or_else(missing)?;
    let section = points(&end.section, FINE, 0.0).ok_or_else(missing)?;
    Ok((end.station, master_values(&section)))
}

fn fuselage_breadth(document: &Document, side: Side) -> Result<[f64; 3], Refused> {
    let (x, values) = fuselage(document)?;
    let missing = || Refused::new("The fuselage end has no breadth.", "Enter its section, or type the place.");
    let (y, z) = values.breadth.zip(values.breadth_height).ok_or_else(missing)?;
    Ok([x, side.sign() * y, z])
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{FuselageEnd, FuselageSection, Lap, LapSide, Ring, Spinner};
    use project::edit::Edit;
    use project::starter::{blank_form, new_document};

    fn document() -> Document {
        let end = FuselageEnd {
            station: 240.0,
            section: FuselageSection::Circle { diameter: 180.0, centre_height: 10.0 },
            further: None,
            lap: Lap { side: LapSide::Over, length: 10.0, clearance: 0.0 },
            screws: None,
            allowed_gap: 1.0,
            allowed_break_deg: 1.0,
            pinned: None,
        };
        let thrust = ThrustLine {
            firewall: 200.0,
            hub_distance: 195.0,
            hub_height: 2.0,
            down_thrust_deg: 0.0,
            side_thrust_deg: 3.0,
            spinner: Spinner { diameter: 80.0, gap: 2.0 },
            ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
        };
        let edits = [
            Edit::ReplaceForm { form: 0, with: blank_form(240.0, 90.0, 110.0, 80.0) },
            Edit::SetFuselage(Some(end)),
            Edit::SetThrust(Some(thrust)),
        ];
        edits.iter().fold(new_document("Test"), |d, edit| edit.apply(&d).unwrap())
    }

    #[track_caller]
    fn lies_at(place: LandmarkPlace, at: [f64; 3]) {
        let found = landmark_place(&document(), place).unwrap();
        assert!((0..3).all(|k| (found[k] - at[k]).abs() < 1e-9), "{place:?} lies at {found:?}");
    }

    /// With side-thrust alone the mount lies L sin of the angle to the side, the printed rule.
    #[test]
    fn what_is_tied_to_the_shaft_lies_on_it() {
        let (sin, cos) = 3_f64.to_radians().sin_cos();
        lies_at(LandmarkPlace::Hub, [200.0 - 195.0 * cos, 0.0, 2.0]);
        lies_at(LandmarkPlace::Mount, [200.0, -195.0 * sin, 2.0]);
        lies_at(LandmarkPlace::SpinnerTip { ahead: 60.0 }, [200.0 - 255.0 * cos, 60.0 * sin, 2.0]);
    }

    #[test]
    fn what_is_tied_to_the_fuselage_lies_on_its_circle() {
        lies_at(LandmarkPlace::FuselageCrown, [240.0, 0.0, 100.0]);
        lies_at(LandmarkPlace::FuselageKeel, [240.0, 0.0, -80.0]);
        lies_at(LandmarkPlace::FuselageBreadth { side: Side::Port }, [240.0, -90.0, 10.0]);
    }

    #[test]
    fn what_is_tied_to_the_form_follows_its_lines() {
        let document = document();
        let lines = &document.forms[0].lines;
        let value = |name| line(lines.get(name)).unwrap().at(120.0).value;
        lies_at(LandmarkPlace::Crown { station: 120.0 }, [120.0, 0.0, value(LineName::Crown)]);
        lies_at(LandmarkPlace::Keel { station: 120.0 }, [120.0, 0.0, value(LineName::Keel)]);
        let breadth = [120.0, value(LineName::Breadth), value(LineName::BreadthHeight)];
        lies_at(LandmarkPlace::Breadth { station: 120.0, side: Side::Starboard }, breadth);
        lies_at(LandmarkPlace::At([1.0, 2.0, 3.0]), [1.0, 2.0, 3.0]);
    }

    #[test]
    fn what_is_not_there_is_named_with_what_to_do() {
        let empty = new_document("Empty");
        for place in [LandmarkPlace::Hub, LandmarkPlace::FuselageKeel, LandmarkPlace::Crown { station: 0.0 }] {
            let refused = landmark_place(&empty, place).unwrap_err();
            assert!(refused.hint.contains("type the place"), "{refused}");
        }
        let beyond = landmark_place(&document(), LandmarkPlace::Crown { station: 999.0 }).unwrap_err();
        assert!(beyond.reason.contains("999") && beyond.hint.contains("from 0 to 240"), "{beyond}");
    }
}
