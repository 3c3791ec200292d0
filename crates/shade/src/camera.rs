//! The eye: where it stands, how it looks, and how it maps space to pixels.

use crate::body::Bounds;
use nalgebra::{Matrix3, Vector3};

/// A camera in the convention of photogrammetry: x right, y down, z forward; p_cam = rotation p + translation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Turns project axes into camera axes; its rows are right, down and forward.
    pub rotation: Matrix3<f64>,
    /// The project's origin in camera axes, mm.
    pub translation: Vector3<f64>,
    /// Parallel or from a point.
    pub lens: Lens,
    /// The pixel straight ahead.
    pub centre: [f64; 2],
}

/// How the camera maps its axes to pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lens {
    /// Parallel: pixel = px_per_mm (X, Y) + centre.
    Orthographic {
        /// Pixels for a millimetre, the same at every distance.
        px_per_mm: f64,
    },
    /// From a point: pixel = focal_px (X / Z, Y / Z) + centre.
    Perspective {
        /// Focal length in pixels.
        focal_px: f64,
    },
}

/// Nearer than this to the eye, in mm, nothing is drawn in perspective.
pub(crate) const NEAREST: f64 = 1.0;

impl Camera {
    /// The point in camera axes.
    pub fn to_camera(&self, point: [f64; 3]) -> Vector3<f64> {
        self.rotation * Vector3::from(point) + self.translation
    }

    /// The pixel of a point; `None` if it lies behind the eye or is not finite.
    pub fn project(&self, point: [f64; 3]) -> Option<[f64; 2]> {
        let [x, y, w] = self.homogeneous(&self.to_camera(point));
        let pixel = [x / w, y / w];
        (w > 0.0 && pixel.iter().all(|c| c.is_finite())).then_some(pixel)
    }

    /// Where the line of sight through a pixel starts and where it runs, in project axes; the direction has length 1.
    pub fn sight(&self, pixel: [f64; 2]) -> ([f64; 3], [f64; 3]) {
        let (start, along) = self.sight_in_camera(pixel);
        let back = self.rotation.transpose();
        let along = back * along;
        ((back * (start - self.translation)).into(), (along / along.norm()).into())
    }

    /// The same camera for a picture of `factor` times as many pixels a side.
    pub(crate) fn magnified(&self, factor: f64) -> Self {
        let lens = match self.lens {
            Lens::Orthographic { px_per_mm } => Lens::Orthographic { px_per_mm: px_per_mm * factor },
            Lens::Perspective { focal_px } => Lens::Perspective { focal_px: focal_px * factor },
        };
        Self { lens, centre: self.centre.map(|c| c * factor), ..*self }
    }

    /// Pixel coordinates times w, and w: the distance ahead in perspective, otherwise 1.
    pub(crate) fn homogeneous(&self, p: &Vector3<f64>) -> [f64; 3] {
        let [cx, cy] = self.centre;
        match self.lens {
            Lens::Orthographic { px_per_mm: s } => [s * p.x + cx, s * p.y + cy, 1.0],
            Lens::Perspective { focal_px: f } => [f * p.x + cx * p.z, f * p.y + cy * p.z, p.z],
        }
    }

    /// What grows towards the eye and is linear across the picture: 1/Z in perspective, otherwise -Z.
    pub(crate) fn nearness(&self, z: f64) -> f64 {
        match self.lens {
            Lens::Orthographic { .. } => -z,
            Lens::Perspective { .. } => 1.0 / z,
        }
    }

    /// The distance ahead for a nearness.
    pub(crate) fn depth(&self, nearness: f64) -> f64 {
        match self.lens {
            Lens::Orthographic { .. } => -nearness,
            Lens::Perspective { .. } => 1.0 / nearness,
        }
    }

    /// Line of sight through a pixel in camera axes; the direction advances by 1 in z.
    pub(crate) fn sight_in_camera(&self, pixel: [f64; 2]) -> (Vector3<f64>, Vector3<f64>) {
        let [x, y] = [pixel[0] - self.centre[0], pixel[1] - self.centre[1]];
        match self.lens {
            Lens::Orthographic { px_per_mm: s } => (Vector3::new(x / s, y / s, 0.0), Vector3::z()),
            Lens::Perspective { focal_px: f } => (Vector3::zeros(), Vector3::new(x / f, y / f, 1.0)),
        }
    }
}

/// A camera that circles a target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orbit {
    /// Around the body, degrees: 0 from ahead (the face), 90 from the port side (nose to the left), 180 from behind.
    pub azimuth_deg: f64,
    /// Above the waterline plane, degrees; 90 looks straight down.
    pub elevation_deg: f64,
    /// What is in the middle of the picture, mm.
    pub target: [f64; 3],
    /// How many mm at the target the picture's shorter side spans: smaller is nearer.
    pub span_mm: f64,
    /// Parallel or from a point.
    pub view: View,
}

