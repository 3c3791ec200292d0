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

use crate::join;
use crate::outline::{Outline, apart};
use form::{Finding, Part, Severity};
use geometry::arc::CubicArc;
use geometry::conic::ConicArc;
use geometry::flatten::refine;
use geometry::loft::Loft;
use project::airframe::{FuselageEnd, FuselageSection, LapSide, ScrewSpacing, Screws};
use project::document::{Form, MeasuredSection};

/// Chord error of the outlines that are compared, mm.
const FINE: f64 = 0.002;
/// How far the end of the form may lie from the fuselage's station before it is told, mm.
const SAME_STATION: f64 = 0.05;
/// Fullness of a conic between right-angled tangents that is a quarter of an ellipse, exactly.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// The outline of a section of the fuselage. Circles, ellipses and round corners are exact conic arcs, measured points are
/// joined by the same curve that a pinned control section has; chords stay within `tolerance` mm.
///
/// `None` for a section that has no curve (too few points), or no breadth or height.
pub fn outline(section: &FuselageSection, tolerance: f64) -> Option<Outline> {
    let points = match section {
        FuselageSection::Measured(measured) => measured_points(measured, tolerance)?,
        FuselageSection::Circle { diameter, centre_height } => {
            ellipse([0.5 * diameter, 0.5 * diameter], *centre_height, tolerance)?
        }
        FuselageSection::Ellipse { width, height, centre_height } => {
            ellipse([0.5 * width, 0.5 * height], *centre_height, tolerance)?
        }
        FuselageSection::RoundedBox { width, height, radius, centre_height } => {
            rounded_box([0.5 * width, 0.5 * height], *radius, *centre_height, tolerance)?
        }
    };
    Outline::new(points)
}

fn ellipse(half: [f64; 2], centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    rounded(half, half, centre, tolerance)
}

fn rounded_box(half: [f64; 2], radius: f64, centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    let radius = radius.min(half[0]).min(half[1]).max(0.0);
    rounded(half, [radius; 2], centre, tolerance)
}

/// A box with quarter ellipses of these half axes at its corners.
fn rounded(half: [f64; 2], corner: [f64; 2], centre: f64, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    let [b, h] = half;
    if !(b > 0.0 && h > 0.0) {
        return None;
    }
    let mut out = vec![[0.0, centre + h]];
    for up in [1.0, -1.0] {
        let (level, side) = ([b - corner[0], centre + up * h], [b, centre + up * (h - corner[1])]);
        let (from, to) = if up > 0.0 { (level, side) } else { (side, level) };
        push(&mut out, from);
        let arc = ConicArc::new(from, [b, centre + up * h], to, QUARTER);
        if corner[0] > 0.0 {
            refine(&|t| arc.jet(t).p, 0.0, 1.0, tolerance, &mut out);
        } else {
            push(&mut out, [b, centre + up * h]);
        }
    }
    push(&mut out, [0.0, centre - h]);
    Some(out)
}

fn push(out: &mut Vec<[f64; 2]>, p: [f64; 2]) {
    if out.last().is_none_or(|q| apart(*q, p) > 1e-9) {
        out.push(p);
    }
}

fn measured_points(measured: &MeasuredSection, tolerance: f64) -> Option<Vec<[f64; 2]>> {
    if !measured.has_shape() {
        return None;
    }
    let curve = project::measured::curve(measured)?;
    let arcs: &[CubicArc] = curve.arcs();
    let mut out = vec![arcs.first()?.jet(0.0).p];
    arcs.iter().for_each(|a| refine(&|t| a.jet(t).p, 0.0, 1.0, tolerance, &mut out));
    Some(out)
}

/// The section as measured points to pin a control section to, moved out along its normals by `proud` mm: for a primitive so
/// many points evenly spread along its girth, measured ones as they are, with their knuckles.
pub fn to_pin(section: &FuselageSection, count: usize, proud: f64) -> Option<MeasuredSection> {
    let outline = outline(section, FINE)?;
    if let FuselageSection::Measured(measured) = section {
        let points = measured.points.iter().map(|p| moved(&outline, *p, proud)).collect();
        return Some(MeasuredSection { points: on_centre(points), ..measured.clone() });
    }
    let points = outline.even(count.max(5)).into_iter().map(|p| moved(&outline, p, proud)).collect();
    Some(MeasuredSection {
        points: on_centre(points),
        knuckles: Vec::new(),
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    })
}

