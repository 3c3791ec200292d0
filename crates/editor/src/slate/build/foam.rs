//! Foam blocks, the boards and cards they are cut from, and what all of it weighs.

use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use egui::Ui;
use project::build::Build;

/// All settings of foam and card, and the counts.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let foam = build.now.foam;
    build.explained(
        ui,
        ("Sanding allowance", "Foam that a block is larger all round than its faces."),
        foam.allowance,
        asks,
        |build, mm| build.foam.allowance = mm,
    );
    build.length(ui, "Board length", foam.board[0], asks, |build, mm| build.foam.board[0] = mm);
    build.length(ui, "Board width", foam.board[1], asks, |build, mm| build.foam.board[1] = mm);
    build.explained(
        ui,
        ("Width of the cut", "Foam that saw or wire take away between two blocks."),
        foam.kerf,
        asks,
        |build, mm| build.foam.kerf = mm,
    );
    build.explained(
        ui,
        ("Board's margin", "Left free along the edges of boards and of sheets of card."),
        foam.edge,
        asks,
        |build, mm| build.foam.edge = mm,
    );
    build.number(ui, "Foam density", ("kg/m³", 1, 0.2), foam.density, asks, |build, density| {
        build.foam.density = density;
    });
    build.number(ui, "Card weight", ("g/m²", 0, 2.0), foam.card_weight, asks, |build, weight| {
        build.foam.card_weight = weight;
    });
    build.length(ui, "Card length", foam.card_sheet[0], asks, |build, mm| build.foam.card_sheet[0] = mm);
    build.length(ui, "Card width", foam.card_sheet[1], asks, |build, mm| build.foam.card_sheet[1] = mm);
    super::derived(ui, seen, |ui| counts(ui, seen, build));
}

fn counts(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>) {
    let plan = &seen.planned.plan;
    heading(ui, "What it takes");
    if plan.blocks.is_empty() {
        note(ui, "The counts appear once there is a stack of boards.");
        return;
    }
    reading(ui, "Foam blocks", plan.blocks.len().to_string());
    for board in &plan.boards {
        let nesting = &board.nesting;
        let thickness = format!("Boards {}", build.units.length(board.thickness));
        let waste = 100.0 * nesting.waste;
        reading(ui, &thickness, format!("{}, {waste:.0} % waste", nesting.boards));
    }
    reading(ui, "Sheets of card", plan.card_sheets.boards.to_string());
    reading(ui, "Foam, sanded", format!("{:.0} g, {}", plan.mass.foam, build.units.volume(plan.mass.foam_volume)));
    reading(ui, "Card", format!("{:.0} g", plan.mass.card));
}
