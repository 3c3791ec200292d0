//! What dragging a handle of the airframe changes: one edit, from where the handle is now.

use crate::derived::Derived;
use crate::floor::airframe::middle_height;
use crate::floor::layout::View;
use crate::view::Item;
use fit::thrust::{self, Shaft};
use project::airframe::{
    Airframe, FuselageEnd, FuselageSection, Gauge, GaugeMeasure, KeepOut, KeepOutPlace, ThrustLine,
};
use project::edit::Edit;
use project::promise::MIN_SIZE;

/// The edit that brings an item's handle of a view to a place of that view, mm.
pub(crate) fn edit_for(airframe: &Airframe, derived: &Derived, item: Item, view: View, at: [f64; 2]) -> Option<Edit> {
    match item {
        Item::Fuselage | Item::FuselageFurther | Item::FuselageWidth | Item::FuselageHeight | Item::Lap => {
            let mut end = airframe.fuselage.clone()?;
            move_fuselage(&mut end, item, view, at);
            Some(Edit::SetFuselage(Some(end)))
        }
        Item::Firewall | Item::Hub | Item::Spinner => {
            let mut line = airframe.thrust?;
            move_thrust(&mut line, item, view, at);
            Some(Edit::SetThrust(Some(line)))
        }
        Item::KeepOut(index) => {
            let mut with = airframe.keep_outs.get(index)?.clone();
            move_keep_out(&mut with, airframe.thrust.as_ref().map(thrust::shaft).as_ref(), view, at)?;
            Some(Edit::ReplaceKeepOut { index, with })
        }
        Item::Gauge(index) => {
            let mut with = airframe.gauges.get(index)?.clone();
            move_gauge(&mut with, derived, view, at);
            Some(Edit::ReplaceGauge { index, with })
        }
        Item::Ring | Item::Screws => None,
    }
}

fn move_fuselage(end: &mut FuselageEnd, item: Item, view: View, [a, b]: [f64; 2]) {
    match (item, view) {
        (Item::Fuselage, View::Face) => {
            if let Some(centre) = centre_height(&mut end.section) {
                *centre = b;
            }
        }
        (Item::Fuselage, _) => end.station = a,
        (Item::FuselageFurther, _) => {
            if let Some((station, _)) = &mut end.further {
                *station = a;
            }
        }
        (Item::Lap, _) => end.lap.length = (a - end.station).max(0.0),
        (Item::FuselageWidth, _) => size(&mut end.section, Some(2.0 * a.abs()), None),
        (Item::FuselageHeight, _) => {
            if let Some(centre) = centre_height(&mut end.section).map(|c| *c) {
                size(&mut end.section, None, Some(2.0 * (b - centre)));
            }
        }
        _ => {}
    }
}

/// The height of the centre; measured points have none.
pub(crate) fn centre_height(section: &mut FuselageSection) -> Option<&mut f64> {
    match section {
        FuselageSection::Circle { centre_height, .. }
        | FuselageSection::Ellipse { centre_height, .. }
        | FuselageSection::RoundedBox { centre_height, .. } => Some(centre_height),
        FuselageSection::Measured(_) => None,
    }
}

/// Sets whole width or height, and keeps the corners of a box within it.
fn size(section: &mut FuselageSection, new_width: Option<f64>, new_height: Option<f64>) {
    let set = |now: &mut f64, to: Option<f64>| *now = to.unwrap_or(*now).max(MIN_SIZE);
    match section {
        FuselageSection::Circle { diameter, .. } => set(diameter, new_width.or(new_height)),
        FuselageSection::Ellipse { width, height, .. } => {
            set(width, new_width);
            set(height, new_height);
        }
        FuselageSection::RoundedBox { width, height, radius, .. } => {
            set(width, new_width);
            set(height, new_height);
            *radius = radius.min(0.5 * width.min(*height));
        }
        FuselageSection::Measured(_) => {}
    }
}

fn move_thrust(line: &mut ThrustLine, item: Item, view: View, [a, b]: [f64; 2]) {
    match (item, view) {
        (Item::Spinner, _) => line.spinner.diameter = (2.0 * a.abs()).max(MIN_SIZE),
        // The hub stays where it has to be; what changes is how far ahead of the firewall that is.
        (Item::Firewall, _) => {
            let hub = thrust::shaft(line).hub[0];
            line.firewall = a.max(hub);
            line.hub_distance = distance_to(line, hub);
        }
        (Item::Hub, View::Face) => line.hub_height = b,
        (Item::Hub, _) => {
            line.hub_distance = distance_to(line, a);
            if view == View::Side {
                line.hub_height = b;
            }
        }
        _ => {}
    }
}

