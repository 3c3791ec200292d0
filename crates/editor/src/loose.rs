//! Loose cards: small sheets that lie on the floor or the slate and are dragged about by their upper edge.

use crate::theme::{self, Theme};
use egui::{
    Align, Area, Button, CursorIcon, Frame, Id, Label, Layout, Margin, Order, Rect, RichText, Sense, Stroke, Ui, Vec2,
    vec2,
};

/// Height of a card's upper edge, in points.
const EDGE: f32 = 22.0;
const RIM: f32 = 6.0;

/// A card's size, from that of its contents.
pub(crate) fn outer(contents: Vec2) -> Vec2 {
    contents + vec2(2.0 * RIM + 2.0, 2.0 * RIM + EDGE + 8.0)
}

/// A card of a size, kept on the stage.
pub(crate) fn kept_on(stage: Rect, wanted: Rect) -> Rect {
    let most = (stage.max - wanted.size()).max(stage.min);
    Rect::from_min_size(wanted.min.clamp(stage.min, most), wanted.size())
}

/// Draws a card; gives by how much it was dragged in this frame.
pub(crate) fn show(
    ui: &Ui,
    id: &str,
    place: Rect,
    title: &str,
    theme: &Theme,
    buttons: impl FnOnce(&mut Ui),
    contents: impl FnOnce(&mut Ui),
) -> Vec2 {
    let frame = Frame::new()
        .fill(theme.panel)
        .stroke(Stroke::new(1.0, theme.edge))
        .corner_radius(3.0)
        .shadow(ui.visuals().popup_shadow)
        .inner_margin(Margin::same(RIM as i8));
    // Over the floor, under menus and dialogs.
    let area = Area::new(Id::unique(("loose card", id))).order(Order::Middle).fixed_pos(place.min).constrain(false);
    let drawn = area.show(ui.ctx(), |ui| {
        let drawn = frame.show(ui, |ui| {
            ui.set_width(place.width() - 2.0 * RIM - 2.0);
            let dragged = edge(ui, title, theme, buttons);
            contents(ui);
            dragged
        });
        drawn.inner
    });
    drawn.inner
}

fn edge(ui: &mut Ui, title: &str, theme: &Theme, buttons: impl FnOnce(&mut Ui)) -> Vec2 {
    let row = Rect::from_min_size(ui.cursor().min, vec2(ui.available_width(), EDGE));
    let grip = ui.interact(row, ui.make_persistent_id("grip"), Sense::DRAG);
    let dragged = if grip.dragged() { grip.drag_delta() } else { Vec2::ZERO };
    grip.on_hover_cursor(CursorIcon::Grab);
    ui.horizontal(|ui| {
        ui.add(Label::new(RichText::new(title).font(theme::bold(theme::SMALL)).color(theme.weak)).truncate());
        ui.with_layout(Layout::right_to_left(Align::Center), buttons);
    });
    dragged
}

/// A button on a card's upper edge.
pub(crate) fn button(ui: &mut Ui, label: &str, tip: &str) -> bool {
    ui.add(Button::new(RichText::new(label).small()).frame(false)).on_hover_text(tip).clicked()
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn a_card_never_leaves_the_stage() {
        let stage = Rect::from_min_size(pos2(0.0, 30.0), vec2(900.0, 700.0));
        for corner in [pos2(-5000.0, 10.0), pos2(1400.0, -9000.0), pos2(300.0, 300.0)] {
            let kept = kept_on(stage, Rect::from_min_size(corner, vec2(224.0, 196.0)));
            assert!(stage.contains_rect(kept), "{kept:?}");
        }
    }
}
