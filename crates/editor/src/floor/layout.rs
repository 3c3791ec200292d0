//! Where the views lie on the floor, and how millimetres become points of the screen.
//!
//! ```text
//!        x aft →          gap       ← starboard
//!   +----------------+---------+----------+
//!   | side   (x, z)  | heights | face     |   same z
//!   +----------------+---------+----------+
//!   | stations       |         |          |
//!   +----------------+         | body     |
//!   | plan   (x, y)  |         | plan     |
//!   +----------------+         |          |
//!   | areas  (x)     |         |          |
//!   +----------------+---------+----------+
//! ```
//! Side, plan and areas share x; side and face share z. When one view has grown, the axes of the others that have lost
//! room are pressed together until the form fits, so a margin strip still shows all of it and still lines up.

use crate::view::Fold;
use egui::{Pos2, Rect, pos2, vec2};

/// Width of the gap with the heights, and height of the strip with the stations, in points.
pub(crate) const HEIGHTS_GAP: f32 = 46.0;
pub(crate) const STATIONS_STRIP: f32 = 30.0;
/// Height of the ruler along the upper edge.
const RULER: f32 = 19.0;
/// Height of the curve of areas: of a low floor it takes no more than a fifth.
fn areas_height(floor: Rect) -> f32 {
    (0.2 * floor.height()).min(118.0).round()
}

/// One of the views of the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum View {
    /// From port: right is aft, up is up.
    Side,
    /// From above: right is aft, up is starboard.
    Plan,
    /// Looking aft: left is starboard, up is up.
    Face,
    /// All sections: forward ones on the right, after ones on the left.
    Body,
}

impl View {
    /// The view's title.
    pub(crate) fn label(self) -> &'static str {
        match self {
            Self::Side => "Side view",
            Self::Plan => "Half-breadth plan",
            Self::Face => "Face view",
            Self::Body => "Body plan",
        }
    }
}

/// How far the drawing reaches, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extents {
    pub(crate) x: [f64; 2],
    pub(crate) z: [f64; 2],
    pub(crate) half_breadth: f64,
    /// How far the plan reaches to port: there lies only what is no half.
    pub(crate) port: f64,
}

impl Default for Extents {
    /// Room for a cowling, before anything is drawn.
    fn default() -> Self {
        Self { x: [0.0, 320.0], z: [-120.0, 120.0], half_breadth: 110.0, port: 0.0 }
    }
}

/// What lies in the middle of the views, and the scale they share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Camera {
    /// Points of the screen for one millimetre.
    pub(crate) scale: f64,
    pub(crate) x: f64,
    pub(crate) z: f64,
    /// Middle of the plan.
    pub(crate) y: f64,
    /// Middle of the face view, towards port.
    pub(crate) across: f64,
    /// Share of the left column and of the upper row.
    pub(crate) split: [f32; 2],
}

impl Default for Camera {
    fn default() -> Self {
        Self { scale: 1.5, x: 160.0, z: 0.0, y: 50.0, across: 0.0, split: [0.6, 0.62] }
    }
}

const SCALES: [f64; 2] = [0.02, 200.0];

impl Camera {
    /// The camera that shows everything in a floor of this size; with a grown view, that one as large as it goes.
    pub(crate) fn fitting(floor: Rect, extents: &Extents, areas: bool, fold: Fold) -> Self {
        let length = (extents.x[1] - extents.x[0]).max(20.0) * 1.14;
        let height = (extents.z[1] - extents.z[0]).max(20.0) * 1.32;
        let breadth = extents.half_breadth.max(10.0);
        let across = breadth * 2.3;
        let (low, high) = ((breadth * 0.155).max(extents.port * 1.08), breadth * 1.195);
        let plan = low + high;
        let width = f64::from(floor.width() - HEIGHTS_GAP).max(50.0);
        let strips = RULER + STATIONS_STRIP + if areas { areas_height(floor) } else { 0.0 };
        let tall = f64::from(floor.height() - strips).max(50.0);
        let [column, row] = shares(&Self::default(), fold).map(f64::from);
        let scale = match fold {
            Fold::Even => (width / (length + across)).min(tall / (height + plan)),
            Fold::Side => (width * column / length).min(tall * row / height),
            Fold::Plan => (width * column / length).min(tall * (1.0 - row) / plan),
            Fold::Face => (width * (1.0 - column) / across).min(tall * row / height),
            Fold::Body => (width * (1.0 - column) / across).min(tall * (1.0 - row) / height),
        };
        Self {
            scale: scale.clamp(SCALES[0], SCALES[1]),
            x: f64::midpoint(extents.x[0], extents.x[1]),
            // The titles stand along the upper edge.
            z: f64::midpoint(extents.z[0], extents.z[1]) + 0.035 * height,
            y: 0.5 * (high - low),
            across: 0.0,
            split: [
                ((length / (length + across)) as f32).clamp(0.35, 0.75),
                ((height / (height + plan)) as f32).clamp(0.4, 0.75),
            ],
        }
    }

