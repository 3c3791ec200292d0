//! How far a result is to be trusted, and what is done with it.

use super::{photographs, sections, stations};
use crate::light_table::solving::act::SolvingAsk;
use crate::light_table::solving::found::Found;
use crate::light_table::solving::{Solving, Standing};
use crate::slate::{Ask, Seen, heading, note};
use crate::theme;
use crate::view::ViewState;
use desk::photographs::Breadth;
use egui::{Button, Label, RichText, Ui};

/// Everything about a result, what matters most first.
pub(super) fn part(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    solving: &Solving,
    found: &Found,
    asks: &mut Vec<Ask>,
) {
    headline(ui, seen, view, found);
    standing(ui, seen, solving, found, asks);
    sections::findings(ui, seen, found, asks);
    looks(ui, solving, asks);
    stations::part(ui, seen, view, solving, found, asks);
    sections::advice(ui, view, found);
    photographs::part(ui, seen, view, found);
    sections::taken_up(ui, view, found);
}

/// The band, against what it was.
fn headline(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, found: &Found) {
    let (solved, units) = (&found.solved, view.units);
    heading(ui, "Solved sections");
    let band = format!("± {} {}", units.fine(solved.band), units.sign());
    let colour = if solved.is_weak() { seen.theme.warning } else { seen.theme.good };
    ui.label(RichText::new(band).font(theme::bold(theme::TITLE)).color(colour));
    let before = format!("± {} {}", units.fine(solved.prior_band), units.sign());
    note(ui, format!("of half-breadths over the form, one standard deviation; {before} before the photographs."));
    let breadth = match found.breadth {
        Breadth::Sought => "Breadth sought",
        Breadth::Known => "Breadth known",
    };
    note(ui, format!("{breadth}; solved in {:.1} s.", found.took.as_secs_f64()));
    if let Some(text) = desk::photographs::words::weakness(solved) {
        ui.add(Label::new(RichText::new(text).color(seen.theme.warning)).wrap());
    }
}

/// Whether it can be accepted, and the buttons for that.
fn standing(ui: &mut Ui, seen: &Seen<'_>, solving: &Solving, found: &Found, asks: &mut Vec<Ask>) {
    let mut button = |ui: &mut Ui, label: &str, tip: &str, ask: SolvingAsk| {
        if ui.add(Button::new(label)).on_hover_text(tip).clicked() {
            asks.push(Ask::Solving(ask));
        }
    };
    let drop = ("Drop", "Forgets this result; nothing changes.");
    match solving.standing() {
        Standing::Nothing => {}
        Standing::Fresh => {
            note(ui, "Nothing of the project has changed yet.");
            ui.horizontal_wrapped(|ui| {
                let accept = if found.solved.is_weak() { "Accept although weak" } else { "Accept" };
                let tip = "Puts the solved sections into the project as one step, which Undo takes back.";
                button(ui, accept, tip, SolvingAsk::Accept);
                button(ui, drop.0, drop.1, SolvingAsk::Drop);
            });
        }
        Standing::Accepted => {
            ui.label(RichText::new("Accepted. Undo takes it back as one step.").color(seen.theme.good));
            button(ui, "Put away", "Takes band and numbers away; the sections stay.", SolvingAsk::Drop);
        }
        Standing::Old => {
            let text = "This is of before the project's last change: solve again before you accept.";
            ui.add(Label::new(RichText::new(text).color(seen.theme.warning)).wrap());
            button(ui, drop.0, drop.1, SolvingAsk::Drop);
        }
    }
}

/// What of it is drawn.
fn looks(ui: &mut Ui, solving: &Solving, asks: &mut Vec<Ask>) {
    let looks = solving.looks;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let (mut after, mut before) = (looks.after, looks.before);
        let tip = "Dashed: the solved sections. Around them the band of one standard deviation.";
        if ui.checkbox(&mut after, "Solved, with band").on_hover_text(tip).changed() {
            asks.push(Ask::Solving(SolvingAsk::ShowAfter(after)));
        }
        let tip = "What was drawn before the solve.";
        if ui.checkbox(&mut before, "Before").on_hover_text(tip).changed() {
            asks.push(Ask::Solving(SolvingAsk::ShowBefore(before)));
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        note(ui, "Band drawn");
        for times in [1.0, 5.0, 20.0] {
            let choice = ui.selectable_label(looks.times == times, format!("× {times:.0}"));
            if choice.accessible_name(format!("Band drawn {times:.0} times as wide")).clicked() {
                asks.push(Ask::Solving(SolvingAsk::Widen(times)));
            }
        }
    });
}
