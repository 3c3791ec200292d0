//! Openings on the floor: drawn in every view, taken hold of in the one they are drawn in.

pub(crate) mod begin;
pub(crate) mod drawing;
pub(crate) mod grips;
mod laid;
mod strokes;

pub(crate) use laid::{Laid, OneLaid};

use super::item::OpeningGrip;
use super::{OnShell, ShellPage};
use crate::act;
use crate::app::App;
use crate::floor::airframe::SpaceLine;
use crate::floor::layout::View;
use crate::floor::scene::{Scene, Stroke};
use crate::gesture::select;
use crate::view::{Selected, Tab, ViewState};
use begin::Shape;
use desk::Reckoned;
use desk::shell::airflow::Airflow;
use drawing::Drawing;
use form::Lofted;
use project::airframe::Airframe;
use project::document::{Document, Form};
use project::edit::Edit;
use project::opening::{Opening, Outline, Purpose, Seen};
use project::shell::Shell;
use std::sync::Arc;

/// Openings as they lie on the surface, and one that is being drawn.
pub(crate) struct OpeningsWork {
    pub(crate) laid: Laid,
    strokes: Vec<Stroke>,
    in_space: Vec<SpaceLine>,
    /// Which of them the lines above are of.
    drawn: u64,
    pub(crate) drawing: Option<Drawing>,
    air: Option<Air>,
}

/// The air through all openings, and what it was computed from.
#[derive(Debug)]
struct Air {
    of: (usize, Vec<Arc<Form>>, Arc<Shell>, Arc<Airframe>),
    airflow: Option<Arc<Airflow>>,
    fresh: bool,
}

impl OpeningsWork {
    /// Nothing laid yet.
    pub(super) fn new(ctx: &egui::Context) -> Self {
        Self { laid: Laid::new(ctx), strokes: Vec::new(), in_space: Vec::new(), drawn: 0, drawing: None, air: None }
    }

    /// Their rims in space, for the shaded view.
    pub(crate) fn in_space(&self) -> &[SpaceLine] {
        &self.in_space
    }

    /// The air through all openings, and whether that is of the document as it is; `None` without a surface or any hole.
    pub(crate) fn air(&self) -> Option<(&Airflow, bool)> {
        let air = self.air.as_ref()?;
        Some((air.airflow.as_deref()?, air.fresh))
    }

    /// A number that changes with them.
    pub(crate) fn revision(&self) -> u64 {
        self.laid.revision()
    }
}

/// Something about openings that is no edit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum OpeningsAsk {
    /// A new one, put where such an opening usually is.
    Add(Purpose, Shape),
    /// A copy beside it.
    Copy(usize),
    /// Drawn and cut from elsewhere; it stays about where it is on the form.
    SeenFrom(usize, Seen),
    /// What is drawn becomes the outline.
    EndDrawing,
    /// The last point goes.
    TakeBack,
    /// What is drawn is dropped.
    DropDrawing,
}

pub(super) fn act(app: &mut App, asked: OpeningsAsk) {
    match asked {
        OpeningsAsk::Add(purpose, shape) => add(app, purpose, shape),
        OpeningsAsk::Copy(index) => copy(app, index),
        OpeningsAsk::SeenFrom(index, seen) => see_from(app, index, seen),
        OpeningsAsk::EndDrawing => drawing::finish(app),
        OpeningsAsk::TakeBack => drawing::take_back(app),
        OpeningsAsk::DropDrawing => drawing::cancel(app),
    }
}

/// The view that shows what is drawn from there.
pub(crate) fn view_of(seen: Seen) -> View {
    match seen {
        Seen::Ahead => View::Face,
        Seen::Starboard | Seen::Port => View::Side,
        Seen::Above | Seen::Below => View::Plan,
    }
}

/// What the two places of a view are called.
pub(crate) fn axes(seen: Seen) -> [&'static str; 2] {
    match seen {
        Seen::Ahead => ["starboard", "height"],
        Seen::Starboard | Seen::Port => ["aft", "height"],
        Seen::Above | Seen::Below => ["aft", "starboard"],
    }
}

