//! Keep-outs in space: cylinders, boxes and cones, their distance to any place, and their surface.
//!
//! All three are convex, so the signed distance to them (positive outside, negative inside) is a convex function of the place;
//! it is computed in closed form.

use crate::space::{Vector, add, dot, sub, times, triad, unit};
use project::airframe::{KeepOut, KeepOutPlace, Solid};

/// A solid in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    shape: Solid,
    front: Vector,
    /// Along the axis, across it to starboard, across it upward.
    axes: [Vector; 3],
}

/// A distance from a solid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distance {
    /// Positive outside the solid, negative inside, mm.
    pub distance: f64,
    /// The nearest place of the solid's surface.
    pub at: [f64; 3],
}

/// Why a keep-out has no place yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotPlaced {
    /// It lies on the thrust line, and there is none.
    NoThrustLine,
    /// One of its lengths is zero or below.
    NoSize,
}

impl Placed {
    /// A solid with the centre of its front here and its axis along this direction.
    pub fn new(shape: Solid, front: [f64; 3], axis: [f64; 3]) -> Self {
        Self { shape, front, axes: triad(axis) }
    }

    /// Where a keep-out is; one on the thrust line needs its shaft: `hub` and the unit vector `ahead`.
    ///
    /// # Errors
    /// No thrust line, or a solid without size.
    pub fn of(keep_out: &KeepOut, shaft: Option<&crate::thrust::Shaft>) -> Result<Self, NotPlaced> {
        if !has_size(&keep_out.shape) {
            return Err(NotPlaced::NoSize);
        }
        let (front, axis) = match keep_out.place {
            KeepOutPlace::OnThrustLine { behind_hub } => {
                let shaft = shaft.ok_or(NotPlaced::NoThrustLine)?;
                (sub(shaft.hub, times(shaft.ahead, behind_hub)), times(shaft.ahead, -1.0))
            }
            KeepOutPlace::Free { front, pitch_deg, yaw_deg } => (front, axis(pitch_deg, yaw_deg)),
        };
        Ok(Self::new(keep_out.shape, front, axis))
    }

    /// Length along its axis, mm.
    pub fn length(&self) -> f64 {
        match self.shape {
            Solid::Cylinder { length, .. } | Solid::Box { length, .. } | Solid::Cone { length, .. } => length,
        }
    }

    /// The distance of a place, exact.
    pub fn distance(&self, q: [f64; 3]) -> Distance {
        let from = sub(q, self.front);
        let own = self.axes.map(|a| dot(from, a));
        let (distance, near) = match self.shape {
            Solid::Box { length, breadth, height } => box_distance(own, [length, breadth, height]),
            Solid::Cylinder { diameter, length } => round_distance(own, [0.5 * diameter, 0.5 * diameter], length),
            Solid::Cone { front_diameter, rear_diameter, length } => {
                round_distance(own, [0.5 * front_diameter, 0.5 * rear_diameter], length)
            }
        };
        Distance { distance, at: self.in_space(near) }
    }

    /// A place of its surface: `round` from 0 to 1 once around the axis, `along` from 0 (centre of the front) over the front's
    /// edge at 1 and the rear's edge at 2 to 3 (centre of the rear).
    pub fn surface(&self, round: f64, along: f64) -> [f64; 3] {
        let along = along.clamp(0.0, 3.0);
        let (axial, share) = (self.length() * (along - 1.0).clamp(0.0, 1.0), along.min(3.0 - along).min(1.0));
        let [y, z] = match self.shape {
            Solid::Box { breadth, height, .. } => rectangle(round, [0.5 * breadth, 0.5 * height]),
            _ => {
                let (sin, cos) = (round * std::f64::consts::TAU).sin_cos();
                let r = self.radius_at((along - 1.0).clamp(0.0, 1.0));
                [r * sin, r * cos]
            }
        };
        self.in_space([axial, share * y, share * z])
    }

    fn radius_at(&self, share: f64) -> f64 {
        match self.shape {
            Solid::Cylinder { diameter, .. } => 0.5 * diameter,
            Solid::Cone { front_diameter, rear_diameter, .. } => {
                0.5 * (front_diameter + share * (rear_diameter - front_diameter))
            }
            Solid::Box { .. } => 0.0,
        }
    }

    fn in_space(&self, own: Vector) -> Vector {
        let across = add(times(self.axes[1], own[1]), times(self.axes[2], own[2]));
        add(self.front, add(times(self.axes[0], own[0]), across))
    }
}

/// The direction aft, turned down and to starboard at its rear.
fn axis(pitch_deg: f64, yaw_deg: f64) -> Vector {
    unit([1.0, yaw_deg.to_radians().tan(), -pitch_deg.to_radians().tan()])
}

fn has_size(shape: &Solid) -> bool {
    match *shape {
        Solid::Cylinder { diameter, length } => diameter > 0.0 && length > 0.0,
        Solid::Box { length, breadth, height } => length > 0.0 && breadth > 0.0 && height > 0.0,
        Solid::Cone { front_diameter, rear_diameter, length } => {
            front_diameter.min(rear_diameter) >= 0.0 && front_diameter.max(rear_diameter) > 0.0 && length > 0.0
        }
    }
}

