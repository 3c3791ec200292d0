//! The axes of an added form in those of the first.

use crate::space::{Vector, add, dot, sub};
use project::mount::Mount;

/// Where an added form's own axes lie. A place of its own is turned about its own x by the roll (up towards starboard), then about
/// y by the pitch (rear down), then about z by the yaw (rear to starboard), all three axes staying those of the first form, then moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Rows of the rotation.
    rotation: [Vector; 3],
    place: Vector,
}

impl Placed {
    /// The axes of a mount; its mirror image is [`mirrored`] of what they give.
    pub fn new(mount: &Mount) -> Self {
        let turn = |degrees: f64| degrees.to_radians().sin_cos();
        let ((rs, rc), (ps, pc), (ys, yc)) = (turn(mount.roll_deg), turn(mount.pitch_deg), turn(mount.yaw_deg));
        let roll = [[1.0, 0.0, 0.0], [0.0, rc, rs], [0.0, -rs, rc]];
        let pitch = [[pc, 0.0, ps], [0.0, 1.0, 0.0], [-ps, 0.0, pc]];
        let yaw = [[yc, -ys, 0.0], [ys, yc, 0.0], [0.0, 0.0, 1.0]];
        Self { rotation: product(&yaw, &product(&pitch, &roll)), place: mount.place }
    }

    /// A place of the added form's own axes in those of the first form.
    pub fn to_first(&self, p: Vector) -> Vector {
        add(self.way_to_first(p), self.place)
    }

    /// A place of the first form's axes in the added form's own.
    pub fn to_own(&self, p: Vector) -> Vector {
        self.way_to_own(sub(p, self.place))
    }

    /// A direction of the added form's own axes in those of the first form.
    pub fn way_to_first(&self, v: Vector) -> Vector {
        self.rotation.map(|row| dot(row, v))
    }

    /// A direction of the first form's axes in the added form's own.
    pub fn way_to_own(&self, v: Vector) -> Vector {
        [0, 1, 2].map(|k| (0..3).map(|row| self.rotation[row][k] * v[row]).sum())
    }
}

/// The mirror image in the centre plane.
pub fn mirrored([x, y, z]: Vector) -> Vector {
    [x, -y, z]
}

/// How the mirror image of a mounted form is mounted: a form is symmetric, so it is the same form, turned the other way.
pub fn twin(mount: &Mount) -> Mount {
    Mount { place: mirrored(mount.place), roll_deg: -mount.roll_deg, yaw_deg: -mount.yaw_deg, ..*mount }
}

fn product(a: &[Vector; 3], b: &[Vector; 3]) -> [Vector; 3] {
    a.map(|row| [0, 1, 2].map(|k| (0..3).map(|i| row[i] * b[i][k]).sum()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Vector, b: Vector) {
        assert!((0..3).all(|k| (a[k] - b[k]).abs() < 1e-12), "{a:?} {b:?}");
    }

    #[test]
    fn each_turn_goes_the_way_the_mount_says() {
        let quarter =
            |roll_deg, pitch_deg, yaw_deg| Placed::new(&Mount { roll_deg, pitch_deg, yaw_deg, ..Mount::default() });
        near(quarter(90.0, 0.0, 0.0).to_first([0.0, 0.0, 1.0]), [0.0, 1.0, 0.0]);
        near(quarter(0.0, 90.0, 0.0).to_first([1.0, 0.0, 0.0]), [0.0, 0.0, -1.0]);
        near(quarter(0.0, 0.0, 90.0).to_first([1.0, 0.0, 0.0]), [0.0, 1.0, 0.0]);
        // Roll first: up goes to starboard, which the yaw then turns forward.
        near(quarter(90.0, 0.0, 90.0).to_first([0.0, 0.0, 1.0]), [-1.0, 0.0, 0.0]);
        // Pitch before yaw: the rear goes down, and the yaw leaves what is upright.
        near(quarter(0.0, 90.0, 90.0).to_first([1.0, 0.0, 0.0]), [0.0, 0.0, -1.0]);
    }

    #[test]
    fn what_is_placed_comes_back_to_where_it_was_and_keeps_its_lengths() {
        let mount =
            Mount { place: [120.0, -40.0, 7.0], roll_deg: 33.0, pitch_deg: -12.0, yaw_deg: 71.0, mirrored: true };
        let placed = Placed::new(&mount);
        let (p, q) = ([3.0, -5.0, 11.0], [-20.0, 4.0, 0.5]);
        let far = |a: Vector, b: Vector| crate::space::length(sub(a, b));
        assert!(far(placed.to_own(placed.to_first(p)), p) < 1e-12);
        assert!((far(placed.to_first(p), placed.to_first(q)) - far(p, q)).abs() < 1e-12);
        near(placed.way_to_own(placed.way_to_first(q)), q);
        near(mirrored([1.0, 2.0, 3.0]), [1.0, -2.0, 3.0]);
        let other = Placed::new(&twin(&mount));
        near(other.to_first(mirrored(p)), mirrored(placed.to_first(p)));
    }
}
