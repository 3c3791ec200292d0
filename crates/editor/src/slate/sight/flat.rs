//! What a photograph says without a camera: scale from several distances, its lens from straight lines, the plane of a flat
//! figure.

use super::OnTable;
use crate::commands::Command;
use crate::slate::{Ask, Seen, command_button};
use crate::view::ViewState;
use egui::Ui;

/// Distances, straight lines, the figure.
pub(super) fn page(ui: &mut Ui, _seen: &Seen<'_>, _view: &ViewState, _on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::MarkDistance, asks);
        command_button(ui, Command::MarkStraight, asks);
        command_button(ui, Command::MarkFigure, asks);
    });
}
