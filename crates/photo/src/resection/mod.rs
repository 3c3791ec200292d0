//! The camera of a photograph from landmarks: things whose place on the machine is known and that were picked in it.
//!
//! Surveyors call it resection. Starts come from triples of landmarks (`starts`), the least-squares camera from Levenberg
//! and Marquardt's method (`adjust`), and landmarks that contradict the rest are sought out (`suspects`). Sources: Hartley
//! and Zisserman, *Multiple View Geometry*, 2nd ed. 2004, chapters 5 and 7; W. Baarda, *A testing procedure for use in
//! geodetic networks*, 1968 (from memory).

mod adjust;
mod refusal;
mod solution;
mod starts;
mod suspects;
mod three_points;
mod trimmed;

pub use refusal::ResectionError;

use crate::picture_camera::PARAMETERS;
use crate::{Lens, PictureCamera};
use nalgebra::{Matrix2, SMatrix};

/// A thing whose place on the machine is known, picked in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Landmark {
    /// What the builder calls it.
    pub name: String,
    /// Its place on the machine, mm.
    pub at: [f64; 3],
    /// How far off that place may be along each axis (standard deviation), mm. Zero: exact.
    pub sigma_mm: f64,
    /// Where it was picked, pixels.
    pub pixel: [f64; 2],
    /// How well it was picked, in each direction (standard deviation), pixels. Above zero.
    pub sigma_px: f64,
}

/// What is known of the camera beforehand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// The picture's size, pixels.
    pub size_px: [u32; 2],
    /// Focal length and its standard deviation, pixels; a deviation of zero holds it. `None`: nothing is known.
    pub focal: Option<(f64, f64)>,
    /// The principal point, pixels.
    pub centre: [f64; 2],
    /// How far the principal point may be off in each direction (standard deviation), pixels. Zero holds it.
    pub centre_sigma_px: f64,
    /// What is known of the lens.
    pub lens: LensStart,
}

/// What is known of the lens beforehand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum LensStart {
    /// It draws as a pinhole does.
    #[default]
    None,
    /// It was measured, for instance on straight lines of this picture.
    Known {
        /// Its coefficients.
        lens: Lens,
        /// The focal length to which they belong, pixels.
        focal_px: f64,
    },
    /// k1 is solved for with the camera.
    Unknown {
        /// How large k1 may be (standard deviation about zero). Common practice, no source: 0.1 for camera lenses.
        k1_sigma: f64,
    },
}

/// A camera, and how far it can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct Resection {
    /// The most likely camera.
    pub camera: PictureCamera,
    /// Standard deviations of its numbers.
    pub sigmas: Sigmas,
    /// Covariance in the order of [`crate::picture_camera::Step`]: radians, mm, pixels; zero for what was held. Wider than
    /// the given deviations warrant by [`Resection::widened`].
    pub covariance: SMatrix<f64, PARAMETERS, PARAMETERS>,
    /// The landmarks in the given order.
    pub landmarks: Vec<LandmarkFit>,
    /// Landmarks that contradict the rest, the worst first.
    pub suspects: Vec<Suspect>,
    /// Root of the mean squared deviation per degree of freedom: near 1 where landmarks are as good as was said.
    pub misfit: f64,
    /// Observations beyond what the camera needs.
    pub freedom: usize,
    /// By what the standard deviations were multiplied because the landmarks fit worse than chance explains (5 %): 1 where
    /// they do not.
    pub widened: f64,
    /// How far the given focal length is off, in standard deviations of that difference; `None` where none was given or it
    /// was held, or where nothing else speaks about it. Beyond 3 it is hardly right.
    pub focal_pull: Option<f64>,
    /// How unevenly the camera's numbers are determined: the ratio of the best to the worst determined combination. Beyond
    /// 1000 small mistakes have large consequences.
    pub condition: f64,
}

/// Standard deviations of a camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sigmas {
    /// About the camera's own axes, degrees: tilt (about right), pan (about down), roll (about forward).
    pub turn_deg: [f64; 3],
    /// The eye's place, mm along the world's axes.
    pub eye_mm: [f64; 3],
    /// The eye's distance to the landmarks' middle, mm.
    pub distance_mm: f64,
    /// Focal length, pixels.
    pub focal_px: f64,
    /// Principal point, pixels.
    pub centre_px: [f64; 2],
    /// k1.
    pub k1: f64,
}

