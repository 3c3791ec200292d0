//! The loose card with the shaded body: lies anywhere on the floor or at the slate's foot, or opens large.

mod cut;
mod picture;

pub(crate) use picture::CardPicture;

use crate::app::App;
use crate::commands::Command;
use crate::derived::Derived;
use crate::floor::airframe::{Pen, SpaceLine};
use crate::floor::sanded;
use crate::loose;
use crate::on_shell::{self, Warmth};
use crate::planning::Planning;
use crate::slate::Ask;
use crate::theme::Theme;
use crate::view::Card;
use egui::{CursorIcon, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};
use picture::{Made, Shown};
use shade::Line;

/// The stations' lines on the body.
const INK: [u8; 3] = [0x2a, 0x27, 0x20];
/// Size of the small card's picture, in points.
const SMALL: Vec2 = Vec2::new(234.0, 170.0);

/// Draws the card.
pub(crate) fn show(ui: &Ui, app: &mut App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let large = app.view.card.large;
    let stage = if large { app.floor } else { app.stage() };
    let Some(stage) = stage.filter(|_| app.card().open) else { return };
    let size = inner(app.view.card, stage);
    let place = place(stage, app.view.card);
    let mut turn = None;
    let edge = |ui: &mut Ui| buttons(ui, large, &mut turn, asks);
    let dragged = loose::show(ui, "shaded", place, "Shaded", theme, edge, |ui| picture(ui, app, size, theme));
    let card = &mut app.view.card;
    card.turn = turn.unwrap_or(card.turn);
    if dragged != Vec2::ZERO && !large {
        let corner = place.max + dragged - stage.max;
        card.from_corner = [corner.x, corner.y];
    }
}

/// Where the small card lies on the stage, which is the floor and the slate together.
pub(crate) fn lies_at(card: Card, stage: Rect) -> Option<Rect> {
    (card.open && !card.large).then(|| place(stage, card))
}

/// The size of the picture on it.
fn inner(card: Card, stage: Rect) -> Vec2 {
    // On a low window the small card leaves room for the slate above it.
    let share = (stage.height() / 700.0).clamp(0.5, 1.0);
    if card.large { stage.size() - vec2(60.0, 90.0) } else { SMALL * share }
}

/// Where the card lies: from the stage's lower right corner; the large one in the middle of the floor.
fn place(stage: Rect, card: Card) -> Rect {
    let outer = loose::outer(inner(card, stage));
    if card.large {
        return Rect::from_center_size(stage.center(), outer);
    }
    let corner = stage.max + Vec2::from(card.from_corner) - outer;
    loose::kept_on(stage, Rect::from_min_size(corner, outer))
}

fn buttons(ui: &mut Ui, large: bool, turn: &mut Option<[f32; 2]>, asks: &mut Vec<Ask>) {
    let roomy = ui.available_width() > 170.0;
    if loose::button(ui, "close", Command::Card.entry().tip) {
        asks.push(Ask::Command(Command::Card));
    }
    if loose::button(ui, if large { "smaller" } else { "larger" }, Command::CardLarge.entry().tip) {
        asks.push(Ask::Command(Command::CardLarge));
    }
    let turns = [("front", [0.0, 0.0]), ("side", [90.0, 0.0]), ("¾", [40.0, 20.0])];
    for (label, to) in turns.into_iter().filter(|_| roomy) {
        if loose::button(ui, label, "Turns the body to this view.") {
            *turn = Some(to);
        }
    }
}

fn picture(ui: &mut Ui, app: &mut App, size: Vec2, theme: &'static Theme) {
    let (rect, response) = ui.allocate_exact_size(size, Sense::DRAG);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Shaded body"));
    let card = &mut app.view.card;
    if response.dragged() {
        let by = response.drag_delta();
        card.turn[0] = (card.turn[0] - 0.5 * by.x).rem_euclid(360.0);
        card.turn[1] = (card.turn[1] + 0.5 * by.y).clamp(-90.0, 90.0);
    }
    if response.contains_pointer() {
        let scroll = ui.input(|i| i.smooth_scroll_delta().y);
        card.nearer = (card.nearer * (scroll / 400.0).exp2()).clamp(0.5, 8.0);
    }
    let scale = ui.pixels_per_point();
    let pixels = [(size.x * scale).round() as u32, (size.y * scale).round() as u32];
    let card = app.view.card;
    let warmth = on_shell::warmth(&app.view, app.shell.as_ref());
    let made = Made {
        revision: app.derived.revision,
        size: pixels,
        turn: card.turn,
        nearer: card.nearer,
        dark: theme.dark,
        airframe: app.airframe.revision(),
        planned: app.planning.as_ref().map_or(0, Planning::revision),
        warmth: warmth.map_or(0, |warmth| warmth.revision),
        shell: app.shell.as_ref().map_or((0, 0, 0), |s| (app.view.form, s.openings.revision(), s.added.revision())),
        cut: !app.desk.is_previewing(),
    };
    let mut held = std::mem::take(&mut app.card_picture);
    if let Some(texture) = held.texture(ui.ctx(), made, || shown(app, warmth, made.cut, theme)) {
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(texture.id(), rect, whole, egui::Color32::WHITE);
    }
    app.card_picture = held;
    response.on_hover_cursor(CursorIcon::AllScroll).on_hover_text("Drag to turn, scroll to come nearer.");
}