/// What sizes along them are called.
pub(crate) fn sizes(seen: Seen) -> [&'static str; 2] {
    match seen {
        Seen::Ahead => ["Width", "Height"],
        Seen::Starboard | Seen::Port => ["Length", "Height"],
        Seen::Above | Seen::Below => ["Length", "Width"],
    }
}

/// A place of an outline as its view shows it, and back: the face view has starboard on its left.
pub(crate) fn on_view(seen: Seen, [a, b]: [f64; 2]) -> [f64; 2] {
    if seen == Seen::Ahead { [-a, b] } else { [a, b] }
}

/// What is selected when an opening is, by one of its handles.
pub(crate) fn selected(opening: usize, grip: OpeningGrip, seen: Seen) -> Selected {
    Selected::OnShell { item: OnShell::Opening { opening, grip }, view: view_of(seen) }
}

/// Brings what lies on the surface up to date with the document.
pub(super) fn refresh(app: &mut App) {
    let (form, index) = (app.form(), app.view.form);
    let lofted = app.desk.skin(index);
    let document = app.desk.document().clone();
    let all: Vec<Arc<Lofted>> = (0..document.forms.len()).filter_map(|form| app.desk.skin(form)).collect();
    let known = app.desk.reckoned().clone();
    let Some(work) = app.shell.as_mut().map(|shell| &mut shell.openings) else { return };
    let at_rest = !app.desk.is_previewing();
    work.laid.refresh(&document, index, &form, lofted, app.derived.revision, at_rest);
    if work.drawn != work.laid.revision() {
        work.drawn = work.laid.revision();
        work.strokes = strokes::of(&form, &work.laid);
        work.in_space = strokes::in_space(&work.laid);
    }
    if app.view.tab == Tab::Shell && app.view.shell == ShellPage::Openings {
        work.breathe(&document, index, &all, &known, at_rest);
    }
}

impl OpeningsWork {
    /// Brings the air up to date, once the document is at rest: all areas together take longer than a drag can wait for.
    fn breathe(&mut self, document: &Document, form: usize, lofted: &[Arc<Lofted>], known: &Reckoned, at_rest: bool) {
        let of = (form, document.forms.clone(), document.shell.clone(), document.airframe.clone());
        let same = |air: &Air| {
            let forms = air.of.1.len() == of.1.len() && air.of.1.iter().zip(&of.1).all(|(a, b)| Arc::ptr_eq(a, b));
            air.of.0 == of.0 && forms && Arc::ptr_eq(&air.of.2, &of.2) && Arc::ptr_eq(&air.of.3, &of.3)
        };
        match &mut self.air {
            Some(air) if same(air) => air.fresh = true,
            Some(air) if !at_rest => air.fresh = false,
            air => {
                let airflow = known.airflow(document, form, lofted);
                *air = Some(Air { of, airflow, fresh: true });
            }
        }
    }
}

/// Adds lines and handles to the scene: the middles while the shell is worked on, all handles of the one that is selected.
pub(super) fn add_to(scene: &mut Scene, document: &Document, view: &ViewState, work: &OpeningsWork) {
    scene.strokes.extend(work.strokes.iter().cloned());
    let Some(form) = document.forms.get(view.form) else { return };
    let held = view.selected.on_shell().map(OnShell::thing);
    for (index, opening) in form.openings.iter().enumerate() {
        let chosen = held == Some(OnShell::Opening { opening: index, grip: OpeningGrip::Whole });
        if chosen || view.tab == Tab::Shell {
            scene.handles.extend(strokes::handles(index, opening, chosen));
        }
    }
}

pub(super) fn edit_for(
    document: &Document,
    form: usize,
    opening: usize,
    grip: OpeningGrip,
    at: [f64; 2],
) -> Option<Edit> {
    let now = document.forms.get(form)?.openings.get(opening)?;
    let with = grips::moved(now, grip, on_view(now.seen, at))?;
    Some(Edit::ReplaceOpening { form, index: opening, with })
}

