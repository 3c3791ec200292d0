//! The page about openings: what is cut through the form, and the air through it.

mod air;
mod areas;
mod duct;
mod outline;
#[cfg(test)]
mod tests;

use crate::commands::Command;
use crate::on_shell::item::OpeningGrip;
use crate::on_shell::openings::begin::Shape;
use crate::on_shell::openings::{self, OpeningsAsk};
use crate::on_shell::{OnShell, ShellAsk};
use crate::slate::part::Part;
use crate::slate::several::{notice, one_of_several};
use crate::slate::{Ask, Seen, heading, note};
use crate::view::{Tool, ViewState};
use egui::{Id, Ui};
use project::edit::Edit;
use project::opening::{Opening, Outline, Purpose, Seen as From};

pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let chosen = view.selected.on_shell();
    notice(ui, chosen.map(Id::unique));
    if view.tool == Tool::Outline {
        drawing(ui, asks);
        return;
    }
    add(ui, seen, asks);
    for (index, opening) in seen.form.openings.iter().enumerate() {
        let whole = OnShell::Opening { opening: index, grip: OpeningGrip::Whole };
        let title = format!("{}. {}", index + 1, opening.name);
        let point = match chosen {
            Some(OnShell::Opening { opening, grip: OpeningGrip::Point(point) }) if opening == index => Some(point),
            _ => None,
        };
        one_of_several(ui, ("opening", index), &title, chosen.map(OnShell::thing) == Some(whole), |ui| {
            One { index, opening, point }.show(ui, seen, view, asks);
        });
    }
    air::part(ui, seen, view, asks);
}

fn ask(asked: OpeningsAsk) -> Ask {
    Ask::Shell(ShellAsk::Openings(asked))
}

/// Buttons that add one, and the shape it begins with.
fn add(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    heading(ui, "Add an opening");
    if seen.derived.loft().is_none() {
        note(ui, "Openings are cut through the form: draw its four lines and a control section first.");
        return;
    }
    let id = Id::unique("the shape of a new opening");
    let mut shape = ui.data(|d| d.get_temp::<usize>(id)).unwrap_or_default();
    ui.horizontal_wrapped(|ui| {
        for (index, (label, _)) in Shape::ALL.into_iter().enumerate() {
            let name = format!("New opening: {label}");
            if ui.selectable_label(shape == index, label).accessible_name(name).clicked() {
                shape = index;
            }
        }
    });
    ui.data_mut(|d| d.insert_temp(id, shape));
    let shape = Shape::ALL.get(shape).map_or(Shape::Ellipse, |s| s.1);
    ui.horizontal_wrapped(|ui| {
        for purpose in Purpose::ALL {
            let button = ui.button(purpose.label()).on_hover_text(whereto(purpose));
            if button.accessible_name(format!("Add: {}", purpose.label().to_lowercase())).clicked() {
                asks.push(ask(OpeningsAsk::Add(purpose, shape)));
            }
        }
    });
    crate::slate::command_button(ui, Command::DrawOpening, asks);
}

/// Where a new one is put.
fn whereto(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Intake => "Put beside the spinner, as seen from ahead, on both sides.",
        Purpose::Outlet => "Put below, near the rear.",
        Purpose::Exhaust => "Put low on the starboard side.",
        Purpose::Access => {
            "Put on both sides near the rear: for a screw, a screwdriver, cooling slots. No air is counted."
        }
    }
}

/// While an outline is drawn: how to end that without the keyboard.
fn drawing(ui: &mut Ui, asks: &mut Vec<Ask>) {
    heading(ui, "Drawing an opening");
    note(
        ui,
        "Click around it in the face view, the side view or the plan; hold Shift for a corner. It closes by itself.",
    );
    ui.horizontal_wrapped(|ui| {
        for (label, asked) in [
            ("Use what is drawn", OpeningsAsk::EndDrawing),
            ("Take the last point back", OpeningsAsk::TakeBack),
            ("Drop it", OpeningsAsk::DropDrawing),
        ] {
            if ui.button(label).clicked() {
                asks.push(ask(asked));
            }
        }
    });
}

/// One opening on the page.
struct One<'a> {
    index: usize,
    opening: &'a Opening,
    /// The point of it that is selected.
    point: Option<usize>,
}

impl One<'_> {
    fn show(&self, ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
        let (index, opening) = (self.index, self.opening);
        let name = format!("Opening {}", index + 1);
        let edit = |with| Edit::ReplaceOpening { form: view.form, index, with };
        let part = Part { name: &name, now: opening, units: view.units, edit: &edit };
        part.text(ui, "Name", &opening.name, asks, |opening, name| opening.name = name);
        let purposes = Purpose::ALL.map(|purpose| (purpose.label(), purpose));
        part.choice(ui, "For", &purposes, opening.purpose, asks, |opening, purpose| opening.purpose = purpose);
        self.from(ui, &name, asks);
        part.tick(ui, "Its mirror image too", opening.mirrored, asks, |opening, both| opening.mirrored = both);
        let edit = |outline| edit(Opening { outline, ..opening.clone() });
        let of = Part::<Outline> { name: &name, now: &opening.outline, units: view.units, edit: &edit };
        outline::fields(ui, seen, &of, opening.seen, self.point, asks);
        duct::part(ui, seen, &part, index, asks);
        let laid = seen.shell.map(|shell| &shell.openings.laid);
        areas::part(ui, seen, laid, index, view.units);
        self.buttons(ui, &name, asks);
    }

    fn from(&self, ui: &mut Ui, name: &str, asks: &mut Vec<Ask>) {
        ui.add_space(2.0);
        ui.label("Drawn and cut from");
        ui.horizontal_wrapped(|ui| {
            for from in From::ALL {
                let chosen = self.opening.seen == from;
                let label = ui.selectable_label(chosen, from.label().trim_start_matches("from "));
                if label.accessible_name(format!("{name} seen: {}", from.label())).clicked() && !chosen {
                    asks.push(ask(OpeningsAsk::SeenFrom(self.index, from)));
                }
            }
        });
    }

    fn buttons(&self, ui: &mut Ui, name: &str, asks: &mut Vec<Ask>) {
        let name = name.to_lowercase();
        ui.horizontal_wrapped(|ui| {
            let target = openings::selected(self.index, OpeningGrip::Whole, self.opening.seen);
            let show = ui.button("Show it").on_hover_text("Selects it on the floor, with its handles.");
            if show.accessible_name(format!("Show {name}")).clicked() {
                asks.push(Ask::Select(target));
            }
            if ui.button("Copy it").accessible_name(format!("Copy {name}")).clicked() {
                asks.push(ask(OpeningsAsk::Copy(self.index)));
            }
            // The form is that which the page shows.
            if ui.button("Remove it").accessible_name(format!("Remove {name}")).clicked() {
                asks.push(Ask::Select(target));
                asks.push(Ask::Command(Command::Delete));
            }
        });
    }
}
