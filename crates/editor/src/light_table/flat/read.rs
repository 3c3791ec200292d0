//! What follows from distances, straight lines, a flat figure and what the camera wrote into the picture's file.

use desk::photographs::{figure, scale};
use photo::known_distances::{PictureScale, ScaleError};
use photo::plumb_line::{PlumbLine, PlumbLineError, Radial, lens_from_lines};
use photo::rectification::{Rectification, RectificationError};
use photo::shot::{Shot, shot};
use project::document::{Document, Picture};
use std::sync::Arc;

/// All that is read of one picture.
pub(crate) struct Read {
    of: Arc<Picture>,
    model_scale: f64,
    pub(crate) scale: Result<PictureScale, ScaleError>,
    /// `None` where no straight line is marked.
    pub(crate) lens: Option<Result<Bent, PlumbLineError>>,
    /// `None` where no figure is marked.
    pub(crate) figure: Option<Result<Rectification, RectificationError>>,
    /// What the camera wrote; `None` where the file is missing or broken.
    pub(crate) shot: Option<Shot>,
}

/// A lens by one coefficient, as the camera is solved with it, and by two where the lines tell so much.
pub(crate) struct Bent {
    pub(crate) one: PlumbLine,
    pub(crate) two: Option<PlumbLine>,
    /// The focal length in whose units both are, px.
    pub(crate) focal_px: f64,
}

impl Read {
    /// Reads it anew; what the camera wrote is taken from `before` where the file is the same.
    pub(super) fn new(document: &Document, picture: &Arc<Picture>, before: Option<&Self>) -> Self {
        let known = before.filter(|before| Arc::ptr_eq(&before.of.bytes, &picture.bytes));
        Self {
            of: picture.clone(),
            model_scale: document.model_scale,
            scale: scale(document, picture),
            lens: (!picture.photograph.straight.is_empty()).then(|| bent(picture)),
            figure: figure(document, picture),
            shot: known.map_or_else(|| shot(&picture.bytes).ok(), |before| before.shot),
        }
    }

    pub(super) fn is_of(&self, picture: &Arc<Picture>, model_scale: f64) -> bool {
        Arc::ptr_eq(&self.of, picture) && self.model_scale == model_scale
    }
}

/// The lens in units of the focal length to start from or, without one, of the picture's diagonal, as the camera takes it.
fn bent(picture: &Picture) -> Result<Bent, PlumbLineError> {
    let size = picture.size_px.map(f64::from);
    let focal_px = picture.photograph.focal.map_or(size[0].hypot(size[1]), |focal| focal.px);
    let lens = |radial| {
        let lines = &picture.photograph.straight;
        lens_from_lines(lines, size.map(|s| 0.5 * s), focal_px, radial, picture.photograph.traced_px)
    };
    let one = lens(Radial::K1)?;
    // A second coefficient that is not known to half of itself says nothing.
    let known = |lens: &PlumbLine| lens.sigmas[1] < 0.5 * lens.lens.k2.abs();
    let two = lens(Radial::K1AndK2).ok().filter(known);
    Ok(Bent { one, two, focal_px })
}
