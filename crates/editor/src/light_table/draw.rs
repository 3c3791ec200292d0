//! Draws what was picked on the picture.

use super::marks::{Mark, OnPicture};
use super::tracing::{self, curve};
use crate::app::App;
use crate::theme::{self, Theme};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, vec2};
use project::document::Picture;

/// Where things are drawn.
pub(super) struct Ground<'a> {
    pub(super) painter: &'a Painter,
    pub(super) rect: Rect,
    pub(super) theme: &'static Theme,
    pub(super) app: &'a App,
    pub(super) picture: &'a Picture,
}

impl Ground<'_> {
    pub(super) fn at(&self, px: [f64; 2]) -> Pos2 {
        self.app.table.sheet.screen(self.rect, px)
    }

    /// A line that is seen on bright and on dark.
    pub(super) fn line(&self, points: &[[f64; 2]], width: f32, colour: Color32) {
        let points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
        self.painter.line(points.clone(), Stroke::new(width + 2.0, Color32::from_black_alpha(110)));
        self.painter.line(points, Stroke::new(width, colour));
    }

    /// Whether it is shown: what is hidden comes into sight while something is picked.
    pub(super) fn shows(&self, what: OnPicture) -> bool {
        self.app.table.shows.mark(what) || super::picking::is_picking(self.app)
    }

    fn stroke_of(&self, what: OnPicture) -> (f32, Color32) {
        let selected = super::selected(self.app);
        let same = match (selected, what) {
            (Some(OnPicture::TracePoint { trace, .. }), OnPicture::Trace(this)) => trace == this,
            (Some(selected), what) => selected == what,
            (None, _) => false,
        };
        if same { (2.4, ink().accent) } else { (1.6, TRACE) }
    }
}

/// The colours in which things are drawn on photographs, by day as by night: bright ones, on dark seams of their own.
pub(super) fn ink() -> &'static Theme {
    Theme::of(true)
}

/// What was traced, told apart from every line of the form.
const TRACE: Color32 = Color32::from_rgb(0xcf, 0xa8, 0xff);

/// Traces, straight lines, distances and the figure.
pub(super) fn lines(ground: &Ground<'_>) {
    let photograph = &ground.picture.photograph;
    for points in &photograph.straight {
        ground.line(points, 1.2, ink().good);
    }
    // More points than a rectangle has run row by row; their plane's outline is drawn with its errors.
    if let Some(figure) = photograph.figure.as_ref().filter(|figure| figure.points.len() == 4) {
        let closed: Vec<[f64; 2]> = figure.points.iter().chain(figure.points.first()).map(|p| p.pixel).collect();
        ground.line(&closed, 1.2, ink().good);
    }
    for distance in &photograph.distances {
        ground.line(&[distance.known.a, distance.known.b], 1.2, Color32::WHITE);
    }
    let traces = photograph.traces.iter().enumerate().filter(|(i, _)| ground.shows(OnPicture::Trace(*i)));
    for (index, trace) in traces {
        let (width, colour) = ground.stroke_of(OnPicture::Trace(index));
        ground.line(&curve::through(&trace.points, 4.0 / ground.app.table.sheet.scale), width, colour);
    }
}

/// The handles.
pub(super) fn handles(ground: &Ground<'_>, marks: &[Mark]) {
    let selected = super::selected(ground.app);
    for mark in marks {
        let at = ground.at(mark.at);
        if !ground.rect.expand(20.0).contains(at) {
            continue;
        }
        let chosen = selected == Some(mark.what);
        let hovered = ground.app.table.hands.hover == Some(mark.what);
        let colour = if chosen || hovered { ink().accent } else { Color32::WHITE };
        match mark.what {
            OnPicture::Landmark(index) => landmark(ground, index, at, colour, chosen || hovered),
            _ => {
                let small = if chosen || hovered { Some(4.5) } else { resting(ground, mark.what, selected) };
                let Some(small) = small else { continue };
                ground.painter.circle(at, small, Color32::from_black_alpha(150), Stroke::new(1.3, colour));
            }
        }
    }
}

/// Points of a trace that is not worked on stay small, and are left out where they would hide what they were traced from.
fn resting(ground: &Ground<'_>, what: OnPicture, selected: Option<OnPicture>) -> Option<f32> {
    let OnPicture::TracePoint { trace, .. } = what else { return Some(3.0) };
    match selected {
        Some(OnPicture::Trace(of) | OnPicture::TracePoint { trace: of, .. }) if trace == of => Some(3.0),
        _ => (pitch(ground, trace) > CROWDED).then_some(1.8),
    }
}

/// Points of a trace that lie closer than this on the screen crowd.
const CROWDED: f64 = 14.0;

/// The mean distance between the points of a trace, in points of the screen.
fn pitch(ground: &Ground<'_>, trace: usize) -> f64 {
    let Some(trace) = ground.picture.photograph.traces.get(trace) else { return 0.0 };
    let length: f64 = trace.points.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum();
    length * ground.app.table.sheet.scale / trace.points.len().saturating_sub(1).max(1) as f64
}

/// A cross with a gap, so that what it marks stays to be seen, and its name.
fn landmark(ground: &Ground<'_>, index: usize, at: Pos2, colour: Color32, strong: bool) {
    let Some(landmark) = ground.picture.photograph.landmarks.get(index) else { return };
    let colour = if landmark.used { colour } else { colour.gamma_multiply(0.55) };
    for (width, colour) in [(3.4, Color32::from_black_alpha(150)), (1.5, colour)] {
        for arm in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            ground.painter.line_segment([at + 3.0 * arm, at + 10.0 * arm], Stroke::new(width, colour));
        }
    }
    if strong || ground.app.table.sheet.scale > 0.55 {
        label(ground, at + vec2(9.0, -9.0), &landmark.name, colour);
    }
}

/// A text that is read on any picture.
pub(super) fn label(ground: &Ground<'_>, at: Pos2, text: &str, colour: Color32) {
    let galley = ground.painter.layout_no_wrap(text.to_owned(), theme::small(), colour);
    let rect = Rect::from_min_size(at - vec2(0.0, galley.size().y), galley.size());
    ground.painter.rect_filled(rect.expand2(vec2(3.0, 1.0)), 2.0, Color32::from_black_alpha(170));
    ground.painter.galley(rect.min, galley, colour);
}

/// What is being clicked, with a line to the pointer.
pub(super) fn unfinished(ground: &Ground<'_>) {
    let clicked = &ground.app.table.clicked;
    let pointer = ground.painter.ctx().pointer_hover_pos().filter(|at| ground.rect.contains(*at));
    let sheet = &ground.app.table.sheet;
    let begins = pointer.and_then(|at| tracing::begins_at(ground.app, sheet.px(ground.rect, at)));
    let along: Vec<[f64; 2]> = begins.into_iter().chain(clicked.iter().copied()).collect();
    let Some(last) = along.last() else { return };
    ground.line(&curve::through(&along, 4.0 / sheet.scale), 2.0, ink().accent);
    for px in clicked {
        ground.painter.circle(ground.at(*px), 4.0, Color32::from_black_alpha(150), Stroke::new(1.6, ink().accent));
    }
    if let Some(pointer) = pointer {
        let line = [ground.at(*last), pointer];
        ground.painter.extend(Shape::dashed_line(&line, Stroke::new(1.2, ink().accent), 5.0, 4.0));
    }
}
