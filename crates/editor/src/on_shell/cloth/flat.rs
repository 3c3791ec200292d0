//! The cloth in the flat, as it will be cut: outline, trim, slits, start cross, grain, notches, and its shear.

use super::Planned;
use super::lies::Lies;
use crate::app::App;
use crate::loose;
use crate::on_shell::heat::draw;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use desk::shell::cloth::PlyPlan;
use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Align2, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};

/// From the flat, mm, to the screen.
struct Sheet {
    middle: [f64; 2],
    centre: Pos2,
    scale: f64,
}

impl Sheet {
    /// That shows all of a pattern, its warp to the right.
    fn fitting(rect: Rect, ply: &PlyPlan) -> Option<Self> {
        let [low, high] = bounds(ply)?;
        let size = [0, 1].map(|k| (high[k] - low[k]).max(1.0));
        let scale = (f64::from(rect.width()) / size[0]).min(f64::from(rect.height()) / size[1]);
        Some(Self { middle: [0, 1].map(|k| 0.5 * (low[k] + high[k])), centre: rect.center(), scale })
    }

    fn screen(&self, [a, b]: [f64; 2]) -> Pos2 {
        let [x, y] = [a - self.middle[0], b - self.middle[1]].map(|d| (d * self.scale) as f32);
        self.centre + vec2(x, -y)
    }
}

/// Least and greatest place of the cut outline along warp and weft, mm.
pub(crate) fn bounds(ply: &PlyPlan) -> Option<[[f64; 2]; 2]> {
    let places = || ply.pattern.outlines.iter().flat_map(|outline| outline.flat.iter());
    let first = *places().next()?;
    let least = places().fold(first, |a, b| [0, 1].map(|k| a[k].min(b[k])));
    let greatest = places().fold(first, |a, b| [0, 1].map(|k| a[k].max(b[k])));
    Some([least, greatest])
}

/// The pattern of a ply as a drawing of that size.
pub(crate) fn drawing(ui: &mut Ui, theme: &Theme, size: Vec2, planned: &Planned, ply: usize) -> Option<Response> {
    let (plan, lies) = (planned.plan.plies.get(ply)?, planned.lies.get(ply)?);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Cloth in the flat"));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 2.0, theme.floor);
    let large = size.x > 500.0;
    let sheet = Sheet::fitting(rect.shrink(if large { 34.0 } else { 10.0 }), plan)?;
    painter.add(cells(&sheet, theme, lies));
    outlines(&painter, &sheet, theme, plan);
    slits(&painter, &sheet, theme, plan);
    notches(&painter, &sheet, theme, plan, large);
    grain(&painter, &sheet, theme, rect);
    Some(response)
}

fn cells(sheet: &Sheet, theme: &Theme, lies: &Lies) -> Mesh {
    let mut mesh = Mesh::default();
    for (corners, shear_deg) in &lies.flat {
        let first = mesh.vertices.len() as u32;
        let color =
            shear_deg.map_or_else(|| draw::aside(theme), |deg| lies.scale.colour(theme, deg).gamma_multiply(0.9));
        mesh.vertices.extend(corners.map(|p| Vertex { pos: sheet.screen(p), uv: WHITE_UV, color }));
        mesh.indices.extend([0, 1, 2, 0, 2, 3].map(|k: u32| first + k));
    }
    mesh
}

fn outlines(painter: &Painter, sheet: &Sheet, theme: &Theme, plan: &PlyPlan) {
    let closed = |flat: &[[f64; 2]]| flat.iter().chain(flat.first()).map(|p| sheet.screen(*p)).collect::<Vec<_>>();
    for trim in &plan.pattern.trim {
        painter.extend(Shape::dashed_line(&closed(&trim.flat), Stroke::new(1.0, theme.weak), 4.0, 3.0));
    }
    for cut in &plan.pattern.outlines {
        painter.add(Shape::line(closed(&cut.flat), Stroke::new(1.6, theme.text)));
    }
}

fn slits(painter: &Painter, sheet: &Sheet, theme: &Theme, plan: &PlyPlan) {
    for (k, [tip, mouth]) in plan.pattern.slits.iter().enumerate() {
        let [tip, mouth] = [*tip, *mouth].map(|p| sheet.screen(p));
        painter.line_segment([tip, mouth], Stroke::new(2.6, theme.section));
        painter.circle_filled(tip, 2.5, theme.section);
        let at = tip + (tip - mouth).normalized() * 9.0;
        painter.text(at, Align2::CENTER_CENTER, (k + 1).to_string(), theme::bold(11.0), theme.section);
    }
}

/// Stations along the cut edge: short ticks inward, with their numbers where there is room.
fn notches(painter: &Painter, sheet: &Sheet, theme: &Theme, plan: &PlyPlan, large: bool) {
    for notch in &plan.notches {
        let inward = vec2(-notch.along[1] as f32, -notch.along[0] as f32);
        let at = sheet.screen(notch.at);
        let length = if large { 8.0 } else { 4.0 };
        painter.line_segment([at, at + inward * length], Stroke::new(1.0, theme.text));
        if large && notch.number > 0 {
            let place = at - inward * 9.0;
            painter.text(place, Align2::CENTER_CENTER, notch.number.to_string(), theme::small(), theme.weak);
        }
    }
}

/// The start cross, and the way of the warp.
fn grain(painter: &Painter, sheet: &Sheet, theme: &Theme, rect: Rect) {
    let start = sheet.screen([0.0, 0.0]);
    let ink = Stroke::new(1.8, theme.text);
    for way in [vec2(7.0, 0.0), vec2(0.0, 7.0)] {
        painter.line_segment([start - way, start + way], ink);
    }
    let from = pos2(rect.left() + 10.0, rect.bottom() - 9.0);
    painter.arrow(from, vec2(34.0, 0.0), ink);
    painter.text(from + vec2(40.0, 0.0), Align2::LEFT_CENTER, "warp", theme::small(), theme.weak);
}

/// The large drawing over the floor, if it is wanted.
pub(crate) fn card(ui: &Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    if !super::is_open(&app.view) {
        return;
    }
    let Some((floor, cloth)) = app.floor.zip(app.shell.as_ref().map(|shell| &shell.cloth)) else { return };
    let Some(planned) = cloth.planned().filter(|_| cloth.looks.flat_large) else { return };
    let place = Rect::from_center_size(floor.center(), floor.size() - vec2(40.0, 40.0));
    let size = floor.size() - vec2(56.0, 86.0);
    let label = planned.plan.plies.get(cloth.ply).map(|ply| ply.ply.label()).unwrap_or_default();
    let buttons = |ui: &mut Ui| {
        if loose::button(ui, "smaller", "Puts the drawing back on the page.") {
            let looks = super::Looks { flat_large: false, ..cloth.looks };
            asks.push(Ask::Shell(crate::on_shell::ShellAsk::Cloth(super::ClothAsk::Look(looks))));
        }
    };
    let title = format!("Cloth in the flat, {label}");
    loose::show(ui, "flat cloth", place, &title, theme, buttons, |ui| {
        drawing(ui, theme, size, planned, cloth.ply);
    });
}
