//! The end of the existing fuselage: its outline, its slope, the lap, the screws, and how the form meets it.
//!
//! ```text
//!   side view        form | fuselage        gap    form proud of the fuselage: positive
//!                 --------+                 break  angle between the two surfaces as seen along the joint
//!                         +-------
//!                         |<-lap->|
//! ```
//!
//! The gap is measured along the fuselage's normal in the plane of its station, around the whole section and from both
//! outlines, so that neither a narrow spike of the form nor one of the fuselage is missed.

mod meeting;
mod section;
mod shape;
mod strip;
#[cfg(test)]
mod tests;

pub use meeting::{Gap, SlopeBreak, greatest_break, least_proud, widest_gap};
pub use section::outline;
pub use shape::{FuselageShape, MOST_SCREWS, lap_outline, screw_places};
pub use strip::{ScrewStrip, screw_strip};

use crate::join;
use crate::outline::Outline;
use form::{Finding, Part, Severity};
use geometry::loft::Loft;
use project::airframe::{FuselageEnd, LapSide};
use project::document::Form;

/// Chord error of the outlines that are compared, mm.
const FINE: f64 = 0.002;
/// How far the end of the form may lie from the fuselage's station before it is told, mm.
const SAME_STATION: f64 = 0.05;

/// What is found where the form meets the fuselage; `index` is the form's in the document, `wall` the thickness of the shell
/// in mm.
pub fn findings(end: &FuselageEnd, form: &Form, index: usize, loft: &Loft, wall: f64) -> Vec<Finding> {
    let Some(fuselage) = FuselageShape::of(end) else {
        let what = "The fuselage end has no outline yet.";
        let hint = "Give it at least three measured points, or a width and height above zero.";
        return vec![Finding::new(Severity::Note, Part::Fuselage, what, hint).at_station(end.station)];
    };
    let (front, rear) = loft.x_range();
    let x = end.station.clamp(front, rear);
    let mut found = Vec::new();
    found.extend(ends_elsewhere(end, x, rear).map(|f| f.mended_by(join::bring_ends(end, form, index))));
    let Some(outline) = loft.section(x).and_then(|s| Outline::new(s.polyline(FINE))) else { return found };
    let gap = gap_finding(end, x, &outline, &fuselage);
    found.extend(gap.map(|f| f.mended_by(join::pin(end, x, form, index, wall))));
    found.extend(break_finding(end, x, loft, &fuselage));
    found.extend(lap_finding(end, x, &outline, &fuselage, wall));
    found.extend(screw_finding(end, &fuselage));
    found
}

fn ends_elsewhere(end: &FuselageEnd, x: f64, rear: f64) -> Option<Finding> {
    let off = (end.station - x).abs();
    (off > SAME_STATION).then(|| {
        let side = if end.station > rear { "ahead of" } else { "aft of" };
        let what = format!("The form ends {off:.1} mm {side} the fuselage; it is compared at its own end.");
        let hint = "Move the rear ends of the four lines to the fuselage's station, or correct the station.";
        Finding::new(Severity::Warning, Part::Fuselage, what, hint).at_station(end.station).with(
            off,
            SAME_STATION,
            "mm",
        )
    })
}

fn gap_finding(end: &FuselageEnd, x: f64, form: &Outline, fuselage: &FuselageShape) -> Option<Finding> {
    let gap = widest_gap(form, fuselage.outline());
    (gap.proud.abs() > end.allowed_gap).then(|| {
        let stands = if gap.proud > 0.0 { "stands proud of" } else { "stands back behind" };
        let what = format!("The form {stands} the fuselage by {:.2} mm at the widest gap.", gap.proud.abs());
        let hint = "Pin the rear control section to the fuselage's section, or move the lines at their rear ends.";
        let finding = Finding::new(Severity::Warning, Part::Fuselage, what, hint).at_station(x).at_point(gap.at);
        finding.with(gap.proud.abs(), end.allowed_gap, "mm")
    })
}

fn break_finding(end: &FuselageEnd, x: f64, loft: &Loft, fuselage: &FuselageShape) -> Option<Finding> {
    let found = greatest_break(loft, x, fuselage).filter(|b| b.degrees.abs() > end.allowed_break_deg)?;
    let way = if found.degrees > 0.0 { "opens wider than" } else { "closes in against" };
    let what =
        format!("The fuselage {way} the form by {:.1} degrees, so the joint shows a break.", found.degrees.abs());
    let hint = "Give the lines at their rear ends the fuselage's slope.";
    let finding = Finding::new(Severity::Warning, Part::Fuselage, what, hint).at_station(x).at_point(found.at);
    Some(finding.with(found.degrees.abs(), end.allowed_break_deg, "degrees"))
}

fn lap_finding(end: &FuselageEnd, x: f64, form: &Outline, fuselage: &FuselageShape, wall: f64) -> Option<Finding> {
    if end.lap.side == LapSide::Into || end.lap.length <= 0.0 {
        return None;
    }
    let least = least_proud(form, fuselage.outline());
    let room = least.proud - wall;
    (room < end.lap.clearance - 1e-6).then(|| {
        let lacking = end.lap.clearance - room;
        let what = format!("Inside the shell {lacking:.2} mm are lacking to go over the fuselage with its clearance.");
        let hint = format!(
            "Let the form stand proud of the fuselage by {:.2} mm all round, or keep it flush and rebate the fuselage by as much along the lap.",
            wall + end.lap.clearance
        );
        let finding = Finding::new(Severity::Note, Part::Fuselage, what, hint).at_station(x).at_point(least.at);
        finding.with(room, end.lap.clearance, "mm")
    })
}

fn screw_finding(end: &FuselageEnd, fuselage: &FuselageShape) -> Option<Finding> {
    let screws = end.screws.as_ref()?;
    let room = end.lap.length - screws.edge_distance - 0.5 * screws.hole;
    if room < 0.0 {
        let what = format!("The screws' holes reach {:.1} mm ahead of the lap.", -room);
        let hint = "Lengthen the lap, or bring the screws nearer to the shell's edge.";
        let x = end.station + end.lap.length - screws.edge_distance;
        let finding = Finding::new(Severity::Warning, Part::Fuselage, what, hint).at_station(x);
        return Some(finding.with(room, 0.0, "mm"));
    }
    let least = LEAST_EDGE * screws.hole;
    let places = screw_places(end, fuselage, screws);
    (!places.is_empty() && screws.edge_distance < least - 1e-9).then(|| {
        let what = "The screws stand nearer to the shell's edge than two and a half hole diameters.";
        let hint = "Move them in from the edge, so that the laminate does not tear out.";
        let finding = Finding::new(Severity::Note, Part::Fuselage, what, hint).at_station(places[0][0]);
        finding.with(screws.edge_distance, least, "mm")
    })
}

/// Least edge distance in hole diameters (common practice, no source).
const LEAST_EDGE: f64 = 2.5;
