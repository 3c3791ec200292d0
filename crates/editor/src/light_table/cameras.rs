//! Where the photographs were taken from: found beside the window's thread, and remembered by what it is found from.

use desk::photographs::{CameraFailure, FoundCamera, camera};
use desk::{Desk, Outcome, Work};
use project::airframe::Airframe;
use project::document::{Form, Picture};
use project::photograph::LandmarkPlace;
use std::sync::Arc;

/// A camera, or why there is none.
pub(crate) type Camera = Result<Arc<FoundCamera>, CameraFailure>;

/// The cameras of all pictures.
pub(crate) struct Cameras {
    work: Work<Source, Vec<Camera>>,
    last: Option<(Source, Vec<Camera>)>,
    revision: u64,
}

/// What the cameras are found from.
#[derive(Clone)]
struct Source {
    pictures: Vec<Arc<Picture>>,
    airframe: Arc<Airframe>,
    model_scale: f64,
    /// Only where a landmark is tied to the form.
    form: Option<Arc<Form>>,
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        // Moving a picture under the drawing, or naming it, changes nothing of how it was taken.
        let alike = |a: &Arc<Picture>, b: &Arc<Picture>| {
            a.photograph == b.photograph && a.size_px == b.size_px && Arc::ptr_eq(&a.bytes, &b.bytes)
        };
        let same = |a: &[Arc<Picture>], b: &[Arc<Picture>]| {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| Arc::ptr_eq(a, b) || alike(a, b))
        };
        let same_form = match (&self.form, &other.form) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        };
        let same_airframe = Arc::ptr_eq(&self.airframe, &other.airframe) || self.airframe == other.airframe;
        same_form && same_airframe && self.model_scale == other.model_scale && same(&self.pictures, &other.pictures)
    }
}

impl Source {
    fn of(desk: &Desk) -> Self {
        let document = desk.document();
        let landmarks = document.pictures.iter().flat_map(|p| &p.photograph.landmarks);
        let tied = landmarks.into_iter().any(|l| is_tied(l.place));
        Self {
            pictures: document.pictures.clone(),
            airframe: document.airframe.clone(),
            model_scale: document.model_scale,
            form: document.forms.first().filter(|_| tied).cloned(),
        }
    }
}

/// Whether a place moves with the form.
pub(crate) fn is_tied(place: LandmarkPlace) -> bool {
    matches!(place, LandmarkPlace::Crown { .. } | LandmarkPlace::Keel { .. } | LandmarkPlace::Breadth { .. })
}

impl Cameras {
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), last: None, revision: 0 }
    }

    /// Has the cameras found while the table is used. While the form is dragged they stay, or the picture would seem to move
    /// under it; a landmark that is dragged shows at once what it does.
    pub(crate) fn refresh(&mut self, desk: &Desk, on_table: Option<usize>) {
        if let Some((of, Outcome::Done(found))) = self.work.poll() {
            self.last = Some((of, found));
            self.revision += 1;
        }
        if on_table.is_none() {
            return;
        }
        let source = Source::of(desk);
        let only_form = |last: &Source| Source { form: last.form.clone(), ..source.clone() } == *last;
        let held = desk.is_previewing() && self.last.as_ref().is_some_and(|(last, _)| only_form(last));
        if held || self.last.as_ref().is_some_and(|(last, _)| *last == source) {
            return;
        }
        let document = desk.document().clone();
        self.work.want(source, move |_| {
            document.pictures.iter().map(|picture| camera(&document, picture).map(Arc::new)).collect()
        });
    }

    /// The camera of a picture as it was found last; `None` before the first was sought.
    pub(crate) fn of(&self, picture: usize) -> Option<&Camera> {
        self.last.as_ref().and_then(|(_, found)| found.get(picture))
    }

    /// The camera, where there is one.
    pub(crate) fn found(&self, picture: usize) -> Option<&Arc<FoundCamera>> {
        self.of(picture).and_then(|camera| camera.as_ref().ok())
    }

    /// Another whenever other cameras were found.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether some are being sought.
    pub(crate) fn is_seeking(&self) -> bool {
        self.work.progress().is_some()
    }
}
