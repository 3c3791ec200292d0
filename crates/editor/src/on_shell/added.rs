//! Added forms on the floor: where they sit on the first form, and their meeting lines; while one of them is shown, the first form as
//! a ghost in its axes, so that it is shaped where it sits.

pub(crate) mod kinds;
mod lies;
mod met;
pub(crate) mod plug;
mod strokes;
mod turning;

use super::OnShell;
use super::item::AddedGrip;
use crate::act;
use crate::app::App;
use crate::floor::airframe::SpaceLine;
use crate::floor::layout::View;
use crate::floor::scene::{Scene, Stroke, StrokeKind};
use crate::gesture::select;
use crate::view::{Selected, Shown, Tab, ViewState};
use form::meeting::Meeting;
use kinds::Kind;
use lies::Lies;
pub(crate) use lies::{OnTheFirst, meshes};
use plug::AddedPlug;
use project::document::{Document, Form};
use project::edit::Edit;
use std::sync::Arc;

/// Added forms as they lie on the first one.
pub(crate) struct AddedWork {
    lies: Lies,
    strokes: Vec<Stroke>,
    in_space: Vec<SpaceLine>,
    /// What the lines above are of.
    drawn: Option<(u64, usize, Option<Shown>)>,
    plug: Option<AddedPlug>,
}

impl AddedWork {
    /// Nothing laid yet.
    pub(super) fn new(ctx: &egui::Context) -> Self {
        Self { lies: Lies::new(ctx), strokes: Vec::new(), in_space: Vec::new(), drawn: None, plug: None }
    }

    /// How a form meets the first one; `None` where it has no place there, or one of them no surface.
    pub(crate) fn meeting(&self, form: usize) -> Option<&Meeting> {
        self.lies.meeting(form)
    }

    /// Whether there is a first form to put something on.
    pub(crate) fn has_ground(&self) -> bool {
        self.lies.first().is_some()
    }

    /// The plug of the one that is shown, while its page is open.
    pub(crate) fn plug(&self) -> Option<&AddedPlug> {
        self.plug.as_ref()
    }

    /// Their lines in space, for the shaded view.
    pub(crate) fn in_space(&self) -> &[SpaceLine] {
        &self.in_space
    }

    /// Their surfaces, for the shaded view of the first form.
    pub(crate) fn surfaces(&self) -> Vec<OnTheFirst> {
        self.lies.surfaces()
    }

    /// Whether it is being found how they meet the first form.
    #[cfg(test)]
    pub(crate) fn is_under_way(&self) -> bool {
        self.lies.is_under_way()
    }

    /// A number that changes with their surfaces and lines.
    pub(crate) fn revision(&self) -> u64 {
        self.lies.revision()
    }

    /// A number that changes with their surfaces.
    pub(crate) fn surfaces_revision(&self) -> u64 {
        self.lies.own_revision()
    }
}

/// Something about added forms that is no edit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum AddedAsk {
    /// A new one of a kind, put where such a thing belongs.
    Add(Kind),
    /// A form that stands for itself is put on the first one.
    PutOn(usize),
}

pub(super) fn act(app: &mut App, asked: AddedAsk) {
    match asked {
        AddedAsk::Add(kind) => add(app, kind),
        AddedAsk::PutOn(form) => put_on(app, form),
    }
}

/// What is selected when an added form is, by a handle of a view.
pub(crate) fn selected(form: usize, grip: AddedGrip, view: View) -> Selected {
    Selected::OnShell { item: OnShell::Added { form, grip }, view }
}