/// How well a landmark fits.
#[derive(Clone, Debug, PartialEq)]
pub struct LandmarkFit {
    /// Its name.
    pub name: String,
    /// Picked less shown through the camera, pixels. Infinite, like all that follows from it, for a landmark that was left
    /// out and lies behind the camera.
    pub off_px: [f64; 2],
    /// The length of that, pixels.
    pub px: f64,
    /// The same at the landmark's depth, square to the line of sight, mm.
    pub mm: f64,
    /// How far ahead of the camera it is, mm.
    pub depth_mm: f64,
    /// The residual in its own standard deviations (root of its chi-squared; 3 is rare, 5 is wrong). Of a landmark that was
    /// left out: how far it lies from where the others expect it, in standard deviations of that.
    pub deviations: f64,
    /// Whether the others would notice if it were wrong in any direction.
    pub checked: bool,
    /// Whether the camera was solved from it: suspects that are certain are left out.
    pub used: bool,
}

/// A landmark that contradicts the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// Its place in the given order.
    pub index: usize,
    /// Its name.
    pub name: String,
    /// How far off it is against the camera that is given, mm at its depth.
    pub mm: f64,
    /// The same, pixels.
    pub px: f64,
    /// True: without it (and the other certain ones) all others agree, and no other choice as small does that; the camera was
    /// solved without it. False: something is wrong and this landmark may be it; the camera was solved with it.
    pub certain: bool,
}

impl Start {
    /// Centre in the middle of the picture and no lens.
    pub fn centred(size_px: [u32; 2], focal: Option<(f64, f64)>) -> Self {
        let centre = size_px.map(|s| f64::from(s) / 2.0);
        Self { size_px, focal, centre, centre_sigma_px: 0.0, lens: LensStart::None }
    }
}

impl Resection {
    /// Where the camera shows a point, pixels, and the covariance of that, pixels², as far as the camera is to blame: how far
    /// what is drawn over the picture may be off. `None` if the point is not before the camera.
    pub fn shown(&self, point: [f64; 3]) -> Option<([f64; 2], Matrix2<f64>)> {
        let seen = self.camera.projection(point)?;
        Some((seen.pixel, seen.by_camera * self.covariance * seen.by_camera.transpose()))
    }
}

/// The camera from landmarks: at least six, or four where the focal length is known beforehand.
///
/// Given what the landmarks' deviations say, the most likely camera together with the most likely places of landmarks that
/// may be off. Exact data give the camera to about 1e-9 of its distance. Standard deviations hold for small errors; a camera
/// that is known worse than a third of its distance or focal length is refused.
///
/// # Errors
/// What [`ResectionError`] lists: too few, repeated, in a line, flat and seen squarely with the focal length unknown,
/// nothing that fits, landmarks that contradict each other, or two cameras that fit alike.
pub fn resect(landmarks: &[Landmark], start: &Start) -> Result<Resection, ResectionError> {
    refusal::refuse_input(landmarks, start)?;
    let straight = straightened(landmarks, start)?;
    let all: Vec<&Landmark> = straight.iter().collect();
    let found = suspects::solve(&all, start)?;
    let resection = found.resection(&all, start)?;
    Ok(with_lens(resection, start))
}

/// The landmarks as a pinhole would show them.
fn straightened(landmarks: &[Landmark], start: &Start) -> Result<Vec<Landmark>, ResectionError> {
    let LensStart::Known { lens, focal_px } = start.lens else { return Ok(landmarks.to_vec()) };
    let one = |landmark: &Landmark| {
        let pixel = lens.straightened(landmark.pixel, start.centre, focal_px);
        let outside = || ResectionError::OutsideLens { name: landmark.name.clone() };
        Ok(Landmark { pixel: pixel.ok_or_else(outside)?, ..landmark.clone() })
    };
    landmarks.iter().map(one).collect()
}

/// Gives the camera the lens that was known.
fn with_lens(mut resection: Resection, start: &Start) -> Resection {
    if let LensStart::Known { lens, focal_px } = start.lens {
        resection.camera.lens = lens.at_focal(focal_px, resection.camera.camera.focal_px);
    }
    resection
}
