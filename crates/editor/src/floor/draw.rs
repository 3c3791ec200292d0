//! Draws the floor: grid, stations, lines, sections, handles and the strips between the views.

use crate::floor::airframe::Pen;
use crate::floor::layout::{Layout, View, Window};
use crate::floor::scene::{Handle, HandleShape, Rail, Scene, Stroke as Line, StrokeKind};
use crate::theme::{self, Theme};
use crate::units::Units;
use crate::view::Selected;
use egui::epaint::PathStroke;
use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};
use project::document::LineName;

/// What drawing needs to know besides the scene.
pub(crate) struct Look<'a> {
    pub(crate) theme: &'a Theme,
    pub(crate) layout: &'a Layout,
    pub(crate) units: Units,
    pub(crate) selected: Selected,
    pub(crate) hovered: Option<Selected>,
}

/// The ground: floor, grid, centre planes and the datum.
pub(crate) fn ground(painter: &Painter, look: &Look<'_>) {
    painter.rect_filled(look.layout.floor, 0.0, look.theme.floor);
    for window in look.layout.windows() {
        let painter = painter.with_clip_rect(window.rect);
        if window.view != View::Body {
            grid(&painter, window, look.theme);
        }
        datums(&painter, window, look.theme);
    }
}

/// The finest step of 1, 2, 5, 10, ... mm whose lines stay `apart` points apart.
fn step(scale: f64, apart: f64) -> f64 {
    let least = apart / scale;
    let decade = 10.0_f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|s| s * decade);
    steps.into_iter().find(|s| *s >= least).unwrap_or(10.0 * decade)
}

fn grid(painter: &Painter, window: &Window, theme: &Theme) {
    let [across, up] = window.reach();
    for (axis, range) in [(0, across), (1, up)] {
        let fine = step(window.scale[axis], 13.0);
        for index in ticks(range, fine) {
            let strong = index.rem_euclid(5) == 0;
            let stroke = Stroke::new(1.0, if strong { theme.grid_strong } else { theme.grid });
            let value = index as f64 * fine;
            if axis == 0 {
                painter.vline(window.screen([value, 0.0]).x, window.rect.y_range(), stroke);
            } else {
                painter.hline(window.rect.x_range(), window.screen([0.0, value]).y, stroke);
            }
        }
    }
}

fn ticks([low, high]: [f64; 2], step: f64) -> std::ops::Range<i64> {
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    // A view that is pressed flat could ask for very many; none are better than all.
    if last - first > 2000 { 0..0 } else { first..last + 1 }
}

fn datums(painter: &Painter, window: &Window, theme: &Theme) {
    let origin = window.screen([0.0, 0.0]);
    let stroke = Stroke::new(1.0, theme.datum);
    let upright = matches!(window.view, View::Side | View::Face | View::Body);
    if upright || window.view == View::Plan {
        painter.vline(origin.x, window.rect.y_range(), stroke);
    }
    painter.hline(window.rect.x_range(), origin.y, stroke);
}

/// Stations and control sections where they run through side view and plan.
pub(crate) fn rails(painter: &Painter, scene: &Scene, look: &Look<'_>) {
    for window in [&look.layout.side, &look.layout.plan] {
        let painter = painter.with_clip_rect(window.rect);
        for rail in &scene.rails {
            rail_line(&painter, window, rail, look);
        }
    }
}

fn rail_line(painter: &Painter, window: &Window, rail: &Rail, look: &Look<'_>) {
    let x = window.screen([rail.x, 0.0]).x;
    let marked = rail.target == look.selected || Some(rail.target) == look.hovered;
    let colour = if rail.target == look.selected {
        look.theme.accent
    } else if marked {
        look.theme.text
    } else if rail.control {
        look.theme.control.gamma_multiply(0.55)
    } else {
        look.theme.station.gamma_multiply(0.55)
    };
    let stroke = Stroke::new(if rail.target == look.selected { 1.6 } else { 1.0 }, colour);
    let ends = [pos2(x, window.rect.top()), pos2(x, window.rect.bottom())];
    if rail.control {
        // Control sections: long dash and dot, as centre lines are drawn; stations: thin and whole.
        painter.extend(Shape::dashed_line_with_offset(&ends, stroke, &[14.0, 2.0], &[4.0, 4.0], 0.0));
    } else {
        painter.line_segment(ends, stroke);
    }
}

