//! What follows from the plies: thickness, fibre and mass of each, and what to buy.

use crate::slate::{Seen, heading, note};
use crate::view::ViewState;
use egui::{Grid, RichText, Ui};
use project::laminate::Span;

/// The ply table of every shell.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState) {
    let Some(weights) = seen.shell.map(|shell| &shell.weights) else { return };
    weights.standing(ui, seen.theme);
    let Some(weighing) = weights.weighing() else { return };
    if let Err(error) = &weighing.thickness {
        if !seen.document.shell.laminate.plies.is_empty() {
            ui.label(RichText::new(format!("There is no laminate to compute: {error}.")).color(seen.theme.warning));
        }
        return;
    }
    for shell in &weighing.shells {
        heading(ui, &shell.name);
        Grid::new(("ply table", &shell.name)).num_columns(4).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
            for text in ["ply", "fibre", "thick, mm", "mass, g"] {
                note(ui, text);
            }
            ui.end_row();
            for row in &shell.plies {
                let own = if row.by_coupon { "By your own test piece." } else { "By the way of laying up." };
                let tip = format!(
                    "{} g/m², {} covered; cloth {}, resin {}.",
                    row.areal_weight,
                    view.units.area(row.area),
                    grams(row.cloth),
                    grams(row.resin)
                );
                ui.label(format!("{}", row.ply + 1)).on_hover_text(tip);
                ui.label(range(row.fibre_volume.times(100.0), 0) + " %").on_hover_text(own);
                ui.label(range(row.thickness, 2));
                ui.label(range(row.mass, 0));
                ui.end_row();
            }
        });
        let total = shell.mass.mass;
        ui.label(format!("With filler and paint: {}", grams(total)));
    }
}

/// What to buy.
pub(super) fn shopping(ui: &mut Ui, seen: &Seen<'_>) {
    let Some(weighing) = seen.shell.and_then(|shell| shell.weights.weighing()) else { return };
    if weighing.shopping.is_empty() {
        return;
    }
    heading(ui, "To buy");
    Grid::new("shopping").num_columns(2).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for item in &weighing.shopping {
            ui.label(RichText::new(&item.what).small());
            let decimals = if item.unit == "g" { 0 } else { 2 };
            ui.label(format!("{:.decimals$} {}", item.amount.high, item.unit));
            ui.end_row();
        }
    });
    note(ui, "The greatest of each range, so that it does not run out.");
}

/// Likely, with its range.
pub(in crate::slate::shell) fn range(span: Span, decimals: usize) -> String {
    let [low, likely, high] = span.ends();
    if format!("{low:.decimals$}") == format!("{high:.decimals$}") {
        return format!("{likely:.decimals$}");
    }
    format!("{likely:.decimals$} ({low:.decimals$}–{high:.decimals$})")
}

/// Grams with their range.
pub(in crate::slate::shell) fn grams(span: Span) -> String {
    format!("{} g", range(span, if span.high < 20.0 { 1 } else { 0 }))
}
