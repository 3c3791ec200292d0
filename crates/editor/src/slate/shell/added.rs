//! The page about added forms.

use crate::slate::{Ask, Seen};
use crate::view::ViewState;
use egui::Ui;

pub(super) fn page(_ui: &mut Ui, _seen: &Seen<'_>, _view: &ViewState, _asks: &mut Vec<Ask>) {}