/// Lines and sections, those that are to be seen.
pub(crate) fn strokes(painter: &Painter, scene: &Scene, look: &Look<'_>, seen: &dyn Fn(&Line) -> bool) {
    // What is strong lies on top.
    for strong in [false, true] {
        for line in scene.strokes.iter().filter(|s| is_strong(s) == strong && seen(s)) {
            let window = look.layout.window(line.view);
            stroke(&painter.with_clip_rect(window.rect), window, line, look);
        }
    }
}

fn is_strong(line: &Line) -> bool {
    matches!(line.kind, StrokeKind::Master(_) | StrokeKind::Shown | StrokeKind::ShownMirror)
}

fn stroke(painter: &Painter, window: &Window, line: &Line, look: &Look<'_>) {
    if line.points.len() < 2 {
        return;
    }
    let points: Vec<Pos2> = line.points.iter().map(|p| window.screen(*p)).collect();
    let (colour, width) = pen(line, look);
    let pen = Stroke::new(width, colour);
    match line.kind {
        StrokeKind::Master(LineName::BreadthHeight) => {
            painter.extend(Shape::dashed_line(&points, pen, 9.0, 5.0));
        }
        StrokeKind::Airframe(Pen::Dashed) | StrokeKind::ShellHidden => {
            painter.extend(Shape::dashed_line(&points, pen, 5.0, 4.0));
        }
        StrokeKind::Airframe(Pen::Axis) => {
            painter.extend(Shape::dashed_line_with_offset(&points, pen, &[14.0, 2.0], &[4.0, 4.0], 0.0));
        }
        _ => {
            painter.line(points, PathStroke::new(width, colour));
        }
    }
}

fn pen(line: &Line, look: &Look<'_>) -> (Color32, f32) {
    let theme = look.theme;
    let selected = line.target.is_some_and(|t| t.is_same_as(look.selected));
    let hovered = line.target.zip(look.hovered).is_some_and(|(target, hovered)| target.is_same_as(hovered));
    let (colour, width) = match line.kind {
        StrokeKind::Master(name) => (theme.line(name), 2.0),
        StrokeKind::Mirror(name) => (theme.line(name).gamma_multiply(0.35), 1.2),
        StrokeKind::Shown => (theme.section, 2.0),
        StrokeKind::ShownMirror => (theme.section.gamma_multiply(0.6), 1.4),
        StrokeKind::Control => (theme.control.gamma_multiply(0.5), 1.0),
        StrokeKind::Station if line.view == View::Body => (theme.station, 1.2),
        StrokeKind::Station => (theme.faint_section.gamma_multiply(0.8), 1.0),
        StrokeKind::Airframe(_) => (theme.airframe(), 1.2),
        StrokeKind::Shell => (theme.shell(), 1.6),
        StrokeKind::Meeting => (theme.shell(), 2.2),
        StrokeKind::Ghost => (theme.weak.gamma_multiply(0.7), 1.0),
        StrokeKind::GhostSection => (theme.weak, 1.4),
        StrokeKind::ShellFaint => (theme.shell().gamma_multiply(0.55), 1.1),
        StrokeKind::ShellHidden => (theme.shell().gamma_multiply(0.7), 1.1),
    };
    match (selected, hovered, line.kind) {
        // A master line keeps its colour when it is selected: it only grows heavier.
        (true, _, StrokeKind::Master(_)) => (colour, width + 1.2),
        (true, _, StrokeKind::Shown) => (colour, width + 0.4),
        (true, _, _) => (theme.accent, width + 0.6),
        (_, true, _) => (colour, width + 0.7),
        _ => (colour, width),
    }
}

