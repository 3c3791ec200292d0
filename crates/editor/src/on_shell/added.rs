//! Added forms on the floor: where they sit on the first form, and their meeting lines.

use super::item::AddedGrip;
use crate::app::App;
use crate::floor::layout::View;
use crate::floor::scene::Scene;
use crate::view::ViewState;
use project::document::Document;
use project::edit::Edit;

/// Added forms as they lie on the first one.
#[derive(Debug, Default)]
pub(crate) struct AddedWork {}

/// Something about added forms that is no edit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum AddedAsk {}

pub(super) fn act(_app: &mut App, asked: AddedAsk) {
    match asked {}
}

pub(super) fn refresh(_app: &mut App) {}

pub(super) fn add_to(_scene: &mut Scene, _document: &Document, _view: &ViewState, _work: &AddedWork) {}

pub(super) fn edit_for(
    _document: &Document,
    _form: usize,
    _grip: AddedGrip,
    _view: View,
    _at: [f64; 2],
) -> Option<Edit> {
    None
}
