//! What sections promise.

use std::collections::BTreeSet;

use super::{MAX_POINTS, apart, check_count, check_mm, check_range};
use crate::document::{ArcKind, ControlSection, MeasuredSection, PointRole, SectionShape, UnitPoint, UnitSection};
use crate::edit::Refused;

/// Neighbouring points of a shaped section lie at least this far apart, in unit coordinates.
pub const MIN_UNIT_GAP: f64 = 1e-6;
/// Neighbouring points of a measured section lie at least this far apart, mm.
pub const MIN_MEASURED_GAP: f64 = 1e-6;
/// A measured point this near to the centre plane lies on it, mm.
pub const ON_CENTRE: f64 = 1e-6;
/// Unit coordinates stay within this.
const MAX_UNIT: f64 = 100.0;

/// A control section: its station and its shape.
///
/// # Errors
/// The first promise that is broken.
pub fn check_section(section: &ControlSection) -> Result<(), Refused> {
    check_mm("The station of a control section", section.station)?;
    match &section.shape {
        SectionShape::Shaped(unit) => check_unit(unit),
        SectionShape::Pinned(measured) => check_measured(measured),
    }
}

/// A shaped section: crown, breadth and keel marks where they belong, arcs one fewer than points.
///
/// # Errors
/// The first promise that is broken.
pub fn check_unit(unit: &UnitSection) -> Result<(), Refused> {
    check_count("points in a section", unit.points.len(), MAX_POINTS)?;
    check_marks(&unit.points)?;
    for point in &unit.points {
        check_range("A section point's share of the breadth", point.u, 0.0, MAX_UNIT)?;
        check_range("A section point's share of the height", point.v, -MAX_UNIT, MAX_UNIT)?;
    }
    check_unit_gaps(&unit.points)?;
    check_knuckle_numbers(unit.points.iter().filter_map(|point| point.role.knuckle()))?;
    if unit.arcs.len() + 1 != unit.points.len() {
        return Err(Refused::new(
            format!("A section with {} points has {} arcs.", unit.points.len(), unit.arcs.len()),
            "Give one arc between each two neighbouring points.",
        ));
    }
    unit.arcs.iter().try_for_each(|arc| check_arc(*arc))
}

/// Marks stand where they must.
fn check_marks(points: &[UnitPoint]) -> Result<(), Refused> {
    let at = |point: Option<&UnitPoint>, role: PointRole, u: f64, v: f64| {
        point.is_some_and(|p| p.role == role && p.u == u && p.v == v)
    };
    if !at(points.first(), PointRole::Crown, 0.0, 1.0) {
        return Err(misplaced("first point", "crown mark at (0, 1)"));
    }
    if !at(points.last(), PointRole::Keel, 0.0, -1.0) {
        return Err(misplaced("last point", "keel mark at (0, -1)"));
    }
    let is_breadth = |p: &&UnitPoint| matches!(p.role, PointRole::Breadth { .. });
    let mut breadths = points.iter().filter(is_breadth);
    let one = breadths.next().is_some_and(|p| p.u == 1.0 && p.v == 0.0) && breadths.next().is_none();
    if !one {
        return Err(misplaced("widest point", "only breadth mark, at (1, 0)"));
    }
    let inner = &points[1..points.len() - 1];
    if inner.iter().any(|p| matches!(p.role, PointRole::Crown | PointRole::Keel)) {
        return Err(misplaced(
            "inner points",
            "breadth mark, smooth points and knuckles, with no second crown or keel",
        ));
    }
    Ok(())
}

fn misplaced(which: &str, role: &str) -> Refused {
    Refused::new(
        format!("The {which} of a section must be the {role}."),
        "List the points from the crown over the breadth to the keel.",
    )
}

fn check_unit_gaps(points: &[UnitPoint]) -> Result<(), Refused> {
    let near = |pair: &[UnitPoint]| !apart(0.0, (pair[1].u - pair[0].u).hypot(pair[1].v - pair[0].v), MIN_UNIT_GAP);
    match points.windows(2).position(near) {
        None => Ok(()),
        Some(at) => Err(Refused::new(
            format!("Points {} and {} of the section lie on one another.", at + 1, at + 2),
            "Move them apart, or remove one.",
        )),
    }
}

