//! Known distances, the scale that goes best with them, and the odd one out.

use super::super::OnTable;
use super::super::landmarks::{Touched, number};
use super::super::rows::{fact, name_field, short};
use crate::commands::Command;
use crate::light_table::flat::read::Read;
use crate::light_table::marks::OnPicture;
use crate::slate::field::{Number, cell};
use crate::slate::{Ask, Seen, command_button, heading, note};
use crate::view::{Selected, ViewState};
use desk::photographs::distance_names;
use egui::{Align, Button, Frame, Layout, RichText, Ui};
use photo::known_distances::DistanceFit;
use project::document::{KnownDistance, PictureView, Placement};
use project::edit::Edit;
use project::photograph::NamedDistance;

/// Which of the picture's distances.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Which {
    /// The one that set the scale.
    First,
    /// The one that checks it.
    Second,
    /// A further one.
    Further(usize),
}

/// All of them.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, read: &Read, asks: &mut Vec<Ask>) {
    heading(ui, "Known distances");
    command_button(ui, Command::MarkDistance, asks);
    let all = which(on);
    match &read.scale {
        Err(_) if all.is_empty() => {
            note(ui, "Three or more, all at one depth and square to the view, show which of them is wrong.");
        }
        Err(why) => {
            ui.colored_label(seen.theme.warning, RichText::new(why.to_string()).small());
        }
        Ok(scale) => {
            let text = match scale.mm_per_px >= 0.1 {
                true => format!("{:.4} ± {:.4} mm/px, model", scale.mm_per_px, scale.sigma),
                false => format!("{:.5} ± {:.5} mm/px, model", scale.mm_per_px, scale.sigma),
            };
            fact(ui, "Best scale", text);
            if let Some(times) = scale.disagreement {
                let text = format!(
                    "The two disagree, by {times:.1} times what their trust explains: one is wrong. A third one tells which."
                );
                ui.colored_label(seen.theme.warning, RichText::new(text).small());
            }
            if scale.distances.iter().any(|fit| fit.out) {
                let text = "What does not go with the others is left out of the scale. Look at its ends and its length, and whether it \
                            lies at another depth.";
                ui.colored_label(seen.theme.warning, RichText::new(text).small());
            }
            adopt(ui, on, scale.mm_per_px, asks);
        }
    }
    let names = distance_names(on.picture);
    for (at, (which, name)) in all.iter().zip(&names).enumerate() {
        let fit = read.scale.as_ref().ok().and_then(|scale| scale.distances.get(at));
        one(ui, seen, view, on, *which, name, fit, asks);
    }
}

/// In the order in which the scale takes them.
fn which(on: &OnTable<'_>) -> Vec<Which> {
    let first = on.picture.scale.iter().map(|_| Which::First);
    let second = on.picture.check.iter().map(|_| Which::Second);
    first.chain(second).chain((0..on.picture.photograph.distances.len()).map(Which::Further)).collect()
}

/// Four digits that count, whatever the picture's size.
pub(super) fn per_px(mm: f64) -> String {
    if mm >= 0.1 { format!("{mm:.4}") } else { format!("{mm:.5}") }
}

/// The picture set to the best scale, where it has another.
fn adopt(ui: &mut Ui, on: &OnTable<'_>, mm_per_px: f64, asks: &mut Vec<Ask>) {
    let now = on.picture.placement.mm_per_px;
    if on.picture.view == PictureView::Reference || (mm_per_px / now - 1.0).abs() < 2e-4 {
        return;
    }
    let percent = crate::units::percent(100.0 * (now / mm_per_px - 1.0));
    let locked = on.picture.locked;
    ui.horizontal_wrapped(|ui| {
        let button = ui.add_enabled(!locked, Button::new("Set the picture to it"));
        let button = button.on_disabled_hover_text("The picture is locked in place.");
        if button.clicked() {
            let held = on.picture.scale.map_or([0.0; 2], |known| known.a);
            let placement: Placement = on.picture.placement.scaled_about(held, mm_per_px);
            asks.push(Ask::Do(Edit::PlacePicture { picture: on.index, placement }));
        }
        note(ui, format!("{percent} off"));
    });
}

