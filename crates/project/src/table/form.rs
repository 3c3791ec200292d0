//! From stations to a form whose sections are pinned to them.

use std::sync::Arc;

use super::TableStation;
use crate::document::{ControlSection, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape};
use crate::measured::master_values;
use crate::starter::empty_form;

/// A form with a pinned control section and a station at each station of the table. The master lines run through the
/// points that those sections lock; where an end station has no widest place (a stem edge), the breadth height is
/// carried on straight from the two stations next to it.
pub fn form_from_table(stations: &[TableStation]) -> Form {
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

fn line(name: LineName, stations: &[TableStation]) -> MasterLine {
    let locked = |station: &TableStation| Some((station.x, master_values(&station.section).get(name)?));
    let mut points: Vec<_> = stations.iter().filter_map(locked).collect();
    if let Some(front) = carried_on(stations.first(), &points) {
        points.insert(0, front);
    }
    let from_rear: Vec<_> = points.iter().rev().copied().collect();
    points.extend(carried_on(stations.last(), &from_rear));
    let point = |(x, value)| LinePoint { x, value, kind: LinePointKind::Smooth };
    let points: Vec<_> = points.into_iter().map(point).collect();
    MasterLine { front: end_kind(name, &points, true), rear: end_kind(name, &points, false), points }
}

/// How a master line of a table leaves its front or its rear end, by its points.
pub fn end_kind(_name: LineName, _points: &[LinePoint], _front: bool) -> LineEnd {
    LineEnd::Free
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
