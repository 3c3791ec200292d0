//! Heat maps on the floor, under its lines.

use super::scale::Scale;
use super::{HeatMap, Patch, VIEWS, flat};
use crate::floor::draw::{Look, on_floor};
use crate::floor::layout::{View, Window};
use crate::theme::{self, Theme};
use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use form::space::Vector;

/// How a map is painted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Paint {
    pub(crate) scale: Scale,
    /// It is of before the last change: weaker.
    pub(crate) old: bool,
    /// With the lines that patches have.
    pub(crate) lines: bool,
}

/// Paints a map on the views.
pub(crate) fn map(painter: &Painter, look: &Look<'_>, map: &HeatMap, paint: &Paint) {
    for view in VIEWS {
        let window = look.layout.window(view);
        let painter = painter.with_clip_rect(window.rect);
        painter.add(mesh(window, look.theme, map, paint));
        if paint.lines {
            painter.extend(lines(window, look.theme, map));
        }
        painter.extend(hatching(window, look.theme, map));
    }
}

/// All seen patches as one mesh.
fn mesh(window: &Window, theme: &Theme, map: &HeatMap, paint: &Paint) -> Mesh {
    let mut mesh = Mesh::default();
    for patch in map.seen(window.view) {
        let first = mesh.vertices.len() as u32;
        let colours = colours(patch, theme, paint);
        for (corner, color) in patch.corners.iter().zip(colours) {
            mesh.vertices.push(Vertex { pos: window.screen(flat(window.view, *corner)), uv: WHITE_UV, color });
        }
        mesh.indices.extend([0, 1, 2, 0, 2, 3].map(|k: u32| first + k));
    }
    mesh
}

/// The colours of a patch's corners; what is past the limit is so as a whole.
fn colours(patch: &Patch, theme: &Theme, paint: &Paint) -> [Color32; 4] {
    if patch.faint {
        return [aside(theme).gamma_multiply(if paint.old { 0.5 } else { 1.0 }); 4];
    }
    let weight = if paint.old { 0.45 } else { 0.92 };
    let values = if patch.beyond { [patch.value; 4] } else { patch.values };
    values.map(|value| paint.scale.colour(theme, value).gamma_multiply(weight))
}

/// What lies on the allowance or the overlap: off the scale, whatever its value.
pub(crate) fn aside(theme: &Theme) -> Color32 {
    theme.weak.gamma_multiply(0.35)
}

/// The sides that are drawn as lines, such as every fourth yarn.
fn lines(window: &Window, theme: &Theme, map: &HeatMap) -> Vec<Shape> {
    let ink = Stroke::new(0.8, theme.text.gamma_multiply(0.35));
    let sides = map
        .seen(window.view)
        .flat_map(|patch| (0..4).filter(|k| patch.lines[*k]).map(|k| [patch.corners[k], patch.corners[(k + 1) % 4]]));
    sides.map(|ends| Shape::line_segment(ends.map(|p| window.screen(flat(window.view, p))), ink)).collect()
}

/// Diagonals of what is past the limit, so that it shows without colour too: those of neighbouring cells run on in one another.
fn hatching(window: &Window, theme: &Theme, map: &HeatMap) -> Vec<Shape> {
    let ink = Stroke::new(1.0, theme.text.gamma_multiply(0.55));
    let beyond = map.seen(window.view).filter(|patch| patch.beyond && patch.hatched && !patch.faint);
    let diagonal = |patch: &Patch| [patch.corners[0], patch.corners[2]].map(|p| window.screen(flat(window.view, p)));
    beyond.map(|patch| Shape::line_segment(diagonal(patch), ink)).collect()
}

/// A line on the form, whole where a view shows it and faint where it lies behind.
pub(crate) fn line(painter: &Painter, look: &Look<'_>, map: &HeatMap, points: &[Vector], colour: Color32) {
    for view in VIEWS {
        let window = look.layout.window(view);
        let painter = painter.with_clip_rect(window.rect);
        for ends in points.windows(2) {
            let [a, b] = [ends[0], ends[1]].map(|p| window.screen(flat(view, p)));
            if shows(map, view, ends[0]) || shows(map, view, ends[1]) {
                painter.line_segment([a, b], Stroke::new(2.4, colour));
            } else {
                painter.extend(Shape::dashed_line(&[a, b], Stroke::new(1.2, colour.gamma_multiply(0.5)), 3.0, 3.0));
            }
        }
    }
}

/// Whether a view shows a place of the form.
pub(crate) fn shows(map: &HeatMap, view: View, at: Vector) -> bool {
    map.near(at).is_none_or(|patch| form::space::dot(patch.normal, super::towards(view)) > -0.05)
}

