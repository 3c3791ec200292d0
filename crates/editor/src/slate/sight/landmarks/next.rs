//! Which thing the next click picks.

use super::super::OnTable;
use super::super::rows::short;
use super::place::{self, Choice};
use crate::light_table::landmarks::LandmarkAsk;
use crate::light_table::landmarks::things::{self, Thing, groups, measured};
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::{ComboBox, TextEdit, Ui};
use project::photograph::LandmarkPlace;

/// Height of a list of things: they are in sight together in a small window.
pub(super) const POPUP: f32 = 420.0;

/// Chooses it, or leaves it to be told after the click.
pub(super) fn thing(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let next = seen.table.landmarks.next.as_ref();
    let mut chosen = None;
    short(ui, "Next click is", |ui| {
        let text = next.map_or("told afterwards", |thing| thing.name.as_str());
        let combo = ComboBox::from_id_salt("the next landmark").selected_text(text).width(ui.available_width() - 4.0);
        let response = combo.truncate().height(POPUP).show_ui(ui, |ui| {
            if ui.selectable_label(next.is_none(), "told afterwards").clicked() {
                chosen = Some(None);
            }
            for group in groups(seen.document, on.index) {
                note(ui, group.title);
                for thing in group.things {
                    if ui.selectable_label(next == Some(&thing), label(&thing)).clicked() {
                        chosen = Some(Some(thing));
                    }
                }
            }
            note(ui, "Elsewhere");
            if ui.selectable_label(false, "measured: x, y, z").clicked() {
                chosen = Some(Some(measured(Some(&on.picture.photograph))));
            }
        });
        response.response.accessible_name("The next click is");
    });
    if let Some(chosen) = chosen {
        asks.push(Ask::Landmark(LandmarkAsk::Next(chosen)));
    } else if let Some(next) = next {
        changed(ui, seen, view, next, asks);
    }
}

/// Those of the form begin in its middle: their station is chosen below.
fn label(thing: &Thing) -> String {
    match things::station(thing.place) {
        Some(_) if thing.name == things::name(thing.place) => format!("{}…", things::kind(thing.place)),
        _ => thing.name.clone(),
    }
}

/// What of it is still to be typed.
fn changed(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, next: &Thing, asks: &mut Vec<Ask>) {
    let mut with = next.clone();
    if matches!(next.place, LandmarkPlace::At(_)) {
        short(ui, "Name", |ui| {
            let width = ui.available_width() - 12.0;
            ui.add(TextEdit::singleline(&mut with.name).desired_width(width))
                .accessible_name("Name of the next landmark");
        });
    }
    let own = next.name == things::name(next.place);
    match place::fields(ui, seen, view, "the next landmark", next.place) {
        Some(Choice::Dragged(place) | Choice::Typed(place)) => {
            with.place = place;
            if own {
                with.name = things::name(place);
            }
        }
        Some(Choice::LetGo) | None => {}
    }
    if with != *next {
        asks.push(Ask::Landmark(LandmarkAsk::Next(Some(with))));
    }
}
