//! The page about mass and balance: what is weighed, what comes on in its place, and what restores the balance.

mod found;
mod given;

use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::ViewState;
use egui::Ui;
use project::edit::Edit;

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let shell = Part { name: "Weights", now: &*seen.document.shell, units: view.units, edit: &Edit::SetShell };
    // Under a name of its own: what is found comes and goes, and the fields below keep what is typed into them.
    ui.push_id("found", |ui| found::part(ui, seen, view));
    heading(ui, "The aircraft as it stands");
    note(ui, "Weigh it ready to fly, but with an empty tank and no propeller turning near you.");
    given::weighed(ui, &shell, "Aircraft", given::Place::Aircraft, asks);
    heading(ui, "The part that the shell replaces");
    given::weighed(ui, &shell, "Replaced part", given::Place::Replaced, asks);
    given::parts(ui, &shell, asks);
    given::ring_and_screws(ui, seen, &shell, asks);
    heading(ui, "The balance wanted");
    given::balance(ui, &shell, asks);
}