/// The handles.
pub(crate) fn handles(painter: &Painter, scene: &Scene, look: &Look<'_>) {
    for handle in &scene.handles {
        let window = look.layout.window(handle.view);
        let at = window.screen(handle.at);
        if window.rect.expand(8.0).contains(at) {
            draw_handle(&painter.with_clip_rect(window.rect), at, handle, look);
        }
    }
}

fn draw_handle(painter: &Painter, at: Pos2, handle: &Handle, look: &Look<'_>) {
    let theme = look.theme;
    let selected = handle.target == look.selected;
    let hovered = Some(handle.target) == look.hovered;
    let own = match handle.target {
        Selected::LinePoint { line, .. } => theme.line(line),
        Selected::Bench { .. } => theme.airframe(),
        Selected::OnShell { .. } => theme.shell(),
        _ => theme.section,
    };
    let colour = if selected { theme.accent } else { own };
    let radius = if selected || hovered { 5.2 } else { 3.9 };
    let fill = if selected { theme.accent } else { theme.floor };
    let rim = Stroke::new(if hovered { 2.2 } else { 1.6 }, colour);
    match handle.shape {
        HandleShape::Smooth => {
            painter.circle(at, radius, fill, rim);
        }
        HandleShape::Corner => {
            let square = Rect::from_center_size(at, Vec2::splat(radius * 1.8));
            painter.rect(square, 0.0, fill, rim, egui::StrokeKind::Middle);
        }
        HandleShape::Slope(degrees) => {
            let (sin, cos) = (-degrees as f32).to_radians().sin_cos();
            let along = vec2(cos, sin) * 17.0;
            painter.line_segment([at - along, at + along], Stroke::new(1.4, colour));
            painter.circle(at, radius, fill, rim);
        }
        HandleShape::Mark => {
            painter.add(Shape::convex_polygon(diamond(at, radius * 1.35), fill, rim));
        }
        HandleShape::Cross => {
            let arm = if selected || hovered { 8.0 } else { 6.0 };
            for way in [vec2(arm, arm), vec2(arm, -arm)] {
                painter.line_segment([at - way, at + way], Stroke::new(if hovered { 2.4 } else { 1.7 }, theme.accent));
            }
            if selected {
                painter.circle_stroke(at, arm, Stroke::new(1.2, theme.accent));
            }
        }
        HandleShape::Shoulder => {
            painter.circle(at, radius, fill, rim);
            painter.circle_filled(at, 1.6, colour);
        }
    }
    if handle.locked {
        painter.line_segment([at + vec2(-3.0, 3.0), at + vec2(3.0, -3.0)], Stroke::new(1.4, colour));
    }
}

fn diamond(at: Pos2, radius: f32) -> Vec<Pos2> {
    [vec2(0.0, -radius), vec2(radius, 0.0), vec2(0.0, radius), vec2(-radius, 0.0)].map(|d| at + d).to_vec()
}

/// The strip between side view and plan: letters of control sections above, numbers of stations below.
pub(crate) fn stations_strip(painter: &Painter, scene: &Scene, look: &Look<'_>) {
    let strip = look.layout.stations;
    painter.rect_filled(strip, 0.0, look.theme.panel);
    edge_lines(painter, strip, look.theme, true);
    let painter = painter.with_clip_rect(strip);
    let mut free_from = [f32::NEG_INFINITY; 2];
    for rail in &scene.rails {
        let row = usize::from(!rail.control);
        let middle = strip.top() + strip.height() * if rail.control { 0.26 } else { 0.73 };
        let at = pos2(look.layout.side.screen([rail.x, 0.0]).x, middle);
        let marked = rail.target == look.selected || Some(rail.target) == look.hovered;
        // Crowded tabs would cover each other: the later ones are left out until there is room.
        if at.x - 11.0 < free_from[row] && !marked {
            continue;
        }
        free_from[row] = at.x + 11.0;
        tab(&painter, at, rail, look);
    }
}

