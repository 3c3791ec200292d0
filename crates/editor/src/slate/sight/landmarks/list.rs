//! All landmarks of the picture, each with how well it fits.

use super::super::OnTable;
use super::details;
use crate::light_table::landmarks::rows::{Row, State};
use crate::light_table::landmarks::{target, things};
use crate::slate::{Ask, Seen};
use crate::view::ViewState;
use egui::{Align, Button, Id, Layout, RichText, Ui};
use project::edit::Edit;
use project::photograph::Landmark;

/// Where what follows the check box begins, in points.
const INDENT: f32 = 36.0;

/// The list; the numbers of the selected one stand under it.
pub(super) fn list(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    rows: &[Row],
    asks: &mut Vec<Ask>,
) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.spacing_mut().interact_size.y = 19.0;
        ui.spacing_mut().button_padding.y = 1.0;
        for row in rows {
            let Some(landmark) = on.picture.photograph.landmarks.get(row.index) else { continue };
            let chosen = view.selected == target(on.index, row.index);
            let place = ui.cursor().min.y;
            head(ui, seen, on, row, landmark, chosen, asks);
            below(ui, seen, view, row, landmark);
            if chosen {
                ui.scope(|ui| {
                    ui.reset_style();
                    details::landmark(ui, seen, view, on, row.index, landmark, asks);
                });
                reveal(ui, on, row.index, place);
            }
        }
    });
}

/// What was selected in the picture comes into sight here, once.
fn reveal(ui: &mut Ui, on: &OnTable<'_>, index: usize, top: f32) {
    let id = Id::unique("the landmark in sight on the slate");
    let now = (on.index, index);
    if ui.data(|d| d.get_temp::<(usize, usize)>(id)) == Some(now) {
        return;
    }
    ui.data_mut(|d| d.insert_temp(id, now));
    let rect = egui::Rect::from_min_max(egui::pos2(ui.min_rect().left(), top), ui.min_rect().right_bottom());
    ui.scroll_to_rect(rect, None);
}

/// Used or not, its name, and how far it is off in the picture.
fn head(
    ui: &mut Ui,
    seen: &Seen<'_>,
    on: &OnTable<'_>,
    row: &Row,
    landmark: &Landmark,
    chosen: bool,
    asks: &mut Vec<Ask>,
) {
    ui.horizontal(|ui| {
        let mut used = landmark.used;
        let counts = ui.checkbox(&mut used, "").on_hover_text("Counts for the camera.");
        if counts.accessible_name(format!("Use {}", landmark.name)).changed() {
            let with = Landmark { used, ..landmark.clone() };
            asks.push(Ask::Do(Edit::ReplaceLandmark { picture: on.index, index: row.index, with }));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if let Some(off) = row.off {
                let text = RichText::new(format!("{:.1} px", off.px)).small().color(colour(seen, row.state));
                ui.label(text).on_hover_text("From where it was picked to where the camera shows it.");
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let name = RichText::new(&landmark.name);
                let name = if landmark.used { name } else { name.color(seen.theme.weak) };
                if ui.add(Button::selectable(chosen, name).truncate()).clicked() {
                    asks.push(Ask::Select(target(on.index, row.index)));
                }
            });
        });
    });
}

fn colour(seen: &Seen<'_>, state: State) -> egui::Color32 {
    match state {
        State::Suspect { .. } => seen.theme.warning,
        State::Counts | State::NoCamera => seen.theme.text,
        State::LeftOut | State::Open => seen.theme.weak,
    }
}

/// Where it lies in words, and how far it is off on the machine.
fn below(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, row: &Row, landmark: &Landmark) {
    ui.horizontal(|ui| {
        ui.add_space(INDENT);
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            let beside = match (row.state, row.off) {
                (State::Open, _) => "does not count yet".into(),
                (State::LeftOut, Some(off)) => format!("left out, {}", view.units.length(off.mm)),
                (State::LeftOut, None) => "left out".into(),
                (_, Some(off)) => view.units.length(off.mm),
                (_, None) => String::new(),
            };
            ui.label(RichText::new(beside).small().color(colour(seen, row.state)));
            ui.with_layout(Layout::left_to_right(Align::Min), |ui| {
                let words = match row.state {
                    State::Open => "what is it?".into(),
                    _ => things::words(landmark.place, view.units),
                };
                ui.add(egui::Label::new(RichText::new(words).small().weak()).truncate());
            });
        });
    });
    if let State::Suspect { .. } = row.state {
        ui.horizontal(|ui| {
            ui.add_space(INDENT);
            ui.colored_label(seen.theme.warning, RichText::new("does not go with the others").small());
        });
    }
    ui.add_space(5.0);
}
