//! When landmarks do not determine a camera, and what would help.

use super::starts::extents;
use super::{Landmark, LensStart, Start};
use crate::PictureCamera;

/// Why there is no camera. The text says what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ResectionError {
    /// Not enough landmarks at different places.
    #[error(
        "{found} landmarks at different places are too few: {needed} are needed{}. Pick {} more.",
        if *needed > 4 { ", or 4 with a known focal length" } else { "" },
        needed - found
    )]
    TooFew {
        /// How many there are.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A number is not finite, or a standard deviation is not what it should be.
    #[error("{what} is not a usable number. Enter it again.")]
    NotANumber {
        /// Which number.
        what: String,
    },
    /// Two landmarks were picked at the same pixel though they are at different places.
    #[error("{first} and {second} were picked at the same pixel. Pick one of them again.")]
    SamePixel {
        /// One name.
        first: String,
        /// The other name.
        second: String,
    },
    /// The landmarks lie nearly in a line.
    #[error(
        "All landmarks lie within {aside_mm:.0} mm of one line that is {along_mm:.0} mm long, so the camera may turn about \
         that line. Add a landmark well to the side of it."
    )]
    NearALine {
        /// Root mean square distance along the line, mm.
        along_mm: f64,
        /// Root mean square distance from the line, mm.
        aside_mm: f64,
    },
    /// The landmarks lie in one plane and do not give the focal length.
    #[error(
        "The landmarks lie in one plane, seen too squarely to tell focal length from distance. Give the focal length, or \
         add a landmark well in front of that plane or behind it."
    )]
    Flat,
    /// Focal length and distance cannot be told apart.
    #[error(
        "Focal length and distance cannot be told apart from these landmarks (each could be wrong by {percent:.0} %). Give \
         the focal length, or add landmarks nearer to the camera and farther from it."
    )]
    FocalUndetermined {
        /// Standard deviation of the focal length, percent; at least the 33 at which it is refused.
        percent: f64,
    },
    /// The pose is known too badly.
    #[error(
        "The landmarks do not hold the camera: it could be off by {degrees:.0}° or {percent:.0} % of its distance. Add \
         landmarks far from the others, across the picture and in depth."
    )]
    Loose {
        /// Standard deviation of the direction, degrees.
        degrees: f64,
        /// Standard deviation of the eye, percent of its distance.
        percent: f64,
    },
    /// The landmarks disagree so much that nothing is left to trust, and no few of them explain it.
    #[error(
        "The landmarks contradict each other: they fit {times:.0} times worse than their trust says.{} Look for swapped \
         names, left for right, and slipped decimal points.",
        worst.as_ref().map_or(String::new(), |name| format!(" The worst is {name}."))
    )]
    Contradiction {
        /// Root of the mean squared deviation per degree of freedom.
        times: f64,
        /// The landmark that stands out most, if one does.
        worst: Option<String>,
    },
    /// No camera has all landmarks before it, or near where they were picked.
    #[error(
        "No camera can see these landmarks so. Look for names swapped between left and right, and at the signs of their \
         places."
    )]
    NoView,
    /// Two quite different cameras show the landmarks alike.
    #[error(
        "Two cameras, {degrees:.0}° apart, show the landmarks equally well: they are too flat and too far away to tell. Add \
         a landmark well in front of their plane or behind it."
    )]
    TwoCameras {
        /// The angle between them, degrees.
        degrees: f64,
        /// Both, the better one first.
        cameras: Box<[PictureCamera; 2]>,
    },
    /// A landmark was picked where the lens shows nothing.
    #[error(
        "The lens that was measured shows nothing where {name} was picked. Measure the lens again, or pick it again."
    )]
    OutsideLens {
        /// Its name.
        name: String,
    },
}

/// Landmarks nearer to each other than this are one, mm.
const SAME_PLACE_MM: f64 = 1e-6;
/// How wide a set must be against its length (root mean squares) to hold the turn about its long axis.
const LEAST_WIDTH: f64 = 0.02;
/// Below this thickness against its length a set counts as flat, in texts.
const FLAT: f64 = 0.02;
/// Linear error theory says little beyond this share.
pub(super) const MOST_RELATIVE: f64 = 1.0 / 3.0;
/// Nor beyond this turn.
pub(super) const MOST_TURN_DEG: f64 = 20.0;