/// A place of an outline moved out along the normal there.
fn moved(outline: &Outline, p: [f64; 2], by: f64) -> [f64; 2] {
    let normal = outline.nearest(p).normal;
    [p[0] + by * normal[0], p[1] + by * normal[1]]
}

/// The first and the last point lie on the centre plane.
fn on_centre(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    let last = points.len() - 1;
    (points[0][0], points[last][0]) = (0.0, 0.0);
    points
}

/// The fuselage as a surface near its end.
#[derive(Clone, Debug)]
pub struct FuselageShape {
    station: f64,
    outline: Outline,
    further: Option<(f64, Outline)>,
}

impl FuselageShape {
    /// The shape of a fuselage end; `None` while its section has no outline. A further section at the same station, or
    /// without outline, is left out.
    pub fn of(end: &FuselageEnd) -> Option<Self> {
        let further = end.further.as_ref().and_then(|(x, section)| Some((*x, outline(section, FINE)?)));
        let further = further.filter(|(x, _)| (x - end.station).abs() > 1e-6);
        Some(Self { station: end.station, outline: outline(&end.section, FINE)?, further })
    }

    /// Its outline at a station: straight between its two sections and beyond them, the same everywhere where there is only
    /// one.
    pub fn at(&self, x: f64) -> Outline {
        match &self.further {
            Some((far, outline)) if x != self.station => {
                self.outline.towards(outline, (x - self.station) / (far - self.station))
            }
            _ => self.outline.clone(),
        }
    }

    /// The outline at its own station.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// How fast the fuselage grows outward aft, at a place near its outline, mm per mm; `None` without a further section.
    pub fn slope(&self, q: [f64; 2]) -> Option<f64> {
        let (far, outline) = self.further.as_ref()?;
        let (here, there) = (self.outline.nearest(q).distance, outline.nearest(q).distance);
        Some((here - there) / (far - self.station))
    }
}

/// A gap between form and fuselage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// How far the form stands proud of the fuselage, mm; negative where it stands back.
    pub proud: f64,
    /// Half-breadth and height of the place on the fuselage.
    pub at: [f64; 2],
}

/// The widest gap between two outlines, measured from each of them to the other.
pub fn widest_gap(form: &Outline, fuselage: &Outline) -> Gap {
    let from_fuselage = fuselage.points().iter().map(|p| Gap { proud: -form.nearest(*p).distance, at: *p });
    let from_form = form.points().iter().map(|p| {
        let nearest = fuselage.nearest(*p);
        Gap { proud: nearest.distance, at: nearest.at }
    });
    let none = Gap { proud: 0.0, at: fuselage.points()[0] };
    from_fuselage.chain(from_form).fold(none, |worst, g| if g.proud.abs() > worst.proud.abs() { g } else { worst })
}

/// The least of what the form stands proud of the fuselage, mm.
pub fn least_proud(form: &Outline, fuselage: &Outline) -> Gap {
    let all = form.points().iter().map(|p| {
        let nearest = fuselage.nearest(*p);
        Gap { proud: nearest.distance, at: nearest.at }
    });
    let none = Gap { proud: f64::INFINITY, at: fuselage.points()[0] };
    all.fold(none, |least, g| if g.proud < least.proud { g } else { least })
}

/// A break in slope between form and fuselage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlopeBreak {
    /// Degrees by which the fuselage opens more than the form; negative where it closes in.
    pub degrees: f64,
    /// Half-breadth and height of the place on the form.
    pub at: [f64; 2],
}

/// Places looked at on every run between two marks of the form's section.
const PER_RUN: u32 = 24;

/// The greatest break in slope around the whole section at station `x`: the angle between the two surfaces in the plane of
/// the fuselage's normal and the way aft. `None` without a further section, or where the form has no section.
pub fn greatest_break(loft: &Loft, x: f64, fuselage: &FuselageShape) -> Option<SlopeBreak> {
    let section = loft.section(x)?;
    let mut worst: Option<SlopeBreak> = None;
    for (half, run) in section.runs() {
        for i in 0..=PER_RUN {
            let place = section.at(half, run, f64::from(i) / f64::from(PER_RUN));
            let [dy, dz] = place.by_fraction;
            let length = dy.hypot(dz);
            if length <= 0.0 {
                continue;
            }
            let own = (place.by_x[1] * dy - place.by_x[0] * dz) / length;
            let degrees = (fuselage.slope(place.p)?.atan() - own.atan()).to_degrees();
            if worst.is_none_or(|w| degrees.abs() > w.degrees.abs()) {
                worst = Some(SlopeBreak { degrees, at: place.p });
            }
        }
    }
    worst
}

