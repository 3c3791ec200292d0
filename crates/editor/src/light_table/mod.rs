//! The light table: one photograph as it was taken, large, beside the drawing. Landmarks are picked on it and outlines traced,
//! and the form is drawn over it through its camera.
//!
//! - [`sheet`]: how near it lies; [`marks`]: what was picked on it; [`hands`]: pointing and dragging; [`draw`] and [`show`]:
//!   the drawing; [`picking`]: what clicks make; [`cameras`]: where it was taken from, found beside the window's thread;
//!   [`landmarks`] and [`flat`]: things whose place is known, and what is read without a camera; [`tracing`] and
//!   [`following`]: traces, by hand and drawn to the edge; [`loupe`]: the picture larger where it is picked.

mod bar;
pub(crate) mod cameras;
mod draw;
pub(crate) mod flat;
pub(crate) mod following;
pub(crate) mod hands;
pub(crate) mod landmarks;
mod loupe;
pub(crate) mod marks;
pub(crate) mod overlay;
pub(crate) mod picking;
pub(crate) mod pulling;
pub(crate) mod sheet;
pub(crate) mod show;
pub(crate) mod shows;
pub(crate) mod solving;
pub(crate) mod tracing;

use crate::app::App;
use crate::view::{Selected, Tab, Tool};
use cameras::Cameras;
use marks::OnPicture;
use sheet::Sheet;

/// What lies on the light table, and what is done there.
#[derive(Default)]
pub(crate) struct LightTable {
    /// The picture that lies on it; the table is folded away without one.
    pub(crate) picture: Option<usize>,
    pub(crate) sheet: Sheet,
    /// The drawing is folded away: the picture has all the room.
    pub(crate) alone: bool,
    /// Clicked so far for something that needs several points, px.
    pub(crate) clicked: Vec<[f64; 2]>,
    pub(crate) hands: hands::Hands,
    pub(crate) cameras: Option<Cameras>,
    /// Sections solved from the photographs.
    pub(crate) solving: Option<solving::Solving>,
    pub(crate) tracing: tracing::Tracing,
    pub(crate) landmarks: landmarks::Landmarks,
    pub(crate) flat: flat::Flat,
    /// The builder wants no loupe.
    pub(crate) no_loupe: bool,
    pub(crate) shows: shows::Shows,
    /// The form over the picture.
    pub(crate) overlay: overlay::Overlay,
    /// Where the picture was drawn in the last frame.
    pub(crate) place: Option<egui::Rect>,
}

impl LightTable {
    /// Whether a picture lies on it.
    pub(crate) fn is_open(&self) -> bool {
        self.picture.is_some()
    }
}

/// Lays a picture on the table, or folds the table away.
pub(crate) fn toggle(app: &mut App) {
    if app.table.is_open() {
        fold(app);
        return;
    }
    let pictures = &app.desk.document().pictures;
    let chosen = app.view.selected.picture();
    let with_marks = pictures.iter().position(|p| !p.photograph.landmarks.is_empty());
    match chosen.or(with_marks).or_else(|| (!pictures.is_empty()).then_some(0)) {
        Some(picture) => lay(app, picture),
        None => app.message = Some("There is no picture to lay on the light table. Bring one in first.".into()),
    }
}

/// Lays this picture on the table.
pub(crate) fn lay(app: &mut App, picture: usize) {
    if app.table.picture != Some(picture) {
        app.table.clicked.clear();
        app.table.sheet.fitted = true;
        app.table.place = None;
    }
    app.table.picture = Some(picture);
    if app.view.selected.picture() != Some(picture) {
        app.view.selected = Selected::Picture(picture);
    }
    app.view.tab = Tab::Pictures;
    app.view.fit_wanted = true;
}

/// Folds the table away.
pub(crate) fn fold(app: &mut App) {
    app.table.picture = None;
    app.table.alone = false;
    tracing::put_away(app);
    app.table.clicked.clear();
    if matches!(app.view.tool, Tool::Mark(_)) {
        app.view.tool = Tool::Select;
    }
    app.view.fit_wanted = true;
}

/// Keeps the table to what the document has, and has the camera found.
pub(crate) fn refresh(app: &mut App, ctx: &egui::Context) {
    let document = app.desk.document().clone();
    if app.table.picture.is_some_and(|picture| picture >= document.pictures.len()) {
        fold(app);
    }
    // A picture chosen on the slate comes to lie on the table.
    if let (Some(lies), Some(chosen)) = (app.table.picture, app.view.selected.picture())
        && lies != chosen
        && app.table.hands.is_free()
    {
        lay(app, chosen);
    }
    let cameras = app.table.cameras.get_or_insert_with(|| Cameras::new(ctx));
    cameras.refresh(&app.desk, app.table.picture);
    solving::act::refresh(app, ctx);
    tracing::refresh(app, ctx);
    landmarks::refresh(app);
    flat::refresh(app);
}

/// What is selected once something on a picture is gone.
pub(crate) fn after_removal(app: &App, picture: usize, what: OnPicture) -> Selected {
    let photograph = app.desk.document().pictures.get(picture).map(|p| &p.photograph);
    match photograph.and_then(|photograph| marks::after_removal(photograph, what)) {
        Some(what) => Selected::OnPicture { picture, what },
        None => Selected::Picture(picture),
    }
}

/// Where the seam that is traced next most likely lies: at the control section or station that is selected, else amidships.
pub(crate) fn seam_station(app: &App) -> f64 {
    let form = app.form();
    let section = app.view.selected.section().and_then(|s| form.sections.get(s)).map(|s| s.station);
    let station = match app.view.selected {
        Selected::Station(station) => form.stations.get(station).copied(),
        _ => None,
    };
    let [low, high] = app.scene.extents.x;
    section.or(station).unwrap_or((0.5 * (low + high)).round())
}

/// What is selected on the picture that lies on the table.
pub(crate) fn selected(app: &App) -> Option<OnPicture> {
    match app.view.selected {
        Selected::OnPicture { picture, what } if Some(picture) == app.table.picture => Some(what),
        _ => None,
    }
}
