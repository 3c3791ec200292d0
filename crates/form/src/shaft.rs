//! The shaft and the ring in space, as a thrust line places them.
//!
//! Down-thrust is the angle seen from the side, side-thrust the one seen from above, so the shaft points along
//! (-1, tan side, -tan down). The hub stays on the centre plane and the mount is shifted for it: with L from firewall to
//! hub along the shaft by L sin of the angle, if there is only one angle (the printed rule); with both, by L times the
//! component of the unit vector, which is that rule made exact.

use crate::space::{Vector, add, dot, sub, times, triad, unit};
use geometry::oblique::ObliquePlane;
use project::airframe::ThrustLine;

/// The plane that trims the front of the form: what lies ahead of it is cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingTrim {
    /// A place of the plane, mm.
    pub point: [f64; 3],
    /// Its unit normal, pointing ahead, away from the form.
    pub normal: [f64; 3],
}

impl RingTrim {
    /// How far a place lies ahead of the plane, mm.
    pub fn ahead(&self, p: [f64; 3]) -> f64 {
        dot(sub(p, self.point), self.normal)
    }

    /// The station at which the plane has this half-breadth and height.
    pub fn station(&self, [y, z]: [f64; 2]) -> f64 {
        let [nx, ny, nz] = self.normal;
        self.point[0] - (ny * (y - self.point[1]) + nz * (z - self.point[2])) / nx
    }

    /// The same plane by its stations.
    pub fn oblique(&self) -> ObliquePlane {
        let [nx, ny, nz] = self.normal;
        ObliquePlane { station: self.station([0.0, 0.0]), lean: [-ny / nx, -nz / nx] }
    }
}

/// What follows from a thrust line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaft {
    /// Unit vector along the shaft, pointing ahead.
    pub ahead: [f64; 3],
    /// Centre of the hub: of the spinner's back plate.
    pub hub: [f64; 3],
    /// Where the shaft meets the firewall: the centre of the mount.
    pub mount: [f64; 3],
    /// Angle between shaft and datum axis, degrees.
    pub total_deg: f64,
}

/// The shaft of a thrust line.
pub fn shaft(line: &ThrustLine) -> Shaft {
    let tan = |degrees: f64| degrees.to_radians().tan();
    let ahead = unit([-1.0, tan(line.side_thrust_deg), -tan(line.down_thrust_deg)]);
    let reach = times(ahead, line.hub_distance);
    let hub = [line.firewall + reach[0], 0.0, line.hub_height];
    Shaft { ahead, hub, mount: sub(hub, reach), total_deg: (-ahead[0]).clamp(-1.0, 1.0).acos().to_degrees() }
}

impl Shaft {
    /// How far the mount is shifted against the hub: to starboard and up, mm.
    pub fn mount_offset(&self) -> [f64; 2] {
        [self.mount[1] - self.hub[1], self.mount[2] - self.hub[2]]
    }
}

/// The ring in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingPlace {
    /// Its front face: what the spinner's back plate faces.
    pub front: RingTrim,
    /// Its rear face: the plane that trims the form.
    pub rear: RingTrim,
    /// Its diameter, mm: the spinner's, less the step on both sides.
    pub diameter: f64,
}

impl RingPlace {
    /// Two unit vectors in the ring's planes: level to starboard, and up.
    pub fn across(&self) -> [Vector; 2] {
        let [_, starboard, up] = triad(times(self.rear.normal, -1.0));
        [starboard, up]
    }

    /// A place of the rear face as (to starboard, up) from its centre, mm.
    pub fn on_rear(&self, p: Vector) -> [f64; 2] {
        self.across().map(|axis| dot(axis, sub(p, self.rear.point)))
    }
}

/// Where the ring stands: its face the chosen gap behind the back plate, square to the thrust line or to the datum axis.
pub fn ring(line: &ThrustLine) -> RingPlace {
    let shaft = shaft(line);
    let normal = if line.ring.square_to_thrust { shaft.ahead } else { [-1.0, 0.0, 0.0] };
    let centre = sub(shaft.hub, times(shaft.ahead, line.spinner.gap));
    // Along the shaft, so that the ring's rear face is centred on it too.
    let through = line.ring.thickness / dot(normal, shaft.ahead);
    let rear = sub(centre, times(shaft.ahead, through));
    RingPlace {
        front: RingTrim { point: centre, normal },
        rear: RingTrim { point: rear, normal },
        diameter: line.spinner.diameter - 2.0 * line.ring.step,
    }
}

/// `count` places of the edge of the ring's rear face, from the top to starboard and round.
pub fn ring_edge(ring: &RingPlace, count: u32) -> Vec<[f64; 3]> {
    (0..count).map(|i| edge_place(ring, f64::from(i) / f64::from(count))).collect()
}

/// The place of the rear face's edge at a share of a turn from the top to starboard.
pub fn edge_place(ring: &RingPlace, turn: f64) -> Vector {
    let [starboard, up] = ring.across();
    let (sin, cos) = (turn * std::f64::consts::TAU).sin_cos();
    let r = 0.5 * ring.diameter;
    add(ring.rear.point, add(times(starboard, r * sin), times(up, r * cos)))
}
