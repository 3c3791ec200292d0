//! Pixels read at the plane where things lie, and how wrong the picture's plain scale would be there.
//!
//! A solved camera reads any plane. Without one, the distance to the camera does for planes that lie level with the picture: a
//! picture of the side is then taken to stand square to the centre plane with its scale in that plane, one of the face to the
//! datum's plane, one of the plan to the waterline at 0, and what is straight ahead of the camera to lie in the middle of the
//! whole picture.

use super::camera::{CameraFailure, FoundCamera, camera};
use photo::depth::{DepthError, Plane, SideView, read_on_plane};
use project::document::{Document, Picture, PictureView, Placement};

/// How a picture is read at depth. Made once for a picture, it reads as many pixels as are asked.
#[derive(Clone, Debug)]
pub struct Depth {
    how: How,
    /// Where the drawing shows the picture; `None` where its plain scale says nothing.
    plain: Option<(PictureView, Placement)>,
    traced_px: f64,
}

#[derive(Clone, Debug)]
enum How {
    Camera(Box<FoundCamera>),
    Distance { square: SideView, view: PictureView, placement: Placement },
}

/// What a depth is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DepthSource {
    /// The camera solved from landmarks.
    Camera,
    /// The distance to the camera, and the picture's scale.
    Distance,
}

/// A pixel read at a plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Where it lies, mm at the model: x aft, y to starboard, z up.
    pub at: [f64; 3],
    /// Standard deviation of that square to the sight, mm, from the camera and the hand; `None` from a distance, which is
    /// given without one.
    pub sigma: Option<f64>,
    /// Where the plain scale shows it, right and up on the picture's view, mm; `None` for a picture without a scale.
    pub shown: Option<[f64; 2]>,
    /// How wrong that is: shown less true along the same axes, mm at the model.
    pub error: Option<[f64; 2]>,
}

impl Reading {
    /// The length of [`Reading::error`], mm.
    pub fn error_mm(&self) -> Option<f64> {
        self.error.map(|[right, up]| right.hypot(up))
    }
}

/// Why a picture or a pixel cannot be read at depth.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DepthFailure {
    /// Neither camera nor distance.
    #[error("{camera} Or type the distance to the camera.")]
    NotKnown {
        /// Why there is no camera.
        camera: CameraFailure,
    },
    /// A distance is known, but no scale.
    #[error("The distance to the camera is known, but the picture is not to scale. Set it to scale first.")]
    NoScale,
    /// A distance is known, but the picture lies under no view.
    #[error("A picture that lies under no view is read through its camera alone. Pick its landmarks: {camera}")]
    NoView {
        /// Why there is no camera.
        camera: CameraFailure,
    },
    /// A plane that is not level with the picture.
    #[error(
        "With the distance alone a picture is read only at planes level with it. Pick landmarks, and read it through its camera."
    )]
    Oblique,
    /// The plane is seen nearly edge on.
    #[error(
        "This plane is seen nearly edge on from here, so nothing can be read on it. Use a picture that shows it more squarely."
    )]
    EdgeOn,
    /// The plane cannot be read there.
    #[error(transparent)]
    Plane(#[from] DepthError),
}

impl Depth {
    /// From the picture's camera if its landmarks give one, else from the distance to it.
    ///
    /// # Errors
    /// Neither is known.
    pub fn of(document: &Document, picture: &Picture) -> Result<Self, DepthFailure> {
        match camera(document, picture) {
            Ok(found) => Ok(Self::through(picture, found)),
            Err(why) => Self::by_distance(document, picture, why),
        }
    }

    /// From a camera that was found already.
    pub fn through(picture: &Picture, found: FoundCamera) -> Self {
        Self::new(picture, How::Camera(Box::new(found)))
    }

    fn new(picture: &Picture, how: How) -> Self {
        let plain = (picture.scale.is_some() && picture.view != PictureView::Reference)
            .then_some((picture.view, picture.placement));
        Self { how, plain, traced_px: picture.photograph.traced_px }
    }

    fn by_distance(document: &Document, picture: &Picture, camera: CameraFailure) -> Result<Self, DepthFailure> {
        let Some(distance) = picture.photograph.distance_mm else { return Err(DepthFailure::NotKnown { camera }) };
        let (view, placement) = (picture.view, picture.placement);
        if view == PictureView::Reference {
            return Err(DepthFailure::NoView { camera });
        }
        if picture.scale.is_none() {
            return Err(DepthFailure::NoScale);
        }
        let foot = placement.to_view(picture.size_px.map(|px| 0.5 * f64::from(px)));
        let square = SideView::new(distance / document.model_scale, foot)?;
        Ok(Self::new(picture, How::Distance { square, view, placement }))
    }

    /// What the depth is known from.
    pub fn source(&self) -> DepthSource {
        match self.how {
            How::Camera(_) => DepthSource::Camera,
            How::Distance { .. } => DepthSource::Distance,
        }
    }

