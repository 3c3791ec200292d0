//! The numbers of the selected landmark.

use super::super::OnTable;
use super::super::rows::{name_field, short};
use super::place::{self, Choice, Touched};
use crate::commands::Command;
use crate::light_table::landmarks::{self, things};
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::{ComboBox, Frame, Ui};
use project::edit::Edit;
use project::photograph::{Landmark, LandmarkPlace};

/// Name, what it is, where it lies, how well that is known.
pub(super) fn landmark(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    index: usize,
    landmark: &Landmark,
    asks: &mut Vec<Ask>,
) {
    let replace = |with: Landmark| Edit::ReplaceLandmark { picture: on.index, index, with };
    Frame::new().fill(seen.theme.raised).inner_margin(6).corner_radius(3).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        offers(ui, seen, on, index, landmark, asks);
        if let Some(name) = short(ui, "Name", |ui| name_field(ui, "Landmark name", &landmark.name)) {
            asks.push(Ask::Do(replace(Landmark { name, ..landmark.clone() })));
        }
        if let Some(with) = what(ui, seen, on, landmark) {
            asks.push(Ask::Do(replace(with)));
        }
        match place::fields(ui, seen, view, &landmark.name, landmark.place) {
            Some(Choice::Typed(place)) => asks.push(Ask::Do(replace(things::placed(landmark, place)))),
            // The name stays while it is dragged: it is the field's name too.
            Some(Choice::Dragged(place)) => asks.push(Ask::Preview(replace(Landmark { place, ..landmark.clone() }))),
            Some(Choice::LetGo) => asks.push(Ask::Commit),
            None => {}
        }
        let scale = seen.document.model_scale;
        let trusted = |mm: f64| replace(Landmark { trust_mm: mm.max(0.0), ..landmark.clone() });
        match place::number(ui, view.units, scale, "Known to ±", &landmark.name, landmark.trust_mm) {
            Some(Touched::Typed(mm)) => asks.push(Ask::Do(trusted(mm))),
            Some(Touched::Dragged(mm)) => asks.push(Ask::Preview(trusted(mm))),
            Some(Touched::LetGo) => asks.push(Ask::Commit),
            None => {}
        }
        let [x, y] = landmark.pixel;
        short(ui, "Picked at", |ui| ui.label(format!("{x:.1}, {y:.1} px")))
            .on_hover_text("Drag the cross in the picture, or move it by the arrow keys: 1 px, Shift 10, Alt 0.1.");
        if !landmark.used && !things::is_open(landmark) && ui.button("Let it count").clicked() {
            asks.push(Ask::Do(replace(Landmark { used: true, ..landmark.clone() })));
        }
        if ui.button("Remove").accessible_name(format!("Remove {}", landmark.name)).clicked() {
            asks.push(Ask::Command(Command::Delete));
        }
    });
    ui.add_space(4.0);
}

/// What the camera shows near a fresh one.
fn offers(ui: &mut Ui, seen: &Seen<'_>, on: &OnTable<'_>, index: usize, landmark: &Landmark, asks: &mut Vec<Ask>) {
    let offers = seen.table.landmarks.offers(index);
    if offers.is_empty() {
        return;
    }
    note(ui, "The camera shows near here:");
    for candidate in offers {
        let label = things::label(candidate);
        if ui.button(&label).accessible_name(format!("Take {label}")).clicked() {
            let thing = things::of_candidate(seen.document, on.index, candidate);
            asks.push(Ask::Do(landmarks::told(on.index, index, landmark, &thing)));
        }
    }
}

/// Which thing it is; what is chosen takes name, place and trust over.
fn what(ui: &mut Ui, seen: &Seen<'_>, on: &OnTable<'_>, landmark: &Landmark) -> Option<Landmark> {
    let mut with = None;
    short(ui, "It is", |ui| {
        let text = if things::is_open(landmark) { "choose…" } else { things::kind(landmark.place) };
        let combo =
            ComboBox::from_id_salt("what the landmark is").selected_text(text).width(ui.available_width() - 4.0);
        let response = combo.truncate().height(super::next::POPUP).show_ui(ui, |ui| {
            for group in things::groups(seen.document, on.index) {
                note(ui, group.title);
                for thing in group.things {
                    let known = things::is_elsewhere(seen.document, on.index, &thing.name);
                    let label = if known { thing.name.clone() } else { things::kind(thing.place).to_owned() };
                    if ui.selectable_label(false, label).clicked() {
                        with = Some(match known {
                            true => Landmark {
                                name: thing.name,
                                trust_mm: thing.trust_mm,
                                ..counting(landmark, thing.place)
                            },
                            false => things::placed(landmark, thing.place),
                        });
                    }
                }
            }
            note(ui, "Elsewhere");
            if ui.selectable_label(matches!(landmark.place, LandmarkPlace::At(_)), "measured: x, y, z").clicked() {
                let at = form::landmark_place(seen.document, landmark.place).unwrap_or([0.0; 3]);
                with = Some(Landmark { place: LandmarkPlace::At(at), ..landmark.clone() });
            }
        });
        response.response.accessible_name("What the landmark is");
    });
    with
}

fn counting(landmark: &Landmark, place: LandmarkPlace) -> Landmark {
    Landmark { place, used: true, ..landmark.clone() }
}
