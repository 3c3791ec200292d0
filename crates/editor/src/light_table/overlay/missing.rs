//! Why the form is not drawn over a picture, and the button that leads on.

use crate::app::App;
use crate::commands::Command;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::{Tab, Tool};
use desk::photographs::CameraFailure;
use egui::{Frame, Label, Margin, Rect, RichText, Stroke, Ui, UiBuilder, vec2};

/// Width of the note, in points, where the table has so much.
const WIDTH: f32 = 300.0;

/// What is missing.
#[derive(Debug, PartialEq)]
enum Missing {
    /// The camera is being sought.
    Seeking,
    Camera(String),
    /// The camera is there, the form has no surface yet.
    Surface,
}

/// What stands in the way of seeing the form, if it is wanted.
fn missing(app: &App) -> Option<Missing> {
    let picture = app.table.picture.filter(|_| app.table.shows.form && !matches!(app.view.tool, Tool::Mark(_)))?;
    let cameras = app.table.cameras.as_ref()?;
    match cameras.of(picture) {
        None => Some(Missing::Seeking),
        Some(Err(CameraFailure::NoLandmarks)) => Some(Missing::Camera(
            "This picture has no camera yet, so the form cannot be drawn over it. Pick six or more things whose place on the \
             machine is known; four do where the focal length is known."
                .into(),
        )),
        Some(Err(failure)) => Some(Missing::Camera(failure.to_string())),
        Some(Ok(_)) => app.derived.loft().is_none().then_some(Missing::Surface),
    }
}

/// A short note in the picture's corner.
pub(in crate::light_table) fn note(ui: &mut Ui, app: &mut App, rect: Rect, theme: &Theme, asks: &mut Vec<Ask>) {
    let Some(missing) = missing(app) else { return };
    let room =
        Rect::from_min_size(rect.min + vec2(8.0, 8.0), vec2(WIDTH.min(rect.width() - 16.0), rect.height() - 16.0));
    if room.width() < 120.0 || room.height() < 60.0 {
        return;
    }
    let mut ui = ui.new_child(UiBuilder::new().max_rect(room));
    ui.set_clip_rect(rect);
    let frame = Frame::new().fill(theme.panel).stroke(Stroke::new(1.0, theme.edge)).corner_radius(3.0);
    frame.inner_margin(Margin::symmetric(9, 7)).show(&mut ui, |ui| {
        ui.set_width(room.width() - 20.0);
        ui.spacing_mut().item_spacing.y = 6.0;
        let say = |ui: &mut Ui, text: &str| ui.add(Label::new(RichText::new(text).font(theme::small())).wrap());
        match missing {
            Missing::Seeking => {
                say(ui, "Finding where the picture was taken from…");
            }
            Missing::Camera(why) => {
                say(ui, &why);
                command(ui, Command::PickLandmarks, asks);
            }
            Missing::Surface => {
                say(ui, "The form has no surface yet: it needs all four lines and a control section.");
                if ui.button("What is missing").on_hover_text("The list on the Shape page.").clicked() {
                    app.view.tab = Tab::Shape;
                }
            }
        }
    });
}

/// A command's button with its key.
fn command(ui: &mut Ui, command: Command, asks: &mut Vec<Ask>) {
    let entry = command.entry();
    let key = entry.keys().first().map(|k| ui.ctx().format_shortcut(k)).unwrap_or_default();
    let button = egui::Button::new(entry.name).shortcut_text(key);
    if ui.add(button).on_hover_text(entry.tip).clicked() {
        asks.push(Ask::Command(command));
    }
}
