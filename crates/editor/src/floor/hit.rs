//! Hit testing: a function of shapes and a place, so it can be tested without a window.

use crate::floor::layout::{Layout, View, Window};
use crate::floor::scene::{Rail, Scene, Stroke};
use crate::on_shell::OnShell;
use crate::view::Selected;
use egui::Pos2;

/// How near the pointer must come, in points.
const HANDLE_REACH: f32 = 9.0;
const LINE_REACH: f32 = 6.0;
const TAB_REACH: f32 = 11.0;

/// What lies under the pointer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Hit {
    /// A handle, by its index in the scene.
    Handle(usize),
    /// A stroke that can be selected, and where on the drawing it was met.
    Stroke { target: Selected, view: View, at: [f64; 2] },
    /// A station's or control section's tab in the strip, or its line in a view.
    Rail { target: Selected, tab: bool },
}

impl Hit {
    /// What a click selects.
    pub(crate) fn target(&self, scene: &Scene) -> Selected {
        match *self {
            Self::Handle(handle) => scene.handles.get(handle).map_or(Selected::Nothing, |h| h.target),
            Self::Stroke { target, .. } | Self::Rail { target, .. } => target,
        }
    }
}

/// The nearest thing to take hold of, handles before tabs before lines before rails.
pub(crate) fn hit(scene: &Scene, layout: &Layout, selected: Selected, at: Pos2) -> Option<Hit> {
    if layout.stations.contains(at) {
        return nearest_tab(scene, layout, at).map(|rail| Hit::Rail { target: rail.target, tab: true });
    }
    let window = layout.at(at)?;
    nearest_handle(scene, window, selected, at)
        .map(Hit::Handle)
        .or_else(|| nearest_stroke(scene, window, at))
        .or_else(|| nearest_rail(scene, window, at).map(|rail| Hit::Rail { target: rail.target, tab: false }))
}

fn nearest_handle(scene: &Scene, window: &Window, selected: Selected, at: Pos2) -> Option<usize> {
    let handles = scene.handles.iter().enumerate().filter(|(_, h)| h.view == window.view);
    let near = handles.map(|(i, h)| {
        // Where two lie on one another, the selected one stays in hand.
        // Where cloth begins often lies on a point of the crown, and is there only while its page is open.
        let cloth = matches!(h.target.on_shell(), Some(OnShell::ClothStart | OnShell::ClothWay));
        let favour = if h.target == selected { 0.5 } else { 0.0 } + if cloth { 4.0 } else { 0.0 };
        (i, window.screen(h.at).distance(at) - favour)
    });
    near.filter(|(_, d)| *d < HANDLE_REACH).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
}

fn nearest_stroke(scene: &Scene, window: &Window, at: Pos2) -> Option<Hit> {
    let strokes = scene.strokes.iter().filter(|s| s.view == window.view);
    let near = strokes.filter_map(|s| {
        let target = s.target?;
        let (distance, place) = nearest_on(s, window, at)?;
        (distance < LINE_REACH).then_some((distance, target, place))
    });
    let (_, target, place) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Hit::Stroke { target, view: window.view, at: window.model(place) })
}

/// Distance to a stroke on the screen, and the place on it.
fn nearest_on(stroke: &Stroke, window: &Window, at: Pos2) -> Option<(f32, Pos2)> {
    let ends = stroke.points.windows(2).map(|pair| [window.screen(pair[0]), window.screen(pair[1])]);
    ends.map(|[from, to]| {
        let foot = nearest_on_segment(from, to, at);
        (foot.distance(at), foot)
    })
    .min_by(|a, b| a.0.total_cmp(&b.0))
}

fn nearest_on_segment(from: Pos2, to: Pos2, at: Pos2) -> Pos2 {
    let along = to - from;
    let length2 = along.length_sq();
    if length2 <= f32::EPSILON {
        return from;
    }
    from + along * ((at - from).dot(along) / length2).clamp(0.0, 1.0)
}

fn nearest_tab<'a>(scene: &'a Scene, layout: &Layout, at: Pos2) -> Option<&'a Rail> {
    // Control sections carry their tab in the strip's upper half, stations in the lower.
    let upper = at.y < layout.stations.center().y;
    let rails = scene.rails.iter().filter(|r| r.control == upper);
    nearest_across(rails, &layout.side, at, TAB_REACH)
}

