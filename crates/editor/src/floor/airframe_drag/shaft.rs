//! Dragging firewall, hub, shaft, spinner and ring.

use crate::floor::airframe::seen;
use crate::floor::airframe::shaft::{plate, rim_of, ring_handle};
use crate::floor::item::Item;
use crate::floor::layout::View;
use fit::thrust;
use project::airframe::ThrustLine;
use project::promise::{MAX_CANT_DEG, MAX_THICKNESS, MIN_SIZE};

/// Brings a handle to a place of its view.
pub(super) fn moved(line: &mut ThrustLine, item: Item, view: View, [a, b]: [f64; 2]) -> Option<()> {
    let hub = thrust::shaft(line).hub;
    match (item, view) {
        (Item::Spinner, _) => {
            let middle = seen(view, hub);
            let rim = seen(view, plate(line, &thrust::shaft(line)).surface(rim_of(view), 1.0));
            let now = [rim[0] - middle[0], rim[1] - middle[1]];
            // As the view shows it, foreshortened by the cant.
            let share = ((a - middle[0]) * now[0] + (b - middle[1]) * now[1]) / (now[0] * now[0] + now[1] * now[1]);
            let least = MIN_SIZE + 2.0 * line.ring.step.max(0.0);
            line.spinner.diameter = (line.spinner.diameter * share).max(least);
        }
        (Item::Ring, _) => move_ring(line, view, [a, b]),
        // The hub stays where it has to be; what changes is how far ahead of the firewall that is.
        (Item::Firewall, _) => {
            line.firewall = a.max(hub[0]);
            line.hub_distance = distance_to(line, hub[0]);
        }
        (Item::Cant, View::Face) => cant(line, hub, [line.firewall, -a, b]),
        (Item::Cant, View::Plan) => {
            let height = hub[2] + line.down_thrust_deg.to_radians().tan() * (a - hub[0]);
            cant(line, hub, [a, b, height]);
        }
        (Item::Cant, _) => {
            let aside = -line.side_thrust_deg.to_radians().tan() * (a - hub[0]);
            cant(line, hub, [a, aside, b]);
        }
        (Item::Hub, View::Face) => {
            let lower = seen(view, plate(line, &thrust::shaft(line)).surface(0.5, 1.0));
            line.hub_height += b - lower[1];
        }
        (Item::Hub, _) => {
            line.hub_distance = distance_to(line, a);
            if view == View::Side {
                line.hub_height = b;
            }
        }
        _ => return None,
    }
    Some(())
}

/// The distance along the shaft that brings the hub to a station.
fn distance_to(line: &ThrustLine, station: f64) -> f64 {
    ((station - line.firewall) / thrust::shaft(line).ahead[0]).max(0.0)
}

/// Cants the shaft so that it passes a place behind the hub; the hub stays.
fn cant(line: &mut ThrustLine, hub: [f64; 3], through: [f64; 3]) {
    let back = through[0] - hub[0];
    if back < 1.0 {
        return;
    }
    let degrees = |across: f64| (across / back).atan().to_degrees().clamp(-MAX_CANT_DEG, MAX_CANT_DEG);
    line.down_thrust_deg = degrees(through[2] - hub[2]);
    line.side_thrust_deg = degrees(-(through[1] - hub[1]));
    line.hub_distance = distance_to(line, hub[0]);
}

/// Across the shaft the ring's edge, along it the gap to the spinner: both by how far the handle has gone from where it is drawn.
fn move_ring(line: &mut ThrustLine, view: View, at: [f64; 2]) {
    let ring = thrust::ring(line);
    let Some(edge) = ring_handle(&ring, view) else { return };
    let (centre, edge) = (seen(view, ring.rear.point), seen(view, edge));
    let now = [edge[0] - centre[0], edge[1] - centre[1]];
    let by = [at[0] - edge[0], at[1] - edge[1]];
    let length = now[0].hypot(now[1]).max(1e-9);
    let along_edge = (by[0] * now[0] + by[1] * now[1]) / length;
    // As the view shows it: a rim that stands aslant is foreshortened.
    let radius = (0.5 * ring.diameter * (1.0 + along_edge / length)).max(0.5 * MIN_SIZE);
    line.ring.step = 0.5 * line.spinner.diameter - radius;
    if view != View::Face {
        // What is left of the way lies along the shaft, to within the cosine of its cant; aft it widens the gap.
        let aside = (by[1] * now[0] - by[0] * now[1]) / length;
        let aft = aside * if now[1] > 0.0 { -1.0 } else { 1.0 };
        line.spinner.gap = (line.spinner.gap + aft).clamp(0.0, MAX_THICKNESS);
    }
}
