//! What a photograph says without a camera: scale from several distances, its lens from straight lines, the plane of a flat
//! figure.

mod distances;
mod figure;
mod lens;
mod square;

use super::OnTable;
use crate::slate::{Ask, Seen};
use crate::view::ViewState;
use egui::Ui;

/// Distances, straight lines, the figure.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let Some(read) = seen.table.flat.read() else { return };
    distances::part(ui, seen, view, on, read, asks);
    lens::part(ui, seen, on, read, asks);
    figure::part(ui, seen, view, on, read, asks);
}