/// A ring round a place of the form with a word beside it, in the views that show it.
pub(crate) fn mark(painter: &Painter, look: &Look<'_>, map: &HeatMap, (at, text): (Vector, &str), colour: Color32) {
    for view in VIEWS.into_iter().filter(|view| shows(map, *view, at)) {
        let window = look.layout.window(view);
        let painter = painter.with_clip_rect(window.rect);
        let place = window.screen(flat(view, at));
        painter.circle_stroke(place, 5.0, Stroke::new(1.8, colour));
        beside(&painter, look.theme, place, text);
    }
}

/// A word beside a place, on whichever side there is room.
pub(crate) fn beside(painter: &Painter, theme: &Theme, place: Pos2, text: &str) {
    let galley = painter.layout_no_wrap(text.to_owned(), theme::small(), theme.text);
    let mut rect = Align2::LEFT_CENTER.anchor_size(place + vec2(9.0, 0.0), galley.size());
    if rect.right() > painter.clip_rect().right() - 2.0 {
        rect = Align2::RIGHT_CENTER.anchor_size(place - vec2(9.0, 0.0), galley.size());
    }
    painter.rect_filled(rect.expand2(vec2(3.0, 1.0)), 2.0, theme.floor.gamma_multiply(0.85));
    painter.galley(rect.min, galley, theme.text);
}

/// Size of the legend's bar, in points.
const BAR: egui::Vec2 = vec2(150.0, 9.0);

/// What the colours mean, along the lower edge of the side view.
pub(crate) fn legend(painter: &Painter, look: &Look<'_>, title: &str, scale: Scale) {
    let rect = look.layout.side.rect;
    let beside = if scale.aside().is_some() { 100.0 } else { 70.0 };
    if rect.width() < BAR.x + beside - 10.0 || rect.height() < 120.0 {
        return;
    }
    let painter = painter.with_clip_rect(rect);
    let corner = pos2(rect.left() + 12.0, rect.bottom() - 34.0);
    let ground = Rect::from_min_size(corner - vec2(6.0, 18.0), BAR + vec2(beside, 40.0));
    painter.rect_filled(ground, 3.0, look.theme.floor.gamma_multiply(0.85));
    on_floor(&painter, corner - vec2(0.0, 17.0), title, theme::small(), look.theme);
    bar(&painter, look.theme, corner, scale);
    if let Some(word) = scale.aside() {
        let swatch = Rect::from_min_size(corner + vec2(BAR.x + 12.0, 0.0), vec2(BAR.y, BAR.y));
        painter.rect_filled(swatch, 0.0, aside(look.theme));
        painter.rect_stroke(swatch, 0.0, Stroke::new(1.0, look.theme.weak), egui::StrokeKind::Outside);
        painter.text(
            swatch.right_center() + vec2(5.0, 0.0),
            Align2::LEFT_CENTER,
            word,
            theme::small(),
            look.theme.weak,
        );
    }
}

/// The bar itself with its ticks, from its upper left corner.
pub(crate) fn bar(painter: &Painter, theme: &Theme, corner: Pos2, scale: Scale) {
    const SLICES: u32 = 50;
    let [from, to] = scale.reach();
    let x = |value: f64| corner.x + BAR.x * ((value - from) / (to - from)) as f32;
    for k in 0..SLICES {
        let value = |k: f64| from + (to - from) * k / f64::from(SLICES);
        let slice = Rect::from_min_max(
            pos2(x(value(f64::from(k))), corner.y),
            pos2(x(value(f64::from(k) + 1.0)), corner.y + BAR.y),
        );
        painter.rect_filled(slice, 0.0, scale.colour(theme, value(f64::from(k) + 0.5)));
    }
    let past = scale.beyond().map(x);
    let mut at = past[0];
    while at + BAR.y <= past[1] + 0.5 {
        let ends = [pos2(at, corner.y + BAR.y), pos2(at + BAR.y, corner.y)];
        painter.line_segment(ends, Stroke::new(1.0, theme.text.gamma_multiply(0.75)));
        at += 5.0;
    }
    let frame = Rect::from_min_size(corner, BAR);
    painter.rect_stroke(frame, 0.0, Stroke::new(1.0, theme.weak), egui::StrokeKind::Outside);
    for tick in scale.ticks() {
        let at = pos2(x(tick.value), corner.y + BAR.y);
        painter.vline(at.x, at.y..=at.y + 3.0, Stroke::new(1.0, theme.weak));
        let align = if tick.value <= from { Align2::LEFT_TOP } else { Align2::CENTER_TOP };
        let anchor = if tick.label.contains(' ') { Align2::LEFT_TOP } else { align };
        let shift = if tick.label.contains(' ') { vec2(-6.0, 3.0) } else { vec2(0.0, 3.0) };
        painter.text(at + shift, anchor, tick.label, theme::small(), theme.weak);
    }
}
