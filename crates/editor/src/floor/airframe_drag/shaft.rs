//! Dragging firewall, hub, shaft, spinner and ring.

use crate::floor::airframe::seen;
use crate::floor::airframe::shaft::{plate, rim_of};
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
        (Item::Hub, View::Face) => line.hub_height = b,
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

/// Across the shaft the ring's edge, along it the gap to the spinner.
fn move_ring(line: &mut ThrustLine, view: View, at: [f64; 2]) {
    let shaft = thrust::shaft(line);
    let centre = seen(view, thrust::ring(line).rear.point);
    let from = [at[0] - centre[0], at[1] - centre[1]];
    let mut radius = from[0].hypot(from[1]);
    if view != View::Face {
        let tip: [f64; 3] = std::array::from_fn(|k| shaft.hub[k] + shaft.ahead[k]);
        let (tip, hub) = (seen(view, tip), seen(view, shaft.hub));
        let ahead = [tip[0] - hub[0], tip[1] - hub[1]];
        let length = ahead[0].hypot(ahead[1]).max(1e-9);
        let along = (from[0] * ahead[0] + from[1] * ahead[1]) / length;
        radius = ((from[1] * ahead[0] - from[0] * ahead[1]) / length).abs();
        // A ring left square leans against the shaft: only from its own place on does the gap change.
        let own = if line.ring.square_to_thrust { 0.0 } else { radius * ahead[1] / ahead[0] * sign(from, ahead) };
        line.spinner.gap = (line.spinner.gap - (along - own) / length).clamp(0.0, MAX_THICKNESS);
    }
    let most = 0.5 * (line.spinner.diameter - MIN_SIZE);
    line.ring.step = (0.5 * line.spinner.diameter - radius).min(most);
}

fn sign(from: [f64; 2], ahead: [f64; 2]) -> f64 {
    (from[1] * ahead[0] - from[0] * ahead[1]).signum()
}
