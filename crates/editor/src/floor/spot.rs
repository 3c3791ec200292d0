//! The spot that a finding led to, marked in every view that shows it.

use crate::floor::draw::Look;
use crate::floor::layout::{View, Window};
use crate::view::Spot;
use egui::{Painter, Shape, Stroke, pos2, vec2};

/// Radius of the mark, in points.
const RADIUS: f32 = 9.0;
/// Length of its four ticks.
const TICK: f32 = 6.0;

/// Draws the mark: a ring where the place is known, and a line across where only the station is.
pub(crate) fn draw(painter: &Painter, look: &Look<'_>, spot: Spot) {
    let layout = look.layout;
    for window in [&layout.side, &layout.plan, &layout.face] {
        let painter = painter.with_clip_rect(window.rect);
        let across = |p: [f64; 2]| match window.view {
            View::Side => spot.station.map(|x| [x, p[1]]),
            View::Plan => spot.station.map(|x| [x, p[0]]),
            View::Face | View::Body => Some([-p[0], p[1]]),
        };
        match (spot.at.and_then(across), spot.station) {
            (Some(at), _) => ring(&painter, look, window, at),
            (None, Some(x)) if window.view != View::Face => line(&painter, look, window, x),
            _ => {}
        }
    }
}

fn ring(painter: &Painter, look: &Look<'_>, window: &Window, at: [f64; 2]) {
    let (middle, stroke) = (window.screen(at), Stroke::new(1.8, look.theme.accent));
    painter.circle_stroke(middle, RADIUS, stroke);
    for way in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
        painter.line_segment([middle + RADIUS * way, middle + (RADIUS + TICK) * way], stroke);
    }
}

fn line(painter: &Painter, look: &Look<'_>, window: &Window, x: f64) {
    let x = window.screen([x, 0.0]).x;
    let ends = [pos2(x, window.rect.top()), pos2(x, window.rect.bottom())];
    painter.extend(Shape::dashed_line(&ends, Stroke::new(1.8, look.theme.accent), 8.0, 5.0));
}