/// Refuses what cannot determine a camera, whatever the picture shows.
pub(super) fn refuse_input(landmarks: &[Landmark], start: &Start) -> Result<(), ResectionError> {
    refuse_numbers(landmarks, start)?;
    let needed = needed(start);
    let distinct = distinct(landmarks);
    if distinct.len() < needed {
        return Err(ResectionError::TooFew { found: distinct.len(), needed });
    }
    for (i, first) in landmarks.iter().enumerate() {
        let same = |l: &&Landmark| l.pixel == first.pixel && !same_place(l.at, first.at);
        if let Some(second) = landmarks[i + 1..].iter().find(same) {
            let (first, second) = (first.name.clone(), second.name.clone());
            return Err(ResectionError::SamePixel { first, second });
        }
    }
    refuse_a_line(&distinct)
}

fn refuse_a_line(places: &[[f64; 3]]) -> Result<(), ResectionError> {
    let line = |places: &[[f64; 3]]| {
        let [along_mm, aside_mm, _] = extents(places);
        (aside_mm < LEAST_WIDTH * along_mm).then_some((along_mm, aside_mm))
    };
    let Some((along_mm, aside_mm)) = line(places) else { return Ok(()) };
    // One place typed in far away makes a line of any set; it will be named when the camera is solved.
    let without = |k: usize| [&places[..k], &places[k + 1..]].concat();
    let holds = (0..places.len()).all(|k| line(&without(k)).is_some());
    if holds { Err(ResectionError::NearALine { along_mm, aside_mm }) } else { Ok(()) }
}

/// How many landmarks are needed.
pub(super) fn needed(start: &Start) -> usize {
    if start.focal.is_some() { 4 } else { 6 }
}

/// Whether the landmarks lie in one plane, nearly.
pub(super) fn are_flat(landmarks: &[&Landmark]) -> bool {
    let points: Vec<[f64; 3]> = landmarks.iter().map(|l| l.at).collect();
    let [long, _, thick] = extents(&points);
    thick < FLAT * long
}

fn refuse_numbers(landmarks: &[Landmark], start: &Start) -> Result<(), ResectionError> {
    let refuse = |what: String| Err(ResectionError::NotANumber { what });
    for landmark in landmarks {
        let name = &landmark.name;
        if !landmark.at.iter().all(|c| c.is_finite()) {
            return refuse(format!("The place of {name}"));
        }
        if !landmark.pixel.iter().all(|c| c.is_finite()) {
            return refuse(format!("The pixel of {name}"));
        }
        let trusted = landmark.sigma_mm >= 0.0 && landmark.sigma_px > 0.0;
        if !trusted || !landmark.sigma_mm.is_finite() || !landmark.sigma_px.is_finite() {
            return refuse(format!("The trust in {name}"));
        }
    }
    let focal_ok = start.focal.is_none_or(|(f, sigma)| f > 0.0 && f.is_finite() && sigma >= 0.0 && sigma.is_finite());
    if !focal_ok {
        return refuse("The focal length".into());
    }
    if start.size_px.contains(&0) {
        return refuse("The size of the picture".into());
    }
    let centre = [start.centre[0], start.centre[1], start.centre_sigma_px];
    if !centre.iter().all(|c| c.is_finite()) || start.centre_sigma_px < 0.0 {
        return refuse("The middle of the picture".into());
    }
    refuse_lens(&start.lens)
}

fn refuse_lens(lens: &LensStart) -> Result<(), ResectionError> {
    let usable = match *lens {
        LensStart::None => true,
        LensStart::Known { lens, focal_px } => {
            focal_px > 0.0 && [lens.k1, lens.k2, lens.p1, lens.p2, focal_px].iter().all(|c| c.is_finite())
        }
        LensStart::Unknown { k1_sigma } => k1_sigma > 0.0 && k1_sigma.is_finite(),
    };
    if usable { Ok(()) } else { Err(ResectionError::NotANumber { what: "The distortion of the lens".into() }) }
}

fn same_place(a: [f64; 3], b: [f64; 3]) -> bool {
    (0..3).all(|k| (a[k] - b[k]).abs() <= SAME_PLACE_MM)
}

fn distinct(landmarks: &[Landmark]) -> Vec<[f64; 3]> {
    let mut all: Vec<[f64; 3]> = Vec::new();
    for landmark in landmarks {
        if !all.iter().any(|a| same_place(*a, landmark.at)) {
            all.push(landmark.at);
        }
    }
    all
}