/// The distance along the shaft that brings the hub to a station.
fn distance_to(line: &ThrustLine, station: f64) -> f64 {
    ((station - line.firewall) / thrust::shaft(line).ahead[0]).max(0.0)
}

fn move_keep_out(keep_out: &mut KeepOut, shaft: Option<&Shaft>, view: View, [a, b]: [f64; 2]) -> Option<()> {
    match &mut keep_out.place {
        KeepOutPlace::OnThrustLine { behind_hub } => {
            let shaft = shaft?;
            *behind_hub = (a - shaft.hub[0]) / -shaft.ahead[0];
        }
        KeepOutPlace::Free { front, .. } => match view {
            View::Side => (front[0], front[2]) = (a, b),
            View::Plan => (front[0], front[1]) = (a, b),
            View::Face | View::Body => (front[1], front[2]) = (-a, b),
        },
    }
    Some(())
}

/// Along the body the station, across the tips of the calipers apart.
fn move_gauge(gauge: &mut Gauge, derived: &Derived, view: View, [a, b]: [f64; 2]) {
    if matches!(view, View::Side | View::Plan) {
        gauge.station = a;
    }
    match (&mut gauge.measure, view) {
        (GaugeMeasure::WidthAt { height }, View::Side) => *height = b,
        (GaugeMeasure::WidthAt { .. }, View::Plan) => gauge.value = 2.0 * b.abs(),
        (GaugeMeasure::WidthAt { height }, _) => {
            *height = b;
            gauge.value = 2.0 * a.abs();
        }
        (GaugeMeasure::HeightAt { half_breadth }, View::Plan) => *half_breadth = b.abs(),
        (GaugeMeasure::HeightAt { half_breadth }, view) => {
            if view == View::Face {
                *half_breadth = a.abs();
            }
            gauge.value = 2.0 * (b - middle_height(derived, gauge.station)).abs();
        }
    }
    gauge.value = gauge.value.max(MIN_SIZE);
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{Ring, Solid, Spinner};

    fn line() -> ThrustLine {
        ThrustLine {
            firewall: 300.0,
            hub_distance: 310.0,
            hub_height: 4.0,
            down_thrust_deg: 2.0,
            side_thrust_deg: 3.0,
            spinner: Spinner { diameter: 70.0, gap: 2.0 },
            ring: Ring { thickness: 3.0, step: 1.0, square_to_thrust: true },
        }
    }

    #[test]
    fn a_dragged_firewall_leaves_the_hub_where_it_is() {
        let mut moved = line();
        move_thrust(&mut moved, Item::Firewall, View::Side, [325.0, 0.0]);
        let (before, after) = (thrust::shaft(&line()), thrust::shaft(&moved));
        assert!((before.hub[0] - after.hub[0]).abs() < 1e-9 && (after.mount[0] - 325.0).abs() < 1e-9);
    }

    #[test]
    fn a_dragged_hub_comes_to_the_pointer() {
        let mut moved = line();
        move_thrust(&mut moved, Item::Hub, View::Side, [-20.0, 11.0]);
        let hub = thrust::shaft(&moved).hub;
        assert!((hub[0] + 20.0).abs() < 1e-9 && hub[2] == 11.0);
        move_thrust(&mut moved, Item::Hub, View::Side, [400.0, 11.0]);
        assert_eq!(moved.hub_distance, 0.0, "the hub does not pass the firewall");
    }

    #[test]
    fn a_keep_out_on_the_thrust_line_slides_along_it() {
        let mut motor = KeepOut {
            name: "Motor".into(),
            shape: Solid::Cylinder { diameter: 40.0, length: 50.0 },
            place: KeepOutPlace::OnThrustLine { behind_hub: 20.0 },
            clearance: 2.0,
        };
        let shaft = thrust::shaft(&line());
        move_keep_out(&mut motor, Some(&shaft), View::Side, [60.0, 99.0]);
        let placed = fit::solid::Placed::of(&motor, Some(&shaft)).unwrap();
        assert!((placed.surface(0.0, 0.0)[0] - 60.0).abs() < 1e-9);
    }
}
