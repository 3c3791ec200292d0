//! Landmarks on the light table: which thing the next click picks, what the camera offers near a click, how well each one
//! fits, and what the slate asks for.
//!
//! - [`things`]: what can be picked, in words; [`rows`]: how well each one fits; [`fits`]: what would put a wrong one right;
//!   [`draw`]: residuals, candidates and offers on the picture.

pub(super) mod draw;
pub(crate) mod fits;
pub(crate) mod rows;
pub(crate) mod things;

use super::marks::OnPicture;
use crate::app::App;
use crate::view::{Selected, Tool};
use desk::snapped::{Candidate, landmark_candidates, landmarks_near};
use project::document::Document;
use project::edit::Edit;
use project::photograph::{Landmark, LandmarkPlace, Photograph};
use std::sync::Arc;
use things::Thing;

/// Offers lie within this many points of the screen.
const REACH: f64 = 26.0;
/// As many are offered.
const OFFERS: usize = 3;

/// What is known while landmarks are picked.
#[derive(Default)]
pub(crate) struct Landmarks {
    /// What the next click picks. Without it the builder says after the click what it was.
    pub(crate) next: Option<Thing>,
    /// The list begins with the one that fits worst.
    pub(crate) worst_first: bool,
    candidates: Option<(Source, Vec<Candidate>)>,
    offers: Option<(Source, usize, Vec<Candidate>)>,
    /// What was brought into sight last.
    revealed: Option<OnPicture>,
}

/// What candidates are found from.
#[derive(Clone)]
struct Source {
    document: Arc<Document>,
    picture: usize,
    cameras: u64,
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.document, &other.document) && self.picture == other.picture && self.cameras == other.cameras
    }
}

/// What the slate asks for that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum LandmarkAsk {
    /// The thing to be picked next.
    Next(Option<Thing>),
    /// The worst one at the head of the list.
    WorstFirst(bool),
}

impl Landmarks {
    /// Things that the camera shows in this picture, to be crossed faintly while landmarks are picked.
    pub(crate) fn candidates(&self) -> &[Candidate] {
        self.candidates.as_ref().map_or(&[], |(_, all)| all)
    }

    /// What a fresh landmark may be, by where it was picked.
    pub(crate) fn offers(&self, landmark: usize) -> &[Candidate] {
        self.offers.as_ref().filter(|(_, of, _)| *of == landmark).map_or(&[], |(.., offers)| offers)
    }

    /// The landmark that a click makes.
    pub(super) fn picked(&self, photograph: &Photograph, pixel: [f64; 2]) -> Landmark {
        match self.next.clone() {
            Some(Thing { name, place, trust_mm }) => Landmark { name, place, trust_mm, pixel, used: true },
            None => {
                let name = things::fresh_name(photograph);
                Landmark { name, place: LandmarkPlace::At([0.0; 3]), trust_mm: 1.0, pixel, used: false }
            }
        }
    }
}

/// Does what the slate asks for.
pub(crate) fn act(app: &mut App, ask: LandmarkAsk) {
    match ask {
        LandmarkAsk::Next(next) => {
            app.table.landmarks.next = next;
            app.note = Some(to_do(app));
        }
        LandmarkAsk::WorstFirst(first) => app.table.landmarks.worst_first = first,
    }
}

/// What to do next while landmarks are picked.
pub(crate) fn to_do(app: &App) -> String {
    match &app.table.landmarks.next {
        Some(thing) => format!("Click {} in the picture. Escape ends picking.", thing.name),
        None => "Click a landmark in the picture, then say on the slate what it is. Escape ends picking.".into(),
    }
}

/// A landmark was picked: the next thing known from the other pictures comes up by itself, in the order in which they are
/// there.
pub(super) fn after_pick(app: &mut App, picture: usize) {
    let Some(done) = app.table.landmarks.next.take() else {
        app.note = Some("Say on the slate what it is: until then it does not count.".into());
        return;
    };
    let document = app.desk.document().clone();
    if things::is_elsewhere(&document, picture, &done.name) {
        app.table.landmarks.next = things::elsewhere(&document, picture).into_iter().next();
    }
    app.note = Some(to_do(app));
}

/// Keeps candidates and offers to what is picked, and brings what was selected elsewhere into sight.
pub(super) fn refresh(app: &mut App) {
    reveal(app);
    let Some(picture) = app.table.picture else { return };
    let Some(cameras) = &app.table.cameras else { return };
    let document = app.desk.document().clone();
    let source = Source { document: document.clone(), picture, cameras: cameras.revision() };
    let Some(camera) = cameras.found(picture).map(|found| found.resection.camera) else {
        (app.table.landmarks.candidates, app.table.landmarks.offers) = (None, None);
        return;
    };
    let is_picking = matches!(app.view.tool, Tool::Mark(super::picking::Marking::Landmark));
    if !is_picking {
        app.table.landmarks.candidates = None;
    } else if app.table.landmarks.candidates.as_ref().is_none_or(|(of, _)| *of != source) {
        let mut all = landmark_candidates(&document, &camera);
        things::clear(&document, picture, &mut all);
        app.table.landmarks.candidates = Some((source.clone(), all));
    }
    let fresh = match super::selected(app) {
        Some(OnPicture::Landmark(landmark)) => Some(landmark),
        _ => None,
    };
    let photograph = document.pictures.get(picture).map(|p| &p.photograph);
    let fresh = fresh.zip(photograph).and_then(|(index, p)| Some((index, p.landmarks.get(index)?)));
    let Some((index, landmark)) = fresh.filter(|(_, landmark)| things::is_open(landmark)) else {
        app.table.landmarks.offers = None;
        return;
    };
    if app.table.landmarks.offers.as_ref().is_none_or(|(of, which, _)| *of != source || *which != index) {
        let reach = REACH / app.table.sheet.scale;
        let mut near = match app.desk.skin(0) {
            Some(lofted) => landmarks_near(&document, &lofted, &camera, landmark.pixel, reach),
            None => Vec::new(),
        };
        things::clear(&document, picture, &mut near);
        near.truncate(OFFERS);
        app.table.landmarks.offers = Some((source, index, near));
    }
}

/// What is selected in a list comes into sight on the picture.
fn reveal(app: &mut App) {
    let selected = super::selected(app);
    if app.table.landmarks.revealed == selected || !app.table.hands.is_free() {
        return;
    }
    app.table.landmarks.revealed = selected;
    let (Some(what), Some(rect), Some(picture)) = (selected, app.table.place, app.table.picture) else { return };
    let Some(p) = app.desk.document().pictures.get(picture) else { return };
    let mark = super::marks::of(&p.photograph).into_iter().find(|mark| mark.what == what);
    if let Some(mark) = mark {
        app.table.sheet.reveal(rect, mark.at);
    }
}

/// The edit that tells what a landmark is.
pub(crate) fn told(picture: usize, index: usize, landmark: &Landmark, thing: &Thing) -> Edit {
    let with = Landmark {
        name: thing.name.clone(),
        place: thing.place,
        trust_mm: thing.trust_mm,
        used: true,
        pixel: landmark.pixel,
    };
    Edit::ReplaceLandmark { picture, index, with }
}

/// A landmark on the picture that lies on the table.
pub(crate) fn target(picture: usize, index: usize) -> Selected {
    Selected::OnPicture { picture, what: OnPicture::Landmark(index) }
}
