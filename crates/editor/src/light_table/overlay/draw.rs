//! Draws the form over the photograph.

use super::pen::{self, Pen, rim};
use super::{Lit, find};
use crate::floor::scene::{letter, pins};
use crate::light_table::draw::Ground;
use crate::theme;
use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, pos2, vec2};
use form::seen::{Handle, HandleOf, SeenPart, Sight};
use project::document::PointRole;

/// Radius of the mark of a finding's spot and length of its ticks, in points, as on the floor.
const SPOT: f32 = 9.0;
const TICK: f32 = 6.0;
/// How near a section that is drawn for a spot keeps to the surface, mm.
const DRAWN: f64 = 0.1;
/// How far ahead of and behind a held place of the silhouette its arrows reach, in points.
const ARROW: [f32; 2] = [9.0, 19.0];

/// The lines.
pub(in crate::light_table) fn lines(ground: &Ground<'_>) {
    let app = ground.app;
    let lit = Lit::of(app);
    let mut strokes: Vec<(Pen, Vec<Pos2>)> = Vec::new();
    for line in app.table.overlay.seen().lines.iter().filter(|l| is_shown(ground, l.part, &lit)) {
        for run in &line.runs {
            let points = run.places.iter().map(|p| ground.at(p.pixel)).collect();
            strokes.push((pen::pen(line.part, run.sight, &lit, ground.theme), points));
        }
    }
    strokes.sort_by_key(|(pen, _)| pen.rank);
    strokes.iter().for_each(|(pen, points)| pen.draw(ground.painter, points));
    names(ground, &lit);
}

/// Whether a line is drawn: its kind is shown, or it is lit, be its kind shown or not.
fn is_shown(ground: &Ground<'_>, part: SeenPart, lit: &Lit) -> bool {
    let shows = &ground.app.table.shows;
    shows.part(part) || (shows.form && (lit.selects(part) || lit.hovers(part)))
}

/// The points that can be taken hold of.
pub(in crate::light_table) fn handles(ground: &Ground<'_>) {
    let app = ground.app;
    let lit = Lit::of(app);
    for handle in app.table.overlay.seen().handles.iter().filter(|h| find::offers(app, h, &lit)) {
        let at = ground.at(handle.pixel);
        if ground.rect.expand(8.0).contains(at) {
            draw_handle(ground, at, handle, &lit);
        }
    }
    held_place(ground);
}

fn draw_handle(ground: &Ground<'_>, at: Pos2, handle: &Handle, lit: &Lit) {
    let theme = ground.theme;
    let target = find::target_of(handle.of);
    let (selected, hovered) = (target == lit.selected, Some(target) == lit.hovered);
    let (own, of_lit) = match handle.of {
        HandleOf::LinePoint { line, .. } => (theme.line(line), true),
        HandleOf::SectionPoint { section, .. } => (theme.section, lit.selected.section() == Some(section)),
    };
    let colour = if selected { theme.accent } else { own };
    let colour = if handle.sight == Sight::Hidden && !selected { colour.gamma_multiply(0.6) } else { colour };
    let near = find::nearness(ground.app) as f32;
    let radius = if selected || hovered {
        5.2
    } else if of_lit {
        3.6 * near
    } else {
        2.6 * near
    };
    let fill = if selected { theme.accent } else { theme.floor };
    ground.painter.circle_filled(at, radius + 1.8 * near, rim(own));
    if is_mark(ground, handle.of) {
        let d = radius * 1.3;
        let corners = [vec2(0.0, -d), vec2(d, 0.0), vec2(0.0, d), vec2(-d, 0.0)].map(|v| at + v);
        ground.painter.add(Shape::convex_polygon(corners.to_vec(), fill, Stroke::new(1.5, colour)));
    } else {
        ground.painter.circle(at, radius, fill, Stroke::new(if hovered { 2.0 } else { 1.5 }, colour));
    }
    if is_locked(ground, handle.of) {
        let arm = 0.8 * radius;
        ground.painter.line_segment([at + vec2(-arm, arm), at + vec2(arm, -arm)], Stroke::new(1.4, colour));
    }
}

/// Whether a pinned section holds it.
fn is_locked(ground: &Ground<'_>, of: HandleOf) -> bool {
    let HandleOf::LinePoint { line, point } = of else { return false };
    let form = ground.app.form();
    form.lines.get(line).points.get(point).is_some_and(|p| pins(&form, p.x))
}

/// Crown, breadth and keel marks are diamonds, as on the floor.
fn is_mark(ground: &Ground<'_>, of: HandleOf) -> bool {
    let HandleOf::SectionPoint { section, point } = of else { return false };
    let role = find::role(&ground.app.form(), section, point);
    matches!(role, Some(PointRole::Crown | PointRole::Keel | PointRole::Breadth { .. }))
}

