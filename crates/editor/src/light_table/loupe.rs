//! A small window that shows the picture larger where the pointer picks or drags, so that a pixel is met while the whole
//! picture stays in sight. It lies near the pointer, never over it.

use super::draw::Ground;
use super::sheet::Sheet;
use super::tracing::curve;
use crate::theme;
use crate::view::Tool;
use egui::{Color32, CornerRadius, Rect, Stroke, StrokeKind, Vec2, pos2, vec2};

/// Width and height, points.
const SIZE: f32 = 132.0;
/// From the pointer to the nearer edges of the loupe, points.
const GAP: f32 = 26.0;
/// How many times larger it shows.
const LARGER: f64 = 6.0;
/// Points for a pixel: least, so that pixels are told apart, and most.
const SCALES: [f64; 2] = [1.5, 12.0];
/// Where the picture itself is shown as large as this, points for a pixel, it needs no loupe.
const LARGE_ENOUGH: f64 = 2.0;

/// Draws the loupe, if there is something to aim at.
pub(super) fn draw(ground: &Ground<'_>) {
    let table = &ground.app.table;
    if table.no_loupe || table.sheet.scale >= LARGE_ENOUGH {
        return;
    }
    let Some(pointer) = ground.painter.ctx().pointer_latest_pos().filter(|at| ground.rect.contains(*at)) else {
        return;
    };
    let under = table.sheet.px(ground.rect, pointer);
    let picks = matches!(ground.app.view.tool, Tool::Mark(_)) && !table.hands.is_panning();
    let aimed = table.hands.held_at(under).or(picks.then_some(under));
    let Some(aimed) = aimed else { return };
    let Some(texture) = ground.app.decoded.texture(ground.picture) else { return };
    let rect = place(ground.rect, pointer);
    let scale = (LARGER * table.sheet.scale).clamp(SCALES[0], SCALES[1]);
    let sheet = Sheet { scale, middle: aimed, fitted: false };
    let painter = ground.painter.with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, ground.theme.floor);
    let [w, h] = ground.picture.size_px.map(f64::from);
    let paper = Rect::from_two_pos(sheet.screen(rect, [0.0, 0.0]), sheet.screen(rect, [w, h]));
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    painter.image(texture.id(), paper, whole, Color32::WHITE);
    let thin = Stroke::new(1.0, Color32::from_white_alpha(170));
    for trace in &ground.picture.photograph.traces {
        let line = curve::through(&trace.points, 4.0 / scale);
        painter.line(line.into_iter().map(|p| sheet.screen(rect, p)).collect(), thin);
    }
    cross(&painter, rect);
    painter.rect_stroke(rect, CornerRadius::ZERO, Stroke::new(1.5, ground.theme.edge), StrokeKind::Inside);
    let times = format!("{:.0}×", scale / table.sheet.scale);
    painter.text(
        rect.left_bottom() + vec2(5.0, -3.0),
        egui::Align2::LEFT_BOTTOM,
        times,
        theme::small(),
        Color32::WHITE,
    );
}

/// A cross that leaves its middle free.
fn cross(painter: &egui::Painter, rect: Rect) {
    let middle = rect.center();
    for (width, colour) in [(3.0, Color32::from_black_alpha(120)), (1.0, Color32::WHITE)] {
        for arm in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            painter.line_segment([middle + 5.0 * arm, middle + 22.0 * arm], Stroke::new(width, colour));
        }
    }
}

/// Up and to the right of the pointer, or where there is room.
fn place(table: Rect, pointer: egui::Pos2) -> Rect {
    let right = pointer.x + GAP + SIZE <= table.right();
    let up = pointer.y - GAP - SIZE >= table.top();
    let x = if right { pointer.x + GAP } else { pointer.x - GAP - SIZE };
    let y = if up { pointer.y - GAP - SIZE } else { pointer.y + GAP };
    Rect::from_min_size(pos2(x, y), Vec2::splat(SIZE))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_never_lies_over_the_pointer_and_stays_on_a_table_with_room() {
        let table = Rect::from_min_size(pos2(40.0, 60.0), vec2(600.0, 500.0));
        for x in 0..=20_u8 {
            for y in 0..=20_u8 {
                let pointer = table.min + vec2(600.0 * f32::from(x) / 20.0, 500.0 * f32::from(y) / 20.0);
                let rect = place(table, pointer);
                assert!(!rect.expand(GAP - 1.0).contains(pointer));
                assert!(table.contains_rect(rect), "{pointer:?} {rect:?}");
            }
        }
    }
}
