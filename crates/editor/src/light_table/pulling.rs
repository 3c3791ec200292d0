//! The form pulled in the photograph: what the pointer is over, what a drag there would move, and the drag.
//!
//! What is taken hold of and the document are those of the press; each step previews one edit of that document, and letting go
//! makes one step of the last.

mod looking;
mod words;

use super::overlay::{self, find};
use crate::app::App;
use crate::gesture::select;
use crate::view::Selected;
use desk::pulled::{Grip, Hold};
use egui::Context;
use form::seen::{Near, NearWhat, SeenPart};
use looking::{Looked, Looking};
use project::edit::{Edit, Refused};
use words::Moved;

/// What the pointer is over of the form, and what is held of it.
#[derive(Default)]
pub(crate) struct Pulling {
    over: Option<Over>,
    held: Option<Held>,
    looking: Looking,
}

/// What the pointer is over.
#[derive(Debug)]
struct Over {
    near: Near,
    /// What a drag would do, once it was looked at.
    would: Option<Would>,
}

/// What a drag would do.
#[derive(Debug)]
enum Would {
    Move(Moved),
    /// Nothing, and why.
    Refused(String),
    /// It cannot be pulled, but a click selects it.
    Select,
}

/// What is held.
#[derive(Debug)]
struct Held {
    near: Near,
    grip: Grip,
    /// From the pointer to what is held, px, so that it does not jump.
    off: [f64; 2],
    /// Where the pointer was followed to last, px.
    at: Option<[f64; 2]>,
    moved: Option<Moved>,
    /// What was selected before.
    before: Selected,
}

impl Pulling {
    /// Whether something is held.
    pub(crate) fn holds(&self) -> bool {
        self.held.is_some()
    }

    /// Whether the pointer is over something of the form.
    pub(crate) fn is_over(&self) -> bool {
        self.over.is_some()
    }

    /// Whether a drag from here would move something.
    pub(crate) fn can_pull(&self) -> bool {
        self.over.as_ref().is_some_and(|over| matches!(over.would, Some(Would::Move(_))))
    }

    /// What lights up: what is moved, or what the pointer is over.
    pub(crate) fn lit(&self) -> Option<Selected> {
        if let Some(held) = &self.held {
            return held.moved.as_ref().and_then(|moved| moved.target);
        }
        let over = self.over.as_ref()?;
        let moved = match &over.would {
            Some(Would::Move(moved)) => moved.target,
            _ => None,
        };
        find::clicked(&over.near).or(moved)
    }

    /// The place of a line that is held or would be, px, and the way out of the form on the silhouette; points show themselves.
    pub(crate) fn place(&self) -> Option<([f64; 2], Option<[f64; 2]>)> {
        if let Some(held) = &self.held {
            let at = held.at.unwrap_or(held.near.place.pixel);
            return mark(&held.near).map(|outward| (at, outward));
        }
        let over = self.over.as_ref().filter(|over| matches!(over.would, Some(Would::Move(_))))?;
        mark(&over.near).map(|outward| (over.near.place.pixel, outward))
    }
}

/// Whether a ring marks the place, and which way arrows point.
fn mark(near: &Near) -> Option<Option<[f64; 2]>> {
    match near.what {
        NearWhat::Silhouette(place) => Some(Some(place.outward)),
        NearWhat::Line(_) => Some(None),
        NearWhat::Handle(_) => None,
    }
}

/// What the pointer is over; nothing while something else is done with it.
pub(super) fn hover(app: &mut App, ctx: &Context, pixel: Option<[f64; 2]>) {
    let Some(near) = pixel.and_then(|pixel| find::under(app, pixel)) else {
        app.table.hands.pulling.over = None;
        return;
    };
    let looked = look(app, ctx, &near);
    let would = looked.map(|looked| match looked {
        Looked::Moves(edit, label) => Would::Move(words::told(app, &edit, &label)),
        Looked::Refused(why) => Would::Refused(words::lettered(app, &why)),
        Looked::Selects => Would::Select,
    });
    let pulling = &mut app.table.hands.pulling;
    // Until it was looked at, what was said of the same line stands.
    let before = pulling.over.take().filter(|over| is_same(&over.near, &near)).and_then(|over| over.would);
    pulling.over = Some(Over { near, would: would.or(before) });
}

/// What a drag from a place would do, looked at beside the window's thread.
fn look(app: &mut App, ctx: &Context, near: &Near) -> Option<Looked> {
    let Some(hold) = Hold::of(near) else { return Some(Looked::Selects) };
    let camera = overlay::camera(app)?;
    let from =
        looking::Sought { document: app.desk.document().clone(), form: app.view.form, camera, hold, near: *near };
    app.table.hands.pulling.looking.of(ctx, from)
}

/// Whether both are the same point or line.
fn is_same(a: &Near, b: &Near) -> bool {
    match (&a.what, &b.what) {
        (NearWhat::Handle(a), NearWhat::Handle(b)) => a.of == b.of,
        (NearWhat::Line(a), NearWhat::Line(b)) => a == b,
        (NearWhat::Silhouette(_), NearWhat::Silhouette(_)) => true,
        _ => false,
    }
}

