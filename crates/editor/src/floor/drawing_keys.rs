//! The keys that everything drawn click by click on the floor answers to.

use egui::{Key, Modifiers};

/// What a key says of the drawing under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DrawingKey {
    /// Enter: what is drawn is whole.
    Finish,
    /// Escape: it is dropped.
    Cancel,
    /// Backspace, or undo: the last point is taken back.
    TakeBack,
}

/// The key that was pressed, taken from the frame's input; none while a number is typed.
pub(crate) fn drawing_key(ctx: &egui::Context) -> Option<DrawingKey> {
    if ctx.text_edit_focused() {
        return None;
    }
    let pressed = |modifiers, key| ctx.input_mut(|i| i.consume_key(modifiers, key));
    if pressed(Modifiers::NONE, Key::Enter) {
        return Some(DrawingKey::Finish);
    }
    if pressed(Modifiers::NONE, Key::Escape) {
        return Some(DrawingKey::Cancel);
    }
    let back = pressed(Modifiers::NONE, Key::Backspace) || pressed(Modifiers::COMMAND, Key::Z);
    back.then_some(DrawingKey::TakeBack)
}
