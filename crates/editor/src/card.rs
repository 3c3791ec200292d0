//! The loose card with the shaded body: lies anywhere on the floor or at the slate's foot, or opens large.

use crate::app::App;
use crate::commands::Command;
use crate::derived::Derived;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::Card;
use egui::{
    Area, Button, ColorImage, CursorIcon, Frame, Id, Margin, Order, Rect, RichText, Role, Sense, Stroke, TextureHandle,
    TextureOptions, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use shade::{Background, Body, Normals, Orbit, Scene, Settings, Studio, Surface};

/// Chord error of the mesh that is drawn, mm.
const DRAWN: f64 = 0.12;
/// The body may fill the picture a little more than turning it all round would allow.
const FILL: f64 = 1.2;
/// Size of the small card's picture, in points.
const SMALL: Vec2 = Vec2::new(234.0, 170.0);

/// The picture on the card, and what it was made from.
#[derive(Default)]
pub(crate) struct CardPicture {
    body: Option<(u64, Body)>,
    texture: Option<(Made, TextureHandle)>,
}

/// What a picture depends on.
#[derive(Clone, Copy, PartialEq)]
struct Made {
    revision: u64,
    size: [u32; 2],
    turn: [f32; 2],
    nearer: f32,
    dark: bool,
}

/// Draws the card over the floor.
pub(crate) fn show(ui: &Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let large = app.view.card.large;
    let Some(stage) = (if large { app.floor } else { app.stage() }).filter(|_| app.view.card.open) else { return };
    let (size, outer) = (inner(app.view.card, stage), outer(app.view.card, stage));
    let place = place(stage, app.view.card, outer);
    let frame = Frame::new()
        .fill(theme.panel)
        .stroke(Stroke::new(1.0, theme.edge))
        .corner_radius(3.0)
        .shadow(ui.visuals().popup_shadow)
        .inner_margin(Margin::same(6));
    // Over the floor, under menus and dialogs.
    let area = Area::new(Id::unique("shaded card")).order(Order::Middle).fixed_pos(place.min).constrain(false);
    area.show(ui.ctx(), |ui| {
        frame.show(ui, |ui| {
            ui.set_width(size.x);
            header(ui, app, stage, outer, theme, asks);
            picture(ui, app, size, theme);
        });
    });
}

/// Where the small card lies on the stage, which is the floor and the slate together.
pub(crate) fn lies_at(card: Card, stage: Rect) -> Option<Rect> {
    (card.open && !card.large).then(|| place(stage, card, outer(card, stage)))
}

/// The card's size with its header and rim.
fn outer(card: Card, stage: Rect) -> Vec2 {
    inner(card, stage) + vec2(14.0, 42.0)
}

/// The size of the picture on it.
fn inner(card: Card, stage: Rect) -> Vec2 {
    // On a low window the small card leaves room for the slate above it.
    let share = (stage.height() / 700.0).clamp(0.5, 1.0);
    if card.large { stage.size() - vec2(60.0, 90.0) } else { SMALL * share }
}

/// Where the card lies: from the stage's lower right corner, and never off the stage.
fn place(floor: Rect, card: Card, outer: Vec2) -> Rect {
    if card.large {
        return Rect::from_center_size(floor.center(), outer);
    }
    let corner = floor.right_bottom() + Vec2::from(card.from_corner) - outer;
    let most = (floor.right_bottom() - outer).max(floor.min);
    Rect::from_min_size(corner.clamp(floor.min, most), outer)
}

fn header(ui: &mut Ui, app: &mut App, stage: Rect, outer: Vec2, theme: &Theme, asks: &mut Vec<Ask>) {
    let row = Rect::from_min_size(ui.cursor().min, vec2(ui.available_width(), 22.0));
    let grip = ui.interact(row, ui.make_persistent_id("grip"), Sense::DRAG);
    if grip.dragged() && !app.view.card.large {
        let card = &mut app.view.card;
        let now = place(stage, *card, outer).right_bottom() + grip.drag_delta() - stage.right_bottom();
        card.from_corner = [now.x, now.y];
    }
    grip.on_hover_cursor(CursorIcon::Grab);
    ui.horizontal(|ui| {
        ui.label(RichText::new("Shaded").font(theme::bold(theme::SMALL)).color(theme.weak));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let small = |text: &str| Button::new(RichText::new(text).small()).frame(false);
            let roomy = ui.available_width() > 170.0;
            if ui.add(small("close")).on_hover_text(Command::Card.entry().tip).clicked() {
                asks.push(Ask::Command(Command::Card));
            }
            let label = if app.view.card.large { "smaller" } else { "larger" };
            if ui.add(small(label)).on_hover_text(Command::CardLarge.entry().tip).clicked() {
                asks.push(Ask::Command(Command::CardLarge));
            }
            let turns = [("front", [0.0, 0.0]), ("side", [90.0, 0.0]), ("¾", [40.0, 20.0])];
            for (label, turn) in turns.into_iter().filter(|_| roomy) {
                if ui.add(small(label)).on_hover_text("Turns the body to this view.").clicked() {
                    app.view.card.turn = turn;
                }
            }
        });
    });
}

