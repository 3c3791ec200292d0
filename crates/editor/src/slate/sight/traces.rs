//! What was traced on the photograph: the list, the trace that is selected, and the way from a hand-drawn line to an edge.

mod begin;
mod chosen;
mod edge;
mod line;

use super::OnTable;
use crate::commands::Command;
use crate::light_table::marks::{OnPicture, trace_name};
use crate::light_table::picking::Marking;
use crate::light_table::tracing::{self, asks::TraceAsk};
use crate::slate::field::{self, Number};
use crate::slate::{Ask, Seen, command_button, note};
use crate::view::{Selected, Tool, ViewState};
use egui::{Align, Id, Response, Ui};
use project::photograph::Traced;

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::TraceOutline, asks);
        command_button(ui, Command::TraceSeam, asks);
    });
    under_way(ui, seen, view, asks);
    list(ui, view, on, asks);
    if let Selected::OnPicture { picture, what } = view.selected
        && picture == on.index
        && let Some((trace, point)) = tracing::of(what)
        && let Some(there) = on.picture.photograph.traces.get(trace)
    {
        let chosen = chosen::Chosen { on, trace, point, there };
        chosen::part(ui, seen, view, &chosen, asks);
        edge::part(ui, seen, view, &chosen, asks);
        line::part(ui, seen, view, &chosen, asks);
    }
    begin::part(ui, seen, view, asks);
}

/// What is being traced right now.
fn under_way(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let fresh = begins(ui, view.tool);
    let come = |title: &Response| {
        if fresh {
            title.scroll_to_me(Some(Align::TOP));
        }
    };
    match view.tool {
        Tool::Mark(Marking::Trace(Traced::Seam { station })) => {
            come(&ui.label("Tracing a seam"));
            let number = Number {
                label: "Its station",
                name: "Station of the seam that is traced".into(),
                suffix: view.units.sign(),
                decimals: view.units.decimals(),
                speed: 0.2 / view.units.mm(),
                range: [f64::NEG_INFINITY, f64::INFINITY],
            };
            let set = |mm: f64| Ask::Trace(TraceAsk::Tracing(Traced::Seam { station: mm }));
            field::asking(ui, &number, view.units.shown(station), asks, |shown| set(shown * view.units.mm()));
            chosen::stations(ui, seen, view, "Station of the seam that is traced, from the form", station, |mm| {
                asks.push(set(mm));
            });
        }
        Tool::Mark(Marking::Trace(Traced::Outline)) => {
            come(&ui.label("Tracing an outline"));
            note(
                ui,
                "Leave out what stands before the edge, such as an exhaust: end with Enter, and begin another trace behind it.",
            );
        }
        _ => {}
    }
}

/// Whether a trace was begun just now.
fn begins(ui: &Ui, tool: Tool) -> bool {
    let now = matches!(tool, Tool::Mark(Marking::Trace(_)));
    let id = Id::unique("a trace is under way");
    let before = ui.data_mut(|d| {
        let before = d.get_temp::<bool>(id);
        d.insert_temp(id, now);
        before
    });
    now && before != Some(true)
}

fn list(ui: &mut Ui, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let traces = &on.picture.photograph.traces;
    if traces.is_empty() {
        note(
            ui,
            "Trace the form's outline against what is behind it, and seams: panel lines or edges of paint at known stations. \
             Coarse clicks will do; the edge can be followed afterwards.",
        );
    }
    for (index, trace) in traces.iter().enumerate() {
        let what = OnPicture::Trace(index);
        let target = Selected::OnPicture { picture: on.index, what };
        let is_selected = view.selected == target
            || matches!(view.selected, Selected::OnPicture { picture, what: OnPicture::TracePoint { trace, .. } }
                if picture == on.index && trace == index);
        ui.horizontal(|ui| {
            let name = format!("{} {}", index + 1, trace_name(trace));
            if ui.selectable_label(is_selected, name).clicked() {
                asks.push(Ask::Select(target));
            }
            let count = trace.points.len();
            note(ui, if count == 1 { "1 point".to_owned() } else { format!("{count} points") });
        });
    }
    let outlines = traces.iter().filter(|t| t.of == Traced::Outline).count();
    if outlines > 1 {
        note(ui, "Several traces of one outline are fine: what lies between them is not used.");
    }
}