/// Brings what lies on the first form up to date with the document.
pub(super) fn refresh(app: &mut App) {
    let document = app.desk.document().clone();
    let (desk, view) = (&app.desk, &app.view);
    let Some(work) = app.shell.as_mut().map(|shell| &mut shell.added) else { return };
    work.lies.refresh(&document, view.form, !desk.is_previewing(), |form| desk.skin(form));
    let shown = if view.form == 0 { None } else { view.shown };
    let drawn = Some((work.lies.revision(), view.form, shown));
    if work.drawn != drawn {
        work.drawn = drawn;
        work.strokes = if view.form == 0 {
            strokes::on_the_first(&work.lies)
        } else {
            let station = station(&document, view);
            strokes::ghost(&work.lies, view.form, station)
        };
        work.in_space = strokes::in_space(&work.lies, view.form);
    }
}

/// The station of the section that the face view shows strongly.
fn station(document: &Document, view: &ViewState) -> Option<f64> {
    let form = document.forms.get(view.form)?;
    match view.shown? {
        Shown::Control(section) => form.sections.get(section).map(|s| s.station),
        Shown::Station(station) => form.stations.get(station).copied(),
    }
}

/// Adds lines and handles to the scene.
pub(super) fn add_to(scene: &mut Scene, document: &Document, view: &ViewState, work: &AddedWork) {
    scene.strokes.extend(work.strokes.iter().cloned());
    if view.form != 0 {
        // The first form reaches far beyond an added one: what is to be seen is where they meet.
        let met: Vec<Stroke> = work.strokes.iter().filter(|s| s.kind == StrokeKind::Meeting).cloned().collect();
        scene.reach_over(&met);
        return;
    }
    scene.reach_over(&work.strokes);
    let held = view.selected.on_shell().map(OnShell::thing);
    for (form, f) in document.forms.iter().enumerate().skip(1) {
        let Some(mount) = &f.mount else { continue };
        let chosen = held == Some(OnShell::Added { form, grip: AddedGrip::Place });
        if chosen || view.tab == Tab::Shell {
            scene.handles.extend(strokes::handles(form, f, mount, chosen));
        }
    }
}

pub(super) fn edit_for(document: &Document, form: usize, grip: AddedGrip, view: View, at: [f64; 2]) -> Option<Edit> {
    let mount = document.forms.get(form)?.mount?;
    let mount = match grip {
        AddedGrip::Place => turning::placed(&mount, view, at),
        AddedGrip::Way => turning::turned(&mount, view, at)?,
    };
    Some(Edit::SetMount { form, mount: Some(mount) })
}

/// A new form of a kind, with a stack of its own where boards go into it, as one step.
fn add(app: &mut App, kind: Kind) {
    let document = app.desk.document().clone();
    let first = app.desk.skin(0);
    let loft = first.as_ref().and_then(|lofted| lofted.skin.as_ref()).map(form::FinishedSkin::loft);
    let Some(form) = loft.and_then(|loft| kinds::begin(&document, loft, kind)) else {
        app.message = Some("There is no first form to put it on yet: draw its lines and a section.".into());
        return;
    };
    let last = document.forms.len();
    act::edit_once(app, &Edit::AddForm(with_a_stack(&document, form)));
    if app.message.is_none() {
        if app.view.form != 0 {
            act::show_form(app, 0);
        }
        select(&mut app.view, selected(last, AddedGrip::Place, View::Side));
        app.note = Some("Drag it, turn it by its second handle, or open it to shape it.".into());
    }
}

/// The form with a stack of its own, where it is long enough for one.
fn with_a_stack(document: &Document, form: Form) -> Form {
    let last = document.forms.len();
    let stacked = || {
        let added = Edit::AddForm(form.clone()).apply(document).ok()?;
        let project = plug::to_be_built(&added, last)?;
        desk::first_stack(&project, form::loft(&form).skin.as_ref()?)
    };
    let build = stacked().map(Arc::new);
    Form { build, ..form }
}

/// Puts a form at its own place, turned no way: there it was drawn.
fn put_on(app: &mut App, form: usize) {
    act::edit_once(app, &Edit::SetMount { form, mount: Some(project::mount::Mount::default()) });
    if app.message.is_none() && app.view.form == 0 {
        select(&mut app.view, selected(form, AddedGrip::Place, View::Side));
    }
}
