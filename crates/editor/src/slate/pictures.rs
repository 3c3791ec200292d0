//! Pictures under the drawing.

use super::{Ask, Seen, command_button, note};
use crate::commands::Command;
use crate::view::{Selected, ViewState};
use egui::Ui;

/// The page with all pictures.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    command_button(ui, Command::BringPicture, asks);
    if seen.document.pictures.is_empty() {
        note(
            ui,
            "Bring in a side picture first, then a face picture. You can also drop a file on the window, or paste one.",
        );
    }
    for (picture, p) in seen.document.pictures.iter().enumerate() {
        if ui.selectable_label(view.selected == Selected::Picture(picture), &p.name).clicked() {
            asks.push(Ask::Select(Selected::Picture(picture)));
        }
    }
}
