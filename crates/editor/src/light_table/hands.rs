//! Pointing at the picture on the light table, dragging what lies on it, and moving the picture itself.
//!
//! A drag previews edits; letting go makes one step of them; Escape drops them.

use super::marks::{self, Mark, OnPicture};
use super::pulling::{self, Pulling};
use super::{picking, tracing};
use crate::app::App;
use crate::gesture::select;
use crate::view::{Selected, Tool};
use egui::{Key, Modifiers, PointerButton, Pos2, Rect, Response};
use project::document::Picture;
use std::sync::Arc;

/// A handle is taken within this many points of the screen.
const REACH: f32 = 9.0;

/// What the pointer does on the table.
#[derive(Default)]
pub(crate) struct Hands {
    drag: Option<Drag>,
    pub(crate) hover: Option<OnPicture>,
    /// What is pulled of the form, or could be.
    pub(crate) pulling: Pulling,
    /// Where the pointer is over the picture, px.
    pub(crate) pointer: Option<[f64; 2]>,
    panning: bool,
    /// Escape was pressed: nothing happens until the button is let go.
    cancelled: bool,
}

/// What is being dragged, and how far from its middle it was taken, px.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Drag {
    what: OnPicture,
    grip: [f64; 2],
}

impl Hands {
    /// Whether nothing is held.
    pub(crate) fn is_free(&self) -> bool {
        self.drag.is_none() && !self.pulling.holds()
    }

    /// Where what is dragged lies while the pointer is over a pixel, px.
    pub(crate) fn held_at(&self, pointer: [f64; 2]) -> Option<[f64; 2]> {
        self.drag.map(|drag| [pointer[0] + drag.grip[0], pointer[1] + drag.grip[1]])
    }

    /// Whether the picture itself is being moved.
    pub(crate) fn is_panning(&self) -> bool {
        self.panning
    }
}

/// The table as it is in this frame.
struct Table {
    rect: Rect,
    picture: usize,
    p: Arc<Picture>,
    marks: Vec<Mark>,
}

/// Reads this frame's input on the table.
pub(crate) fn run(app: &mut App, ctx: &egui::Context, table: &Response) {
    let Some(picture) = app.table.picture else { return };
    let Some(p) = app.desk.document().pictures.get(picture).cloned() else { return };
    let marks = shown_marks(app, &p);
    let at = Table { rect: table.rect, picture, p, marks };
    zoom_and_pan(app, ctx, table);
    let pointer = table.hover_pos();
    app.table.hands.pointer = pointer.map(|pointer| app.table.sheet.px(at.rect, pointer));
    app.table.hands.hover = match (app.table.hands.drag, pointer) {
        (None, Some(pointer)) if !app.table.hands.pulling.holds() => hit(app, ctx, &at, pointer),
        _ => None,
    };
    hover_form(app, ctx, &at, pointer);
    if !app.table.hands.is_free() && ctx.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape)) {
        if !pulling::drop_held(app) {
            app.desk.cancel_preview();
            app.table.hands.drag = None;
        }
        app.table.hands.cancelled = true;
    }
    if app.table.hands.panning {
        return;
    }
    if table.drag_started_by(PointerButton::Primary) {
        begin(app, ctx, &at);
    }
    if let (Some(pointer), true) = (table.interact_pointer_pos(), table.dragged_by(PointerButton::Primary)) {
        follow(app, &at, pointer);
    }
    if table.drag_stopped_by(PointerButton::Primary) {
        if app.table.hands.drag.take().is_some() && !app.table.hands.cancelled {
            app.desk.commit_preview();
        }
        pulling::end(app);
        app.table.hands.cancelled = false;
    }
    if let Some(pointer) = table.interact_pointer_pos().filter(|_| table.clicked()) {
        let adds = table.double_clicked() || ctx.input(|i| i.modifiers.command);
        click(app, ctx, &at, pointer, adds);
    }
}

