//! From stations to a form whose sections are pinned to them.

use std::sync::Arc;

use super::TableStation;
use crate::document::{ControlSection, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use crate::measured::{curve, master_values};
use crate::promise::ON_CENTRE;
use crate::starter::empty_form;
use geometry::measured::MeasuredCurve;

/// A form with a pinned control section and a station at each station of the table. The master lines run through the
/// points that those sections lock; where an end station has no widest place (a stem edge), the breadth height is
/// carried on straight from the two stations next to it.
///
/// Where the widest place jumps from one knuckle to another, or across one, that knuckle is taken as the breadth mark of
/// every station; where it jumps along smooth sections, from one bulge to another, a common share of the girth. Corresponding
/// points then stay together, and the sections themselves are the same.
pub fn form_from_table(stations: &[TableStation]) -> Form {
    let stations = &with_common_breadth(stations);
    let mut form = empty_form("Form 1");
    for name in LineName::ALL {
        *form.lines.get_mut(name) = Arc::new(line(name, stations));
    }
    let pinned = |station: &TableStation| ControlSection {
        station: station.x,
        shape: SectionShape::Pinned(station.section.clone()),
    };
    form.sections = stations.iter().map(|station| Arc::new(pinned(station))).collect();
    form.stations = stations.iter().map(|station| station.x).collect();
    form
}

/// Where the breadth mark of a section lies among its knuckles, which are counted from the crown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Widest {
    /// At this knuckle.
    Knuckle(usize),
    /// Behind this many knuckles.
    Between(usize),
}

fn widest(station: &TableStation) -> Option<Widest> {
    let section = &station.section;
    if !section.has_shape() {
        return None;
    }
    let (at, is_point) = curve(section)?.breadth_mark();
    let knuckle = section.knuckles.iter().position(|k| is_point && k.point == at);
    let before = section.knuckles.iter().filter(|k| k.point < at).count();
    Some(knuckle.map_or(Widest::Between(before), Widest::Knuckle))
}

fn with_common_breadth(stations: &[TableStation]) -> Vec<TableStation> {
    let mut out = stations.to_vec();
    let shaped = out.iter_mut().filter(|s| s.section.has_shape());
    if let Some(knuckle) = common_knuckle(stations) {
        for station in shaped {
            station.section.breadth_point = station.section.knuckles.get(knuckle).map(|k| k.point);
        }
    } else if let Some(share) = common_girth(stations) {
        shaped.for_each(|station| station.section.breadth_girth = Some(share));
    }
    out
}

/// From one station to the next the breadth mark may move by this share of the half section's girth; more is a jump from
/// one bulge or corner to another.
const JUMP: f64 = 0.1;
/// A common breadth mark must be at least so wide everywhere, as a share of the widest place.
const WIDE_ENOUGH: f64 = 0.5;

/// The share of the girth at which the breadth mark is put in every section, where the nearly widest stretch jumps: the
/// middle one of those found, if all sections are wide there and no knuckle lies between.
fn common_girth(stations: &[TableStation]) -> Option<f64> {
    let sections = stations.iter().map(|s| &s.section).filter(|s| s.has_shape());
    let curves: Vec<_> = sections.filter_map(curve).collect();
    let mut shares: Vec<f64> = curves.iter().map(MeasuredCurve::breadth_girth).collect();
    if stations.iter().any(|s| !s.section.knuckles.is_empty()) || !shares.windows(2).any(|w| (w[1] - w[0]).abs() > JUMP)
    {
        return None;
    }
    shares.sort_by(f64::total_cmp);
    let middle = shares[shares.len() / 2];
    let is_wide = |c: &MeasuredCurve| c.half_breadth_at(middle) >= WIDE_ENOUGH * c.greatest_half_breadth();
    curves.iter().all(is_wide).then_some(middle)
}

/// The knuckle to take as breadth mark where the widest places do not agree: of those that are widest somewhere the one
/// whose half-breadth varies least, as all others are held as shares of it; or else the first that they cross.
fn common_knuckle(stations: &[TableStation]) -> Option<usize> {
    let places: Vec<Widest> = stations.iter().filter_map(widest).collect();
    let first = places.first()?;
    if places.iter().all(|p| p == first) {
        return None;
    }
    let knuckles = places.iter().filter_map(|p| if let Widest::Knuckle(k) = p { Some(*k) } else { None });
    let crossed = places.iter().filter_map(|p| if let Widest::Between(n) = p { Some(*n) } else { None }).min();
    knuckles.min_by(|&a, &b| spread(stations, a).total_cmp(&spread(stations, b))).or(crossed)
}