fn tab(painter: &Painter, at: Pos2, rail: &Rail, look: &Look<'_>) {
    let theme = look.theme;
    let selected = rail.target == look.selected;
    let hovered = Some(rail.target) == look.hovered;
    let width = 15.0 + 5.0 * (rail.name.len() as f32 - 1.0);
    let rect = Rect::from_center_size(at, vec2(width, 13.0));
    let (fill, ink) = match (selected, rail.control) {
        (true, _) => (theme.accent, theme.on_accent),
        (false, true) => (theme.control, theme.floor),
        (false, false) => (theme.raised, theme.text),
    };
    let rim = if hovered { Stroke::new(1.2, theme.text) } else { Stroke::NONE };
    painter.rect(rect, if rail.control { 6.5 } else { 1.5 }, fill, rim, egui::StrokeKind::Outside);
    painter.text(at, Align2::CENTER_CENTER, &rail.name, theme::bold(11.0), ink);
}

/// The gap between side and face view, with the heights.
pub(crate) fn heights_gap(painter: &Painter, look: &Look<'_>) {
    let gap = look.layout.heights;
    painter.rect_filled(gap, 0.0, look.theme.panel);
    edge_lines(painter, gap, look.theme, false);
    let window = &look.layout.side;
    let [_, up] = window.reach();
    let unit = look.units.mm();
    let apart = step(window.scale[1] * unit, 34.0);
    let painter = painter.with_clip_rect(gap);
    for index in ticks([up[0] / unit, up[1] / unit], apart) {
        let value = index as f64 * apart;
        let at = pos2(gap.center().x, window.screen([0.0, value * unit]).y);
        // Half a number is none.
        if !gap.shrink(7.0).y_range().contains(at.y) {
            continue;
        }
        painter.text(at, Align2::CENTER_CENTER, number(value, apart), theme::small(), look.theme.weak);
        for x in [gap.left(), gap.right() - 4.0] {
            painter.hline(x..=x + 4.0, at.y, Stroke::new(1.0, look.theme.weak));
        }
    }
}

/// The strip along the upper edge: distances aft of the datum, and half-breadths over the face view.
pub(crate) fn ruler(painter: &Painter, look: &Look<'_>) {
    let strip = look.layout.ruler;
    painter.rect_filled(strip, 0.0, look.theme.panel);
    painter.hline(strip.x_range(), strip.bottom(), Stroke::new(1.0, look.theme.edge));
    for window in [&look.layout.side, &look.layout.face] {
        let rect = Rect::from_x_y_ranges(window.rect.x_range(), strip.y_range());
        let painter = painter.with_clip_rect(rect);
        let [across, _] = window.reach();
        let unit = look.units.mm();
        let apart = step(window.scale[0] * unit, 62.0);
        for index in ticks([across[0] / unit, across[1] / unit], apart) {
            let value = index as f64 * apart;
            let x = window.screen([value * unit, 0.0]).x;
            painter.vline(x, strip.bottom() - 4.0..=strip.bottom(), Stroke::new(1.0, look.theme.weak));
            // Half-breadths count from the centre plane to either side.
            let shown = if window.view == View::Face { value.abs() } else { value };
            let galley = painter.layout_no_wrap(number(shown, apart), theme::small(), look.theme.weak);
            let place = Align2::CENTER_CENTER.anchor_size(pos2(x, strip.top() + 7.0), galley.size());
            if rect.x_range().contains(place.left()) && rect.x_range().contains(place.right()) {
                painter.galley(place.min, galley, look.theme.weak);
            }
        }
    }
    let corner = pos2(look.layout.heights.center().x, strip.center().y);
    painter.text(corner, Align2::CENTER_CENTER, look.units.sign(), theme::small(), look.theme.weak);
}