/// A point added to a drawn outline where its line was clicked in its own view: the edit, and what it selects.
pub(crate) fn with_point(
    document: &Document,
    form: usize,
    item: OnShell,
    view: View,
    at: [f64; 2],
) -> Option<(Edit, Selected)> {
    let OnShell::Opening { opening: index, .. } = item else { return None };
    let now = document.forms.get(form)?.openings.get(index)?;
    if view_of(now.seen) != view {
        return None;
    }
    let (with, point) = grips::with_point(now, on_view(now.seen, at))?;
    let target = selected(index, OpeningGrip::Point(point), now.seen);
    Some((Edit::ReplaceOpening { form, index, with }, target))
}

/// The edit that makes a point of a drawn outline a corner, or smooth.
pub(crate) fn with_corner(document: &Document, form: usize, item: OnShell, corner: bool) -> Option<Edit> {
    let OnShell::Opening { opening: index, grip: OpeningGrip::Point(point) } = item else { return None };
    let mut with = (**document.forms.get(form)?.openings.get(index)?).clone();
    let Outline::Drawn { points } = &mut with.outline else { return None };
    points.get_mut(point)?.corner = corner;
    Some(Edit::ReplaceOpening { form, index, with })
}

/// A new one of the shape that is usual for it.
pub(crate) fn add_plain(app: &mut App, purpose: Purpose) {
    add(app, purpose, if purpose == Purpose::Outlet { Shape::Box } else { Shape::Ellipse });
}

/// A new one, put where such an opening usually is.
fn add(app: &mut App, purpose: Purpose, shape: Shape) {
    let form = app.form();
    let document = app.desk.document().clone();
    // The spinner stands before the first form alone.
    let airframe = (app.view.form == 0).then_some(&*document.airframe);
    let opening = begin::opening(&form, &app.derived, airframe, purpose, shape);
    put(app, opening);
}

/// Adds it as one step, and selects it.
pub(super) fn put(app: &mut App, opening: Opening) {
    let (form, seen) = (app.view.form, opening.seen);
    act::edit_once(app, &Edit::AddOpening { form, opening });
    let last = app.form().openings.len();
    if app.message.is_none() && last > 0 {
        select(&mut app.view, selected(last - 1, OpeningGrip::Whole, seen));
    }
}

/// A copy of the one that is selected.
pub(crate) fn copy_selected(app: &mut App) {
    if let Some(OnShell::Opening { opening, .. }) = app.view.selected.on_shell() {
        copy(app, opening);
    }
}

/// A copy lies beside it, by its own size along the first place of its view.
fn copy(app: &mut App, index: usize) {
    let Some(now) = app.form().openings.get(index).cloned() else { return };
    let mut opening = (*now).clone();
    let by = 1.2 * grips::bounds(&opening.outline)[0];
    shift(&mut opening.outline, by);
    if let Some(inner) = opening.duct.as_mut().and_then(|duct| duct.inner.as_mut()) {
        shift(inner, by);
    }
    opening.name = format!("{} copy", opening.name);
    put(app, opening);
}

fn shift(outline: &mut Outline, by: f64) {
    let [a, b] = grips::middle(outline);
    grips::place(outline, [a + by, b]);
}

/// The same shape drawn from elsewhere, about the place where it is cut now.
fn see_from(app: &mut App, index: usize, seen: Seen) {
    let Some(now) = app.form().openings.get(index).cloned() else { return };
    let there = app.shell.as_ref().and_then(|shell| shell.openings.laid.middle(index));
    let mut with = Opening { seen, ..(*now).clone() };
    if now.seen.axes() != seen.axes() {
        let from = grips::middle(&now.outline);
        let point = there.unwrap_or_else(|| {
            let mut point = [0.0; 3];
            now.seen.axes().into_iter().zip(from).for_each(|(axis, mm)| point[axis] = mm);
            point
        });
        grips::place(&mut with.outline, seen.axes().map(|axis| point[axis]));
        if let Some(inner) = with.duct.as_mut().and_then(|duct| duct.inner.as_mut()) {
            let at = grips::middle(inner);
            let by = [at[0] - from[0], at[1] - from[1]];
            let to = grips::middle(&with.outline);
            grips::place(inner, [to[0] + by[0], to[1] + by[1]]);
        }
    }
    act::edit_once(app, &Edit::ReplaceOpening { form: app.view.form, index, with });
    if app.message.is_none() {
        select(&mut app.view, selected(index, OpeningGrip::Whole, seen));
    }
}