    /// Scales by `factor`, keeping what lies under the pointer in `window`.
    pub(crate) fn zoom_at(&mut self, window: &Window, pointer: Pos2, factor: f64) {
        let scale = (self.scale * factor).clamp(SCALES[0], SCALES[1]);
        let keep = |middle: &mut f64, under: f64| *middle = under + (*middle - under) * self.scale / scale;
        let [a, b] = window.model(pointer);
        let (mut x, mut z, mut y, mut across) = (self.x, self.z, self.y, self.across);
        // The axes the pointer is not over keep the centre plane, or the datum waterline, where it is on the screen:
        // else the plan would lose the form when the side view comes nearer.
        match window.view {
            View::Side => (keep(&mut x, a), keep(&mut z, b), keep(&mut y, 0.0), keep(&mut across, 0.0)),
            View::Plan => (keep(&mut x, a), keep(&mut z, 0.0), keep(&mut y, b), keep(&mut across, 0.0)),
            View::Face => ((), keep(&mut z, b), keep(&mut y, 0.0), keep(&mut across, a)),
            View::Body => ((), (), (), ()),
        };
        *self = Self { scale, x, z, y, across, split: self.split };
    }

    /// Moves the drawing by a distance on the screen.
    pub(crate) fn pan(&mut self, window: &Window, by: egui::Vec2) {
        let (a, b) = (f64::from(by.x) / window.scale[0], f64::from(by.y) / window.scale[1]);
        match window.view {
            View::Side => {
                self.x -= a;
                self.z += b;
            }
            View::Plan => {
                self.x -= a;
                self.y += b;
            }
            View::Face => {
                self.across -= a;
                self.z += b;
            }
            View::Body => {}
        }
    }
}

/// One view: its place on the screen and its map from millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Window {
    pub(crate) view: View,
    pub(crate) rect: Rect,
    /// Where (0, 0) lies on the screen.
    origin: [f64; 2],
    /// Points for one millimetre, across and upwards.
    pub(crate) scale: [f64; 2],
}

impl Window {
    fn new(view: View, rect: Rect, middle: [f64; 2], scale: [f64; 2]) -> Self {
        let centre = rect.center();
        let origin = [f64::from(centre.x) - middle[0] * scale[0], f64::from(centre.y) + middle[1] * scale[1]];
        Self { view, rect, origin, scale }
    }

    /// A place of the drawing on the screen.
    pub(crate) fn screen(&self, [a, b]: [f64; 2]) -> Pos2 {
        pos2((self.origin[0] + a * self.scale[0]) as f32, (self.origin[1] - b * self.scale[1]) as f32)
    }

    /// A place of the screen on the drawing, mm.
    pub(crate) fn model(&self, at: Pos2) -> [f64; 2] {
        [(f64::from(at.x) - self.origin[0]) / self.scale[0], (self.origin[1] - f64::from(at.y)) / self.scale[1]]
    }

    /// What the view shows, mm: across and upwards.
    pub(crate) fn reach(&self) -> [[f64; 2]; 2] {
        let [a0, b0] = self.model(self.rect.left_bottom());
        let [a1, b1] = self.model(self.rect.right_top());
        [[a0, a1], [b0, b1]]
    }
}

/// The places of everything on the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Layout {
    pub(crate) floor: Rect,
    pub(crate) side: Window,
    pub(crate) plan: Window,
    pub(crate) face: Window,
    pub(crate) body: Window,
    /// The strip with the stations' numbers, between side view and plan.
    pub(crate) stations: Rect,
    /// The gap with the heights, between side and face view.
    pub(crate) heights: Rect,
    /// The strip along the upper edge, with the distances.
    pub(crate) ruler: Rect,
    /// The curve of areas, under the plan.
    pub(crate) areas: Option<Rect>,
}

