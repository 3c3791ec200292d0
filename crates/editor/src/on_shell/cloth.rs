//! Cloth on the floor: the heat map of its shear, where it is begun and which way its warp lies.

use super::OnShell;
use crate::app::App;
use crate::derived::Derived;
use crate::floor::draw::Look;
use crate::floor::layout::View;
use crate::floor::scene::Scene;
use crate::view::ViewState;
use project::document::Document;
use project::edit::Edit;

/// Cloth as it was draped last, and what is under way.
pub(crate) struct ClothWork {}

impl ClothWork {
    pub(crate) fn new(_ctx: &egui::Context) -> Self {
        Self {}
    }
}

/// Something about cloth that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ClothAsk {}

pub(super) fn act(_app: &mut App, _ctx: &egui::Context, asked: ClothAsk) {
    match asked {}
}

pub(super) fn refresh(_app: &mut App) {}

pub(super) fn add_to(
    _scene: &mut Scene,
    _document: &Document,
    _derived: &Derived,
    _view: &ViewState,
    _work: &ClothWork,
) {
}

pub(super) fn edit_for(
    _document: &Document,
    _derived: &Derived,
    _item: OnShell,
    _view: View,
    _at: [f64; 2],
) -> Option<Edit> {
    None
}

pub(super) fn paint(_painter: &egui::Painter, _app: &App, _look: &Look<'_>) {}
