//! Pictures under the drawing.

use super::{Ask, Seen, command_button, heading, note};
use crate::commands::Command;
use crate::slate::field::{self, Number};
use crate::view::{Selected, ViewState};
use egui::{Slider, Ui};
use project::document::{KnownDistance, Picture, PictureView, Placement};
use project::edit::Edit;

/// The page with all pictures.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::BringPicture, asks);
        if !seen.document.pictures.is_empty() {
            command_button(ui, Command::LightTable, asks);
        }
    });
    if seen.document.pictures.is_empty() {
        note(
            ui,
            "Bring in a side picture first, then a face picture. You can also drop a file on the window, or paste one.",
        );
    }
    for (picture, p) in seen.document.pictures.iter().enumerate() {
        row(ui, seen, view, picture, p, asks);
    }
    super::project_page::next_step(ui, seen, asks);
    // With something else selected, such as a station, the page stays with the picture on the table.
    if let Some(picture) = view.selected.picture().or(seen.table.picture)
        && let Some(p) = seen.document.pictures.get(picture)
    {
        if seen.table.picture == Some(picture) {
            let on = super::sight::OnTable { index: picture, picture: p };
            super::sight::pages(ui, seen, view, &on, asks);
        } else {
            details(ui, seen, view, picture, p, asks);
        }
    }
}

fn row(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, picture: usize, p: &Picture, asks: &mut Vec<Ask>) {
    ui.horizontal(|ui| {
        let mut shown = !p.hidden;
        if ui.checkbox(&mut shown, "").on_hover_text("Shown").accessible_name(format!("Show {}", p.name)).changed() {
            asks.push(Ask::Do(show(picture, p.opacity, p.locked, !shown)));
        }
        let name = egui::Button::selectable(view.selected.picture() == Some(picture), &p.name).truncate();
        let width = (ui.available_width() - 96.0).max(60.0);
        let named = ui.scope(|ui| {
            ui.set_max_width(width);
            ui.add(name)
        });
        if named.inner.clicked() {
            asks.push(Ask::Select(Selected::Picture(picture)));
        }
        let state = match (p.view, p.scale) {
            (PictureView::Reference, _) => "reference",
            (_, None) => "not to scale yet",
            (_, Some(_)) => view_name(p.view),
        };
        note(ui, state);
    });
    if let Some(failure) = seen.pictures.failure(p) {
        ui.colored_label(seen.theme.warning, failure);
    }
}

fn view_name(view: PictureView) -> &'static str {
    match view {
        PictureView::Side => "side view, to scale",
        PictureView::Face => "face view, to scale",
        PictureView::Plan => "plan, to scale",
        PictureView::Reference => "reference",
    }
}

fn show(picture: usize, opacity: f64, locked: bool, hidden: bool) -> Edit {
    Edit::ShowPicture { picture, opacity, locked, hidden }
}

fn details(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, picture: usize, p: &Picture, asks: &mut Vec<Ask>) {
    heading(ui, &p.name);
    field::row(ui, "Name", |ui| {
        super::project_page::text_field(ui, "Picture name", &p.name, |name| {
            asks.push(Ask::Do(Edit::RenamePicture { picture, name }));
        });
    });
    opacity(ui, picture, p, asks);
    let mut locked = p.locked;
    if ui.checkbox(&mut locked, "locked in place").changed() {
        asks.push(Ask::Do(show(picture, p.opacity, locked, p.hidden)));
    }
    if p.view != PictureView::Reference {
        scale(ui, seen, view, picture, p, asks);
        if !p.locked {
            place(ui, view, picture, p, asks);
        }
    }
    ui.add_space(8.0);
    command_button(ui, Command::Delete, asks);
}

fn opacity(ui: &mut Ui, picture: usize, p: &Picture, asks: &mut Vec<Ask>) {
    field::row(ui, "Opacity", |ui| {
        let mut percent = p.opacity * 100.0;
        let slider = Slider::new(&mut percent, 0.0..=100.0).suffix(" %").fixed_decimals(0);
        ui.spacing_mut().slider_width = 56.0;
        let response = ui.name_inputs("Opacity of the picture", |ui| ui.add(slider));
        let edit = show(picture, percent / 100.0, p.locked, p.hidden);
        if response.dragged() && response.changed() {
            asks.push(Ask::Preview(edit));
        } else if response.drag_stopped() {
            asks.push(Ask::Commit);
        } else if response.changed() {
            asks.push(Ask::Do(edit));
        }
    });
}

