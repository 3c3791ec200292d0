//! The bar above the picture: which one lies there, what is shown of it and over it, and how.

use super::{overlay, shows};
use crate::app::App;
use crate::commands::Command;
use crate::slate::Ask;
use crate::theme::Theme;
use crate::view::Selected;
use egui::{Align, Button, ComboBox, Frame, Layout, Margin, Ui};

/// Narrower than this, in points, what is asked for least moves into the menu.
const ROOMY: f32 = 340.0;

/// Draws the bar.
pub(super) fn show(ui: &mut Ui, app: &mut App, theme: &Theme, asks: &mut Vec<Ask>) {
    let narrow = ui.available_width() < ROOMY;
    let across = if narrow { 4 } else { 8 };
    Frame::new().fill(theme.panel).inner_margin(Margin::symmetric(across, 4)).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let close = ui.button(if narrow { "×" } else { "Close" });
                let close = close.on_hover_text("Folds the light table away.");
                if close.accessible_name("Close the light table").clicked() {
                    asks.push(Ask::Command(Command::LightTable));
                }
                if !narrow {
                    sizes(ui, app);
                }
                let mut shown = app.table.shows;
                let has_camera = overlay::camera(app).is_some();
                shows::menu(ui, &mut shown, theme, has_camera, |ui| {
                    if narrow {
                        ui.horizontal(|ui| sizes(ui, app));
                        ui.separator();
                    }
                });
                app.table.shows = shown;
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| lying(ui, app, asks));
            });
        });
    });
}

/// The picture that lies there, and the choice of another.
fn lying(ui: &mut Ui, app: &App, asks: &mut Vec<Ask>) {
    let document = app.desk.document();
    let lies = app.table.picture.and_then(|p| document.pictures.get(p));
    let name = lies.map_or("", |p| p.name.as_str());
    let width = (ui.available_width() - 4.0).clamp(40.0, 170.0);
    let combo = ComboBox::from_id_salt("picture on the table").selected_text(name).width(width).truncate();
    let combo = combo.show_ui(ui, |ui| {
        for (index, p) in document.pictures.iter().enumerate() {
            if ui.selectable_label(app.table.picture == Some(index), &p.name).clicked() {
                asks.push(Ask::Select(Selected::Picture(index)));
            }
        }
    });
    combo.response.accessible_name("Picture on the light table");
}

/// How much of the picture, and of the window, is taken.
fn sizes(ui: &mut Ui, app: &mut App) {
    let alone = Button::new("Alone").selected(app.table.alone);
    if ui.add(alone).on_hover_text("The picture takes all the room.").clicked() {
        app.table.alone = !app.table.alone;
        app.table.sheet.fitted = true;
        app.table.place = None;
        app.view.fit_wanted = true;
    }
    if ui.button("Whole").on_hover_text("Shows the whole picture.").clicked() {
        app.table.sheet.fitted = true;
        app.table.place = None;
    }
}
