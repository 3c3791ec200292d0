//! The axes of an added form in those of the first.

use form::space::{Vector, add, dot};
use project::mount::Mount;

/// Where an added form's own axes lie. A place of its own is turned about its own x by the roll (up towards starboard), then about
/// y by the pitch (rear down), then about z by the yaw (rear to starboard), all three axes staying those of the first form, then moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placed {
    /// Rows of the rotation.
    rotation: [Vector; 3],
    place: Vector,
}

impl Placed {
    /// The axes of a mount.
    pub(super) fn new(mount: &Mount) -> Self {
        let turn = |degrees: f64| degrees.to_radians().sin_cos();
        let ((rs, rc), (ps, pc), (ys, yc)) = (turn(mount.roll_deg), turn(mount.pitch_deg), turn(mount.yaw_deg));
        let roll = [[1.0, 0.0, 0.0], [0.0, rc, rs], [0.0, -rs, rc]];
        let pitch = [[pc, 0.0, ps], [0.0, 1.0, 0.0], [-ps, 0.0, pc]];
        let yaw = [[yc, -ys, 0.0], [ys, yc, 0.0], [0.0, 0.0, 1.0]];
        Self { rotation: product(&yaw, &product(&pitch, &roll)), place: mount.place }
    }

    /// A place of the added form's own axes in those of the first form.
    pub(super) fn to_first(self, p: Vector) -> Vector {
        add(self.way_to_first(p), self.place)
    }

    /// A direction of the added form's own axes in those of the first form.
    pub(super) fn way_to_first(self, v: Vector) -> Vector {
        self.rotation.map(|row| dot(row, v))
    }
}

fn product(a: &[Vector; 3], b: &[Vector; 3]) -> [Vector; 3] {
    a.map(|row| [0, 1, 2].map(|k| (0..3).map(|i| row[i] * b[i][k]).sum()))
}
