//! The release in the window: the draft map, what is undercut, and the joint line.

use crate::app::App;
use crate::floor::draw::Look;

/// The release as it was computed last, and what is under way.
pub(crate) struct ReleaseWork {}

impl ReleaseWork {
    pub(crate) fn new(_ctx: &egui::Context) -> Self {
        Self {}
    }
}

/// Something about the release that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ReleaseAsk {}

pub(super) fn act(_app: &mut App, asked: ReleaseAsk) {
    match asked {}
}

pub(super) fn refresh(_app: &mut App) {}

pub(super) fn paint(_painter: &egui::Painter, _app: &App, _look: &Look<'_>) {}