fn box_distance(own: Vector, size: Vector) -> (f64, Vector) {
    let low = [0.0, -0.5 * size[1], -0.5 * size[2]];
    let high = [size[0], 0.5 * size[1], 0.5 * size[2]];
    let held: Vector = std::array::from_fn(|k| own[k].clamp(low[k], high[k]));
    let away = sub(own, held);
    let distance = dot(away, away).sqrt();
    if distance > 0.0 {
        return (distance, held);
    }
    let faces = (0..3).flat_map(|k| [(own[k] - low[k], k, low[k]), (high[k] - own[k], k, high[k])]);
    let (depth, k, face) = faces.fold((f64::INFINITY, 0, 0.0), |best, f| if f.0 < best.0 { f } else { best });
    let mut near = own;
    near[k] = face;
    (-depth, near)
}

/// A body of revolution with a straight edge, as a trapezium of length and radius.
fn round_distance(own: Vector, radii: [f64; 2], length: f64) -> (f64, Vector) {
    let r = own[1].hypot(own[2]);
    let corners = [[0.0, 0.0], [0.0, radii[0]], [length, radii[1]], [length, 0.0]];
    let q = [own[0], r];
    let mut best = (f64::INFINITY, [0.0; 2]);
    for w in corners.windows(2) {
        let (dx, dy) = (w[1][0] - w[0][0], w[1][1] - w[0][1]);
        let square = dx * dx + dy * dy;
        let share = if square > 0.0 { ((q[0] - w[0][0]) * dx + (q[1] - w[0][1]) * dy) / square } else { 0.0 };
        let share = share.clamp(0.0, 1.0);
        let near = [w[0][0] + share * dx, w[0][1] + share * dy];
        let distance = (q[0] - near[0]).hypot(q[1] - near[1]);
        if distance < best.0 {
            best = (distance, near);
        }
    }
    let edge = radii[0] + (own[0] / length).clamp(0.0, 1.0) * (radii[1] - radii[0]);
    let inside = own[0] > 0.0 && own[0] < length && r < edge;
    let [y, z] = if r > 0.0 { [own[1] / r, own[2] / r] } else { [0.0, 1.0] };
    let near = [best.1[0], best.1[1] * y, best.1[1] * z];
    (if inside { -best.0 } else { best.0 }, near)
}

/// Once around a rectangle from the middle of its top to starboard, each side a quarter.
fn rectangle(round: f64, [b, h]: [f64; 2]) -> [f64; 2] {
    let turn = round.rem_euclid(1.0) * 8.0;
    let side = |t: f64| -1.0 + t;
    match turn {
        t if t < 1.0 => [b * t, h],
        t if t < 3.0 => [b, -h * side(t - 1.0)],
        t if t < 5.0 => [-b * side(t - 3.0), -h],
        t if t < 7.0 => [-b, h * side(t - 5.0)],
        t => [b * (t - 8.0), h],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cylinder() -> Placed {
        Placed::new(Solid::Cylinder { diameter: 40.0, length: 60.0 }, [10.0, 0.0, 5.0], [1.0, 0.0, 0.0])
    }

    #[test]
    fn a_cylinder_is_as_far_as_its_side_its_face_or_its_edge() {
        let near = cylinder().distance([30.0, 0.0, 35.0]);
        assert!((near.distance - 10.0).abs() < 1e-12 && (near.at[2] - 25.0).abs() < 1e-12);
        assert!((cylinder().distance([80.0, 3.0, 5.0]).distance - 10.0).abs() < 1e-12);
        assert!((cylinder().distance([74.0, 23.0, 5.0]).distance - 5.0).abs() < 1e-12);
        assert!((cylinder().distance([40.0, 0.0, 8.0]).distance + 17.0).abs() < 1e-12);
    }

    #[test]
    fn a_box_is_as_far_as_its_nearest_face_edge_or_corner() {
        let placed = Placed::new(Solid::Box { length: 20.0, breadth: 10.0, height: 6.0 }, [0.0; 3], [1.0, 0.0, 0.0]);
        assert!((placed.distance([22.0, 6.0, 5.0]).distance - 3.0).abs() < 1e-12);
        assert!((placed.distance([10.0, 0.0, 2.0]).distance + 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_cone_is_as_far_as_its_sloping_side() {
        let shape = Solid::Cone { front_diameter: 0.0, rear_diameter: 60.0, length: 30.0 };
        let placed = Placed::new(shape, [0.0; 3], [1.0, 0.0, 0.0]);
        // The side is the plane z = x there: (0, 20) lies 20 / sqrt 2 from it.
        assert!((placed.distance([0.0, 0.0, 20.0]).distance - 20.0 / 2f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn the_surface_lies_at_distance_zero_all_over() {
        let shapes = [
            Solid::Cylinder { diameter: 40.0, length: 60.0 },
            Solid::Box { length: 20.0, breadth: 10.0, height: 6.0 },
            Solid::Cone { front_diameter: 30.0, rear_diameter: 12.0, length: 25.0 },
        ];
        for shape in shapes {
            let placed = Placed::new(shape, [3.0, -4.0, 5.0], [1.0, 0.2, -0.1]);
            for i in 0..40 {
                for j in 0..=12 {
                    let p = placed.surface(f64::from(i) / 40.0, f64::from(j) / 4.0);
                    assert!(placed.distance(p).distance.abs() < 1e-9, "{shape:?} {i} {j}");
                }
            }
        }
    }

    #[test]
    fn a_free_axis_turns_down_and_to_starboard_at_its_rear() {
        let a = axis(10.0, 5.0);
        assert!(a[0] > 0.9 && a[1] > 0.0 && a[2] < 0.0);
        assert!(((-a[2] / a[0]).atan().to_degrees() - 10.0).abs() < 1e-12);
    }
}
