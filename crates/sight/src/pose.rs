//! A camera in the small: seven numbers around where it stands now.
//!
//! ```text
//!   p_cam = R (p - pivot) + s;   moved: R' = exp(ω) R,  s' = s + depth τ,  focal' = focal exp(λ)
//! ```
//!
//! Turning about a pivot in the middle of the form keeps turning and shifting apart, which the camera's own place 8 m away
//! would not.

use nalgebra::{Matrix2x3, Rotation3, SMatrix, Vector2, Vector3};
use photo::Camera;

/// How many numbers move a camera: three of turning (rad), three of shifting (shares of the depth), one of the focal
/// length (its logarithm).
pub(crate) const MOVES: usize = 7;

/// A camera about a pivot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    camera: Camera,
    pivot: Vector3<f64>,
    /// The pivot in camera axes.
    shift: Vector3<f64>,
}

/// A point seen: its pixel and how that moves.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen {
    pub(crate) pixel: Vector2<f64>,
    /// By the point, px per mm.
    pub(crate) by_point: Matrix2x3<f64>,
    /// By the camera's seven numbers.
    pub(crate) by_moves: SMatrix<f64, 2, MOVES>,
}

impl Pose {
    pub(crate) fn new(camera: &Camera, pivot: Vector3<f64>) -> Self {
        Self { camera: *camera, pivot, shift: camera.rotation * pivot + camera.translation }
    }

    pub(crate) fn camera(&self) -> &Camera {
        &self.camera
    }

    /// Depth of the pivot, mm.
    pub(crate) fn depth(&self) -> f64 {
        self.shift.z
    }

    pub(crate) fn moved(&self, by: &[f64]) -> Self {
        let turn = Rotation3::new(Vector3::new(by[0], by[1], by[2]));
        let shift = self.shift + self.depth() * Vector3::new(by[3], by[4], by[5]);
        let rotation = turn.matrix() * self.camera.rotation;
        let translation = shift - rotation * self.pivot;
        let camera =
            Camera { rotation, translation, focal_px: self.camera.focal_px * by[6].exp(), centre: self.camera.centre };
        Self { camera, pivot: self.pivot, shift }
    }

    /// The seven numbers that move this camera to another about the same pivot.
    pub(crate) fn moves_to(&self, other: &Self) -> [f64; MOVES] {
        let turn =
            Rotation3::from_matrix_unchecked(other.camera.rotation * self.camera.rotation.transpose()).scaled_axis();
        let shift = (other.shift - self.shift) / self.depth();
        [turn.x, turn.y, turn.z, shift.x, shift.y, shift.z, (other.camera.focal_px / self.camera.focal_px).ln()]
    }

    pub(crate) fn eye(&self) -> Vector3<f64> {
        Vector3::from(self.camera.eye())
    }

    pub(crate) fn pixel(&self, point: &Vector3<f64>) -> Option<Vector2<f64>> {
        self.camera.project([point.x, point.y, point.z]).map(Vector2::from)
    }

    /// `None` if the point is not before the camera.
    pub(crate) fn see(&self, point: &Vector3<f64>) -> Option<Seen> {
        let arm = self.camera.rotation * (point - self.pivot);
        let p = arm + self.shift;
        if p.z <= 0.0 {
            return None;
        }
        let (f, w) = (self.camera.focal_px, 1.0 / p.z);
        let ahead = Vector2::new(p.x, p.y) * (f * w);
        let by_camera = Matrix2x3::new(f * w, 0.0, -ahead.x * w, 0.0, f * w, -ahead.y * w);
        let mut by_moves = SMatrix::<f64, 2, MOVES>::zeros();
        by_moves.fixed_view_mut::<2, 3>(0, 0).copy_from(&(by_camera * -arm.cross_matrix()));
        by_moves.fixed_view_mut::<2, 3>(0, 3).copy_from(&(by_camera * self.depth()));
        by_moves.set_column(6, &ahead);
        let pixel = ahead + Vector2::from(self.camera.centre);
        Some(Seen { pixel, by_point: by_camera * self.camera.rotation, by_moves })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moves_lead_there() {
        let camera = Camera::look_at([-900.0, 1500.0, 300.0], [200.0, 10.0, 0.0], 3000.0, [2000.0, 1500.0]).unwrap();
        let pose = Pose::new(&camera, Vector3::new(180.0, 0.0, 20.0));
        let by = [0.02, -0.05, 0.1, 0.01, -0.02, 0.03, 0.04];
        let found = pose.moves_to(&pose.moved(&by));
        assert!(found.iter().zip(by).all(|(a, b)| (a - b).abs() < 1e-12));
    }

    #[test]
    fn moves_match_differences() {
        let camera = Camera::look_at([-900.0, 1500.0, 300.0], [200.0, 10.0, 0.0], 3000.0, [2000.0, 1500.0]).unwrap();
        let pose = Pose::new(&camera, Vector3::new(180.0, 0.0, 20.0));
        let point = Vector3::new(50.0, 80.0, -40.0);
        let seen = pose.see(&point).unwrap();
        assert!((seen.pixel - pose.pixel(&point).unwrap()).norm() < 1e-9);
        let h = 1e-6;
        for k in 0..MOVES {
            let mut by = [0.0; MOVES];
            by[k] = h;
            let ahead = pose.moved(&by).pixel(&point).unwrap();
            by[k] = -h;
            let behind = pose.moved(&by).pixel(&point).unwrap();
            let difference = (ahead - behind) / (2.0 * h);
            assert!((difference - seen.by_moves.column(k)).norm() < 1e-3, "{k}");
        }
        for k in 0..3 {
            let step = Vector3::ith(k, 1e-3);
            let difference = (pose.pixel(&(point + step)).unwrap() - pose.pixel(&(point - step)).unwrap()) / 2e-3;
            assert!((difference - seen.by_point.column(k)).norm() < 1e-6);
        }
    }
}
