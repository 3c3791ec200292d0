//! The pinhole camera: x right, y down, z forward; p_cam = R p + t; pixel = focal (X / Z, Y / Z) + centre.
//!
//! ```text
//!        z forward
//!       /
//!      o-----> x right        pixel (0, 0) -> +------> x
//!      |                                      |
//!      v y down                               v y
//! ```
//! The convention of Hartley and Zisserman, *Multiple View Geometry*, 2nd ed. 2004, chapter 6, with square pixels and no
//! distortion.

use nalgebra::{Matrix3, Vector3};

/// A pinhole camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// R: turns world axes into camera axes; its rows are right, down and forward.
    pub rotation: Matrix3<f64>,
    /// t: the world's origin in camera axes, mm.
    pub translation: Vector3<f64>,
    /// Focal length, pixels.
    pub focal_px: f64,
    /// Principal point, pixels: what lies straight ahead.
    pub centre: [f64; 2],
}

impl Camera {
    /// A camera at `eye` that has `target` straight ahead and z upright. `None` if the two are the same point, one lies
    /// straight above the other, or a number is not finite.
    pub fn look_at(eye: [f64; 3], target: [f64; 3], focal_px: f64, centre: [f64; 2]) -> Option<Self> {
        let eye = Vector3::from(eye);
        let forward = (Vector3::from(target) - eye).try_normalize(1e-9)?;
        let right = forward.cross(&Vector3::z()).try_normalize(1e-9)?;
        let down = forward.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
        let translation = -(rotation * eye);
        let numbers = [translation.x, translation.y, translation.z, focal_px, centre[0], centre[1]];
        numbers.iter().all(|c| c.is_finite()).then_some(Self { rotation, translation, focal_px, centre })
    }

    /// The pixel of a point; `None` if the point is not before the camera.
    pub fn project(&self, point: [f64; 3]) -> Option<[f64; 2]> {
        let p = self.rotation * Vector3::from(point) + self.translation;
        let [cx, cy] = self.centre;
        (p.z > 0.0).then(|| [self.focal_px * p.x / p.z + cx, self.focal_px * p.y / p.z + cy])
    }

    /// Where the camera stands, mm.
    pub fn eye(&self) -> [f64; 3] {
        (-(self.rotation.transpose() * self.translation)).into()
    }

    /// How far ahead of the camera a point is, mm, along the line of sight.
    pub fn depth(&self, point: [f64; 3]) -> f64 {
        (self.rotation * Vector3::from(point) + self.translation).z
    }
}

/// Length of the diagonal of the 36 x 24 mm frame, to which an equivalent focal length refers.
const FRAME_DIAGONAL: f64 = 43.266_615_305_567_87;
/// Its longer side.
const FRAME_WIDTH: f64 = 36.0;

/// Focal length in pixels for a 35-mm-equivalent focal length, by the pictures' diagonals (the convention of most
/// makers). Holds for uncropped pictures only.
pub fn focal_px_from_equivalent(equivalent_mm: f64, size_px: [u32; 2]) -> f64 {
    let diagonal = f64::from(size_px[0]).hypot(f64::from(size_px[1]));
    equivalent_mm / FRAME_DIAGONAL * diagonal
}

/// Focal length in pixels for a 35-mm-equivalent focal length, by the longer sides (the convention of some makers): the same
/// for pictures of 3 to 2, 4 % less than by the diagonals for 4 to 3. Holds for uncropped pictures only.
pub fn focal_px_by_width(equivalent_mm: f64, size_px: [u32; 2]) -> f64 {
    equivalent_mm / FRAME_WIDTH * f64::from(size_px[0].max(size_px[1]))
}

/// The angle, degrees, that a picture side of so many pixels sees.
pub fn field_of_view_deg(focal_px: f64, side_px: u32) -> f64 {
    2.0 * (f64::from(side_px) / 2.0 / focal_px).atan().to_degrees()
}