/// The outline that the lap must have at a station: for a shell that goes over the fuselage the inside of the shell, the
/// fuselage's outline with the clearance added; for one that goes into it the outside of the shell's lap, the fuselage's
/// outline (that of the opening) less the clearance.
pub fn lap_outline(end: &FuselageEnd, fuselage: &FuselageShape, x: f64) -> Outline {
    let by = match end.lap.side {
        LapSide::Over => end.lap.clearance,
        LapSide::Into => -end.lap.clearance,
    };
    fuselage.at(x).moved_out(by)
}

/// Places of the screws, (x, y, z) in mm, around the whole section: on the fuselage's outline, evenly by its girth, the first
/// half a pitch from the crown so that the set is the same on both sides. Starboard from crown to keel, then up to port.
/// At most [`MOST_SCREWS`].
pub fn screw_places(end: &FuselageEnd, fuselage: &FuselageShape, screws: &Screws) -> Vec<[f64; 3]> {
    let x = end.station + end.lap.length - screws.edge_distance;
    let outline = fuselage.at(x);
    let girth = 2.0 * outline.length();
    let count = match screws.spacing {
        ScrewSpacing::Count(count) => count.min(MOST_SCREWS),
        ScrewSpacing::Pitch(pitch) if pitch > 0.0 => {
            (girth / pitch - 1e-9).ceil().clamp(1.0, f64::from(MOST_SCREWS)) as u32
        }
        ScrewSpacing::Pitch(_) => 0,
    };
    let place = |i: u32| {
        let along = girth * (f64::from(i) + 0.5) / f64::from(count);
        let port = along > 0.5 * girth;
        let [y, z] = outline.at_length(if port { girth - along } else { along });
        [x, if port { -y } else { y }, z]
    };
    (0..count).map(place).collect()
}

