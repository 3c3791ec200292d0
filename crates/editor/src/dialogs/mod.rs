//! Dialogs in the window: one at a time, each with its own question.

mod cutting;
pub(crate) mod files;
mod numbers;
mod palette;
pub(crate) mod path;
pub(crate) mod questions;
pub(crate) mod waiting;
pub(crate) mod writing;

use crate::app::App;
use crate::theme;
use desk::Recovery;
use egui::{Frame, Id, Key, Margin, Modal, RichText, Ui};
use std::path::PathBuf;

pub(crate) use cutting::Cutting;
pub(crate) use numbers::{Copy, Distance, Spread};
pub(crate) use palette::Palette;
pub(crate) use path::{PathDialog, Purpose};
pub(crate) use waiting::Waiting;
pub(crate) use writing::Writing;

/// The dialog that is open.
pub(crate) enum Dialog {
    /// Chooses a file, where the system has no dialog of its own.
    Path(PathDialog),
    /// Finds a command by its name.
    Palette(Palette),
    /// Unsaved work stands in the way.
    Unsaved(After),
    /// A file is in the way.
    Overwrite { path: PathBuf, why: String, changed: bool, then: Option<After> },
    /// Somebody else wrote the project's file.
    Changed,
    /// The project could not be saved where it was to be.
    NotSaved { why: String, then: Option<After> },
    /// Which view a new picture lies under.
    PictureView(questions::NewPicture),
    /// Stations at a pitch or from a list.
    Spread(Spread),
    /// Copies a control section to another station.
    Copy(Copy),
    /// The real distance between two picked points.
    Distance(Distance),
    /// Unsaved work of an earlier run; the value goes when it is answered.
    Recovery(Option<Recovery>),
    /// A file is being read or written.
    Waiting(Waiting),
    /// How wide a machine cuts.
    Cutting(Cutting),
    /// Something that takes a while is being written.
    Writing(Writing),
    /// Something to read.
    Told { title: String, text: String },
}

/// What comes after unsaved work was dealt with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum After {
    New,
    AskOpen,
    Demo(desk::demo::Demo),
    Open(PathBuf),
    Quit,
}

/// Whether a dialog stays open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stay {
    Open,
    Closed,
}

/// Shows the open dialog, if any.
pub(crate) fn show(ctx: &egui::Context, app: &mut App) {
    let Some(mut dialog) = app.dialog.take() else { return };
    let escaped = ctx.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Escape));
    let stay = match &mut dialog {
        Dialog::Path(path) => path::show(ctx, app, path),
        Dialog::Palette(palette) => palette::show(ctx, app, palette),
        Dialog::Unsaved(after) => questions::unsaved(ctx, app, after),
        Dialog::Overwrite { path, why, changed, then } => {
            questions::overwrite(ctx, app, path, why, *changed, then.as_ref())
        }
        Dialog::Changed => questions::changed(ctx, app),
        Dialog::NotSaved { why, then } => questions::not_saved(ctx, app, why, then.as_ref()),
        Dialog::PictureView(picture) => questions::picture_view(ctx, app, picture),
        Dialog::Spread(spread) => numbers::spread(ctx, app, spread),
        Dialog::Copy(copy) => numbers::copy(ctx, app, copy),
        Dialog::Distance(distance) => numbers::distance(ctx, app, distance),
        Dialog::Recovery(recovery) => questions::recovery(ctx, app, recovery),
        Dialog::Waiting(waiting) => waiting::show(ctx, app, waiting),
        Dialog::Cutting(cutting) => cutting::show(ctx, app, cutting),
        Dialog::Writing(writing) => writing::show(ctx, app, writing),
        Dialog::Told { title, text } => questions::told(ctx, title, text),
    };
    // A dialog may have opened the next one.
    if stay == Stay::Open && !escaped && app.dialog.is_none() {
        app.dialog = Some(dialog);
    } else if escaped {
        ctx.request_repaint();
    }
}

/// The frame all dialogs share.
fn modal(ctx: &egui::Context, title: &str, width: f32, contents: impl FnOnce(&mut Ui)) {
    let frame = Frame::window(&ctx.global_style()).inner_margin(Margin::same(18));
    let modal = Modal::new(Id::unique("dialog")).frame(frame);
    modal.show(ctx, |ui| {
        ui.set_width(width);
        ui.label(RichText::new(title).font(theme::bold(theme::TITLE)));
        ui.add_space(6.0);
        contents(ui);
    });
}

/// Buttons at the foot of a dialog: the first is the one that Enter presses. Gives the index of the pressed one.
fn buttons(ui: &mut Ui, labels: &[&str], enter: bool) -> Option<usize> {
    ui.add_space(12.0);
    let mut pressed = None;
    let row = egui::vec2(ui.available_width(), 30.0);
    ui.allocate_ui_with_layout(row, egui::Layout::right_to_left(egui::Align::Center), |ui| {
        for (index, label) in labels.iter().enumerate() {
            let text = RichText::new(*label);
            let text = if index == 0 { text.strong() } else { text };
            if ui.add(egui::Button::new(text).selected(index == 0).min_size(egui::vec2(84.0, 28.0))).clicked() {
                pressed = Some(index);
            }
        }
    });
    if enter && ui.input(|i| i.key_pressed(Key::Enter)) {
        pressed = pressed.or(Some(0));
    }
    pressed
}

/// What is typed next takes the place of what a field holds. A field selects its text by itself only when it is clicked
/// or reached by Tab, not when it is given the keys as its dialog opens.
fn select_all(ui: &Ui, field: egui::Id) {
    use egui::text::{CCursor, CCursorRange};
    let mut state = egui::TextEdit::load_state(ui.ctx(), field).unwrap_or_default();
    // A place behind the end means the end.
    state.cursor.set_char_range(Some(CCursorRange::two(CCursor::default(), CCursor::new(LONGEST))));
    state.store(ui.ctx(), field);
}

/// More characters than a field of one line is given.
const LONGEST: usize = 10_000;
