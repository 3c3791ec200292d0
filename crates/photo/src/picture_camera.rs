//! The camera that took a picture: a pinhole with its lens, and how its pixels move when it does.

use crate::{Camera, Lens};
use nalgebra::{Matrix2, Matrix2x3, Rotation3, SMatrix, Vector2, Vector3};

/// A pinhole camera behind a lens. Pixels are those of the picture as it was taken, distortion and all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureCamera {
    /// Pose, focal length and principal point.
    pub camera: Camera,
    /// Distortion, in units of the camera's focal length.
    pub lens: Lens,
}

/// How many numbers describe a [`PictureCamera`] here; see [`Step`].
pub const PARAMETERS: usize = 10;

/// A small change of a camera, in the order in which [`Projection::by_camera`] has its columns.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Step {
    /// Columns 0 to 2: a turn of the world as the camera sees it, radians about the camera's own axes (right, down,
    /// forward): R becomes exp(\[turn\]x) R.
    pub turn: [f64; 3],
    /// Columns 3 to 5: how far the camera moves, mm along the world's axes. It keeps its direction.
    pub eye: [f64; 3],
    /// Column 6: change of the focal length, pixels.
    pub focal_px: f64,
    /// Columns 7 and 8: shift of the principal point, pixels.
    pub centre: [f64; 2],
    /// Column 9: change of k1.
    pub k1: f64,
}

/// Where a point is shown and how that changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    /// The pixel.
    pub pixel: [f64; 2],
    /// How far ahead of the camera the point is, mm.
    pub depth: f64,
    /// Derivative by the camera, in the order of [`Step`]: pixels per radian, mm, pixel, pixel and unit of k1.
    pub by_camera: SMatrix<f64, 2, PARAMETERS>,
    /// Derivative by the point, pixels per mm along the world's axes.
    pub by_point: Matrix2x3<f64>,
}

impl From<Camera> for PictureCamera {
    fn from(camera: Camera) -> Self {
        Self { camera, lens: Lens::NONE }
    }
}

impl PictureCamera {
    /// The pixel of a point; `None` if it is not before the camera or farther out than the lens's [`Lens::reach`].
    pub fn project(&self, point: [f64; 3]) -> Option<[f64; 2]> {
        let ahead = self.camera.rotation * Vector3::from(point) + self.camera.translation;
        let ideal = [ahead.x / ahead.z, ahead.y / ahead.z];
        (ahead.z > 0.0 && ideal[0].hypot(ideal[1]) < self.lens.reach()).then(|| self.pixel(self.lens.distorted(ideal)))
    }

    /// The pixel of a point with its derivatives; `None` as for [`PictureCamera::project`].
    ///
    /// Source: differentiated by hand, p = exp(\[w\]x) R (X - C), hence dp/dw = -\[p\]x, dp/dC = -R and dp/dX = R.
    pub fn projection(&self, point: [f64; 3]) -> Option<Projection> {
        let pixel = self.project(point)?;
        let Camera { rotation, translation, focal_px, .. } = self.camera;
        let ahead = rotation * Vector3::from(point) + translation;
        let ideal = [ahead.x / ahead.z, ahead.y / ahead.z];
        let by_ideal = self.lens.by_point(ideal) * focal_px;
        let divide = Matrix2x3::new(1.0, 0.0, -ideal[0], 0.0, 1.0, -ideal[1]) / ahead.z;
        let by_ahead = by_ideal * divide;
        let by_point = by_ahead * rotation;
        let mut by_camera = SMatrix::<f64, 2, PARAMETERS>::zeros();
        by_camera.fixed_view_mut::<2, 3>(0, 0).copy_from(&(-by_ahead * ahead.cross_matrix()));
        by_camera.fixed_view_mut::<2, 3>(0, 3).copy_from(&-by_point);
        by_camera.set_column(6, &Vector2::from(self.lens.distorted(ideal)));
        by_camera.fixed_view_mut::<2, 2>(0, 7).copy_from(&Matrix2::identity());
        by_camera.set_column(9, &(Lens::by_radial(ideal).column(0) * focal_px));
        Some(Projection { pixel, depth: ahead.z, by_camera, by_point })
    }

    /// The camera after a change.
    #[must_use]
    pub fn moved(&self, step: &Step) -> Self {
        let Camera { rotation, focal_px, centre, .. } = self.camera;
        let turned = Rotation3::new(Vector3::from(step.turn)).into_inner() * rotation;
        let eye = Vector3::from(self.camera.eye()) + Vector3::from(step.eye);
        let camera = Camera {
            rotation: turned,
            translation: -(turned * eye),
            focal_px: focal_px + step.focal_px,
            centre: [centre[0] + step.centre[0], centre[1] + step.centre[1]],
        };
        Self { camera, lens: Lens { k1: self.lens.k1 + step.k1, ..self.lens } }
    }

    /// Where a pinhole without a lens would show what the picture shows at `pixel`: straight things become straight.
    /// `None` where the lens shows nothing.
    pub fn straightened(&self, pixel: [f64; 2]) -> Option<[f64; 2]> {
        self.lens.straightened(pixel, self.camera.centre, self.camera.focal_px)
    }

    /// The unit vector, in world axes, from [`Camera::eye`] to what is shown at `pixel`. `None` where the lens shows
    /// nothing.
    pub fn sight(&self, pixel: [f64; 2]) -> Option<[f64; 3]> {
        let [x, y] = self.ideal(pixel)?;
        let direction = self.camera.rotation.transpose() * Vector3::new(x, y, 1.0);
        Some(direction.normalize().into())
    }

    fn ideal(&self, pixel: [f64; 2]) -> Option<[f64; 2]> {
        let Camera { focal_px, centre, .. } = self.camera;
        self.lens.undistorted([(pixel[0] - centre[0]) / focal_px, (pixel[1] - centre[1]) / focal_px])
    }

    fn pixel(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let Camera { focal_px, centre, .. } = self.camera;
        [focal_px * x + centre[0], focal_px * y + centre[1]]
    }
}

impl Step {
    /// The change as a list, in the order of the columns.
    pub fn to_array(self) -> [f64; PARAMETERS] {
        let ([a, b, c], [x, y, z], [u, v]) = (self.turn, self.eye, self.centre);
        [a, b, c, x, y, z, self.focal_px, u, v, self.k1]
    }

    /// The change that a list in the order of the columns describes.
    pub fn from_array([a, b, c, x, y, z, focal_px, u, v, k1]: [f64; PARAMETERS]) -> Self {
        Self { turn: [a, b, c], eye: [x, y, z], focal_px, centre: [u, v], k1 }
    }
}
