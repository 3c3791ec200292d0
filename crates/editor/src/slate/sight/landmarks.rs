//! Landmarks: things whose place on the machine is known.

use super::OnTable;
use crate::commands::Command;
use crate::light_table::marks::OnPicture;
use crate::slate::{Ask, Seen, command_button, note};
use crate::view::{Selected, ViewState};
use egui::Ui;

/// The list.
pub(super) fn page(ui: &mut Ui, _seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    command_button(ui, Command::PickLandmarks, asks);
    let landmarks = &on.picture.photograph.landmarks;
    if landmarks.is_empty() {
        note(ui, "Pick at least six things whose place on the machine you know, or four and give the focal length.");
    }
    for (index, landmark) in landmarks.iter().enumerate() {
        let target = Selected::OnPicture { picture: on.index, what: OnPicture::Landmark(index) };
        if ui.selectable_label(view.selected == target, &landmark.name).clicked() {
            asks.push(Ask::Select(target));
        }
    }
}
