//! What was traced on the photograph.

use super::OnTable;
use crate::commands::Command;
use crate::light_table::marks::{OnPicture, trace_name};
use crate::slate::{Ask, Seen, command_button, note};
use crate::view::{Selected, ViewState};
use egui::Ui;

/// The list.
pub(super) fn page(ui: &mut Ui, _seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::TraceOutline, asks);
        command_button(ui, Command::TraceSeam, asks);
    });
    for (index, trace) in on.picture.photograph.traces.iter().enumerate() {
        let target = Selected::OnPicture { picture: on.index, what: OnPicture::Trace(index) };
        if ui.selectable_label(view.selected == target, trace_name(trace)).clicked() {
            asks.push(Ask::Select(target));
        }
        note(ui, format!("{} points", trace.points.len()));
    }
}
