//! A least-squares camera with its covariance: what it says of each landmark, and whether it is known well enough.

use super::adjust::{Minimum, Task, scaled, spread, unit_diagonal};
use super::refusal::{self, MOST_RELATIVE, MOST_TURN_DEG, ResectionError};
use super::{Landmark, LandmarkFit, Sigmas, Start};
use crate::PictureCamera;
use crate::picture_camera::PARAMETERS;
use nalgebra::{DMatrix, Matrix2, SMatrix, SymmetricEigen, Vector2, Vector3};

/// A direction in which less than this share of an error shows is not checked by the other landmarks.
const LEAST_REDUNDANCY: f64 = 0.02;
/// Beyond this ratio the equations are solved by rounding errors.
const MOST_CONDITION: f64 = 1e7;

/// A minimum with its covariance.
pub(super) struct Solution {
    pub(super) camera: PictureCamera,
    pub(super) covariance: SMatrix<f64, PARAMETERS, PARAMETERS>,
    /// See [`super::Resection::condition`].
    pub(super) condition: f64,
}

impl Solution {
    pub(super) fn new(task: &Task<'_>, minimum: &Minimum) -> Result<Self, ResectionError> {
        let loose = || {
            if task.start.focal.is_none() && refusal::are_flat(task.landmarks) {
                ResectionError::Flat
            } else {
                ResectionError::Loose { degrees: 90.0, percent: 100.0 }
            }
        };
        let information = task.information(minimum).ok_or(ResectionError::NoView)?;
        let scale = unit_diagonal(&information);
        let scaled_information = scaled(&information, &scale);
        let eigen = SymmetricEigen::new(scaled_information.clone());
        let (least, most) = (eigen.eigenvalues.min(), eigen.eigenvalues.max());
        if least.is_nan() || least <= most / (MOST_CONDITION * MOST_CONDITION) {
            return Err(loose());
        }
        let inverse = scaled_information.cholesky().ok_or_else(loose)?.inverse();
        let free: DMatrix<f64> = scaled(&inverse, &scale);
        let by_free = task.parameters_by_free(&minimum.camera);
        let wide = &by_free * free * by_free.transpose();
        let covariance = SMatrix::from_fn(|i, j| wide[(i, j)]);
        Ok(Self { camera: minimum.camera, covariance, condition: (most / least).sqrt() })
    }

    /// How a landmark fits; `None` if it is not before the camera. The covariance must not have been widened yet.
    pub(super) fn fit(&self, landmark: &Landmark, used: bool) -> Option<LandmarkFit> {
        let name = landmark.name.clone();
        let Some(seen) = self.camera.projection(landmark.at) else {
            // A landmark that was left out may well be typed in behind the camera.
            let far = f64::INFINITY;
            let fit = LandmarkFit {
                name,
                off_px: [far; 2],
                px: far,
                mm: far,
                depth_mm: 0.0,
                deviations: far,
                checked: true,
                used,
            };
            return (!used).then_some(fit);
        };
        let off = Vector2::from(landmark.pixel) - Vector2::from(seen.pixel);
        let own = spread(landmark, &seen);
        let of_camera = seen.by_camera * self.covariance * seen.by_camera.transpose();
        let (squares, checked) =
            if used { chi_squared(off, own, of_camera) } else { (whole(off, own + of_camera), true) };
        let px = off.norm();
        let mm = px * seen.depth / self.camera.camera.focal_px;
        let deviations = squares.sqrt();
        Some(LandmarkFit { name, off_px: off.into(), px, mm, depth_mm: seen.depth, deviations, checked, used })
    }

    pub(super) fn focal_pull(&self, start: &Start) -> Option<f64> {
        let (focal, sigma) = start.focal.filter(|(_, sigma)| *sigma > 0.0)?;
        let left = sigma * sigma - self.covariance[(6, 6)];
        let off = focal - self.camera.camera.focal_px;
        (left > LEAST_REDUNDANCY * sigma * sigma).then(|| off / left.sqrt())
    }

    pub(super) fn sigmas(&self, landmarks: &[&Landmark]) -> Sigmas {
        let sigma = |k: usize| self.covariance[(k, k)].max(0.0).sqrt();
        let away = from_middle(&self.camera, landmarks);
        let along = away.normalize();
        let of_eye = self.covariance.fixed_view::<3, 3>(3, 3);
        let distance_mm = along.dot(&(of_eye * along)).max(0.0).sqrt();
        Sigmas {
            turn_deg: [0, 1, 2].map(|k| sigma(k).to_degrees()),
            eye_mm: [3, 4, 5].map(sigma),
            distance_mm,
            focal_px: sigma(6),
            centre_px: [7, 8].map(sigma),
            k1: sigma(9),
        }
    }
}

/// From the landmarks' middle to the eye, mm.
fn from_middle(camera: &PictureCamera, landmarks: &[&Landmark]) -> Vector3<f64> {
    let sum: Vector3<f64> = landmarks.iter().map(|l| Vector3::from(l.at)).sum();
    Vector3::from(camera.camera.eye()) - sum / landmarks.len().max(1) as f64
}

/// Refuses a camera that is known too badly.
pub(super) fn refuse_loose(
    sigmas: &Sigmas,
    picture: &PictureCamera,
    landmarks: &[&Landmark],
    start: &Start,
) -> Result<(), ResectionError> {
    let away = from_middle(picture, landmarks).norm();
    let share = (sigmas.focal_px / picture.camera.focal_px).max(sigmas.distance_mm / away);
    if share > MOST_RELATIVE && start.focal.is_none() {
        let flat = refusal::are_flat(landmarks);
        return Err(if flat {
            ResectionError::Flat
        } else {
            ResectionError::FocalUndetermined { percent: share * 100.0 }
        });
    }
    let degrees = sigmas.turn_deg.into_iter().fold(0.0, f64::max);
    let of_eye = Vector3::from(sigmas.eye_mm).norm() / away;
    if degrees > MOST_TURN_DEG || of_eye > MOST_RELATIVE || !degrees.is_finite() || !of_eye.is_finite() {
        return Err(ResectionError::Loose { degrees, percent: of_eye * 100.0 });
    }
    Ok(())
}

/// The chi-squared of a residual whose own covariance is `own`, of which the camera has taken up `of_camera`; only in the
/// directions that the other landmarks check, and whether those are all.
fn chi_squared(off: Vector2<f64>, own: Matrix2<f64>, of_camera: Matrix2<f64>) -> (f64, bool) {
    // In units in which `own` is one.
    let Some(half) = own.cholesky() else { return (0.0, false) };
    let Some(inverse) = half.l().try_inverse() else { return (0.0, false) };
    let (off, left) = (inverse * off, Matrix2::identity() - inverse * of_camera * inverse.transpose());
    let eigen = SymmetricEigen::new(left);
    let mut sum = 0.0;
    for k in 0..2 {
        if eigen.eigenvalues[k] > LEAST_REDUNDANCY {
            sum += eigen.eigenvectors.column(k).dot(&off).powi(2) / eigen.eigenvalues[k];
        }
    }
    (sum, eigen.eigenvalues.min() > LEAST_REDUNDANCY)
}

/// The chi-squared of a difference with its covariance.
fn whole(off: Vector2<f64>, covariance: Matrix2<f64>) -> f64 {
    covariance.try_inverse().map_or(0.0, |inverse| off.dot(&(inverse * off)))
}
