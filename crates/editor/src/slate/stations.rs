//! Stations: one, and the table of all.

use super::{Ask, Seen, command_button, heading, note};
use crate::commands::Command;
use crate::slate::field;
use crate::theme;
use crate::view::{Selected, ViewState};
use egui::{RichText, Ui};
use project::edit::Edit;

/// One station.
pub(super) fn station(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, station: usize, asks: &mut Vec<Ask>) {
    let Some(&x) = seen.form.stations.get(station) else { return };
    let name = format!("Station {}", station + 1);
    ui.add_space(4.0);
    ui.label(RichText::new(&name).font(theme::bold(theme::TITLE)));
    let form = view.form;
    field::length(ui, "Aft of datum", format!("{name} aft of datum"), x, view.units, asks, |x| Edit::MoveStation {
        form,
        station,
        x,
    });
    if let Some(measured) = seen.derived.stations.iter().find(|s| s.station == station) {
        field::reading(ui, "Area", view.units.area(measured.area));
        field::reading(ui, "Girth", view.units.length(measured.girth));
        field::reading(ui, "Half-breadth", view.units.length(measured.half_breadth));
        field::reading(ui, "Top", view.units.length(measured.top));
        field::reading(ui, "Bottom", view.units.length(measured.bottom));
    } else {
        note(ui, "The form does not reach this station.");
    }
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::AddSection, asks);
        command_button(ui, Command::Delete, asks);
    });
}

/// The page with all stations.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        command_button(ui, Command::AddStation, asks);
        command_button(ui, Command::SpreadStations, asks);
    });
    if seen.form.stations.is_empty() {
        note(ui, "A station is a cross plane that is cut and printed. Set them at a pitch, or add them one by one.");
        return;
    }
    heading(ui, "All stations");
    table(ui, seen, view, asks);
    note(ui, "Click a row to select its station; drag its number in the strip under the side view to move it.");
}

fn table(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let head = |ui: &mut Ui, text: &str| {
        ui.label(RichText::new(text).small().weak());
    };
    egui::Grid::new("stations").num_columns(5).spacing([7.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["", &format!("aft, {}", view.units.sign()), "area", "girth", "half-br."] {
            head(ui, text);
        }
        ui.end_row();
        for (station, &x) in seen.form.stations.iter().enumerate() {
            let chosen = view.selected == Selected::Station(station);
            let name = format!("Select station {}", station + 1);
            let row = ui.selectable_label(chosen, (station + 1).to_string()).accessible_name(name);
            if row.clicked() {
                asks.push(Ask::Select(Selected::Station(station)));
            }
            ui.label(view.units.number(x));
            if let Some(measured) = seen.derived.stations.iter().find(|s| s.station == station) {
                ui.label(view.units.area(measured.area));
                ui.label(view.units.number(measured.girth));
                ui.label(view.units.number(measured.half_breadth));
            } else {
                note(ui, "outside");
            }
            ui.end_row();
        }
    });
}
