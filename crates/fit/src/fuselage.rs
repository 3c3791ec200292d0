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
//! outlines, so that neither a narrow spike of the form nor one of the fuselage is missed. Where the shell goes over the
//! fuselage it is measured from the step the form then needs, wall and clearance out from the fuselage; a form that is flush
//! all round is let be, since the fuselage may be rebated, and only the note on the lap tells what is lacking.

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
/// How much a lap may lack of its clearance before it is told, mm: less than laminate or sanding hold (common practice, no
/// source), and what a pinned section keeps to its primitive.
const CLEARANCE_TOLERANCE: f64 = 0.01;

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
    let pinned = |finding: Finding| finding.mended_by(join::pin(end, x, form, index, wall));
    let gap = gap_beyond(end, &outline, &fuselage, wall);
    found.extend(gap.map(|gap| pinned(gap_finding(end, x, gap, wall))));
    found.extend(break_finding(end, x, loft, &fuselage));
    // A gap that is told as too far in already says what the lap lacks.
    if gap.is_none_or(|gap| gap.proud > 0.0) {
        found.extend(lap_finding(end, x, &outline, &fuselage, wall).map(pinned));
    }
    found.extend(screw_finding(end, &fuselage));
    found
}

/// How far the form must stand proud of the fuselage for its lap, mm: by the shell's thickness `wall` and the clearance where the
/// shell goes over the fuselage, else not at all.
pub fn lap_step(end: &FuselageEnd, wall: f64) -> f64 {
    if end.lap.side == LapSide::Over && end.lap.length > 0.0 { wall + end.lap.clearance } else { 0.0 }
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

/// The widest gap from where the form must stand, if it is more than is allowed and the form is not flush either.
fn gap_beyond(end: &FuselageEnd, form: &Outline, fuselage: &FuselageShape, wall: f64) -> Option<Gap> {
    let beyond = |out: f64| {
        let gap = widest_gap(form, &fuselage.outline().moved_out(out));
        (gap.proud.abs() > end.allowed_gap).then_some(gap)
    };
    let flush = beyond(0.0)?;
    let step = lap_step(end, wall);
    if step > 0.0 { beyond(step) } else { Some(flush) }
}

fn gap_finding(end: &FuselageEnd, x: f64, gap: Gap, wall: f64) -> Finding {
    let (off, step) = (gap.proud.abs(), lap_step(end, wall));
    let what = match (step > 0.0, gap.proud > 0.0) {
        (false, true) => format!("The form stands proud of the fuselage by {off:.2} mm at the widest gap."),
        (false, false) => format!("The form stands back behind the fuselage by {off:.2} mm at the widest gap."),
        (true, out) => {
            let way = if out { "out" } else { "in" };
            format!(
                "To go over the fuselage the form must stand proud of it by {step:.2} mm; at the widest gap it stands {off:.2} mm too far {way}."
            )
        }
    };
    let by = if step > 0.0 { format!(" and {step:.2} mm proud of it") } else { String::new() };
    let hint =
        format!("Pin the rear control section to the fuselage's section{by}, or move the lines at their rear ends.");
    let finding = Finding::new(Severity::Warning, Part::Fuselage, what, hint).at_station(x).at_point(gap.at);
    finding.with(off, end.allowed_gap, "mm")
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
    let step = lap_step(end, wall);
    if step <= 0.0 {
        return None;
    }
    let least = least_proud(form, fuselage.outline());
    let room = least.proud - wall;
    (room < end.lap.clearance - CLEARANCE_TOLERANCE).then(|| {
        let lacking = end.lap.clearance - room;
        let what = format!("Inside the shell {lacking:.2} mm are lacking to go over the fuselage with its clearance.");
        let hint = format!(
            "Let the form stand proud of the fuselage by {step:.2} mm all round, or keep it flush and rebate the fuselage by as much along the lap."
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
