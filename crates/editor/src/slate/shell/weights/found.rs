//! What the shell weighs, what changes by it, and what restores the balance.

use crate::slate::shell::laminate::{grams, range};
use crate::slate::{Seen, heading, note};
use crate::units::Units;
use crate::view::ViewState;
use desk::shell::mass::{PlugMass, Weighing};
use egui::{Grid, RichText, Ui};
use shell::balance::{Balance, Ballast};

/// All of it.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState) {
    let Some(weights) = seen.shell.map(|shell| &shell.weights) else { return };
    weights.standing(ui, seen.theme);
    let Some(weighing) = weights.weighing() else { return };
    masses(ui, weighing, view.units);
    if let Some(balance) = &weighing.balance {
        balanced(ui, seen, balance, view.units);
    }
    if let Some(plug) = &weighing.plug {
        plugged(ui, plug);
    }
    for missing in &weighing.missing {
        ui.label(&missing.what);
        note(ui, &missing.hint);
    }
}

fn masses(ui: &mut Ui, weighing: &Weighing, units: Units) {
    if weighing.parts.is_empty() {
        return;
    }
    heading(ui, "What comes on");
    if let Some(whole) = &weighing.whole {
        ui.label(RichText::new(format!("Together {}", grams(whole.mass))).strong());
    }
    Grid::new("masses").num_columns(3).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["", "mass, g", "station"] {
            note(ui, text);
        }
        ui.end_row();
        for line in &weighing.parts {
            let decimals = if line.part.mass.high < 20.0 { 1 } else { 0 };
            ui.label(RichText::new(&line.part.name).small());
            ui.label(RichText::new(range(line.part.mass, decimals)).small());
            ui.label(RichText::new(units.number(line.part.centre[0].likely)).small());
            ui.end_row();
        }
    });
    let Some(whole) = &weighing.whole else { return };
    let [x, y, z] = whole.centre.map(|c| c.likely);
    note(ui, format!("Centre at station {}, {}, {}.", units.length(x), units.aside(y), units.height(z)));
    let moments: Vec<String> = whole.inertia.iter().map(|i| range(i.times(1e-6), 2)).collect();
    note(ui, format!("Moments about it, g·m²: roll {}, pitch {}, yaw {}.", moments[0], moments[1], moments[2]));
    if let Some(off) = &weighing.replaced {
        let more = whole.mass.likely - off.part.mass.likely;
        let word = if more >= 0.0 { "heavier" } else { "lighter" };
        ui.label(format!("{:.0} g {word} than what it replaces ({}).", more.abs(), grams(off.part.mass)));
    }
}

fn balanced(ui: &mut Ui, seen: &Seen<'_>, balance: &Balance, units: Units) {
    heading(ui, "The aircraft's balance");
    Grid::new("balance").num_columns(3).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["", "mass, g", "centre at station"] {
            note(ui, text);
        }
        ui.end_row();
        let rows =
            [("before", balance.mass_before, balance.before[0]), ("after", balance.mass_after, balance.after[0])];
        for (label, mass, centre) in rows {
            ui.label(label);
            ui.label(range(mass, 0));
            ui.label(range(centre.times(1.0 / units.mm()), units.decimals() - 1));
            ui.end_row();
        }
    });
    let shift = balance.shift[0].likely;
    let way = if shift < 0.0 { "forward" } else { "aft" };
    ui.label(format!("It moves {} {way}.", units.fine(shift.abs()) + " " + units.sign()));
    let (text, colour) = match &balance.ballast {
        Ballast::None => ("Within what is allowed: no ballast.".to_owned(), seen.theme.good),
        Ballast::Add { place, station, grams: mass } => {
            let name = seen.document.shell.weights.ballast.get(*place).map_or("ballast", |place| place.name.as_str());
            (format!("Ballast: {} at {} ({name}).", grams(*mass), units.length(*station)), seen.theme.warning)
        }
        Ballast::NoPlace { aft } => {
            let side = if *aft { "behind" } else { "ahead of" };
            (format!("Ballast is needed {side} the centre; name a place for it below."), seen.theme.warning)
        }
    };
    ui.label(RichText::new(text).color(colour));
    note(ui, "Fix lead so that nothing can shake it loose, then check the balance again before flying.");
}

fn plugged(ui: &mut Ui, plug: &PlugMass) {
    heading(ui, "The plug");
    ui.label(format!("Foam {}, card {}", grams(plug.foam), grams(plug.card)));
    if !plug.planned {
        note(ui, "Without a stack it is taken to be all foam.");
    }
}
