//! What the slate asks for on traces that is no edit.

use super::edits::Cut;
use super::fairing::Fairing;
use super::{beginning, edits, fairing, made_on, selected};
use crate::app::App;
use crate::light_table::following::{self, Scope};
use crate::light_table::picking::Marking;
use crate::view::Tool;
use project::document::LineName;
use project::photograph::Traced;

/// What is asked for on traces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum TraceAsk {
    /// What is being traced is something else.
    Tracing(Traced),
    /// To go on with the selected trace.
    GoOn,
    /// To take the selected trace apart at a point.
    Split { point: usize, cut: Cut },
    /// How much of the trace is drawn to the edge.
    Scope(Scope),
    /// How far from the trace the edge is sought, px.
    HalfWidth(f64),
    /// How far apart the points are that are found, px.
    Spacing(f64),
    /// To follow the edge.
    Follow,
    /// To give that up.
    Stop,
    /// Whether how closely traces follow what is seen shall be set with the proposal.
    TrustToo(bool),
    /// To take the proposal up.
    Accept,
    /// To drop it.
    Drop,
    /// To make the selected trace a line of the form, or no line after all.
    Line(Option<LineName>),
    /// Whether a further trace belongs to that line.
    With { trace: usize, taken: bool },
    /// How far traced points may lie from a line of the form, mm.
    Tolerance(f64),
    /// To put the line into the form.
    AcceptLine,
    /// To begin the form.
    Begin,
}

/// Does it.
pub(crate) fn act(app: &mut App, ctx: &egui::Context, ask: TraceAsk) {
    match ask {
        TraceAsk::Tracing(of) => {
            if let Tool::Mark(Marking::Trace(_)) = app.view.tool {
                app.view.tool = Tool::Mark(Marking::Trace(of));
            }
        }
        TraceAsk::GoOn => {
            if let Some((_, trace)) = selected(app) {
                super::go_on(app, trace);
            }
        }
        TraceAsk::Split { point, cut } => split(app, point, cut),
        TraceAsk::Follow => following::begin(app, ctx),
        TraceAsk::Stop => following::stop(app),
        TraceAsk::Accept => following::accept(app),
        TraceAsk::Drop => following::drop_it(app),
        TraceAsk::Scope(_) | TraceAsk::HalfWidth(_) | TraceAsk::Spacing(_) | TraceAsk::TrustToo(_) => {
            following::set(app, ctx, ask);
        }
        TraceAsk::Line(line) => {
            if let Some(selected) = selected(app) {
                let fairing = &mut app.table.tracing.fairing;
                fairing.get_or_insert_with(|| Fairing::new(ctx)).ask(selected, line);
            }
        }
        TraceAsk::With { trace, taken } => {
            if let Some(fairing) = &mut app.table.tracing.fairing {
                fairing.with(trace, taken);
            }
        }
        TraceAsk::Tolerance(mm) => app.table.tracing.tolerance = Some(mm.clamp(0.01, 20.0)),
        TraceAsk::AcceptLine => fairing::accept(app),
        TraceAsk::Begin => beginning::accept(app),
    }
}

fn split(app: &mut App, point: usize, cut: Cut) {
    let Some((picture, trace)) = selected(app) else { return };
    let Some(p) = app.desk.document().pictures.get(picture).cloned() else { return };
    if let Some(made) = edits::split(&p.photograph, picture, trace, point, cut) {
        made_on(app, picture, made);
        app.note = Some("Two traces now. Several of one outline are fine: what lies between is not used.".into());
    }
}
