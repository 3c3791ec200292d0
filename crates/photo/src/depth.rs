//! A side picture read where things lie, not where they seem to lie.
//!
//! A picture from the side, set to scale in one plane, shows what is nearer to the camera too large and what is farther too
//! small: by similar triangles, a thing `nearer` mm before the plane of scale and `distance` mm from the camera to that plane
//! is shown distance / (distance - nearer) times as large, measured from the foot of the camera, the point straight ahead.
//!
//! ```text
//!  camera o-----------------------.------| plane of scale
//!          `------_____           | real |
//!                       `-----____|      | shown
//!                                 `-----_|
//!         |<--------- distance --------->|
//!                                 |nearer|
//! ```

use crate::PictureCamera;
use nalgebra::Vector3;

/// A picture taken square to a plane and set to scale in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideView {
    /// From the camera to the plane of scale, mm, above zero.
    distance: f64,
    /// The point of that plane straight ahead of the camera, in the picture's mm.
    foot: [f64; 2],
}

/// Why a depth cannot be used. The text says what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DepthError {
    /// The distance is not above zero, or a number is not finite.
    #[error("The distance to the camera must be more than 0 mm. Measure it, or solve the camera from landmarks.")]
    NoDistance,
    /// What is read would be at the camera or behind it.
    #[error("This lies as near as the camera itself. Look again at the half breadth and the distance to the camera.")]
    BehindCamera,
    /// A round body as large as its distance.
    #[error("The camera would be inside this body. Look again at the radius and the distance to the camera.")]
    InsideBody,
    /// The pixel's line of sight does not meet the plane before the camera.
    #[error("What is shown here does not meet this plane before the camera. Choose another plane, or another point.")]
    MissesPlane,
}

impl SideView {
    /// A view from `distance` mm to the plane of scale, with what is straight ahead at `foot`: the middle of an uncropped
    /// picture, in the mm that the scale gives.
    ///
    /// # Errors
    /// [`DepthError::NoDistance`].
    pub fn new(distance: f64, foot: [f64; 2]) -> Result<Self, DepthError> {
        let usable = distance > 0.0 && [distance, foot[0], foot[1]].iter().all(|c| c.is_finite());
        if usable { Ok(Self { distance, foot }) } else { Err(DepthError::NoDistance) }
    }

    /// The same picture for a scale that was taken from things `nearer` mm before the plane that `distance` was measured to:
    /// the plane of scale moves to them.
    ///
    /// # Errors
    /// [`DepthError::BehindCamera`].
    pub fn scaled_nearer(self, nearer: f64) -> Result<Self, DepthError> {
        Ok(Self { distance: self.left(nearer)?, ..self })
    }

    /// From the camera to the plane of scale, mm.
    pub fn distance(&self) -> f64 {
        self.distance
    }

    /// Where a thing really is whose uncorrected reading is `shown` and which lies `nearer` mm before the plane of scale
    /// (negative: behind it), mm.
    ///
    /// # Errors
    /// [`DepthError::BehindCamera`].
    pub fn read(&self, shown: [f64; 2], nearer: f64) -> Result<[f64; 2], DepthError> {
        let share = self.left(nearer)? / self.distance;
        Ok([0, 1].map(|k| self.foot[k] + (shown[k] - self.foot[k]) * share))
    }

    /// Where the uncorrected reading of a thing falls that really is at `real`: the way back of [`SideView::read`].
    ///
    /// # Errors
    /// [`DepthError::BehindCamera`].
    pub fn shown(&self, real: [f64; 2], nearer: f64) -> Result<[f64; 2], DepthError> {
        let share = self.distance / self.left(nearer)?;
        Ok([0, 1].map(|k| self.foot[k] + (real[k] - self.foot[k]) * share))
    }

    /// How wrong the uncorrected reading is, mm at a model of `scale` (1 for the full size, 0.25 for a quarter): shown less
    /// real, along each axis.
    ///
    /// # Errors
    /// [`DepthError::BehindCamera`].
    pub fn error(&self, shown: [f64; 2], nearer: f64, scale: f64) -> Result<[f64; 2], DepthError> {
        let real = self.read(shown, nearer)?;
        Ok([0, 1].map(|k| (shown[k] - real[k]) * scale))
    }

    /// By what share a thing is shown too large: nearer / (distance - nearer).
    ///
    /// # Errors
    /// [`DepthError::BehindCamera`].
    pub fn size_error(&self, nearer: f64) -> Result<f64, DepthError> {
        Ok(nearer / self.left(nearer)?)
    }

    /// The outline of a round body of `radius` mm about an axis in the plane of scale, straight ahead and square to the line
    /// of sight: the radius that is shown. The camera sees the line where its sight touches the body, which is larger:
    /// r / √(1 - (r / distance)²).
    ///
    /// # Errors
    /// [`DepthError::InsideBody`].
    pub fn shown_radius(&self, radius: f64) -> Result<f64, DepthError> {
        Ok(radius / (1.0 - self.roundness(radius)?.powi(2)).sqrt())
    }

    /// The real radius behind an outline: the way back of [`SideView::shown_radius`].
    pub fn real_radius(&self, shown: f64) -> f64 {
        shown / (1.0 + (shown / self.distance).powi(2)).sqrt()
    }

    /// How far before the axis of a round body its outline lies, mm: r² / distance.
    ///
    /// # Errors
    /// [`DepthError::InsideBody`].
    pub fn rim_nearer(&self, radius: f64) -> Result<f64, DepthError> {
        Ok(radius * self.roundness(radius)?)
    }

    fn left(&self, nearer: f64) -> Result<f64, DepthError> {
        let left = self.distance - nearer;
        if left > 0.0 && left.is_finite() { Ok(left) } else { Err(DepthError::BehindCamera) }
    }

    fn roundness(&self, radius: f64) -> Result<f64, DepthError> {
        let ratio = radius / self.distance;
        if (0.0..1.0).contains(&ratio) { Ok(ratio) } else { Err(DepthError::InsideBody) }
    }
}

/// A plane in space, on which points are read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// A point on it, mm.
    pub at: [f64; 3],
    /// Its normal, of any length.
    pub normal: [f64; 3],
}

impl Plane {
    /// The plane at a distance to starboard of the centre plane; zero is the centre plane itself, the half breadth that of
    /// a breadth line (negative to port).
    pub const fn at_half_breadth(half_breadth: f64) -> Self {
        Self { at: [0.0, half_breadth, 0.0], normal: [0.0, 1.0, 0.0] }
    }

    /// The plane of a station.
    pub const fn at_station(station: f64) -> Self {
        Self { at: [station, 0.0, 0.0], normal: [1.0, 0.0, 0.0] }
    }
}

/// The point of a plane that the camera shows at a pixel, mm.
///
/// # Errors
/// [`DepthError::MissesPlane`], also where the lens shows nothing.
pub fn read_on_plane(camera: &PictureCamera, pixel: [f64; 2], plane: &Plane) -> Result<[f64; 3], DepthError> {
    let sight = Vector3::from(camera.sight(pixel).ok_or(DepthError::MissesPlane)?);
    let (eye, normal) = (Vector3::from(camera.camera.eye()), Vector3::from(plane.normal));
    let along = normal.dot(&(Vector3::from(plane.at) - eye)) / normal.dot(&sight);
    let at = eye + sight * along;
    if along > 0.0 && at.iter().all(|c| c.is_finite()) { Ok(at.into()) } else { Err(DepthError::MissesPlane) }
}