fn number(value: f64, step: f64) -> String {
    let decimals = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
    format!("{value:.decimals$}")
}

fn edge_lines(painter: &Painter, rect: Rect, theme: &Theme, level: bool) {
    let stroke = Stroke::new(1.0, theme.edge);
    if level {
        painter.hline(rect.x_range(), rect.top(), stroke);
        painter.hline(rect.x_range(), rect.bottom(), stroke);
    } else {
        painter.vline(rect.left(), rect.y_range(), stroke);
        painter.vline(rect.right(), rect.y_range(), stroke);
    }
}

/// The views' titles, and which way is which.
pub(crate) fn titles(painter: &Painter, look: &Look<'_>, face_note: &str) {
    for window in look.layout.windows() {
        let painter = painter.with_clip_rect(window.rect);
        let at = window.rect.left_top() + vec2(10.0, 7.0);
        let title = on_floor(&painter, at, window.view.label(), theme::bold(12.0), look.theme);
        let note = match window.view {
            View::Side => "aft →",
            View::Plan => "starboard ↑",
            View::Face => face_note,
            View::Body => "← after      forward →",
        };
        // A margin strip has no room for notes.
        let room = window.rect.width() > 190.0 && window.rect.height() > 110.0;
        if room {
            let at = title.left_bottom() + vec2(0.0, 1.0);
            on_floor(&painter, at, note, theme::small(), look.theme);
        }
    }
    let junction = Rect::from_min_max(
        pos2(look.layout.heights.left(), look.layout.stations.top()),
        pos2(look.layout.heights.right(), look.layout.floor.bottom()),
    );
    painter.rect_filled(junction, 0.0, look.theme.panel);
    edge_lines(painter, junction, look.theme, false);
    let across = Rect::from_min_max(
        pos2(look.layout.heights.left(), look.layout.stations.top()),
        pos2(look.layout.floor.right(), look.layout.stations.bottom()),
    );
    painter.hline(across.x_range(), across.top(), Stroke::new(1.0, look.theme.edge));
}

/// A word on the floor, with the lines under it wiped out.
pub(crate) fn on_floor(painter: &Painter, at: Pos2, text: &str, font: egui::FontId, theme: &Theme) -> Rect {
    let galley = painter.layout_no_wrap(text.to_owned(), font, theme.weak);
    let rect = Rect::from_min_size(at, galley.size());
    painter.rect_filled(rect.expand2(vec2(3.0, 0.0)), 2.0, theme.floor.gamma_multiply(0.82));
    painter.galley(at, galley, theme.weak);
    rect
}

/// Projection lines from one place of the drawing to where it lies in the neighbouring views.
pub(crate) fn projections(painter: &Painter, look: &Look<'_>, view: View, at: [f64; 2], half_breadth: Option<f64>) {
    let layout = look.layout;
    let stroke = Stroke::new(1.0, look.theme.accent.gamma_multiply(0.8));
    let here = layout.window(view).screen(at);
    let dash = |from: Pos2, to: Pos2| painter.extend(Shape::dashed_line(&[from, to], stroke, 3.0, 4.0));
    match view {
        View::Side => {
            let below = half_breadth.map_or(layout.plan.rect.bottom(), |y| layout.plan.screen([at[0], y]).y);
            dash(here, pos2(here.x, below.clamp(layout.plan.rect.top(), layout.plan.rect.bottom())));
            dash(here, pos2(layout.face.rect.right(), here.y));
        }
        View::Plan => {
            dash(here, pos2(here.x, layout.side.rect.top()));
        }
        View::Face => {
            dash(here, pos2(layout.side.rect.left(), here.y));
            dash(here, pos2(here.x, layout.face.rect.bottom()));
        }
        View::Body => {}
    }
}
