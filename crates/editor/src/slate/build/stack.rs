//! Boards and cards as they are, the ledger that follows, and the stations that the curve asks for.

use super::{cross, hundredths};
use crate::slate::field;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use egui::Ui;
use plug::LayerKind;
use project::build::{Build, Closing};
use project::edit::Edit;

/// The stack.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let stack = &build.now.stack;
    build.tick(ui, "Build the plug as a stack", stack.used, asks, |build, used| build.stack.used = used);
    spacing(ui, seen, build, asks);
    if !stack.used {
        note(ui, "Boards of foam with a card between each two. Tick it, and enter the boards as you measure them.");
        return;
    }
    boards(ui, build, asks);
    build.length(ui, "Card", stack.card, asks, |build, mm| build.stack.card = mm);
    build.length(ui, "Glue per joint", stack.glue, asks, |build, mm| build.stack.glue = mm);
    build.tick(ui, "The foremost face is foam alone", stack.foam_front, asks, |build, foam| {
        build.stack.foam_front = foam;
    });
    build.length(ui, "Nose foam", stack.nose_foam, asks, |build, mm| build.stack.nose_foam = mm);
    build.length(ui, "Ring plate", stack.ring_plate, asks, |build, mm| build.stack.ring_plate = mm);
    let ways = [
        ("by the last board", Closing::LastBoard),
        ("by moving the front", Closing::MoveDatum),
        ("by all boards", Closing::Spread),
    ];
    build.choice(ui, "The end is met", &ways, stack.closing, asks, |build, closing| build.stack.closing = closing);
    ledger(ui, seen, build.units);
}

fn boards(ui: &mut Ui, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    heading(ui, "Boards, from the front");
    let boards = &build.now.stack.boards;
    if boards.is_empty() {
        note(ui, "None yet. Measure each board: one sold as 30 mm may be 28 to 32.");
    }
    for (index, board) in boards.iter().enumerate() {
        ui.horizontal(|ui| {
            let label = format!("Board {}", index + 1);
            build.length(ui, &label, *board, asks, |build, mm| {
                if let Some(board) = build.stack.boards.get_mut(index) {
                    *board = mm;
                }
            });
            if cross(ui, &format!("Remove board {}", index + 1)) {
                let mut next = build.now.clone();
                next.stack.boards.remove(index);
                asks.push(Ask::Do((build.edit)(next)));
            }
        });
    }
    build.button(ui, "Add a board", "As thick as the last one.", asks, |build| {
        let thickness = build.stack.boards.last().copied().unwrap_or(30.0);
        build.stack.boards.push(thickness);
    });
}

/// Every layer with its thickness in the stack and the running sum.
fn ledger(ui: &mut Ui, seen: &Seen<'_>, units: Units) {
    let ledger = &seen.measures.plan.ledger;
    heading(ui, "Ledger");
    if ledger.layers.is_empty() {
        note(ui, "It appears once the form has a surface and there are boards enough.");
        return;
    }
    field::reading(ui, "As measured", units.length(ledger.measured_length));
    field::reading(ui, "Wanted", units.length(ledger.end - ledger.front));
    let way = if ledger.difference >= 0.0 { "too short" } else { "too long" };
    field::reading(ui, "Difference", format!("{} {way}", units.length(ledger.difference.abs())));
    if ledger.glue > 0.0 {
        field::reading(ui, "Glue joints", format!("{} of {}", ledger.joints(), hundredths(ledger.glue, units)));
    }
    egui::Grid::new("ledger").num_columns(4).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["layer", "thick", "rear at", "sum"] {
            note(ui, text);
        }
        ui.end_row();
        for layer in &ledger.layers {
            let changed = (layer.thickness - layer.measured).abs() > 5e-3;
            let name = name(layer.kind);
            ui.label(if changed { format!("{name} *") } else { name });
            for mm in [layer.thickness, layer.rear, layer.sum] {
                ui.label(hundredths(mm, units));
            }
            ui.end_row();
        }
    });
    if ledger.layers.iter().any(|l| (l.thickness - l.measured).abs() > 5e-3) {
        note(ui, "* made thicker or thinner than measured, so that the end is met.");
    }
}

fn name(kind: LayerKind) -> String {
    match kind {
        LayerKind::RingPlate => "ring plate".into(),
        LayerKind::NoseFoam => "nose foam".into(),
        LayerKind::Card(n) => format!("card {n}"),
        LayerKind::Board(n) => format!("board {n}"),
    }
}

/// Formers where the curvature wants them.
fn spacing(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let allowed = build.now.stack.allowed_sagitta;
    build.length(ui, "Allowed sagitta", allowed, asks, |build, mm| build.stack.allowed_sagitta = mm);
    let stations = &seen.measures.proposal.stations;
    if stations.is_empty() {
        return;
    }
    note(ui, format!("Sanded straight from former to former, that takes {} stations.", stations.len()));
    let button = ui.button("Set these stations").on_hover_text("Puts them in place of the first form's stations.");
    if button.clicked() {
        asks.push(Ask::Do(Edit::SetStations { form: 0, stations: stations.clone() }));
    }
}