/// The place of a line that is held, or that a press would hold: a ring, and on the silhouette arrows the way it can be pulled.
fn held_place(ground: &Ground<'_>) {
    let pulling = &ground.app.table.hands.pulling;
    let Some((pixel, outward)) = pulling.place() else { return };
    let (at, colour) = (ground.at(pixel), ground.theme.accent);
    ground.painter.circle_stroke(at, 4.5, Stroke::new(3.6, rim(colour)));
    ground.painter.circle_stroke(at, 4.5, Stroke::new(1.8, colour));
    let Some([x, y]) = outward else { return };
    let out = vec2(x as f32, y as f32);
    for way in [out, -out] {
        let (foot, tip) = (at + ARROW[0] * way, at + ARROW[1] * way);
        let aside = 4.0 * way.rot90();
        for (width, colour) in [(3.6, rim(colour)), (1.8, colour)] {
            let stroke = Stroke::new(width, colour);
            ground.painter.line_segment([foot, tip], stroke);
            ground.painter.line(vec![tip - 5.0 * way + aside, tip, tip - 5.0 * way - aside], stroke);
        }
    }
}

/// Letters of control sections and numbers of stations, at the ends of their lines in the picture.
fn names(ground: &Ground<'_>, lit: &Lit) {
    let mut taken: Vec<Rect> = Vec::new();
    let mut lines: Vec<_> = ground.app.table.overlay.seen().lines.iter().collect();
    // Where there is no room for all, what is lit has its name.
    lines.sort_by_key(|line| !(lit.selects(line.part) || lit.hovers(line.part)));
    for line in lines.into_iter().filter(|l| is_shown(ground, l.part, lit)) {
        let (name, control) = match line.part {
            SeenPart::ControlSection(section) => (letter(section), true),
            SeenPart::Station(station, _) => ((station + 1).to_string(), false),
            _ => continue,
        };
        let places = line.runs.iter().flat_map(|run| &run.places).map(|p| ground.at(p.pixel));
        let in_sight = places.filter(|at| ground.rect.shrink(12.0).contains(*at));
        // Sections have their letter above, stations their number below.
        let down = if control { 1.0 } else { -1.0 };
        let Some(end) = in_sight.min_by(|a, b| (down * a.y).total_cmp(&(down * b.y))) else { continue };
        let size = vec2(10.0 + 6.0 * name.len() as f32, 14.0);
        let chip = Rect::from_center_size(end - vec2(0.0, 14.0 * down), size);
        if taken.iter().any(|other| other.expand(1.0).intersects(chip)) {
            continue;
        }
        taken.push(chip);
        let selected = lit.selects(line.part);
        let (fill, ink) = match (selected, control) {
            (true, _) => (ground.theme.accent, ground.theme.on_accent),
            (false, true) => (ground.theme.control, ground.theme.floor),
            (false, false) => (ground.theme.raised, ground.theme.text),
        };
        ground.painter.rect_filled(chip, if control { 6.5 } else { 1.5 }, fill);
        ground.painter.text(chip.center(), Align2::CENTER_CENTER, name, theme::bold(11.0), ink);
    }
}

/// The spot that a finding led to: a ring where the place is known, the section all round where only the station is.
pub(in crate::light_table) fn spot(ground: &Ground<'_>) {
    let app = ground.app;
    let Some(camera) = super::camera(app) else { return };
    let Some((x, at)) = app.view.spot.and_then(|spot| Some((spot.station?, spot.at))) else { return };
    let shown = |point: [f64; 3]| camera.resection.camera.project(point).map(|px| ground.at(px));
    match at {
        Some([y, z]) => {
            if let Some(middle) = shown([x, y, z]) {
                ring(ground, middle);
            }
        }
        None => {
            let Some(loft) = app.derived.loft() else { return };
            let Some(section) = loft.section(x) else { return };
            let half = section.outline(&loft.weave(DRAWN));
            for side in [1.0, -1.0] {
                let points: Vec<Pos2> = half.iter().filter_map(|[y, z]| shown([x, side * y, *z])).collect();
                let stroke = Stroke::new(1.8, ground.theme.accent);
                ground.painter.extend(Shape::dashed_line(&points, stroke, 8.0, 5.0));
            }
        }
    }
}

fn ring(ground: &Ground<'_>, middle: Pos2) {
    let colour = ground.theme.accent;
    for (width, colour) in [(3.8, rim(colour)), (1.8, colour)] {
        let stroke = Stroke::new(width, colour);
        ground.painter.circle_stroke(middle, SPOT, stroke);
        for way in [vec2(1.0, 0.0), vec2(-1.0, 0.0), vec2(0.0, 1.0), vec2(0.0, -1.0)] {
            ground.painter.line_segment([middle + SPOT * way, middle + (SPOT + TICK) * way], stroke);
        }
    }
}

/// The shaded surface where it was drawn last: a part of the picture, so it stays in its place while the picture moves.
pub(in crate::light_table) fn shaded(ground: &Ground<'_>) {
    let shows = &ground.app.table.shows;
    let Some((texture, least, size)) = ground.app.table.overlay.shade.drawn().filter(|_| shows.form && shows.shaded)
    else {
        return;
    };
    let place = Rect::from_two_pos(ground.at(least), ground.at([least[0] + size[0], least[1] + size[1]]));
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    let tint = Color32::from_white_alpha((255.0 * shows.shade.clamp(0.0, 1.0)) as u8);
    ground.painter.image(texture, place, whole, tint);
}