fn check_knuckle_numbers(numbers: impl Iterator<Item = u32>) -> Result<(), Refused> {
    let mut seen = BTreeSet::new();
    for number in numbers {
        if !seen.insert(number) {
            return Err(Refused::new(
                format!("Knuckle {number} passes the section twice."),
                "Give each knuckle of a section a number of its own.",
            ));
        }
    }
    Ok(())
}

/// The curve between two points.
///
/// # Errors
/// A fullness outside 0.05 to 0.95 or an exponent outside 1 to 20.
pub fn check_arc(arc: ArcKind) -> Result<(), Refused> {
    match arc {
        ArcKind::Cubic => Ok(()),
        ArcKind::Conic { rho } => check_range("The fullness of a conic", rho, 0.05, 0.95),
        ArcKind::Superelliptic { exponent } => check_range("The exponent of a superelliptic arc", exponent, 1.0, 20.0),
    }
}

/// A measured section: from centre plane to centre plane, at least three points where it has breadth, else two.
///
/// # Errors
/// The first promise that is broken.
pub fn check_measured(measured: &MeasuredSection) -> Result<(), Refused> {
    check_count("points in a measured section", measured.points.len(), MAX_POINTS)?;
    for [y, z] in &measured.points {
        super::check_range("A measured half-breadth", *y, 0.0, super::MAX_MM)?;
        check_mm("A measured height", *z)?;
    }
    check_measured_ends(measured)?;
    if measured.breadth_point.is_some_and(|point| point >= measured.points.len()) {
        return Err(no_measured_point());
    }
    if let Some(share) = measured.breadth_girth {
        super::check_range("The share of the girth at the breadth", share, 0.0, 1.0)?;
    }
    if measured.has_shape() { check_measured_shape(measured) } else { Ok(()) }
}

fn check_measured_ends(measured: &MeasuredSection) -> Result<(), Refused> {
    let [Some(first), Some(last)] = [measured.points.first(), measured.points.last()] else {
        return Err(Refused::new("A measured section has no points.", "List its points from the crown to the keel."));
    };
    if measured.points.len() < 2 {
        return Err(Refused::new(
            "A measured section has a single point.",
            "List its points from the crown to the keel.",
        ));
    }
    if first[0] > ON_CENTRE || last[0] > ON_CENTRE {
        return Err(Refused::new(
            "A measured section does not begin and end on the centre plane.",
            "Give its first and its last point a half-breadth of 0.",
        ));
    }
    if last[1] > first[1] {
        return Err(Refused::new(
            "A measured section runs from the keel to the crown.",
            "List its points the other way round, the highest on the centre plane first.",
        ));
    }
    Ok(())
}

fn check_measured_shape(measured: &MeasuredSection) -> Result<(), Refused> {
    if measured.points.len() < 3 {
        return Err(Refused::new("A measured section has too few points.", "Give at least three, better seven."));
    }
    let near =
        |pair: &[[f64; 2]]| !apart(0.0, (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]), MIN_MEASURED_GAP);
    if let Some(at) = measured.points.windows(2).position(near) {
        return Err(Refused::new(
            format!("Measured points {} and {} lie on one another.", at + 1, at + 2),
            "Remove one of them.",
        ));
    }
    check_measured_knuckles(measured)
}

fn check_measured_knuckles(measured: &MeasuredSection) -> Result<(), Refused> {
    let last = measured.points.len() - 1;
    let mut before = 0;
    for knuckle in &measured.knuckles {
        if knuckle.point <= before || knuckle.point >= last {
            return Err(no_measured_point());
        }
        before = knuckle.point;
    }
    check_knuckle_numbers(measured.knuckles.iter().map(|knuckle| knuckle.number))
}

fn no_measured_point() -> Refused {
    Refused::new(
        "A knuckle or the breadth mark names a measured point that cannot carry it.",
        "Name points between the first and the last, knuckles in order from the crown to the keel.",
    )
}
