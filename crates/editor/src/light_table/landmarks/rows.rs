//! How well each landmark of a picture fits.

use super::things::is_open;
use desk::photographs::FoundCamera;
use form::landmark_place;
use project::document::Document;

/// A landmark in the list.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Its index in the picture's list.
    pub(crate) index: usize,
    pub(crate) state: State,
    /// How far it was picked from where the camera shows it; `None` without a camera or a place before it.
    pub(crate) off: Option<Off>,
}

/// Picked less shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Off {
    /// Right and down, px.
    pub(crate) by: [f64; 2],
    /// Its length, px.
    pub(crate) px: f64,
    /// The same at its depth, mm at the model.
    pub(crate) mm: f64,
}

/// How it stands to the camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum State {
    /// The camera was solved from it.
    Counts,
    /// It contradicts the others; a certain one was left out of the camera.
    Suspect { certain: bool },
    /// The builder leaves it out.
    LeftOut,
    /// What it is has still to be told.
    Open,
    /// There is no camera to hold it against.
    NoCamera,
}

/// One for each landmark of a picture, in the document's order.
pub(crate) fn rows(document: &Document, picture: usize, found: Option<&FoundCamera>) -> Vec<Row> {
    let Some(p) = document.pictures.get(picture) else { return Vec::new() };
    let row = |(index, landmark): (usize, &project::photograph::Landmark)| {
        let solved = found.and_then(|found| found.landmarks.iter().position(|l| *l == index).map(|at| (found, at)));
        let suspect = solved.and_then(|(found, at)| found.resection.suspects.iter().find(|s| s.index == at));
        let state = match (solved, suspect) {
            _ if is_open(landmark) => State::Open,
            _ if !landmark.used => State::LeftOut,
            (_, Some(suspect)) => State::Suspect { certain: suspect.certain },
            (Some(_), None) => State::Counts,
            (None, None) => State::NoCamera,
        };
        let off = match solved {
            Some((found, at)) => {
                found.resection.landmarks.get(at).map(|fit| Off { by: fit.off_px, px: fit.px, mm: fit.mm })
            }
            None if state == State::LeftOut => found.and_then(|found| shown(document, found, landmark)),
            None => None,
        };
        Row { index, state, off: off.filter(|off| off.px.is_finite()) }
    };
    p.photograph.landmarks.iter().enumerate().map(row).collect()
}

/// How far one that does not count lies from where the camera would show it.
fn shown(document: &Document, found: &FoundCamera, landmark: &project::photograph::Landmark) -> Option<Off> {
    let at = landmark_place(document, landmark.place).ok()?;
    let camera = &found.resection.camera;
    let pixel = camera.project(at)?;
    let by = [landmark.pixel[0] - pixel[0], landmark.pixel[1] - pixel[1]];
    let px = by[0].hypot(by[1]);
    Some(Off { by, px, mm: px * camera.camera.depth(at) / camera.camera.focal_px })
}

/// The worst first; those that count before those that do not.
pub(crate) fn worst_first(rows: &mut [Row]) {
    let rank = |row: &Row| match row.state {
        State::Suspect { .. } => 0,
        State::Open => 1,
        State::Counts | State::NoCamera => 2,
        State::LeftOut => 3,
    };
    let px = |row: &Row| row.off.map_or(0.0, |off| off.px);
    rows.sort_by(|a, b| rank(a).cmp(&rank(b)).then(px(b).total_cmp(&px(a))));
}
