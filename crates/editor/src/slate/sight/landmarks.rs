//! Landmarks: things whose place on the machine is known. What is picked next, what contradicts the rest, and the list of all.

mod details;
mod list;
mod next;
mod place;
mod suspects;

pub(super) use place::{Touched, number};

use super::OnTable;
use crate::commands::Command;
use crate::light_table::landmarks::LandmarkAsk;
use crate::light_table::landmarks::rows::{Row, State, rows, worst_first};
use crate::light_table::picking::Marking;
use crate::slate::{Ask, Seen, command_button, note};
use crate::view::{Tool, ViewState};
use egui::{Align, Layout, Ui};

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let picking = matches!(view.tool, Tool::Mark(Marking::Landmark));
    ui.horizontal_wrapped(|ui| {
        if picking {
            let end = ui.button("End picking").on_hover_text("Escape does the same.");
            if end.clicked() {
                asks.push(Ask::Command(Command::Select));
            }
        } else {
            command_button(ui, Command::PickLandmarks, asks);
        }
    });
    if picking {
        next::thing(ui, seen, view, on, asks);
    }
    let landmarks = &on.picture.photograph.landmarks;
    if landmarks.is_empty() {
        note(
            ui,
            "Pick at least six things whose place on the machine you know, in depth as well as across: or four, and give \
             the focal length under Camera.",
        );
        return;
    }
    let found = seen.table.cameras.as_ref().and_then(|cameras| cameras.found(on.index));
    let mut rows = rows(seen.document, on.index, found.map(|found| &**found));
    summary(ui, seen, &rows, asks);
    if let Some(found) = found {
        suspects::boxes(ui, seen, view, on, found, asks);
    }
    if seen.table.landmarks.worst_first {
        worst_first(&mut rows);
    }
    list::list(ui, seen, view, on, &rows, asks);
    note(
        ui,
        format!("Lengths are at the model; its full size is {} times as large.", plain(seen.document.model_scale)),
    );
}

/// How many there are, and how well they fit.
fn summary(ui: &mut Ui, seen: &Seen<'_>, rows: &[Row], asks: &mut Vec<Ask>) {
    let counting = rows.iter().filter(|row| matches!(row.state, State::Counts | State::NoCamera)).count();
    let open = rows.iter().filter(|row| row.state == State::Open).count();
    let mut text = format!("{counting} of {} count.", rows.len());
    if open > 0 {
        text += &format!(" {open} to be told.");
    }
    let fits = rows.iter().any(|row| row.off.is_some());
    ui.horizontal(|ui| {
        note(ui, text);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let mut first = seen.table.landmarks.worst_first;
            if fits && ui.checkbox(&mut first, "worst first").changed() {
                asks.push(Ask::Landmark(LandmarkAsk::WorstFirst(first)));
            }
        });
    });
}

/// A ratio without needless decimals.
pub(super) fn plain(ratio: f64) -> String {
    let text = format!("{ratio:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
