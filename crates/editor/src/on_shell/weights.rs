//! Laminate, mass and balance, computed beside the window's thread.

use crate::app::App;

/// Mass and balance as they were computed last, and what is under way.
pub(crate) struct WeightsWork {}

impl WeightsWork {
    pub(crate) fn new(_ctx: &egui::Context) -> Self {
        Self {}
    }
}

/// Something about mass and balance that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum WeightsAsk {}

pub(super) fn act(_app: &mut App, asked: WeightsAsk) {
    match asked {}
}

pub(super) fn refresh(_app: &mut App) {}