impl Layout {
    /// Lays out a floor.
    ///
    /// `card` is what lies in the lower right corner: the body plan makes room for it if it can.
    pub(crate) fn new(
        floor: Rect,
        camera: &Camera,
        fold: Fold,
        extents: &Extents,
        areas: bool,
        card: Option<Rect>,
    ) -> Self {
        let strip = if areas && fold != Fold::Body { areas_height(floor) } else { 0.0 };
        let [column, row] = shares(camera, fold);
        let middle = (floor.left() + (floor.width() - HEIGHTS_GAP) * column).round();
        let top = floor.top() + RULER;
        let upper = (top + (floor.height() - RULER - STATIONS_STRIP - strip) * row).round();
        let bottom = floor.bottom() - strip;
        let cell = |x0: f32, y0: f32, x1: f32, y1: f32| Rect::from_min_max(pos2(x0, y0), pos2(x1, y1));
        let (left, right) = (floor.left(), floor.right());
        let face_left = middle + HEIGHTS_GAP;
        let plan_top = upper + STATIONS_STRIP;
        let side_rect = cell(left, top, middle, upper);
        let face_rect = cell(face_left, top, right, upper);
        let plan_rect = cell(left, plan_top, middle, bottom);
        let body_rect = cell(face_left, plan_top, right, floor.bottom());
        let axes = Axes::new(camera, fold, extents, side_rect, plan_rect, face_rect);
        Self {
            floor,
            side: Window::new(View::Side, side_rect, [axes.x.0, axes.z.0], [axes.x.1, axes.z.1]),
            plan: Window::new(View::Plan, plan_rect, [axes.x.0, axes.y.0], [axes.x.1, axes.y.1]),
            face: Window::new(View::Face, face_rect, [axes.across.0, axes.z.0], [axes.across.1, axes.z.1]),
            body: body_window(body_rect, extents, card),
            stations: cell(left, upper, middle, plan_top),
            heights: cell(middle, top, face_left, upper),
            ruler: cell(left, floor.top(), right, top),
            areas: (strip > 0.0).then(|| cell(left, bottom, middle, floor.bottom())),
        }
    }

    /// The views.
    pub(crate) fn windows(&self) -> [&Window; 4] {
        [&self.side, &self.plan, &self.face, &self.body]
    }

    /// The window of a view.
    pub(crate) fn window(&self, view: View) -> &Window {
        match view {
            View::Side => &self.side,
            View::Plan => &self.plan,
            View::Face => &self.face,
            View::Body => &self.body,
        }
    }

    /// The view under a place of the screen.
    pub(crate) fn at(&self, place: Pos2) -> Option<&Window> {
        self.windows().into_iter().find(|w| w.rect.contains(place))
    }
}

/// Share of the left column and the upper row.
fn shares(camera: &Camera, fold: Fold) -> [f32; 2] {
    match fold {
        Fold::Even => camera.split,
        Fold::Side => [0.84, 0.82],
        Fold::Plan => [0.84, 0.2],
        Fold::Face => [0.18, 0.82],
        Fold::Body => [0.2, 0.22],
    }
}

/// Middle in mm and scale of each axis.
struct Axes {
    x: (f64, f64),
    z: (f64, f64),
    y: (f64, f64),
    across: (f64, f64),
}

impl Axes {
    fn new(camera: &Camera, fold: Fold, extents: &Extents, side: Rect, plan: Rect, face: Rect) -> Self {
        let pressed = |range: [f64; 2], room: f32| {
            let reach = (range[1] - range[0]).max(1.0) * 1.15;
            (f64::midpoint(range[0], range[1]), (f64::from(room) / reach).min(camera.scale).max(SCALES[0]))
        };
        let b = extents.half_breadth.max(1.0);
        let [narrow_left, narrow_right] =
            [matches!(fold, Fold::Face | Fold::Body), matches!(fold, Fold::Side | Fold::Plan)];
        let [low_upper, low_lower] = [matches!(fold, Fold::Plan | Fold::Body), matches!(fold, Fold::Side | Fold::Face)];
        Self {
            x: if narrow_left { pressed(extents.x, side.width()) } else { (camera.x, camera.scale) },
            z: if low_upper { pressed(extents.z, side.height()) } else { (camera.z, camera.scale) },
            y: if low_lower || fold == Fold::Body {
                pressed([-extents.port, b], plan.height())
            } else {
                (camera.y, camera.scale)
            },
            across: if narrow_right { pressed([-b, b], face.width()) } else { (camera.across, camera.scale) },
        }
    }
}

