//! An edge followed on request: the whole picture is read beside the window's thread, the trace is drawn to the strongest edge
//! near it, and what was found is shown over the old line until the builder takes it up or drops it.
//!
//! - [`found`]: from trace and picture to a proposal; [`kept`]: the one picture that is kept unpacked; [`draw`]: how it shows.

pub(super) mod draw;
pub(crate) mod found;
mod kept;

use super::marks::OnPicture;
use super::tracing::{self, asks::TraceAsk};
use crate::act;
use crate::app::App;
use crate::gesture::select;
use crate::view::{Selected, Tool};
use desk::{Outcome, Work};
use egui::{Key, Modifiers};
use found::{Found, How, Wanted};
use kept::Kept;
use project::edit::Edit;
use project::photograph::Trace;
use std::sync::Arc;

/// How much of a trace is drawn to the edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Scope {
    /// All of it.
    #[default]
    Whole,
    /// From the point before the selected one to the one after it.
    Stretch,
    /// The selected point alone.
    Point,
}

/// The edge as it is sought, and what was found last.
pub(crate) struct Following {
    work: Work<Wanted, Result<Found, String>>,
    kept: Kept,
    /// How much of the trace, while a point is selected.
    pub(crate) scope: Scope,
    /// How far from the trace, px; `None` as the picture's size suggests.
    half_width: Option<f64>,
    /// How far apart the points are, px; `None` as the picture's size suggests.
    spacing: Option<f64>,
    pub(crate) proposal: Option<Proposal>,
    /// Why nothing was found, until something else is selected or tried.
    failure: Option<(Selected, String)>,
}

/// What was found, to be taken up or dropped.
pub(crate) struct Proposal {
    wanted: Wanted,
    pub(crate) found: Found,
    /// How closely traces follow what is seen shall be set too.
    pub(crate) trust_too: bool,
}

impl Proposal {
    /// Whether it is of this trace as it is.
    pub(crate) fn is_of(&self, picture: usize, trace: usize) -> bool {
        (self.wanted.picture, self.wanted.trace) == (picture, trace)
    }

    /// The trace it was made from.
    fn before(&self) -> &Trace {
        &self.wanted.before
    }
}

/// How a picture of that size is searched unless the builder says otherwise: hand-picked points lie a few points of the screen
/// off, which are more pixels in a larger picture.
fn usual(size_px: [u32; 2]) -> How {
    let longer = f64::from(size_px[0].max(size_px[1]));
    How { half_width: (longer / 300.0).round().clamp(8.0, 60.0), spacing: (longer / 150.0).round().clamp(4.0, 1000.0) }
}

impl Following {
    fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self {
            work: Work::new(Arc::new(move || ctx.request_repaint())),
            kept: Kept::default(),
            scope: Scope::default(),
            half_width: None,
            spacing: None,
            proposal: None,
            failure: None,
        }
    }

    /// How a picture of that size is searched.
    pub(crate) fn how(&self, size_px: [u32; 2]) -> How {
        let usual = usual(size_px);
        How { half_width: self.half_width.unwrap_or(usual.half_width), spacing: self.spacing.unwrap_or(usual.spacing) }
    }

    /// How far the work is, from 0 to 1.
    pub(crate) fn progress(&self) -> Option<f32> {
        self.work.progress()
    }

    /// Why nothing was found for what is selected.
    pub(crate) fn failure(&self, selected: Selected) -> Option<&str> {
        self.failure.as_ref().filter(|(of, _)| *of == selected).map(|(_, why)| why.as_str())
    }

    /// Gives up all that is under way, and the picture.
    pub(crate) fn put_away(&mut self) {
        self.work.cancel();
        // What still unpacks holds the old one, and drops it when it ends.
        self.kept = Kept::default();
        (self.proposal, self.failure) = (None, None);
    }
}

/// How a picture of that size is searched, also before anything was.
pub(crate) fn how(following: Option<&Following>, size_px: [u32; 2]) -> How {
    following.map_or_else(|| usual(size_px), |following| following.how(size_px))
}

fn of<'a>(app: &'a mut App, ctx: &egui::Context) -> &'a mut Following {
    app.table.tracing.following.get_or_insert_with(|| Following::new(ctx))
}

/// Changes how the edge is sought; a proposal that was found otherwise is sought again.
pub(super) fn set(app: &mut App, ctx: &egui::Context, ask: TraceAsk) {
    let following = of(app, ctx);
    match ask {
        TraceAsk::Scope(scope) => following.scope = scope,
        TraceAsk::HalfWidth(px) => following.half_width = Some(px.clamp(2.0, 60.0)),
        TraceAsk::Spacing(px) => following.spacing = Some(px.clamp(1.0, 1000.0)),
        TraceAsk::TrustToo(too) => {
            if let Some(proposal) = &mut following.proposal {
                proposal.trust_too = too;
            }
            return;
        }
        _ => return,
    }
    if following.proposal.is_some() {
        begin(app, ctx);
    }
}