fn nearest_rail<'a>(scene: &'a Scene, window: &Window, at: Pos2) -> Option<&'a Rail> {
    match window.view {
        View::Side | View::Plan => nearest_across(scene.rails.iter(), window, at, 4.0),
        View::Face | View::Body => None,
    }
}

fn nearest_across<'a>(
    rails: impl Iterator<Item = &'a Rail>,
    window: &Window,
    at: Pos2,
    reach: f32,
) -> Option<&'a Rail> {
    let near = rails.map(|r| (r, (window.screen([r.x, 0.0]).x - at.x).abs()));
    near.filter(|(_, d)| *d < reach).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(r, _)| r)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::floor::layout::{Camera, Extents};
    use crate::floor::scene::{Handle, HandleShape, StrokeKind};
    use crate::view::Fold;
    use egui::{Rect, pos2, vec2};
    use project::document::LineName;

    fn scene() -> Scene {
        let target = Selected::LinePoint { line: LineName::Crown, point: 0 };
        Scene {
            handles: vec![Handle {
                view: View::Side,
                at: [100.0, 50.0],
                shape: HandleShape::Smooth,
                target,
                label: "Crown point 1".into(),
                locked: false,
            }],
            strokes: vec![Stroke {
                view: View::Side,
                kind: StrokeKind::Master(LineName::Crown),
                target: Some(Selected::Line(LineName::Crown)),
                points: vec![[0.0, 50.0], [300.0, 50.0]],
            }],
            rails: vec![Rail {
                x: 150.0,
                target: Selected::Station(0),
                name: "1".into(),
                control: false,
                pinned: false,
            }],
            extents: Extents::default(),
        }
    }

    fn layout() -> Layout {
        let floor = Rect::from_min_size(pos2(0.0, 0.0), vec2(1000.0, 700.0));
        let extents = Extents::default();
        Layout::new(floor, &Camera::fitting(floor, &extents, false, Fold::Even), Fold::Even, &extents, false, None)
    }

    #[test]
    fn a_handle_lies_above_its_line_and_a_line_above_a_station() {
        let (scene, layout) = (scene(), layout());
        let at = |x, z| hit(&scene, &layout, Selected::Nothing, layout.side.screen([x, z]));
        assert_eq!(at(100.0, 50.0), Some(Hit::Handle(0)));
        assert!(matches!(at(150.0, 50.0), Some(Hit::Stroke { target: Selected::Line(LineName::Crown), .. })));
        assert!(matches!(at(150.0, -40.0), Some(Hit::Rail { tab: false, .. })));
        assert_eq!(at(220.0, -40.0), None);
    }

    /// It begins at the crown's middle, where lines like to have a point, and its handle is there only while its page is open.
    #[test]
    fn the_start_of_cloth_lies_over_a_point_of_a_line() {
        let (mut scene, layout) = (scene(), layout());
        let start = Selected::OnShell { item: OnShell::ClothStart, view: View::Side };
        scene.handles.push(Handle { target: start, ..scene.handles[0].clone() });
        let at = |x| {
            hit(&scene, &layout, Selected::LinePoint { line: LineName::Crown, point: 0 }, layout.side.screen([x, 50.0]))
        };
        assert_eq!(at(100.0), Some(Hit::Handle(1)));
    }

    #[test]
    fn the_strip_holds_the_tabs() {
        let (scene, layout) = (scene(), layout());
        let x = layout.side.screen([150.0, 0.0]).x;
        let low = pos2(x + 3.0, layout.stations.bottom() - 4.0);
        assert!(matches!(hit(&scene, &layout, Selected::Nothing, low), Some(Hit::Rail { tab: true, .. })));
        let high = pos2(x, layout.stations.top() + 4.0);
        assert_eq!(hit(&scene, &layout, Selected::Nothing, high), None);
    }

    #[test]
    fn a_click_on_a_line_tells_where() {
        let (scene, layout) = (scene(), layout());
        let near = layout.side.screen([200.0, 50.0]) + vec2(0.0, 3.0);
        let Some(Hit::Stroke { at, .. }) = hit(&scene, &layout, Selected::Nothing, near) else { panic!() };
        assert!((at[0] - 200.0).abs() < 0.1 && (at[1] - 50.0).abs() < 0.1);
    }
}