fn scale(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, picture: usize, p: &Picture, asks: &mut Vec<Ask>) {
    heading(ui, "Scale");
    match p.scale {
        None => {
            note(ui, "Pick two points whose real distance you know: the length of a panel, the spinner's diameter.");
        }
        Some(known) => {
            known_fields(ui, view, "Known distance", known, asks, |known| Edit::ScalePicture { picture, known });
        }
    }
    if let Some(known) = p.check {
        known_fields(ui, view, "Second distance", known, asks, |known| Edit::CheckPicture {
            picture,
            known: Some(known),
        });
        let percent = p.disagreement_percent(seen.document.model_scale).unwrap_or(0.0);
        let text = format!("The picture measures {} against the second distance.", crate::units::percent(percent));
        let colour = if percent.abs() > 2.0 { seen.theme.warning } else { seen.theme.good };
        ui.colored_label(colour, text);
        if percent.abs() > 2.0 {
            note(ui, "Taken from near, or not square on: outlines are off away from the plane that was scaled.");
        }
    }
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::ScalePicture, asks);
        command_button(ui, Command::LevelPicture, asks);
        command_button(ui, Command::DatumPicture, asks);
        if p.scale.is_some() {
            command_button(ui, Command::CheckPicture, asks);
        }
    });
    note(ui, "All this moves the picture, never the drawn lines. The picked points can be dragged.");
}

fn known_fields(
    ui: &mut Ui,
    view: &ViewState,
    label: &str,
    known: KnownDistance,
    asks: &mut Vec<Ask>,
    edit: impl Fn(KnownDistance) -> Edit,
) {
    let with = |distance_mm: f64| edit(KnownDistance { distance_mm, ..known });
    field::length(ui, label, format!("{label} in mm"), known.distance_mm, view.units, asks, with);
    let mut full_size = known.full_size;
    let text = "is of the full-size machine";
    if ui.checkbox(&mut full_size, text).accessible_name(format!("{label} {text}")).changed() {
        asks.push(Ask::Do(edit(KnownDistance { full_size, ..known })));
    }
}

fn place(ui: &mut Ui, view: &ViewState, picture: usize, p: &Picture, asks: &mut Vec<Ask>) {
    heading(ui, "Place");
    let placement = p.placement;
    let to = |placement: Placement| Edit::PlacePicture { picture, placement };
    let moved = |axis: usize, value: f64| {
        let mut offset = placement.offset;
        offset[axis] = value;
        to(Placement { offset, ..placement })
    };
    field::length(ui, "Left edge", "Picture left edge", placement.offset[0], view.units, asks, |v| moved(0, v));
    field::length(ui, "Upper edge", "Picture upper edge", placement.offset[1], view.units, asks, |v| moved(1, v));
    let turn = Number {
        label: "Turned",
        name: "Picture turned".into(),
        suffix: "°",
        decimals: 2,
        speed: 0.1,
        range: [-180.0, 180.0],
    };
    field::number_field(ui, &turn, placement.rotation_deg, asks, |rotation_deg| {
        to(Placement { rotation_deg, ..placement })
    });
    let mut mirrored = placement.mirrored;
    if ui.checkbox(&mut mirrored, "mirrored left to right").changed() {
        asks.push(Ask::Do(to(mirrored_in_place(p, mirrored))));
    }
    note(ui, "While it is selected, drag the picture itself to move it.");
}

/// Mirrored about its own middle, so that it stays in sight.
fn mirrored_in_place(p: &Picture, mirrored: bool) -> Placement {
    let middle = p.size_px.map(|s| 0.5 * f64::from(s));
    let before = p.placement.to_view(middle);
    Placement { mirrored, ..p.placement }.held_at(middle, before)
}