/// Has the edge followed along the selected trace.
pub(super) fn begin(app: &mut App, ctx: &egui::Context) {
    let Some((picture, trace)) = tracing::selected(app) else {
        app.message = Some("Select a trace first, or one of its points: click on its line.".into());
        return;
    };
    let Some(p) = app.desk.document().pictures.get(picture).cloned() else { return };
    let Some(before) = p.photograph.traces.get(trace).cloned() else { return };
    let point = super::selected(app).and_then(tracing::of).and_then(|(_, point)| point);
    let following = of(app, ctx);
    let scope = if point.is_some() { following.scope } else { Scope::Whole };
    let how = following.how(p.size_px);
    let wanted = Wanted { picture, trace, before, bytes: p.bytes.clone(), part: found::part(scope, point), how };
    (following.proposal, following.failure) = (None, None);
    // The same once more is sought anew: the builder asked for it.
    following.work.cancel();
    let kept = following.kept.clone();
    following.work.want(wanted.clone(), move |progress| found::seek(&wanted, &kept, progress));
    app.view.tool = Tool::Select;
    app.note = Some("Following the edge…".into());
}

/// Takes what was found, and drops what is of another trace than there is now.
pub(super) fn refresh(app: &mut App, _ctx: &egui::Context) {
    let shown = tracing::selected(app);
    let is_shown = |wanted: &Wanted| {
        let now = tracing::trace(app, wanted.picture, wanted.trace);
        shown == Some((wanted.picture, wanted.trace)) && now == Some(&wanted.before)
    };
    let Some(following) = &app.table.tracing.following else { return };
    let old = following.proposal.as_ref().is_some_and(|proposal| !is_shown(&proposal.wanted));
    let selected = app.view.selected;
    let Some(following) = &mut app.table.tracing.following else { return };
    if old {
        following.proposal = None;
    }
    let Some((wanted, outcome)) = following.work.poll() else { return };
    let found = match outcome {
        Outcome::Done(found) => found,
        Outcome::Broke(why) => Err(why),
    };
    match found {
        Ok(found) => {
            app.note = Some(found.summary());
            following.proposal = Some(Proposal { wanted, found, trust_too: false });
        }
        Err(why) => {
            app.note = None;
            app.message = Some(why.clone());
            following.failure = Some((selected, why));
        }
    }
}

/// Enter takes a proposal up, Escape drops it or gives the search up. True if a key was taken.
pub(super) fn keys(app: &mut App, ctx: &egui::Context) -> bool {
    let Some(following) = &app.table.tracing.following else { return false };
    let (proposed, seeking) = (following.proposal.is_some(), following.progress().is_some());
    if !(proposed || seeking) || matches!(app.view.tool, Tool::Mark(_)) || ctx.text_edit_focused() {
        return false;
    }
    let pressed = |key| ctx.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    // On a button the key presses that button.
    let on_button = ctx.memory(|m| m.focused()).is_some_and(|id| !super::show::holds_focus(app, id));
    if proposed && !on_button && pressed(Key::Enter) {
        accept(app);
    } else if pressed(Key::Escape) {
        if proposed { drop_it(app) } else { stop(app) }
    } else {
        return false;
    }
    true
}

/// Gives the search up.
pub(super) fn stop(app: &mut App) {
    if let Some(following) = &mut app.table.tracing.following {
        following.work.cancel();
        app.note = Some("Given up; nothing was changed.".into());
    }
}

/// Drops the proposal.
pub(super) fn drop_it(app: &mut App) {
    if let Some(following) = &mut app.table.tracing.following
        && following.proposal.take().is_some()
    {
        app.note = Some("Dropped; the trace is as it was.".into());
    }
}

/// Takes the proposal up, as one step.
pub(super) fn accept(app: &mut App) {
    let taken = app.table.tracing.following.as_mut().and_then(|following| following.proposal.take());
    let Some(proposal) = taken else { return };
    let (picture, trace) = (proposal.wanted.picture, proposal.wanted.trace);
    let Some(p) = app.desk.document().pictures.get(picture).cloned() else { return };
    let of = proposal.before().of;
    let mut pieces = proposal.found.pieces.iter().map(|points| Trace { of, points: points.clone() });
    let Some(first) = pieces.next() else { return };
    let mut edits = vec![Edit::ReplaceTrace { picture, index: trace, with: first }];
    edits.extend(pieces.map(|trace| Edit::AddTrace { picture, trace }));
    if proposal.trust_too {
        let picked_px = p.photograph.picked_px;
        edits.push(Edit::SetCloseness { picture, picked_px, traced_px: proposal.found.closeness() });
    }
    act::edit_once(app, &Edit::Together { label: "Follow the edge".into(), edits });
    if app.message.is_none() {
        let what = match super::selected(app) {
            Some(what) if super::marks::exists(&photograph(app, picture), what) => what,
            _ => OnPicture::Trace(trace),
        };
        select(&mut app.view, Selected::OnPicture { picture, what });
        app.note = Some("The trace lies on the edge now. Undo takes it back in one step.".into());
    }
}

fn photograph(app: &App, picture: usize) -> project::photograph::Photograph {
    app.desk.document().pictures.get(picture).map(|p| p.photograph.clone()).unwrap_or_default()
}
