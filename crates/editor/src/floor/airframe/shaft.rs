//! Shaft, spinner, ring and firewall, and their handles.

use super::{HELD_IN, Pen, ROUND, Shapes, behind, seen};
use crate::floor::item::Item;
use crate::floor::layout::View;
use crate::floor::scene::HandleShape;
use fit::solid::Placed;
use fit::thrust::{self, Shaft};
use project::airframe::{Solid, ThrustLine};

/// Half the length of the mount's cross on the firewall, mm.
const MOUNT: f64 = 2.25;

impl Shapes {
    pub(super) fn thrust(&mut self, line: &ThrustLine, shaft: &Shaft) {
        let along = |by: f64| -> [f64; 3] { std::array::from_fn(|k| shaft.hub[k] + by * shaft.ahead[k]) };
        let tail = along(tail(line));
        self.line(Pen::Axis, Item::Hub, &[along(line.spinner.diameter), tail]);
        let plate = plate(line, shaft);
        let edge: Vec<[f64; 3]> = (0..=ROUND).map(|i| plate.surface(f64::from(i) / f64::from(ROUND), 1.0)).collect();
        self.line(Pen::Whole, Item::Spinner, &edge);
        let ring = thrust::ring(line);
        if ring.diameter > 0.0 {
            let mut edge = thrust::ring_edge(&ring, ROUND);
            edge.extend(edge.first().copied());
            self.line(Pen::Dashed, Item::Ring, &edge);
        }
        self.firewall(line, shaft);
        for view in HELD_IN {
            let label = format!("Hub, {}", behind(view));
            // In the face view the mount lies on it or near it: there the spinner's lower edge is taken hold of.
            let hub = if view == View::Face { plate.surface(0.5, 1.0) } else { shaft.hub };
            self.handle(view, Item::Hub, seen(view, hub), HandleShape::Mark, label);
            let rim = plate.surface(rim_of(view), 1.0);
            let label = format!("Spinner diameter, {}", behind(view));
            self.handle(view, Item::Spinner, seen(view, rim), HandleShape::Smooth, label);
            if let Some(at) = ring_handle(&ring, view).filter(|_| ring.diameter > 0.0) {
                let label = format!("Ring, {}", behind(view));
                self.handle(view, Item::Ring, seen(view, at), HandleShape::Smooth, label);
            }
        }
        for view in [View::Side, View::Plan] {
            let label = format!("Thrust line, {}", behind(view));
            self.handle(view, Item::Cant, seen(view, tail), HandleShape::Shoulder, label);
        }
        self.handle(View::Face, Item::Cant, seen(View::Face, shaft.mount), HandleShape::Shoulder, "Mount, face view");
    }

    /// The firewall's front face, with the mount's centre on it.
    fn firewall(&mut self, line: &ThrustLine, shaft: &Shaft) {
        let half = 0.6 * line.spinner.diameter;
        let [x, y, z] = shaft.mount;
        self.stroke(View::Side, Pen::Whole, Item::Firewall, vec![[x, z - half], [x, z + half]]);
        self.stroke(View::Plan, Pen::Whole, Item::Firewall, vec![[x, y - half], [x, y + half]]);
        for way in [[MOUNT, 0.0], [0.0, MOUNT]] {
            let tip = |sign: f64| [x, y + sign * way[0], z + sign * way[1]];
            for view in [View::Face, View::Body] {
                self.stroke(view, Pen::Whole, Item::Firewall, vec![seen(view, tip(-1.0)), seen(view, tip(1.0))]);
            }
        }
        let corner = |a: f64, b: f64| [x, y + a * half, z + b * half];
        let square = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0]];
        self.shaded(Pen::Whole, square.map(|[a, b]| corner(a, b)).to_vec());
        self.handle(View::Side, Item::Firewall, [x, z - half], HandleShape::Corner, "Firewall, side view");
        self.handle(View::Plan, Item::Firewall, [x, y + half], HandleShape::Corner, "Firewall, plan");
    }
}

/// The spinner's back plate.
pub(crate) fn plate(line: &ThrustLine, shaft: &Shaft) -> Placed {
    let shape = Solid::Cylinder { diameter: line.spinner.diameter, length: 1.0 };
    Placed::new(shape, shaft.hub, shaft.ahead.map(|c| -c))
}

/// Where the shaft's drawn end lies along it, from the hub; behind the firewall.
fn tail(line: &ThrustLine) -> f64 {
    -line.hub_distance - 0.4 * line.spinner.diameter
}

/// The place of the spinner's rim that has the handle, as a share of a turn from the top to starboard: beside the ends of the master
/// lines.
pub(crate) fn rim_of(view: View) -> f64 {
    match view {
        View::Side => 1.0 / 12.0,
        View::Plan => 1.0 / 6.0,
        View::Face | View::Body => 0.25,
    }
}

/// The place of the ring's edge that has the handle, beside the spinner's.
pub(crate) fn ring_handle(ring: &thrust::RingPlace, view: View) -> Option<[f64; 3]> {
    let of_24 = match view {
        View::Side => 10,
        View::Plan => 3,
        View::Face | View::Body => 15,
    };
    thrust::ring_edge(ring, 24).get(of_24).copied()
}
