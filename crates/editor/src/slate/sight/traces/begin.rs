//! An empty form begun from what is traced: what it will be is told before.

use super::line::tolerance;
use crate::light_table::tracing::asks::TraceAsk;
use crate::light_table::tracing::beginning::{self, Beginning, Told};
use crate::slate::field::reading;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::ViewState;
use desk::photographs::EndKind;
use egui::Ui;

/// The part, while the form is empty.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    if !beginning::is_wanted(seen.document) {
        return;
    }
    heading(ui, "The form is empty");
    match seen.table.tracing.beginning.as_ref().and_then(Beginning::begun) {
        None => note(ui, "Reading what is traced…"),
        Some(Err(why)) => note(ui, format!("Not yet: {why}")),
        Some(Ok(told)) => {
            tell(ui, view, told);
            tolerance(ui, seen, view, asks);
            let begin = egui::Button::new("Begin the form").fill(seen.theme.accent_wash);
            if ui.add(begin).on_hover_text("Draws these lines and sections, as one step.").clicked() {
                asks.push(Ask::Trace(TraceAsk::Begin));
            }
        }
    }
}

fn tell(ui: &mut Ui, view: &ViewState, told: &Told) {
    let begun = &told.begun;
    let Some(form) = begun.after.forms.first() else { return };
    for read in &begun.read {
        let points = form.lines.get(read.line).points.len();
        reading(ui, read.line.label(), format!("{points} for {} traced", read.points.len()));
    }
    let [front, rear] = begun.ends.map(|end| match end {
        EndKind::Ring => "the ring",
        EndKind::Fuselage => "the fuselage's end",
        EndKind::Point => "a point",
    });
    let crown = form.lines.get(project::document::LineName::Crown);
    if let (Some(first), Some(last)) = (crown.points.first(), crown.points.last()) {
        let [from, to] = [first, last].map(|p| view.units.length(p.x));
        note(ui, format!("It runs from {front} at {from} to {rear} at {to}."));
    }
    let corrected = begun.read.iter().filter_map(|r| r.greatest_error()).reduce(f64::max);
    if let Some(error) = corrected {
        reading(ui, "Depth corrected", format!("up to {}", view.units.length(error)));
    }
    note(ui, "Breadth and its height go in proportion to the depth: a guess, until the sections are solved.");
    for line in &begun.notes {
        note(ui, line.as_str());
    }
}