#[expect(clippy::too_many_arguments, reason = "a row reads the page, the distance and its fit")]
fn one(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    on: &OnTable<'_>,
    which: Which,
    name: &str,
    fit: Option<&DistanceFit>,
    asks: &mut Vec<Ask>,
) {
    let Some(known) = known(on, which) else { return };
    let target = match which {
        Which::Further(distance) => {
            Some(Selected::OnPicture { picture: on.index, what: OnPicture::Distance { distance, second: false } })
        }
        _ => None,
    };
    let chosen = is_chosen(view, on, which);
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if let Some(fit) = fit {
                let (text, colour) = verdict(view, fit, seen.theme);
                ui.label(RichText::new(text).small().color(colour))
                    .on_hover_text("Its length less what the best scale gives for it, at the model.");
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let Some(target) = target else {
                    ui.add(egui::Label::new(name).truncate())
                        .on_hover_text("It set or checks the picture's scale. Its ends are moved on the drawing.");
                    return;
                };
                if ui.add(Button::selectable(chosen, name).truncate()).clicked() {
                    asks.push(Ask::Select(target));
                }
            });
        });
    });
    let set = |known: KnownDistance| changed(on, which, |d| NamedDistance { known, ..d.clone() }, known);
    short(ui, if known.full_size { "At full size" } else { "At the model" }, |ui| {
        let units = view.units;
        let number = Number {
            label: "",
            name: format!("Length of {name}"),
            suffix: units.sign(),
            decimals: units.decimals(),
            speed: 0.2 / units.mm(),
            range: [0.01, f64::INFINITY],
        };
        cell(ui, &number, units.shown(known.distance_mm), 96.0, asks, |shown| {
            set(KnownDistance { distance_mm: shown * units.mm(), ..known })
        });
    });
    if chosen {
        Frame::new()
            .fill(seen.theme.raised)
            .inner_margin(6)
            .corner_radius(3)
            .show(ui, |ui| details(ui, view, on, which, name, known, asks));
    }
    ui.add_space(4.0);
}

/// Name, trust and size of the selected one.
fn details(
    ui: &mut Ui,
    view: &ViewState,
    on: &OnTable<'_>,
    which: Which,
    name: &str,
    known: KnownDistance,
    asks: &mut Vec<Ask>,
) {
    let Which::Further(index) = which else { return };
    let Some(distance) = on.picture.photograph.distances.get(index) else { return };
    let trusted = |mm: f64| changed(on, which, |d| NamedDistance { trust_mm: mm.max(0.0), ..d.clone() }, known);
    if let Some(name) = short(ui, "Name", |ui| name_field(ui, "Distance name", name)) {
        asks.push(Ask::Do(changed(on, which, |d| NamedDistance { name: name.clone(), ..d.clone() }, known)));
    }
    // Its trust is of the size in which it was given; nothing stands beside it.
    match number(ui, view.units, 1.0, "Known to ±", name, distance.trust_mm) {
        Some(Touched::Typed(mm)) => asks.push(Ask::Do(trusted(mm))),
        Some(Touched::Dragged(mm)) => asks.push(Ask::Preview(trusted(mm))),
        Some(Touched::LetGo) => asks.push(Ask::Commit),
        None => {}
    }
    let mut full_size = known.full_size;
    let text = "is of the full-size machine";
    if ui.checkbox(&mut full_size, text).accessible_name(format!("{name} {text}")).changed() {
        let known = KnownDistance { full_size, ..known };
        asks.push(Ask::Do(changed(on, which, |d| NamedDistance { known, ..d.clone() }, known)));
    }
    if ui.button("Remove").accessible_name(format!("Remove {name}")).clicked() {
        asks.push(Ask::Command(Command::Delete));
    }
}

fn is_chosen(view: &ViewState, on: &OnTable<'_>, which: Which) -> bool {
    let Selected::OnPicture { picture, what: OnPicture::Distance { distance, .. } } = view.selected else {
        return false;
    };
    picture == on.index && which == Which::Further(distance)
}

fn known(on: &OnTable<'_>, which: Which) -> Option<KnownDistance> {
    match which {
        Which::First => on.picture.scale,
        Which::Second => on.picture.check,
        Which::Further(index) => on.picture.photograph.distances.get(index).map(|d| d.known),
    }
}

/// The edit that changes one distance.
fn changed(
    on: &OnTable<'_>,
    which: Which,
    further: impl Fn(&NamedDistance) -> NamedDistance,
    known: KnownDistance,
) -> Edit {
    let picture = on.index;
    match which {
        Which::First => Edit::ScalePicture { picture, known },
        Which::Second => Edit::CheckPicture { picture, known: Some(known) },
        Which::Further(index) => {
            let all = on.picture.photograph.distances.iter().enumerate();
            let distances = all.map(|(i, d)| if i == index { further(d) } else { d.clone() }).collect();
            Edit::SetDistances { picture, distances }
        }
    }
}

/// How it goes with the others.
fn verdict(view: &ViewState, fit: &DistanceFit, theme: &crate::theme::Theme) -> (String, egui::Color32) {
    let off = view.units.length(fit.residual_mm);
    match fit.out {
        true => (format!("odd one out, {off}"), theme.warning),
        false => (off, theme.text),
    }
}