    /// The camera, where it is known.
    pub fn camera(&self) -> Option<&FoundCamera> {
        match &self.how {
            How::Camera(found) => Some(found),
            How::Distance { .. } => None,
        }
    }

    /// The half of the machine on which the camera stands: -1 to port, 1 to starboard.
    pub fn side(&self) -> f64 {
        let starboard = match &self.how {
            How::Camera(found) => found.resection.camera.camera.eye()[1] > 0.0,
            How::Distance { placement, .. } => placement.mirrored,
        };
        if starboard { 1.0 } else { -1.0 }
    }

    /// Reads a pixel at a plane.
    ///
    /// # Errors
    /// The plane is not met there before the camera, or is not level with a picture of which only the distance is known.
    pub fn read(&self, pixel: [f64; 2], plane: &Plane) -> Result<Reading, DepthFailure> {
        let (at, sigma) = match &self.how {
            How::Camera(found) => {
                let camera = &found.resection.camera;
                if camera.sight(pixel).is_some_and(|sight| edge_on(sight, plane.normal)) {
                    return Err(DepthFailure::EdgeOn);
                }
                let at = read_on_plane(camera, pixel, plane)?;
                (at, sigma(found, at, self.traced_px))
            }
            How::Distance { square, view, placement } => {
                let level = level(*view, plane).ok_or(DepthFailure::Oblique)?;
                let read = square.read(placement.to_view(pixel), level.nearer(placement.mirrored))?;
                (level.place(read), None)
            }
        };
        let shown = self.plain.map(|(_, placement)| placement.to_view(pixel));
        let real = self.plain.and_then(|(view, _)| view.view_from_model(at));
        let error = shown.zip(real).map(|(shown, real)| [shown[0] - real[0], shown[1] - real[1]]);
        Ok(Reading { at, sigma, shown, error })
    }

    /// Reads a place of the drawing that was picked over the picture, right and up on its view in mm, at a plane.
    ///
    /// # Errors
    /// As [`Depth::read`]; [`DepthFailure::NoScale`] for a picture that has none.
    pub fn read_shown(&self, shown: [f64; 2], plane: &Plane) -> Result<Reading, DepthFailure> {
        let (_, placement) = self.plain.ok_or(DepthFailure::NoScale)?;
        self.read(placement.to_px(shown), plane)
    }
}

/// Standard deviation at a place, square to the sight: of the hand and of the camera, mm.
fn sigma(found: &FoundCamera, at: [f64; 3], traced_px: f64) -> Option<f64> {
    let (_, covariance) = found.resection.shown(at)?;
    let camera = &found.resection.camera.camera;
    Some((0.5 * covariance.trace()).max(0.0).sqrt().hypot(traced_px) * camera.depth(at) / camera.focal_px)
}

/// The least sine of the angle between sight and plane at which it is still read: the error along it grows fourfold.
const FLATTEST: f64 = 0.25;

fn edge_on(sight: [f64; 3], normal: [f64; 3]) -> bool {
    let dot = |a: [f64; 3], b: [f64; 3]| (0..3).map(|k| a[k] * b[k]).sum::<f64>();
    dot(sight, normal).abs() < FLATTEST * (dot(sight, sight) * dot(normal, normal)).sqrt()
}

/// A plane level with a picture.
struct Level {
    view: PictureView,
    /// Where it lies on the axis that the picture does not show, mm.
    at: f64,
}

/// How far a plane's normal may lean and still be level with a picture, as a share.
const LEVEL: f64 = 1e-6;

fn level(view: PictureView, plane: &Plane) -> Option<Level> {
    let axis = match view {
        PictureView::Side => 1,
        PictureView::Face => 0,
        PictureView::Plan => 2,
        PictureView::Reference => return None,
    };
    let across = (0..3).filter(|k| *k != axis).map(|k| plane.normal[k].abs()).fold(0.0, f64::max);
    (across <= LEVEL * plane.normal[axis].abs()).then_some(Level { view, at: plane.at[axis] })
}

impl Level {
    /// How far before the plane of scale it lies: a picture with the nose to the left is taken from port, one of the face from
    /// ahead, one of the plan from above; a mirrored one of side or plan from the other side.
    fn nearer(&self, mirrored: bool) -> f64 {
        match (self.view, mirrored) {
            (PictureView::Side, true) => self.at,
            (PictureView::Plan, false) => self.at,
            _ => -self.at,
        }
    }

    /// The place in space of one on the view.
    fn place(&self, [right, up]: [f64; 2]) -> [f64; 3] {
        match self.view {
            PictureView::Side | PictureView::Reference => [right, self.at, up],
            PictureView::Face => [self.at, -right, up],
            PictureView::Plan => [right, up, self.at],
        }
    }
}
