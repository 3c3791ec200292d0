//! Boards and cards as they are, and the ledger that follows.

use super::{cross, derived, spacing};
use crate::commands::Command;
use crate::slate::field;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, command_button, heading, note, project_page};
use crate::units::Units;
use crate::view::{Spot, ViewState};
use egui::{Align, Color32, Id, RichText, Ui};
use plug::{Layer, LayerKind};
use project::build::{Build, Closing};
use project::stacking::{RingPlate, ring_plate};

/// The stack.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let stack = &build.now.stack;
    if stack.boards.is_empty() {
        beginning(ui, seen, asks);
    }
    build.tick(ui, "Build the plug as a stack", stack.used, asks, |build, used| build.stack.used = used);
    if stack.used {
        settings(ui, seen, build, asks);
        derived(ui, seen, |ui| ledger(ui, seen, view));
    } else if !stack.boards.is_empty() {
        note(ui, "Until it is ticked, templates are printed for the form's own stations, without card and slots.");
    }
    spacing::part(ui, seen, build, asks);
}

/// Before there are boards: what to do first.
fn beginning(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    if seen.derived.loft().is_none() {
        note(ui, "Draw a form first: a stack of boards has to fill its length.");
        project_page::next_step(ui, seen, asks);
        return;
    }
    note(ui, "Foam boards with a card between each two. Begin with boards of 30 mm that fill the length:");
    command_button(ui, Command::PlanPlug, asks);
    note(ui, "Then measure each board and type its own thickness; formers, blocks and ledger follow.");
}

fn settings(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let stack = &build.now.stack;
    boards(ui, build, asks);
    build.explained(
        ui,
        ("Card", "Thickness of the card between two boards, as measured."),
        stack.card,
        asks,
        |build, mm| build.stack.card = mm,
    );
    build.explained(
        ui,
        ("Glue per joint", "Thickness of the glue between two layers."),
        stack.glue,
        asks,
        |build, mm| build.stack.glue = mm,
    );
    build.tick(ui, "The foremost face is foam alone", stack.foam_front, asks, |build, foam| {
        build.stack.foam_front = foam;
    });
    build.explained(
        ui,
        ("Nose foam", "Foam ahead of the first face, for a rounded front; 0 for none."),
        stack.nose_foam,
        asks,
        |build, mm| build.stack.nose_foam = mm,
    );
    match ring_plate(stack, &seen.document.airframe) {
        RingPlate::InStack(thickness) => build.explained(
            ui,
            ("Ring plate", "Thickness of the plate ahead of all; 0 for none."),
            thickness,
            asks,
            |build, mm| build.stack.ring_plate = mm,
        ),
        RingPlate::OnThrustLine(thickness) => {
            field::reading(ui, "Ring plate", build.units.length(thickness));
            note(ui, "It is the ring of the thrust line, on the page Bench, and stands ahead of the stack.");
        }
    }
    let ways = [
        ("by the last board", Closing::LastBoard),
        ("by moving the front", Closing::MoveDatum),
        ("by all boards", Closing::Spread),
    ];
    build.choice(ui, "The end is met", &ways, stack.closing, asks, |build, closing| build.stack.closing = closing);
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
fn ledger(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState) {
    let (ledger, units) = (&seen.planned.plan.ledger, view.units);
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
        field::reading(ui, "Glue joints", format!("{} of {}", ledger.joints(), units.fine(ledger.glue)));
    }
    let fresh = came_anew(ui, view.spot);
    egui::Grid::new("ledger").num_columns(4).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["layer", "thick", "rear at", "sum"] {
            note(ui, text);
        }
        ui.end_row();
        let marked = view.spot.and_then(|spot| layer_at(&ledger.layers, spot));
        for (index, layer) in ledger.layers.iter().enumerate() {
            row(ui, layer, units, (marked == Some(index)).then_some(seen.theme.accent), fresh);
        }
    });
    if ledger.layers.iter().any(is_changed) {
        note(ui, "* made thicker or thinner than measured, so that the end is met.");
    }
}

/// A layer; one that a finding led to takes the accent, and comes into view when it has just done so.
fn row(ui: &mut Ui, layer: &Layer, units: Units, accent: Option<Color32>, fresh: bool) {
    let text = |text: String| match accent {
        Some(accent) => RichText::new(text).color(accent),
        None => RichText::new(text),
    };
    let star = if is_changed(layer) { " *" } else { "" };
    let first = ui.label(text(format!("{}{star}", name(layer.kind))));
    for mm in [layer.thickness, layer.rear, layer.sum] {
        ui.label(text(units.fine(mm)));
    }
    if fresh && accent.is_some() {
        first.scroll_to_me(Some(Align::Center));
    }
    ui.end_row();
}

fn is_changed(layer: &Layer) -> bool {
    (layer.thickness - layer.measured).abs() > 5e-3
}

/// The layer that a spot lies in, or whose front it is.
fn layer_at(layers: &[Layer], spot: Spot) -> Option<usize> {
    let x = spot.station?;
    layers.iter().position(|layer| layer.front - 1e-6 <= x && x < layer.rear - 1e-6)
}

/// Whether the spot is another than when the ledger was drawn last.
fn came_anew(ui: &Ui, spot: Option<Spot>) -> bool {
    let known = ui.data_mut(|d| {
        let known = d.get_temp_mut_or_default::<Option<Spot>>(Id::unique("spot in the ledger"));
        std::mem::replace(known, spot)
    });
    spot.is_some() && spot != known
}

fn name(kind: LayerKind) -> String {
    match kind {
        LayerKind::RingPlate => "ring plate".into(),
        LayerKind::NoseFoam => "nose foam".into(),
        LayerKind::Card(n) => format!("card {n}"),
        LayerKind::Board(n) => format!("board {n}"),
    }
}