fn grip(app: &App, hold: &Hold) -> Option<Result<Grip, Refused>> {
    let camera = overlay::camera(app)?.resection.camera;
    Some(Grip::take(app.desk.document(), app.view.form, &camera, hold))
}

/// Whether something of the form lies under a pixel.
pub(super) fn is_at(app: &App, pixel: [f64; 2]) -> bool {
    find::under(app, pixel).is_some()
}

/// What a click at a pixel selects of the form.
pub(super) fn clicked(app: &App, pixel: [f64; 2]) -> Option<Selected> {
    find::clicked(&find::under(app, pixel)?)
}

/// Takes hold of what lies under a press; whether anything of the form does.
pub(super) fn begin(app: &mut App, pixel: [f64; 2]) -> bool {
    let Some(near) = find::under(app, pixel) else { return false };
    let Some(hold) = Hold::of(&near) else { return false };
    let before = app.view.selected;
    match grip(app, &hold) {
        Some(Ok(grip)) => {
            if let Some(target) = find::clicked(&near) {
                select(&mut app.view, target);
            }
            let off = [0, 1].map(|k| near.place.pixel[k] - pixel[k]);
            app.table.hands.pulling.held = Some(Held { near, grip, off, at: None, moved: None, before });
        }
        Some(Err(refused)) => {
            if let Some(target) = find::clicked(&near) {
                select(&mut app.view, target);
            }
            app.message = Some(words::lettered(app, &refused.to_string()));
        }
        None => return false,
    }
    app.table.hands.pulling.over = None;
    true
}

/// Brings what is held under the pointer, as near as it can come.
pub(super) fn follow(app: &mut App, pointer: [f64; 2]) {
    let Some(held) = &mut app.table.hands.pulling.held else { return };
    let at = [0, 1].map(|k| pointer[k] + held.off[k]);
    if held.at == Some(at) {
        return;
    }
    held.at = Some(at);
    let pulled = held.grip.pull(at);
    let label = held.grip.label().to_owned();
    let pulled = match pulled {
        Ok(pulled) => pulled,
        // The form stays where it was last.
        Err(refused) => {
            app.message = Some(words::lettered(app, &refused.to_string()));
            return;
        }
    };
    if let Err(refused) = app.desk.preview(&pulled.edit) {
        app.message = Some(words::lettered(app, &refused.to_string()));
        return;
    }
    app.message = (!pulled.reached()).then(|| short(app, pulled.miss_px));
    let moved = words::told(app, &pulled.edit, &label);
    let target = moved.target.filter(|target| target.exists(app.desk.document(), &app.form()));
    if let Some(target) = target.filter(|target| *target != app.view.selected) {
        select(&mut app.view, target);
    }
    if let Some(held) = &mut app.table.hands.pulling.held {
        held.moved = Some(moved);
    }
}

/// What is held cannot come under the pointer.
fn short(app: &App, miss_px: f64) -> String {
    let far = miss_px * app.table.sheet.scale;
    if far < 1.0 {
        "It follows as near as it can.".into()
    } else {
        format!("It cannot come there: it stays {miss_px:.0} px of the picture away, the nearest it can come.")
    }
}

/// Lets go: what was previewed becomes one step.
pub(super) fn end(app: &mut App) {
    if app.table.hands.pulling.held.take().is_some() {
        app.desk.commit_preview();
    }
}

/// Drops what is held: the form is as it was before.
pub(super) fn drop_held(app: &mut App) -> bool {
    let Some(held) = app.table.hands.pulling.held.take() else { return false };
    app.desk.cancel_preview();
    app.view.selected = held.before;
    app.message = None;
    true
}

/// What the status line says: what is moved, or would be.
pub(crate) fn says(app: &App) -> Option<String> {
    let pulling = &app.table.hands.pulling;
    if let Some(held) = &pulling.held {
        return held.moved.as_ref().map(|moved| moved.says.clone());
    }
    let over = pulling.over.as_ref()?;
    let name = name(app, &over.near);
    Some(match &over.would {
        Some(Would::Move(moved)) => format!("{name}: a drag {}", moved.says),
        Some(Would::Refused(why)) => format!("{name}: {why}"),
        Some(Would::Select) => format!("{name}: click to select"),
        None => name,
    })
}

/// What the pointer is over is called.
fn name(app: &App, near: &Near) -> String {
    if matches!(near.what, NearWhat::Line(SeenPart::Knuckle(..))) {
        return "Knuckle".into();
    }
    if matches!(near.what, NearWhat::Line(SeenPart::ControlLine(_))) {
        return "Control line".into();
    }
    let named = find::clicked(near).and_then(|target| words::name(app, target));
    named.unwrap_or_else(|| "Silhouette".into())
}

/// The one edit of several that tells what is moved.
fn first(edit: &Edit) -> &Edit {
    match edit {
        Edit::Together { edits, .. } => edits.first().map_or(edit, first),
        other => other,
    }
}
