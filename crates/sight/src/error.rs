//! Why sections could not be read from photographs.

use thiserror::Error;

/// Why a solve was refused or given up. Photographs count from 1; the text leaves it to the caller to name them
/// ([`SightError::photograph`]).
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SightError {
    /// Nothing was traced.
    #[error("nothing is traced yet: trace the outline, or a seam at a known station, in at least one photograph")]
    NothingTraced,
    /// A traced point, landmark, camera or prior is not a finite number.
    #[error("{0} has a value that is not a finite number: enter it again")]
    NotFinite(String),
    /// A trust is negative, or a noise not above zero.
    #[error("{0} must be above zero")]
    NotPositive(String),
    /// The lines share no stretch, or cross.
    #[error("the form is not complete: {0}")]
    BadForm(String),
    /// Every unknown is held and every camera exact.
    #[error("nothing is unknown: let at least one of fullness, breadth height, breadth or a camera be solved")]
    NothingUnknown,
    /// Too little says where a camera stands.
    #[error("its {sightings} landmarks do not fix its camera: mark at least four, and not all in one line")]
    CameraOpen {
        /// Counts from 1.
        photograph: usize,
        /// How many landmarks are marked on it.
        sightings: usize,
    },
    /// The form is not before the camera.
    #[error("the form does not lie before this camera: look again at its landmarks, and at the form's lines")]
    CameraBehind(usize),
    /// A seam lies outside the form.
    #[error(
        "a seam is traced at station {station:.1} mm, but the form runs from {low:.1} to {high:.1} mm: correct the seam's station"
    )]
    SeamOutside {
        /// Counts from 1.
        photograph: usize,
        /// mm.
        station: f64,
        /// The form's foremost station, mm.
        low: f64,
        /// The form's rearmost station, mm.
        high: f64,
    },
    /// A landmark's number means none.
    #[error("a marked landmark is not in the list of landmarks")]
    NoSuchLandmark(usize),
    /// What was traced has little to do with the form.
    #[error(
        "what is traced lies {median_px:.0} px from the form's {what} at the middle of its points ({allowed_px:.0} px is \
         allowed): trace the outline of this form, or check camera and lines"
    )]
    NotThisForm {
        /// Counts from 1.
        photograph: usize,
        /// Outline or seams.
        what: &'static str,
        /// Median distance, px.
        median_px: f64,
        /// What is allowed, px.
        allowed_px: f64,
    },
    /// The equations have no one answer.
    #[error("the photographs and the priors do not fix one answer: mark more landmarks, or trace more")]
    Singular,
    /// The caller gave up.
    #[error("given up")]
    Cancelled,
}

impl SightError {
    /// The photograph it is about, counted from 1.
    pub fn photograph(&self) -> Option<usize> {
        match self {
            Self::CameraOpen { photograph, .. }
            | Self::CameraBehind(photograph)
            | Self::SeamOutside { photograph, .. }
            | Self::NoSuchLandmark(photograph)
            | Self::NotThisForm { photograph, .. } => Some(*photograph),
            _ => None,
        }
    }
}