fn picture(ui: &mut Ui, app: &mut App, size: Vec2, theme: &'static Theme) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Shaded body"));
    let card = &mut app.view.card;
    if response.dragged() {
        let by = response.drag_delta();
        card.turn[0] = (card.turn[0] - 0.5 * by.x).rem_euclid(360.0);
        card.turn[1] = (card.turn[1] + 0.5 * by.y).clamp(-90.0, 90.0);
    }
    if response.contains_pointer() {
        let scroll = ui.input(|i| i.smooth_scroll_delta().y);
        card.nearer = (card.nearer * (scroll / 400.0).exp2()).clamp(0.5, 8.0);
    }
    let scale = ui.pixels_per_point();
    let pixels = [(size.x * scale).round() as u32, (size.y * scale).round() as u32];
    let made =
        Made { revision: app.derived.revision, size: pixels, turn: card.turn, nearer: card.nearer, dark: theme.dark };
    match app.card_picture.texture(ui.ctx(), &app.derived, made, theme) {
        Some(texture) => {
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            ui.painter().image(texture.id(), rect, whole, egui::Color32::WHITE);
        }
        None => {
            ui.painter().rect_filled(rect, 2.0, theme.floor);
            let middle = egui::Align2::CENTER_CENTER;
            let text = "The body appears here\nonce it has a surface.";
            let galley = ui.painter().layout(text.to_owned(), theme::small(), theme.weak, size.x - 20.0);
            let at = middle.anchor_size(rect.center(), galley.size()).min;
            ui.painter().galley(at, galley, theme.weak);
        }
    }
    response.on_hover_cursor(CursorIcon::AllScroll).on_hover_text("Drag to turn, scroll to come nearer.");
}

impl CardPicture {
    /// The picture, drawn again only when what it depends on has changed.
    fn texture(
        &mut self,
        ctx: &egui::Context,
        derived: &Derived,
        made: Made,
        theme: &'static Theme,
    ) -> Option<&TextureHandle> {
        if self.texture.as_ref().is_none_or(|(old, _)| *old != made) {
            let image = self.render(derived, made, theme)?;
            match &mut self.texture {
                Some((old, texture)) => {
                    texture.set(image, TextureOptions::LINEAR);
                    *old = made;
                }
                None => self.texture = Some((made, ctx.load_texture("shaded", image, TextureOptions::LINEAR))),
            }
        }
        self.texture.as_ref().map(|(_, texture)| texture)
    }

    fn render(&mut self, derived: &Derived, made: Made, theme: &'static Theme) -> Option<ColorImage> {
        if self.body.as_ref().is_none_or(|(revision, _)| *revision != made.revision) {
            self.texture = None;
            let mesh = derived.loft()?.mesh(DRAWN);
            self.body = Some((made.revision, Body::new(&mesh, Normals::default())));
        }
        let (_, body) = self.body.as_ref()?;
        let mut orbit = Orbit::fitting(body.bounds());
        orbit.azimuth_deg = f64::from(made.turn[0]);
        orbit.elevation_deg = f64::from(made.turn[1]);
        orbit.span_mm /= f64::from(made.nearer) * FILL;
        let paint = Studio { colour: theme.body_lit, gloss: 0.25 };
        let surfaces = [Surface { body, paint: &paint }];
        let floor = theme.floor.to_array();
        let background = Background::Plain([floor[0], floor[1], floor[2]]);
        let scene = Scene { surfaces: &surfaces, lines: &[], background };
        let settings = Settings { size: made.size, ..Settings::default() };
        let picture = shade::render(&scene, &orbit.camera(made.size), &settings);
        let size = [picture.width as usize, picture.height as usize];
        Some(ColorImage::from_rgba_unmultiplied(size, &picture.rgba))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_card_never_leaves_the_floor() {
        let floor = Rect::from_min_size(pos2(0.0, 30.0), vec2(900.0, 700.0));
        let outer = vec2(224.0, 196.0);
        for from_corner in [[-5000.0, 10.0], [400.0, -9000.0], [-10.0, -10.0]] {
            let rect = place(floor, Card { from_corner, ..Card::default() }, outer);
            assert!(floor.contains_rect(rect), "{rect:?}");
        }
    }
}
