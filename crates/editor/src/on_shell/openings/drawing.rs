//! Drawing an outline by clicks on the floor: the view of the first click is that from which it is drawn.
//!
//! The points are kept until the builder ends it; then they become an opening, as one step.

use super::{on_view, put, view_of};
use crate::app::App;
use crate::floor::draw;
use crate::floor::drawing_keys::{DrawingKey, drawing_key};
use crate::floor::layout::{Layout, View, Window};
use crate::theme::{self, Theme};
use crate::view::{Fold, Selected, Tab, Tool};
use egui::{Painter, Pos2, Shape, Stroke, pos2};
use form::openings::OutlineCurve;
use project::opening::{Opening, Outline, OutlinePoint, Purpose, Seen};

/// A click this near to the last point is the second of a double click; one this near to the first closes the outline, in points.
const SAME: f32 = 3.0;
const CLOSING: f32 = 8.0;

/// An outline under way.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawing {
    pub(crate) purpose: Purpose,
    /// The form it is cut through.
    form: usize,
    /// From where, once a point is there.
    pub(crate) seen: Option<Seen>,
    pub(crate) points: Vec<OutlinePoint>,
}

/// Begins, or says what has to be done first.
pub(crate) fn begin(app: &mut App, purpose: Purpose) {
    if app.derived.loft().is_none() {
        app.message = Some("An opening needs a form to be cut through: draw its lines and a section first.".into());
        return;
    }
    let form = app.view.form;
    let Some(shell) = &mut app.shell else { return };
    shell.openings.drawing = Some(Drawing { purpose, form, seen: None, points: Vec::new() });
    app.view.tool = Tool::Outline;
    app.view.selected = Selected::Nothing;
    app.view.tab = Tab::Shell;
    app.view.shell = crate::on_shell::ShellPage::Openings;
    if app.view.fold == Fold::Body {
        app.view.fold = Fold::Even;
        app.view.fit_wanted = true;
    }
    app.message = None;
    app.note =
        Some("Click around the opening in the face view, the side view or the plan; Shift makes a corner.".into());
}

/// From where a view is looked at; the plan from below for what lies below.
fn seen_in(view: View, purpose: Purpose) -> Option<Seen> {
    match view {
        View::Face => Some(Seen::Ahead),
        View::Side => Some(Seen::Starboard),
        View::Plan if purpose == Purpose::Outlet => Some(Seen::Below),
        View::Plan => Some(Seen::Above),
        View::Body => None,
    }
}

/// A click on the floor while an outline is drawn.
pub(crate) fn clicked(app: &mut App, window: &Window, pointer: Pos2, corner: bool) {
    let Some(drawing) = app.shell.as_mut().and_then(|shell| shell.openings.drawing.as_mut()) else {
        app.view.tool = Tool::Select;
        return;
    };
    let Some(seen) = seen_in(window.view, drawing.purpose) else {
        app.message = Some("An outline is drawn in the face view, the side view or the plan.".into());
        return;
    };
    if drawing.seen.is_some_and(|begun| view_of(begun) != window.view) {
        app.message = Some("Go on in the view where the outline was begun.".into());
        return;
    }
    let near = |p: Option<&OutlinePoint>, reach| {
        p.is_some_and(|p| window.screen(on_view(seen, p.at)).distance(pointer) < reach)
    };
    if near(drawing.points.last(), SAME) {
        return;
    }
    if drawing.points.len() >= 3 && near(drawing.points.first(), CLOSING) {
        finish(app);
        return;
    }
    drawing.seen = drawing.seen.or(Some(seen));
    drawing.points.push(OutlinePoint { at: on_view(seen, window.model(pointer)), corner });
    app.message = None;
    app.note = Some(next(drawing));
}

fn next(drawing: &Drawing) -> String {
    match drawing.points.len() {
        0 => "Click around the opening.".to_owned(),
        1 => "1 point. Go on around the opening.".to_owned(),
        2 => "2 points. Go on around the opening.".to_owned(),
        n => format!("{n} points. Enter closes the outline, or a click on the first point."),
    }
}