/// What the picture shows, with openings cut out or not; `None` without a surface.
fn shown(app: &App, warmth: Option<Warmth<'_>>, cut: bool, theme: &'static Theme) -> Option<Shown> {
    let shell = app.shell.as_ref();
    // What lies on the bench is in the axes of the first form.
    let bench = app.airframe.in_space().filter(|_| app.form().mount.is_none());
    let bench: Vec<SpaceLine> = bench.cloned().collect();
    let on_shell = shell.map_or([&[][..], &[]], |s| [s.openings.in_space(), s.added.in_space()]);
    let lines = lines(&app.derived)
        .into_iter()
        .chain(bench_lines(&bench, theme))
        .chain(on_shell.into_iter().flatten().map(|line| shell_line(line, theme)))
        .chain(warmth.into_iter().flat_map(|warmth| warmth.lines).map(|points| cut_line(points)))
        .chain(measured(app, theme))
        .collect();
    app.derived.loft()?;
    Some(Shown {
        lofted: app.derived.lofted()?.clone(),
        openings: shell.filter(|_| cut).and_then(|s| s.openings.laid.shared()),
        added: shell.map(|s| (s.added.surfaces_revision(), s.added.surfaces())).unwrap_or_default(),
        warmth: warmth.map(|warmth| (warmth.map.clone(), warmth.scale)),
        lines,
        bench,
        theme,
    })
}

/// What was measured after sanding belongs to the plug of the first form.
fn measured(app: &App, theme: &Theme) -> Vec<Line> {
    let planned = app.planning.as_ref().filter(|_| app.view.form == 0).and_then(Planning::planned);
    planned
        .map(|planned| sanded::in_space(&planned.plan.gauges.deviations, app.derived.length, theme))
        .unwrap_or_default()
}

/// The stations on the body, as they would be scribed on the plug.
fn lines(derived: &Derived) -> Vec<Line> {
    let halves = derived.stations.iter().flat_map(|s| [1.0, -1.0].map(|side| (s, side)));
    let line = |(s, side): (&crate::derived::Measured, f64)| Line {
        points: s.outline.iter().map(|p| [s.x, side * p[0], p[1]]).collect(),
        colour: INK,
        opacity: 0.45,
        width_px: 1.0,
        bias_mm: 1.0,
    };
    halves.map(line).collect()
}

/// What lies on the bench: whole where it is seen, and faint through the body, which most of it lies within.
fn bench_lines<'a>(bench: &'a [SpaceLine], theme: &Theme) -> impl Iterator<Item = Line> + 'a {
    let [r, g, b, _] = theme.airframe().to_array();
    bench.iter().flat_map(move |line| {
        let (whole, through) = if line.pen == Pen::Dashed { (0.8, 0.4) } else { (1.0, 0.4) };
        [(whole, SEEN), (through, THROUGH)].map(|(opacity, bias_mm)| Line {
            points: line.points.clone(),
            colour: [r, g, b],
            opacity,
            width_px: 1.3,
            bias_mm,
        })
    })
}

/// A rim or a meeting line, where it is seen.
fn shell_line(line: &SpaceLine, theme: &Theme) -> Line {
    let [r, g, b, _] = theme.shell().to_array();
    let opacity = if line.pen == Pen::Whole { 1.0 } else { 0.5 };
    Line { points: line.points.clone(), colour: [r, g, b], opacity, width_px: 1.8, bias_mm: SEEN }
}

/// A slit of the cloth, or a joint line.
fn cut_line(points: &[[f64; 3]]) -> Line {
    Line { points: points.to_vec(), colour: INK, opacity: 0.9, width_px: 2.2, bias_mm: 2.5 * SEEN }
}

/// Lines on the surface are drawn this far ahead of it, mm.
const SEEN: f64 = 1.0;
/// Farther ahead than any body is deep, mm.
const THROUGH: f64 = 1e6;