/// Greatest over least half-breadth of a knuckle.
fn spread(stations: &[TableStation], knuckle: usize) -> f64 {
    let shaped = stations.iter().map(|s| &s.section).filter(|s| s.has_shape());
    let ys = shaped.filter_map(|s| Some(s.points.get(s.knuckles.get(knuckle)?.point)?[0]));
    let (least, most) = ys.fold((f64::INFINITY, 0.0_f64), |(low, high), y| (low.min(y), high.max(y)));
    most / least.max(ON_CENTRE)
}

fn line(name: LineName, stations: &[TableStation]) -> MasterLine {
    let locked = |station: &TableStation| Some((station.x, master_values(&station.section).get(name)?));
    let mut points: Vec<_> = stations.iter().filter_map(locked).collect();
    if let Some(front) = carried_on(stations.first(), &points) {
        points.insert(0, front);
    }
    let from_rear: Vec<_> = points.iter().rev().copied().collect();
    points.extend(carried_on(stations.last(), &from_rear));
    let point = |(x, value)| LinePoint { x, value, kind: LinePointKind::Smooth };
    let points: Vec<LinePoint> = points.into_iter().map(point).collect();
    let [front, rear] = [true, false].map(|front| match end_kind(name, stations, front) {
        LineEnd::Free if is_lip(&points, front) => LineEnd::Upright,
        kind => kind,
    });
    MasterLine { front, rear, points }
}

/// Whether a line that ends at a face rises there like a root, as a rounded lip does: steeply, and with an exponent well
/// below one over its first two bays.
fn is_lip(points: &[LinePoint], front: bool) -> bool {
    let mut from_end: Vec<(f64, f64)> = points.iter().map(|p| (p.x, p.value)).collect();
    if !front {
        from_end.reverse();
    }
    let [(x0, v0), (x1, v1), (x2, v2), ..] = from_end[..] else { return false };
    let (near, far) = ((v1 - v0) / (x1 - x0).abs(), (v2 - v0) / (x2 - x0).abs());
    let exponent = ((v2 - v0) / (v1 - v0)).ln() / ((x2 - x0) / (x1 - x0)).ln();
    near.abs() > LIP_SLOPE && near * far > 0.0 && exponent < LIP_EXPONENT
}

/// A lip rises at least this steeply over its first bay.
const LIP_SLOPE: f64 = 1.0;
/// And grows with less than this exponent; a quarter circle begins with 1/2.
const LIP_EXPONENT: f64 = 0.62;

/// Growth below this exponent at a point end counts as blunt. A half ellipse grows with the exponent 1/2, a cone or a
/// parabola's tip with nearly 1; between them lie the pointed noses of the Haack family at 3/4.
const BLUNT_EXPONENT: f64 = 0.8;

/// How a master line of a table leaves its front or its rear end.
///
/// A form that ends in a point or an edge ends upright where its breadth (for the breadth line) or its height (for crown and
/// keel) grows like a root: the exponent is read from the first two stations, ln(v2 / v1) / ln(x2 / x1). The breadth
/// height and lines at a flat face end freely.
pub fn end_kind(name: LineName, stations: &[TableStation], front: bool) -> LineEnd {
    let mut from_end: Vec<(f64, f64)> = stations.iter().map(|s| (s.x, extent(name, s))).collect();
    if !front {
        from_end.reverse();
    }
    match (name, from_end.as_slice()) {
        (LineName::BreadthHeight, _) => LineEnd::Free,
        (_, [(x0, v0), (x1, v1), (x2, v2), ..]) if *v0 <= ON_CENTRE && *v1 > ON_CENTRE && *v2 > *v1 => {
            let exponent = (v2 / v1).ln() / ((x2 - x0) / (x1 - x0)).ln();
            if exponent < BLUNT_EXPONENT { LineEnd::Upright } else { LineEnd::Free }
        }
        _ => LineEnd::Free,
    }
}

/// What shrinks to nothing where the line's form ends in a point or an edge: half-breadth, or height from keel to crown.
fn extent(name: LineName, station: &TableStation) -> f64 {
    let values = master_values(&station.section);
    match name {
        LineName::Breadth => values.breadth.unwrap_or(0.0),
        LineName::Crown | LineName::Keel | LineName::BreadthHeight => values.crown - values.keel,
    }
}

/// The line carried on to a station beyond the nearest of its points, kept between the station's keel and crown; `None`
/// if it reaches there by itself. `nearest` begins with the nearest point.
fn carried_on(station: Option<&TableStation>, nearest: &[(f64, f64)]) -> Option<(f64, f64)> {
    let station = station?;
    let (x, value) = *nearest.first()?;
    if x == station.x {
        return None;
    }
    let slope = nearest.get(1).map_or(0.0, |(next, other)| (other - value) / (next - x));
    let values = master_values(&station.section);
    Some((station.x, (value + slope * (station.x - x)).min(values.crown).max(values.keel)))
}
