//! The resin as its maker's sheet tells it, and the pots it is mixed in.

use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use egui::{Grid, RichText, Ui};
use project::shell::Shell;

/// Resin and pots.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, shell: &Part<'_, Shell>, asks: &mut Vec<Ask>) {
    heading(ui, "Resin");
    let resin = &shell.now.laminate.resin;
    shell.text(ui, "Resin", &resin.name, asks, |shell, name| shell.laminate.resin.name = name);
    shell.number(ui, "Cured density", ("g/cm³", 2, 0.01), resin.density, asks, |shell, v| {
        shell.laminate.resin.density = v;
    });
    shell.number(ui, "Hardener to 100", ("g", 1, 0.1), resin.hardener_per_100, asks, |shell, v| {
        shell.laminate.resin.hardener_per_100 = v;
    });
    shell.number(ui, "Pot life", ("min", 0, 0.2), resin.pot_life, asks, |shell, v| shell.laminate.resin.pot_life = v);
    shell.number(ui, "Largest pot", ("g", 0, 1.0), resin.largest_pot, asks, |shell, v| {
        shell.laminate.resin.largest_pot = v;
    });
    shell.number(ui, "Laid in a minute", ("g", 1, 0.05), resin.laid_per_minute, asks, |shell, v| {
        shell.laminate.resin.laid_per_minute = v;
    });
    shell.number(ui, "Waste", ("%", 0, 0.1), 100.0 * resin.waste, asks, |shell, v| {
        shell.laminate.resin.waste = 0.01 * v;
    });
    ui.push_id("pots", |ui| pots(ui, seen));
    note(ui, "The maker's sheet goes before all of this. A large pot heats itself: spread it out, never leave it.");
    note(ui, "Gloves, fresh air, no skin contact: resin and hardener can make you allergic for life.");
}

fn pots(ui: &mut Ui, seen: &Seen<'_>) {
    let Some(weighing) = seen.shell.and_then(|shell| shell.weights.weighing()) else { return };
    for shell in weighing.shells.iter().filter(|shell| !shell.pots.pots.is_empty()) {
        ui.label(RichText::new(format!("Pots for {}", shell.name)).strong());
        Grid::new(("pots", &shell.name)).num_columns(5).spacing([10.0, 3.0]).striped(true).show(ui, |ui| {
            for text in ["pot", "plies", "resin", "hardener", "lay within"] {
                note(ui, text);
            }
            ui.end_row();
            for (index, pot) in shell.pots.pots.iter().enumerate() {
                ui.label((index + 1).to_string());
                let (first, last) = (pot.plies.0 + 1, pot.plies.1 + 1);
                ui.label(if first == last { first.to_string() } else { format!("{first}–{last}") });
                ui.label(format!("{:.1} g", pot.resin));
                ui.label(format!("{:.1} g", pot.hardener));
                ui.label(format!("{:.0} min", pot.minutes));
                ui.end_row();
            }
        });
    }
}
