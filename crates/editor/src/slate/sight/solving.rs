//! Sections solved from what is traced.

use super::OnTable;
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::Ui;

/// What can be solved, and what came of it.
pub(super) fn page(ui: &mut Ui, _seen: &Seen<'_>, _view: &ViewState, on: &OnTable<'_>, _asks: &mut Vec<Ask>) {
    if on.picture.photograph.traces.is_empty() {
        note(ui, "Trace the form's outline, and seams at known stations.");
    }
}
