//! Openings on the floor: drawn in every view, taken hold of in the one they are drawn in.

use super::item::OpeningGrip;
use crate::app::App;
use crate::floor::scene::Scene;
use crate::view::ViewState;
use project::document::Document;
use project::edit::Edit;

/// Openings as they lie on the surface.
#[derive(Debug, Default)]
pub(crate) struct OpeningsWork {}

/// Something about openings that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum OpeningsAsk {}

pub(super) fn act(_app: &mut App, asked: OpeningsAsk) {
    match asked {}
}

pub(super) fn refresh(_app: &mut App) {}

pub(super) fn add_to(_scene: &mut Scene, _document: &Document, _view: &ViewState, _work: &OpeningsWork) {}

pub(super) fn edit_for(
    _document: &Document,
    _form: usize,
    _opening: usize,
    _grip: OpeningGrip,
    _at: [f64; 2],
) -> Option<Edit> {
    None
}