/// The body plan is read, not edited: it always fits its cell, at a scale of its own, beside or above the shaded card.
fn body_window(cell: Rect, extents: &Extents, card: Option<Rect>) -> Window {
    let whole = Rect::from_min_max(cell.min + vec2(8.0, 38.0), cell.max - vec2(8.0, 6.0));
    let (breadth, height) = (extents.half_breadth.max(1.0) * 2.04, (extents.z[1] - extents.z[0]).max(1.0) * 1.02);
    let scale = |room: Rect| (f64::from(room.width()) / breadth).min(f64::from(room.height()) / height);
    let mut room = whole;
    if let Some(card) = card.filter(|card| card.intersects(cell)) {
        let beside = whole.with_max_x(card.left() - 6.0);
        let above = whole.with_max_y(card.top() - 6.0);
        room = if scale(beside) > scale(above) { beside } else { above };
    }
    let middle = [0.0, f64::midpoint(extents.z[0], extents.z[1])];
    let scale = scale(room).max(SCALES[0]);
    Window { rect: cell, ..Window::new(View::Body, room, middle, [scale, scale]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layout(fold: Fold) -> Layout {
        let floor = Rect::from_min_size(pos2(10.0, 40.0), vec2(1000.0, 700.0));
        let extents = Extents::default();
        Layout::new(floor, &Camera::fitting(floor, &extents, true, fold), fold, &extents, true, None)
    }

    #[test]
    fn views_line_up_whichever_has_grown() {
        for fold in [Fold::Even, Fold::Side, Fold::Plan, Fold::Face, Fold::Body] {
            let layout = layout(fold);
            for x in [-20.0, 100.0, 300.0] {
                assert_eq!(layout.side.screen([x, 5.0]).x, layout.plan.screen([x, 80.0]).x, "{fold:?}");
            }
            for z in [-90.0, 0.0, 55.0] {
                assert_eq!(layout.side.screen([10.0, z]).y, layout.face.screen([-40.0, z]).y, "{fold:?}");
            }
        }
    }

    #[test]
    fn a_fitted_floor_shows_the_whole_form() {
        let layout = layout(Fold::Even);
        let extents = Extents::default();
        for x in extents.x {
            for z in extents.z {
                assert!(layout.side.rect.contains(layout.side.screen([x, z])));
            }
        }
        assert!(layout.plan.rect.contains(layout.plan.screen([0.0, extents.half_breadth])));
        assert!(layout.face.rect.contains(layout.face.screen([-extents.half_breadth, extents.z[1]])));
        assert!(layout.body.rect.contains(layout.body.screen([extents.half_breadth, extents.z[0]])));
    }

    #[test]
    fn zooming_keeps_what_is_under_the_pointer() {
        let floor = Rect::from_min_size(pos2(0.0, 0.0), vec2(1000.0, 700.0));
        let extents = Extents::default();
        let mut camera = Camera::fitting(floor, &extents, false, Fold::Even);
        let before = Layout::new(floor, &camera, Fold::Even, &extents, false, None);
        let pointer = pos2(200.0, 130.0);
        let under = before.side.model(pointer);
        camera.zoom_at(&before.side, pointer, 2.5);
        let after = Layout::new(floor, &camera, Fold::Even, &extents, false, None);
        let now = after.side.model(pointer);
        assert!((now[0] - under[0]).abs() < 1e-3 && (now[1] - under[1]).abs() < 1e-3);
        assert!((after.side.scale[0] / before.side.scale[0] - 2.5).abs() < 1e-9);
        let centre_plane = |layout: &Layout| (layout.plan.screen([0.0, 0.0]).y, layout.face.screen([0.0, 0.0]).x);
        let (was, is) = (centre_plane(&before), centre_plane(&after));
        assert!((was.0 - is.0).abs() < 1e-2 && (was.1 - is.1).abs() < 1e-2);
    }
}
