//! The page about the laminate: plies from the plug outward, resin, filler and paint, and what follows from them.

mod films;
mod ply;
mod resin;
mod table;

pub(in crate::slate::shell) use films::span;
pub(in crate::slate::shell) use table::{grams, range};

use crate::on_shell::ShellAsk;
use crate::on_shell::weights::WeightsAsk;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::ViewState;
use egui::Ui;
use project::edit::Edit;
use project::laminate::{Fabric, Film, LayUp, Ply, Schedule};
use project::shell::Shell;

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let shell = Part { name: "Laminate", now: &*seen.document.shell, units: view.units, edit: &Edit::SetShell };
    heading(ui, "Plies, from the plug outward");
    let laminate = &shell.now.laminate;
    if laminate.plies.is_empty() {
        note(ui, "What the shell is made of: its thickness, mass, resin and what to buy follow from the plies.");
    }
    for index in 0..laminate.plies.len() {
        ply::part(ui, seen, view, index, asks);
    }
    adding(ui, seen, &shell, asks);
    feeding(ui, seen, &shell, asks);
    let ways: Vec<_> = LayUp::ALL.iter().map(|way| (way.label(), *way)).collect();
    shell.choice(ui, "Laid up by", &ways, laminate.lay_up, asks, |shell, way| shell.laminate.lay_up = way);
    note(ui, "It sets how much of a ply is fibre, unless a ply has a test piece of your own.");
    // Under a name of its own: what follows comes and goes, and the fields below keep what is typed into them.
    ui.push_id("ply tables", |ui| table::part(ui, seen, view));
    films::part(ui, &shell, asks);
    resin::part(ui, seen, &shell, asks);
    table::shopping(ui, seen);
}

fn adding(ui: &mut Ui, seen: &Seen<'_>, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    let empty = shell.now.laminate.plies.is_empty();
    ui.horizontal_wrapped(|ui| {
        let tip = if empty { "Begins as glass of 160 g/m², plain weave." } else { "Begins as the ply below it." };
        shell.button(ui, "Add a ply", tip, asks, |shell| begin(&mut shell.laminate));
        let strengthened = "A strip over the rear rim and its lap, and a patch at every screw.";
        let rim = ui.add_enabled(!empty, egui::Button::new("Strengthen rim and screws")).on_hover_text(strengthened);
        if rim.clicked() {
            asks.push(Ask::Shell(ShellAsk::Weights(WeightsAsk::Strengthen)));
        }
    });
    if !empty && seen.document.airframe.fuselage.is_none() {
        note(ui, "Without a fuselage end on the page Bench there is no rim to strengthen.");
    }
}

/// A first ply, with filler and paint to begin with; or another as the last one.
fn begin(laminate: &mut Schedule) {
    match laminate.plies.last().cloned() {
        Some(last) => laminate.plies.push(Ply::whole(last.fabric, last.warp_deg)),
        None => {
            laminate.plies.push(Ply::whole(Fabric::usual(), 0.0));
            laminate.filler = Film::usual_filler();
            laminate.paint = Film::usual_paint();
        }
    }
}

/// Whether the plug follows the plies, and by how much the two differ where it does not.
fn feeding(ui: &mut Ui, seen: &Seen<'_>, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    if shell.now.laminate.plies.is_empty() {
        return;
    }
    let label = "The plug is made smaller by these plies";
    shell.tick(ui, label, shell.now.feeds_coat, asks, |shell, feeds| shell.feeds_coat = feeds);
    let Ok(over) = desk::shell::mass::thickness(seen.document) else { return };
    let plies = over.schedule.total().likely;
    if over.female_mould {
        note(ui, "For a female mould nothing is taken off: the laminate lies inside.");
    } else if !over.feeds && (over.taken_off - plies).abs() > 0.05 {
        let text = format!(
            "Taken off on the page Build: {}; these plies with filler and paint come to {}.",
            shell.units.fine(over.taken_off),
            shell.units.fine(plies)
        );
        ui.label(egui::RichText::new(text).color(seen.theme.warning));
    }
}