/// More screws than this are not placed.
pub const MOST_SCREWS: u32 = 400;

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{cylinder, lofted, round};
    use project::airframe::Lap;

    fn circle(r: f64) -> FuselageSection {
        FuselageSection::Circle { diameter: 2.0 * r, centre_height: 0.0 }
    }

    fn end(section: FuselageSection, further: Option<(f64, FuselageSection)>) -> FuselageEnd {
        FuselageEnd {
            station: 200.0,
            section,
            further,
            lap: Lap { side: LapSide::Over, length: 10.0, clearance: 0.4 },
            screws: None,
            allowed_gap: 0.5,
            allowed_break_deg: 2.0,
        }
    }

    /// Area of the whole outline by its chords.
    fn area(outline: &Outline) -> f64 {
        outline.points().windows(2).map(|w| (w[0][0] + w[1][0]) * (w[0][1] - w[1][1])).sum()
    }

    /// Closed forms: π a b, and the box less (4 - π) r².
    #[test]
    fn primitives_have_the_areas_of_their_closed_forms() {
        let pi = std::f64::consts::PI;
        let check = |section: FuselageSection, expected: f64| {
            let found = area(&outline(&section, 1e-4).unwrap());
            assert!((found - expected).abs() < 0.02, "{section:?}: {found} against {expected}");
        };
        check(circle(50.0), pi * 2500.0);
        check(FuselageSection::Ellipse { width: 120.0, height: 100.0, centre_height: 7.0 }, pi * 3000.0);
        let rounded = |radius| FuselageSection::RoundedBox { width: 120.0, height: 100.0, radius, centre_height: -4.0 };
        check(rounded(20.0), 12000.0 - (4.0 - pi) * 400.0);
        check(rounded(0.0), 12000.0);
        check(rounded(50.0), 12000.0 - (4.0 - pi) * 2500.0);
        assert_eq!(outline(&circle(0.0), 0.01), None);
    }

    #[test]
    fn an_ellipse_is_exact_at_every_point() {
        let section = FuselageSection::Ellipse { width: 120.0, height: 100.0, centre_height: 7.0 };
        for [y, z] in outline(&section, 0.01).unwrap().points() {
            assert!(((y / 60.0).powi(2) + ((z - 7.0) / 50.0).powi(2) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn measured_points_are_on_the_outline() {
        let to_pin = to_pin(&circle(50.0), 13, 0.0).unwrap();
        assert_eq!(to_pin.points.len(), 13);
        let measured = outline(&FuselageSection::Measured(to_pin.clone()), 0.002).unwrap();
        assert!(to_pin.points.iter().all(|p| measured.nearest(*p).distance.abs() < 1e-6));
        assert!(measured.points().iter().all(|p| (p[0].hypot(p[1]) - 50.0).abs() < 0.01));
        assert_eq!(project::promise::check_measured(&to_pin), Ok(()));
        let proud = super::to_pin(&FuselageSection::Measured(to_pin), 0, 1.1).unwrap();
        assert!(proud.points.iter().all(|p| (p[0].hypot(p[1]) - 51.1).abs() < 0.01), "{proud:?}");
    }

    /// Closed form: circles of radius 50 and 49, and the same circle 0.8 mm higher, which stands proud below.
    #[test]
    fn the_widest_gap_is_signed_and_placed() {
        let at = |section: &FuselageSection| outline(section, 0.002).unwrap();
        let gap = widest_gap(&at(&circle(50.0)), &at(&circle(49.0)));
        assert!((gap.proud - 1.0).abs() < 0.003, "{gap:?}");
        let gap = widest_gap(&at(&circle(48.5)), &at(&circle(49.0)));
        assert!((gap.proud + 0.5).abs() < 0.003, "{gap:?}");
        let raised = FuselageSection::Circle { diameter: 100.0, centre_height: 0.8 };
        let gap = widest_gap(&at(&circle(50.0)), &at(&raised));
        assert!((gap.proud.abs() - 0.8).abs() < 0.003 && gap.at[0].abs() < 5.0, "{gap:?}");
    }

    /// Closed form: a cylinder against a cone that opens by 1 in 10.
    #[test]
    fn the_slope_break_is_the_angle_between_the_surfaces() {
        let lofted = lofted(&cylinder(50.0, 200.0));
        let loft = lofted.skin.as_ref().unwrap().loft();
        let shape = |r| FuselageShape::of(&end(circle(50.0), Some((230.0, circle(r))))).unwrap();
        let found = greatest_break(loft, 200.0, &shape(53.0)).unwrap();
        assert!((found.degrees - 0.1_f64.atan().to_degrees()).abs() < 0.01, "{found:?}");
        let found = greatest_break(loft, 200.0, &shape(47.0)).unwrap();
        assert!((found.degrees + 0.1_f64.atan().to_degrees()).abs() < 0.01, "{found:?}");
        // A cone that goes on as the fuselage does has no break.
        let cone = crate::testing::lofted(&round(&[[0.0, 30.0], [100.0, 40.0], [200.0, 50.0]]));
        let found = greatest_break(cone.skin.as_ref().unwrap().loft(), 200.0, &shape(53.0)).unwrap();
        assert!(found.degrees.abs() < 0.01, "{found:?}");
        assert_eq!(greatest_break(loft, 200.0, &FuselageShape::of(&end(circle(50.0), None)).unwrap()), None);
    }

    /// A circle of radius 50 has a girth of 314.159 mm: a pitch of at most 60 mm takes six screws.
    #[test]
    fn screws_stand_evenly_on_both_sides() {
        let end = end(circle(50.0), None);
        let shape = FuselageShape::of(&end).unwrap();
        let screws = |spacing| Screws { spacing, edge_distance: 4.0, hole: 3.0 };
        let six = screw_places(&end, &shape, &screws(ScrewSpacing::Pitch(60.0)));
        assert_eq!(six.len(), 6);
        for (i, p) in six.iter().enumerate() {
            let a = std::f64::consts::TAU * (i as f64 + 0.5) / 6.0;
            assert!((p[0] - 206.0).abs() < 1e-12);
            assert!((p[1] - 50.0 * a.sin()).abs() < 0.01 && (p[2] - 50.0 * a.cos()).abs() < 0.01, "{p:?}");
            assert!(six.iter().any(|q| (q[1] + p[1]).abs() < 1e-6 && (q[2] - p[2]).abs() < 1e-6));
        }
        assert_eq!(screw_places(&end, &shape, &screws(ScrewSpacing::Count(5))).len(), 5);
        assert!(screw_places(&end, &shape, &screws(ScrewSpacing::Count(0))).is_empty());
        assert!(screw_places(&end, &shape, &screws(ScrewSpacing::Pitch(0.0))).is_empty());
    }

    #[test]
    fn the_lap_outline_has_the_clearance_on_its_side() {
        let mut end = end(circle(50.0), Some((220.0, circle(52.0))));
        let shape = FuselageShape::of(&end).unwrap();
        let radius = |o: &Outline| o.points().iter().map(|p| p[0].hypot(p[1])).sum::<f64>() / o.points().len() as f64;
        assert!((radius(&lap_outline(&end, &shape, 210.0)) - 51.4).abs() < 0.002);
        end.lap.side = LapSide::Into;
        assert!((radius(&lap_outline(&end, &shape, 210.0)) - 50.6).abs() < 0.002);
    }

    #[test]
    fn findings_tell_gap_break_end_and_lap() {
        let form = cylinder(50.0, 200.0);
        let lofted = lofted(&form);
        let loft = lofted.skin.as_ref().unwrap().loft();
        let told = |end: &FuselageEnd| findings(end, &form, 0, loft, 0.8);
        let fits =
            FuselageEnd { lap: Lap { side: LapSide::Into, length: 10.0, clearance: 0.4 }, ..end(circle(50.0), None) };
        assert_eq!(told(&fits), []);
        let lap = told(&end(circle(50.0), None));
        assert!(lap.len() == 1 && lap[0].severity == Severity::Note, "{lap:?}");
        assert!((lap[0].measured.unwrap().value + 0.8).abs() < 0.005 && lap[0].hint.contains("1.20"), "{lap:?}");
        let roomy = FuselageEnd { allowed_gap: 1.3, ..end(circle(48.8), None) };
        assert_eq!(told(&roomy), []);
        let mut off = FuselageEnd { station: 203.0, ..end(circle(53.0), Some((230.0, circle(60.0)))) };
        off.lap.side = LapSide::Into;
        let found = told(&off);
        assert_eq!(found.len(), 3, "{found:?}");
        assert!((found[0].measured.unwrap().value - 3.0).abs() < 1e-9 && found[0].what.contains("ahead of"));
        assert!((found[1].measured.unwrap().value - 3.0).abs() < 0.01 && found[1].what.contains("stands back"));
        assert!((found[2].measured.unwrap().value - (7.0_f64 / 27.0).atan().to_degrees()).abs() < 0.05, "{found:?}");
    }

    #[test]
    fn the_edits_that_are_offered_join_form_and_fuselage() {
        let mut document = project::starter::new_document("Test");
        document.forms = vec![std::sync::Arc::new(cylinder(50.0, 200.0))];
        let ellipse = FuselageSection::Ellipse { width: 110.0, height: 104.0, centre_height: 1.5 };
        let mut away = FuselageEnd { station: 204.0, allowed_gap: 0.05, ..end(ellipse, None) };
        away.lap.side = LapSide::Into;
        for expected in ["Bring the rear ends", "Pin the rear"] {
            let form = document.forms[0].clone();
            let found = findings(&away, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8);
            let mend = found.iter().find_map(|f| f.mend.as_ref()).unwrap();
            assert!(mend.label.starts_with(expected), "{found:?}");
            document = mend.edit.apply(&document).unwrap();
        }
        let form = document.forms[0].clone();
        assert_eq!(findings(&away, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8), []);
    }

    #[test]
    fn a_shell_that_goes_over_is_pinned_proud_where_that_is_allowed() {
        let form = cylinder(50.0, 200.0);
        let proud = FuselageEnd { allowed_gap: 1.3, ..end(circle(52.0), None) };
        let found = findings(&proud, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.8);
        let mend = found[0].mend.as_ref().unwrap();
        assert!(mend.label.ends_with("1.20 mm proud of it"), "{mend:?}");
        let mut document = project::starter::new_document("Test");
        document.forms = vec![std::sync::Arc::new(form)];
        let form = mend.edit.apply(&document).unwrap().forms[0].clone();
        let found = findings(&proud, &form, 0, lofted(&form).skin.as_ref().unwrap().loft(), 0.78);
        assert_eq!(found, []);
    }
}
