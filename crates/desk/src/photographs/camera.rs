//! The camera of a picture from the landmarks picked in it.

use photo::plumb_line::{PlumbLine, PlumbLineError, Radial, lens_from_lines};
use photo::resection::{Landmark, LensStart, Resection, ResectionError, Start, resect};
use project::document::{Document, LineName, Picture};
use project::edit::Refused;
use project::photograph::{LandmarkPlace, Photograph};

/// A picture's camera, and what it was found from.
#[derive(Clone, Debug)]
pub struct FoundCamera {
    /// Camera, deviations, residuals, suspects. Lengths in mm at the model.
    pub resection: Resection,
    /// For each landmark of the resection, its index in the picture's list.
    pub landmarks: Vec<usize>,
    /// Where each of them lies, mm.
    pub places: Vec<[f64; 3]>,
    /// What the picture's straight lines say of the lens; `None` where none are marked.
    pub lens: Option<PlumbLine>,
}

/// Why a picture has no camera.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CameraFailure {
    /// No landmark is picked.
    #[error(
        "No landmarks are picked in this picture. Pick at least six things whose place on the machine is known, or four \
         and give the focal length."
    )]
    NoLandmarks,
    /// All landmarks are left out.
    #[error("All landmarks of this picture are left out. Use some of them again.")]
    NoneUsed,
    /// The file behind the picture is not the one that landmarks were picked in.
    #[error(
        "The project says that this picture measures {} x {} px, its file has {} x {}. Put the file back in which the \
         landmarks were picked.", said[0], said[1], found[0], found[1]
    )]
    OtherFile {
        /// What the project says, px.
        said: [u32; 2],
        /// What the file has, px.
        found: [u32; 2],
    },
    /// A landmark is tied to something that is not there.
    #[error("Landmark \"{name}\" has no place: {refused}")]
    Place {
        /// The landmark.
        name: String,
        /// Why.
        refused: Refused,
    },
    /// The straight lines give no lens.
    #[error("The lines that are straight in truth give no lens: {0}")]
    Lens(#[from] PlumbLineError),
    /// As in a mirror they fit.
    #[error(
        "The landmarks fit this picture only as in a mirror: it is turned left to right. Bring in the picture as it was taken, or \
         change port for starboard in its landmarks."
    )]
    Mirrored,
    /// The landmarks give no camera.
    #[error(transparent)]
    Resection(#[from] ResectionError),
}

impl CameraFailure {
    /// Nothing was asked of the picture: it is there to be looked at.
    pub fn is_no_landmarks(&self) -> bool {
        matches!(self, Self::NoLandmarks)
    }
}

/// The camera of a picture, from its landmarks that count. Those tied to a line of the form that is not drawn yet wait for it,
/// where others have a place.
///
/// # Errors
/// Why there is none, with what to do.
pub fn camera(document: &Document, picture: &Picture) -> Result<FoundCamera, CameraFailure> {
    let photograph = &picture.photograph;
    if photograph.landmarks.is_empty() {
        return Err(CameraFailure::NoLandmarks);
    }
    let landmarks: Vec<usize> = (0..photograph.landmarks.len()).filter(|i| photograph.landmarks[*i].used).collect();
    if landmarks.is_empty() {
        return Err(CameraFailure::NoneUsed);
    }
    check_size(picture)?;
    let landmarks = with_a_place(document, photograph, landmarks);
    let picked = landmarks.iter().map(|i| picked(document, photograph, *i)).collect::<Result<Vec<_>, _>>()?;
    let mut start = Start::centred(picture.size_px, photograph.focal.map(|f| (f.px, f.tolerance_px)));
    let lens = lens(photograph, &start)?;
    if let Some((lens, focal_px)) = &lens {
        start.lens = LensStart::Known { lens: lens.lens, focal_px: *focal_px };
    }
    let resection = match resect(&picked, &start) {
        Ok(found) if found.suspects.is_empty() && found.widened <= DOUBTFUL => found,
        doubtful if in_a_mirror(&picked, &start, doubtful.as_ref().ok()) => return Err(CameraFailure::Mirrored),
        doubtful => doubtful?,
    };
    let places = picked.iter().map(|landmark| landmark.at).collect();
    Ok(FoundCamera { resection, landmarks, places, lens: lens.map(|(lens, _)| lens) })
}

/// Pixels mean something in one picture only. A file that is missing or no picture is told where it is read.
fn check_size(picture: &Picture) -> Result<(), CameraFailure> {
    match photo::size(&picture.bytes) {
        Ok(found) if found != picture.size_px => Err(CameraFailure::OtherFile { said: picture.size_px, found }),
        _ => Ok(()),
    }
}

/// Without those that wait for a line of the form to be drawn; all of them if nothing else is left, to be refused by name.
fn with_a_place(document: &Document, photograph: &Photograph, landmarks: Vec<usize>) -> Vec<usize> {
    let drawn = |name| document.forms.first().is_some_and(|form| !form.lines.get(name).points.is_empty());
    let waits = |index: &usize| match photograph.landmarks[*index].place {
        LandmarkPlace::Crown { .. } => !drawn(LineName::Crown),
        LandmarkPlace::Keel { .. } => !drawn(LineName::Keel),
        LandmarkPlace::Breadth { .. } => !(drawn(LineName::Breadth) && drawn(LineName::BreadthHeight)),
        _ => false,
    };
    let there: Vec<usize> = landmarks.iter().copied().filter(|index| !waits(index)).collect();
    if there.is_empty() { landmarks } else { there }
}

/// A camera whose deviations had to be widened by more than this is held against a mirrored one.
const DOUBTFUL: f64 = 1.5;
/// A mirrored picture fits at least so many times better.
const BETTER: f64 = 4.0;

/// Whether the landmarks fit the picture turned left to right, and far better than as it is.
fn in_a_mirror(picked: &[Landmark], start: &Start, found: Option<&Resection>) -> bool {
    let turned = |l: &Landmark| Landmark { pixel: [2.0 * start.centre[0] - l.pixel[0], l.pixel[1]], ..l.clone() };
    let Ok(mirrored) = resect(&picked.iter().map(turned).collect::<Vec<_>>(), start) else { return false };
    let fits = mirrored.suspects.is_empty() && mirrored.widened <= DOUBTFUL;
    fits && found.is_none_or(|f| f.misfit > BETTER * mirrored.misfit.max(0.1))
}

fn picked(document: &Document, photograph: &Photograph, index: usize) -> Result<Landmark, CameraFailure> {
    let landmark = &photograph.landmarks[index];
    let at = form::landmark_place(document, landmark.place)
        .map_err(|refused| CameraFailure::Place { name: landmark.name.clone(), refused })?;
    Ok(Landmark {
        name: landmark.name.clone(),
        at,
        sigma_mm: landmark.trust_mm,
        pixel: landmark.pixel,
        sigma_px: photograph.picked_px,
    })
}

/// The lens, and the focal length in whose units it is given: the expected one, or the picture's diagonal.
fn lens(photograph: &Photograph, start: &Start) -> Result<Option<(PlumbLine, f64)>, PlumbLineError> {
    if photograph.straight.is_empty() {
        return Ok(None);
    }
    let diagonal = f64::from(start.size_px[0]).hypot(f64::from(start.size_px[1]));
    let focal_px = start.focal.map_or(diagonal, |(px, _)| px);
    let lens = lens_from_lines(&photograph.straight, start.centre, focal_px, Radial::K1, photograph.traced_px)?;
    Ok(Some((lens, focal_px)))
}