fn zoom_and_pan(app: &mut App, ctx: &egui::Context, table: &Response) {
    let space = ctx.input(|i| i.key_down(Key::Space)) && !ctx.text_edit_focused();
    let free = app.table.hands.is_free();
    let middle = table.dragged_by(PointerButton::Middle);
    let by_hand = space || (matches!(app.view.tool, Tool::Select) && app.table.hands.panning);
    app.table.hands.panning = middle || (by_hand && free && table.dragged_by(PointerButton::Primary));
    if app.table.hands.panning {
        app.table.sheet.pan(table.drag_delta());
        return;
    }
    let Some(pointer) = table.hover_pos().filter(|_| table.contains_pointer()) else { return };
    let (scroll, pinch, source) = ctx.input(|i| (i.smooth_scroll_delta(), i.zoom_delta(), i.scroll_source()));
    let fingers = source == Some(egui::MouseWheelSource::Trackpad);
    let factor = f64::from(pinch) * if fingers { 1.0 } else { (f64::from(scroll.y) / 240.0).exp2() };
    if (factor - 1.0).abs() > 1e-6 {
        app.table.sheet.zoom_at(table.rect, pointer, factor);
    }
    let slide = if fingers { scroll } else { egui::vec2(scroll.x, 0.0) };
    if slide != egui::Vec2::ZERO {
        app.table.sheet.pan(slide);
    }
}

/// What was picked on the picture and is shown.
pub(super) fn shown_marks(app: &App, p: &Picture) -> Vec<Mark> {
    let mut marks = marks::of(&p.photograph);
    let placing = picking::is_picking(app);
    marks.retain(|mark| placing || app.table.shows.mark(mark.what));
    marks
}

/// What the pointer is over of the form: where nothing lies that was picked, and nothing else is done.
fn hover_form(app: &mut App, ctx: &egui::Context, table: &Table, pointer: Option<Pos2>) {
    let hands = &app.table.hands;
    let busy = !hands.is_free() || hands.panning || hands.hover.is_some() || picking::is_picking(app);
    let pixel = pointer.filter(|_| !busy).map(|at| app.table.sheet.px(table.rect, at));
    pulling::hover(app, ctx, pixel);
}

/// The nearest handle, the selected one first; none where the form is meant by the modifier.
fn hit(app: &App, ctx: &egui::Context, table: &Table, pointer: Pos2) -> Option<OnPicture> {
    if ctx.input(|i| i.modifiers.shift) && pulling::is_at(app, app.table.sheet.px(table.rect, pointer)) {
        return None;
    }
    let selected = super::selected(app);
    let near = |m: &&Mark| app.table.sheet.screen(table.rect, m.at).distance(pointer) < REACH;
    let far = |m: &Mark| app.table.sheet.screen(table.rect, m.at).distance(pointer);
    let own = table.marks.iter().filter(near).find(|m| Some(m.what) == selected);
    own.or_else(|| table.marks.iter().filter(near).min_by(|a, b| far(a).total_cmp(&far(b)))).map(|m| m.what)
}

fn begin(app: &mut App, ctx: &egui::Context, table: &Table) {
    app.table.hands.cancelled = false;
    let Some(press) = ctx.input(|i| i.pointer.press_origin()) else { return };
    if picking::is_picking(app) {
        return;
    }
    let taken = hit(app, ctx, table, press);
    let grabbed = app.table.sheet.px(table.rect, press);
    let Some(mark) = taken.and_then(|what| table.marks.iter().find(|m| m.what == what)) else {
        // Where nothing lies, the picture itself is moved.
        app.table.hands.panning = !pulling::begin(app, grabbed);
        return;
    };
    let grip = [mark.at[0] - grabbed[0], mark.at[1] - grabbed[1]];
    select(&mut app.view, Selected::OnPicture { picture: table.picture, what: mark.what });
    app.table.hands.drag = Some(Drag { what: mark.what, grip });
}

fn follow(app: &mut App, table: &Table, pointer: Pos2) {
    let at = app.table.sheet.px(table.rect, pointer);
    pulling::follow(app, at);
    let Some(drag) = app.table.hands.drag else { return };
    let to = [at[0] + drag.grip[0], at[1] + drag.grip[1]];
    if let Some(edit) = marks::moved(&table.p, table.picture, drag.what, to) {
        app.message = app.desk.preview(&edit).err().map(|r| r.to_string());
    }
}

fn click(app: &mut App, ctx: &egui::Context, table: &Table, pointer: Pos2, adds: bool) {
    app.message = None;
    let px = app.table.sheet.px(table.rect, pointer);
    if picking::is_picking(app) {
        picking::clicked(app, table.picture, px);
        return;
    }
    let of_form = pulling::clicked(app, px);
    let target = match hit(app, ctx, table, pointer) {
        Some(what) => Selected::OnPicture { picture: table.picture, what },
        None if ctx.input(|i| i.modifiers.shift) && of_form.is_some() => of_form.unwrap_or(Selected::Nothing),
        None if app.table.shows.traces && tracing::clicked(app, table.picture, px, adds) => return,
        None => of_form.unwrap_or(Selected::Picture(table.picture)),
    };
    select(&mut app.view, target);
}