/// Enter closes the outline, Backspace takes the last point back, Escape drops it.
pub(crate) fn keys(app: &mut App, ctx: &egui::Context) {
    let begun_for = app.shell.as_ref().and_then(|shell| shell.openings.drawing.as_ref()).map(|drawing| drawing.form);
    let Some(form) = begun_for else { return };
    if app.view.tool != Tool::Outline || form != app.view.form {
        cancel(app);
        return;
    }
    match drawing_key(ctx) {
        Some(DrawingKey::Finish) => finish(app),
        Some(DrawingKey::Cancel) => cancel(app),
        Some(DrawingKey::TakeBack) => take_back(app),
        None => (),
    }
}

/// Takes the last point back.
pub(super) fn take_back(app: &mut App) {
    let Some(drawing) = app.shell.as_mut().and_then(|shell| shell.openings.drawing.as_mut()) else { return };
    drawing.points.pop();
    if drawing.points.is_empty() {
        drawing.seen = None;
    }
    app.note = Some(next(drawing));
}

/// Drops what was drawn.
pub(super) fn cancel(app: &mut App) {
    if let Some(shell) = &mut app.shell {
        shell.openings.drawing = None;
    }
    app.view.tool = Tool::Select;
    app.note = Some("Nothing was changed.".into());
}

/// Makes the points an opening, as one step; what is missing is told, and drawing goes on.
pub(super) fn finish(app: &mut App) {
    let Some(drawing) = app.shell.as_ref().and_then(|shell| shell.openings.drawing.clone()) else { return };
    let (Some(seen), 3..) = (drawing.seen, drawing.points.len()) else {
        app.message = Some("An outline needs at least three points. Click on around the opening.".into());
        return;
    };
    let name = super::begin::name(&app.form(), drawing.purpose);
    let outline = Outline::Drawn { points: drawing.points };
    put(app, Opening { name, purpose: drawing.purpose, seen, mirrored: false, outline, duct: None });
    if app.message.is_none() {
        if let Some(shell) = &mut app.shell {
            shell.openings.drawing = None;
        }
        app.view.tool = Tool::Select;
        app.note = Some("Drag its points to correct; Ctrl+click its line to add one.".into());
    }
}

/// Draws what is there so far, and a line to the pointer.
pub(crate) fn draw(painter: &Painter, app: &App, layout: &Layout, theme: &Theme) {
    if app.view.tool != Tool::Outline {
        return;
    }
    let Some(drawing) = app.shell.as_ref().and_then(|shell| shell.openings.drawing.as_ref()) else { return };
    let (Some(seen), [.., last]) = (drawing.seen, drawing.points.as_slice()) else { return };
    let window = layout.window(view_of(seen));
    let painter = painter.with_clip_rect(window.rect);
    let on = |at: [f64; 2]| window.screen(on_view(seen, at));
    let stroke = Stroke::new(2.0, theme.accent);
    let outline = Outline::Drawn { points: drawing.points.clone() };
    match OutlineCurve::of(&outline) {
        Ok(curve) => {
            let mut line: Vec<Pos2> = curve.points(0.05).into_iter().map(on).collect();
            line.extend(line.first().copied());
            painter.line(line, stroke);
        }
        Err(_) => {
            painter.line(drawing.points.iter().map(|p| on(p.at)).collect(), stroke);
        }
    }
    for p in &drawing.points {
        painter.circle(on(p.at), 4.0, theme.floor, stroke);
    }
    let pointer = painter.ctx().pointer_hover_pos().filter(|at| window.rect.contains(*at));
    if let Some(pointer) = pointer {
        let thin = Stroke::new(1.0, theme.accent);
        painter.extend(Shape::dashed_line(&[on(last.at), pointer], thin, 4.0, 4.0));
    }
    let at = pos2(window.rect.left() + 10.0, window.rect.bottom() - 24.0);
    draw::on_floor(&painter, at, "Drawing: Enter closes, Escape drops it", theme::small(), theme);
}
