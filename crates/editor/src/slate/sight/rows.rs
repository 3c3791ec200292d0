//! Rows of the narrow slate beside a photograph: a short label, and what belongs to it.

use crate::slate::note;
use egui::{Align, Label, Layout, Response, RichText, TextEdit, Ui, vec2};

/// Width of the label before a fact.
const FACT: f32 = 84.0;
/// Width of the label before a field.
const FIELD: f32 = 92.0;

/// A label and what is found, over as many lines as it takes.
pub(super) fn fact(ui: &mut Ui, label: &str, text: impl Into<String>) -> Response {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.allocate_ui_with_layout(vec2(FACT, 16.0), Layout::left_to_right(Align::Min), |ui| {
            ui.set_min_width(FACT);
            note(ui, label);
        });
        let room = ui.available_width();
        let beside = ui.vertical(|ui| {
            ui.set_width(room);
            ui.label(RichText::new(text.into()).small())
        });
        beside.inner
    })
    .inner
}

/// A label and a field that takes no more than the room that is left.
pub(super) fn short<R>(ui: &mut Ui, label: &str, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        ui.allocate_ui_with_layout(vec2(FIELD, 22.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(FIELD);
            ui.add(Label::new(label).truncate());
        });
        contents(ui)
    })
    .inner
}

/// A name in the room that is left; told once it is typed.
pub(super) fn name_field(ui: &mut Ui, called: &str, now: &str) -> Option<String> {
    let id = ui.make_persistent_id((called, now));
    let mut text = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(|| now.to_owned());
    let width = ui.available_width() - 12.0;
    let response = ui.add(TextEdit::singleline(&mut text).desired_width(width)).accessible_name(called);
    if response.has_focus() {
        ui.data_mut(|d| d.insert_temp(id, text.clone()));
    } else {
        ui.data_mut(|d| d.remove_temp::<String>(id));
    }
    (response.lost_focus() && text != now).then_some(text)
}
