//! Where the photograph was taken from.

use super::OnTable;
use crate::slate::field::reading;
use crate::slate::{Ask, Seen, note};
use crate::view::ViewState;
use egui::Ui;

/// What the landmarks say of the camera.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, _asks: &mut Vec<Ask>) {
    let Some(cameras) = &seen.table.cameras else { return };
    match cameras.of(on.index) {
        None => note(ui, "Looking for the camera…"),
        Some(Err(why)) => note(ui, why.to_string()),
        Some(Ok(found)) => {
            let sigmas = &found.resection.sigmas;
            let focal = found.resection.camera.camera.focal_px;
            reading(ui, "Focal length", format!("{focal:.0} ± {:.0} px", sigmas.focal_px));
            reading(ui, "Distance", format!("± {}", view.units.length(sigmas.distance_mm)));
        }
    }
}