/// How an [`Orbit`] looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum View {
    /// Parallel lines stay parallel.
    Orthographic,
    /// From this far away, mm.
    Perspective {
        /// From the eye to the target.
        distance_mm: f64,
    },
}

impl Orbit {
    /// A three-quarter view from ahead, to port and above that shows the whole of `bounds` whichever way it is turned.
    pub fn fitting(bounds: Bounds) -> Self {
        let diameter = bounds.diagonal().max(1.0);
        Self {
            azimuth_deg: 40.0,
            elevation_deg: 20.0,
            target: bounds.middle(),
            span_mm: 1.04 * diameter,
            view: View::Perspective { distance_mm: 5.0 * diameter },
        }
    }

    /// The camera for a picture of that size. Values that make no camera (zero, not finite) are replaced by near ones
    /// that do.
    pub fn camera(&self, size: [u32; 2]) -> Camera {
        let (sin_a, cos_a) = finite_or(self.azimuth_deg, 0.0).to_radians().sin_cos();
        let (sin_e, cos_e) = finite_or(self.elevation_deg, 0.0).to_radians().sin_cos();
        let forward = Vector3::new(cos_a * cos_e, sin_a * cos_e, -sin_e);
        let right = Vector3::new(sin_a, -cos_a, 0.0);
        let down = forward.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), forward.transpose()]);
        let px_per_mm = f64::from(size[0].min(size[1]).max(1)) / finite_or(self.span_mm, 1.0).max(1e-6);
        let (lens, distance) = match self.view {
            View::Orthographic => (Lens::Orthographic { px_per_mm }, 0.0),
            View::Perspective { distance_mm } => {
                let distance = finite_or(distance_mm, 1.0).max(1e-3);
                (Lens::Perspective { focal_px: px_per_mm * distance }, distance)
            }
        };
        let target = Vector3::from(self.target.map(|c| finite_or(c, 0.0)));
        let translation = Vector3::new(0.0, 0.0, distance) - rotation * target;
        Camera { rotation, translation, lens, centre: size.map(|s| f64::from(s) / 2.0) }
    }
}

fn finite_or(value: f64, otherwise: f64) -> f64 {
    if value.is_finite() { value } else { otherwise }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn orbit(azimuth_deg: f64, elevation_deg: f64, view: View) -> Camera {
        Orbit { azimuth_deg, elevation_deg, target: [10.0, 0.0, 0.0], span_mm: 100.0, view }.camera([400, 200])
    }

    #[test]
    fn the_side_view_has_the_nose_on_the_left() {
        let camera = orbit(90.0, 0.0, View::Orthographic);
        let near = camera.project([0.0, 0.0, 20.0]).unwrap();
        approx::assert_relative_eq!(near[0], 200.0 - 20.0, epsilon = 1e-9);
        approx::assert_relative_eq!(near[1], 100.0 - 40.0, epsilon = 1e-9);
    }

    #[test]
    fn the_face_view_has_starboard_on_the_left() {
        let camera = orbit(0.0, 0.0, View::Perspective { distance_mm: 500.0 });
        let starboard = camera.project([10.0, 20.0, 0.0]).unwrap();
        approx::assert_relative_eq!(starboard[0], 200.0 - 40.0, epsilon = 1e-9);
        let ahead_of_it = camera.project([-90.0, 20.0, 0.0]).unwrap();
        approx::assert_relative_eq!(ahead_of_it[0], 200.0 - 40.0 * 500.0 / 400.0, epsilon = 1e-9);
        assert_eq!(camera.project([-600.0, 0.0, 0.0]), None);
    }

    #[test]
    fn a_line_of_sight_meets_what_was_projected() {
        for view in [View::Orthographic, View::Perspective { distance_mm: 300.0 }] {
            let camera = orbit(33.0, 71.0, view);
            let point = Vector3::new(12.0, -7.0, 30.0);
            let (start, along) = camera.sight(camera.project(point.into()).unwrap());
            let offset = point - Vector3::from(start);
            let aside = offset - Vector3::from(along) * offset.dot(&Vector3::from(along));
            assert!(aside.norm() < 1e-9, "{aside}");
        }
    }

    #[test]
    fn a_senseless_orbit_still_gives_a_camera() {
        let nan = f64::NAN;
        let orbit = Orbit {
            azimuth_deg: nan,
            elevation_deg: f64::INFINITY,
            target: [nan; 3],
            span_mm: 0.0,
            view: View::Perspective { distance_mm: nan },
        };
        let camera = orbit.camera([0, 0]);
        assert!(camera.rotation.iter().chain(camera.translation.iter()).all(|c| c.is_finite()));
    }
}
