//! Traces as a builder draws them: clicked along, gone on with, corrected point by point, drawn to the edge on request, and
//! made lines of the form.
//!
//! - [`curve`]: the smooth line that is seen; [`edits`]: what changes a trace; [`asks`]: what the slate asks for;
//!   [`fairing`]: a line of the form from a trace; [`beginning`]: an empty form from all of them; [`preview`]: how both show.

pub(crate) mod asks;
pub(crate) mod beginning;
pub(crate) mod curve;
pub(crate) mod edits;
pub(crate) mod fairing;
pub(crate) mod preview;

use super::following::{self, Following};
use super::marks::OnPicture;
use super::picking::Marking;
use crate::act;
use crate::app::App;
use crate::gesture::select;
use crate::view::{Selected, Tool};
use beginning::Beginning;
use fairing::Fairing;
use project::edit::Edit;
use project::photograph::Trace;

/// A click this near to a trace is meant for it, points of the screen.
const REACH: f64 = 7.0;

/// What the table knows of tracing beside the document.
#[derive(Default)]
pub(crate) struct Tracing {
    /// The edge being followed, and what was found.
    pub(crate) following: Option<Following>,
    /// A line of the form that is being made of a trace.
    pub(crate) fairing: Option<Fairing>,
    /// The form that would be begun.
    pub(crate) beginning: Option<Beginning>,
    /// How far traced points may lie from a line of the form, mm; `None` until the builder says.
    tolerance: Option<f64>,
}

/// What a hand sands to anyway, mm (common practice, no source).
const USUAL_TOLERANCE: f64 = 0.3;

impl Tracing {
    /// How far traced points may lie from a line of the form, mm.
    pub(crate) fn tolerance(&self) -> f64 {
        self.tolerance.unwrap_or(USUAL_TOLERANCE)
    }
}

/// The distance between two pixels.
pub(crate) fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// The trace that is selected, or has a point selected.
pub(crate) fn selected(app: &App) -> Option<(usize, usize)> {
    let picture = app.table.picture?;
    super::selected(app).and_then(of).map(|(trace, _)| (picture, trace))
}

/// The trace that something on a picture belongs to, and its point.
pub(crate) fn of(what: OnPicture) -> Option<(usize, Option<usize>)> {
    match what {
        OnPicture::Trace(trace) => Some((trace, None)),
        OnPicture::TracePoint { trace, point } => Some((trace, Some(point))),
        _ => None,
    }
}

/// A trace of the document.
pub(crate) fn trace(app: &App, picture: usize, trace: usize) -> Option<&Trace> {
    app.desk.document().pictures.get(picture)?.photograph.traces.get(trace)
}

/// Takes a click beside all handles: on the line of a trace it selects it, with the command key or a second click it adds a
/// point there. False if no trace is meant.
pub(super) fn clicked(app: &mut App, picture: usize, px: [f64; 2], adds: bool) -> bool {
    let Some(photograph) = app.desk.document().pictures.get(picture).map(|p| p.photograph.clone()) else {
        return false;
    };
    let reach = REACH / app.table.sheet.scale;
    let near = |(index, trace): (usize, &Trace)| {
        let place = curve::nearest(&trace.points, px)?;
        (place.distance <= reach).then_some((index, place.distance))
    };
    let found = photograph.traces.iter().enumerate().filter_map(near).min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((trace, _)) = found else { return false };
    match adds {
        true => {
            if let Some(made) = edits::inserted(&photograph, picture, trace, px) {
                made_on(app, picture, made);
            }
        }
        false => select(&mut app.view, Selected::OnPicture { picture, what: OnPicture::Trace(trace) }),
    }
    true
}

/// Does an edit of a trace as one step, and selects what came of it.
pub(super) fn made_on(app: &mut App, picture: usize, (edit, what): (Edit, OnPicture)) {
    act::edit_once(app, &edit);
    if app.message.is_none() {
        select(&mut app.view, Selected::OnPicture { picture, what });
    }
}

/// Goes on with a trace: its nearer end is known once the first point is clicked.
pub(super) fn go_on(app: &mut App, trace: usize) {
    super::picking::begin(app, Marking::GoOn { trace });
}

/// What to do next while a trace is gone on with.
pub(super) fn going_on(clicked: usize) -> String {
    match clicked {
        0 => "Click on from either end of the trace; the nearer one is meant.".into(),
        1 => "1 point more. Go on, or end with Enter; Backspace takes it back.".into(),
        n => format!("{n} points more. Go on, or end with Enter; Backspace takes one back."),
    }
}

/// Where the line to the pointer begins while a trace is gone on with.
pub(super) fn begins_at(app: &App, px: [f64; 2]) -> Option<[f64; 2]> {
    let (Tool::Mark(Marking::GoOn { trace: index }), Some(picture)) = (app.view.tool, app.table.picture) else {
        return None;
    };
    let first = app.table.clicked.first().copied().unwrap_or(px);
    edits::nearer_end(trace(app, picture, index)?, first).map(|(_, at)| at)
}

/// Ends going on with a trace that is gone, and takes what was found on the way.
pub(super) fn refresh(app: &mut App, ctx: &egui::Context) {
    if let Tool::Mark(Marking::GoOn { trace: index }) = app.view.tool
        && app.table.picture.is_none_or(|picture| trace(app, picture, index).is_none())
    {
        app.table.clicked.clear();
        app.view.tool = Tool::Select;
    }
    following::refresh(app, ctx);
    let tolerance = app.table.tracing.tolerance();
    fairing::refresh(app, tolerance);
    beginning::refresh(app, ctx, tolerance);
}

/// Forgets what was found on the picture that lay on the table, and the picture itself.
pub(super) fn put_away(app: &mut App) {
    let tracing = &mut app.table.tracing;
    if let Some(following) = &mut tracing.following {
        following.put_away();
    }
    if let Some(fairing) = &mut tracing.fairing {
        fairing.put_away();
    }
    if let Some(beginning) = &mut tracing.beginning {
        beginning.put_away();
    }
}
