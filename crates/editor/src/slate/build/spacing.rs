//! How far apart the formers stand, and where the curve of the form wants them.

use super::derived;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, field, heading, note};
use egui::Ui;
use project::build::Build;
use project::edit::Edit;

/// What is allowed, what the present pitch leaves, and the stations that keep it.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    heading(ui, "Former spacing");
    note(ui, "Foam sanded straight from former to former misses the curve by the sagitta of the bay.");
    let allowed = build.now.stack.allowed_sagitta;
    build.length(ui, "Allowed sagitta", allowed, asks, |build, mm| build.stack.allowed_sagitta = mm);
    derived(ui, seen, |ui| present(ui, seen, build));
    let stations = &seen.planned.proposal.stations;
    if stations.is_empty() {
        return;
    }
    let units = build.units;
    let list: Vec<String> = stations.iter().map(|x| units.number(*x)).collect();
    derived(ui, seen, |ui| {
        note(ui, format!("The curve asks for {} faces: {} {}.", list.len(), list.join(", "), units.sign()));
    });
    if build.now.stack.used {
        note(ui, "Thinner boards bring the cards of a stack nearer to these.");
        return;
    }
    let tip = "Puts them in place of the first form's stations.";
    if ui.button("Set these stations").on_hover_text(tip).clicked() {
        asks.push(Ask::Do(Edit::SetStations { form: 0, stations: stations.clone() }));
    }
}

fn present(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>) {
    let (Some(worst), allowed) = (seen.planned.coarsest(), build.now.stack.allowed_sagitta) else { return };
    let units = build.units;
    field::reading(ui, "At present up to", format!("{} {}", units.fine(worst.sagitta), units.sign()));
    field::reading(ui, "in the bay", format!("{} to {}", units.number(worst.from), units.length(worst.to)));
    let coarse = seen.planned.present.iter().filter(|bay| bay.sagitta > allowed).count();
    let all = seen.planned.present.len();
    note(
        ui,
        match coarse {
            0 => format!("All {all} bays keep within what is allowed."),
            some => {
                format!("{some} of {all} bays leave more than is allowed: sand those round by an outside template.")
            }
        },
    );
}
