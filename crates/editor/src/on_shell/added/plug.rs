//! The plug of an added form that is shown: a project of its own, planned beside the window's thread as that of the first form is.

use crate::app::App;
use crate::planning::{Age, Planning};
use crate::view::Tab;
use desk::{PlanSource, Planned};
use project::build::Build;
use project::document::{Document, Form};
use project::edit::Edit;
use std::sync::Arc;

/// Its project, and the plan.
pub(crate) struct AddedPlug {
    /// The document and the form that the project was made of.
    of: (Arc<Document>, usize),
    project: Document,
    planning: Planning,
}

impl AddedPlug {
    /// The form as a project of its own.
    pub(crate) fn project(&self) -> &Document {
        &self.project
    }

    /// The plug as it was planned last.
    pub(crate) fn planned(&self) -> Option<&Planned> {
        self.planning.planned().map(|planned| &**planned)
    }

    /// Whether that is of the document as it is.
    pub(crate) fn age(&self) -> Age {
        self.planning.age()
    }
}

/// Plans it while its page is open.
pub(crate) fn refresh(app: &mut App, ctx: &egui::Context) {
    let form = app.view.form;
    let document = app.desk.document().clone();
    let wanted = form != 0 && app.view.tab == Tab::Build;
    let Some(work) = app.shell.as_mut().map(|shell| &mut shell.added) else { return };
    let same = |plug: &AddedPlug| Arc::ptr_eq(&plug.of.0, &document) && plug.of.1 == form;
    if !wanted {
        work.plug = None;
        return;
    }
    if !work.plug.as_ref().is_some_and(same) {
        let project = to_be_built(&document, form);
        let before = work.plug.take().filter(|plug| plug.of.1 == form).map(|plug| plug.planning);
        let planning = before.unwrap_or_else(|| Planning::new(ctx));
        work.plug = project.map(|project| AddedPlug { of: (document, form), project, planning });
    }
    let Some(plug) = &mut work.plug else { return };
    let lofted = app.desk.skin(form);
    let source = lofted.and_then(|lofted| PlanSource::of(&plug.project, &lofted));
    plug.planning.follow(&app.desk, source);
}

/// What a build of its own begins with: as the first form is built, without what lies at that one's own places.
pub(crate) fn begun(first: &Build, form: &Form) -> Build {
    let mut build = first.clone();
    build.stack.used = false;
    build.stack.boards.clear();
    (build.stack.nose_foam, build.stack.ring_plate) = (0.0, 0.0);
    // At a point there is nothing to cut a card from.
    let flat = form.lines.breadth.points.first().is_some_and(|p| p.value > 0.0);
    build.stack.foam_front = !flat;
    build.formers.shaft_hole = 0.0;
    build.formers.dowels.clear();
    build.formers.breadth_template = None;
    build.sanding.stations.clear();
    build.sanding.measured.clear();
    build
}

/// The form as a project of its own, with what its own build begins with where it has none yet.
pub(crate) fn to_be_built(document: &Document, form: usize) -> Option<Document> {
    let own = document.forms.get(form)?;
    let mut project = desk::shell::added::project_of(document, form)?.into_owned();
    if form != 0 && own.build.is_none() {
        project.build = Arc::new(begun(&project.build, own));
    }
    Some(project)
}

/// The edit that builds the plug of a form another way.
pub(crate) fn built(form: usize, build: Build) -> Edit {
    if form == 0 { Edit::SetBuild(build) } else { Edit::SetFormBuild { form, build: Some(build) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What lies at places of the first form would be found wrong on every added one.
    #[test]
    fn a_build_of_its_own_leaves_the_first_forms_places_behind() {
        let mut first = Build::default();
        first.stack.used = true;
        first.stack.boards = vec![30.0; 4];
        first.stack.card = 1.5;
        first.formers.shaft_hole = 20.0;
        first.formers.dowels = vec![[24.0, -20.0]];
        first.sanding.stations = vec![216.0];
        let flat = project::starter::blank_form(100.0, 30.0, 40.0, 20.0);
        let own = begun(&first, &flat);
        assert_eq!((own.stack.used, own.stack.boards.len(), own.stack.card), (false, 0, 1.5));
        assert_eq!((own.formers.shaft_hole, own.formers.dowels.len(), own.sanding.stations.len()), (0.0, 0, 0));
        assert!(!own.stack.foam_front, "a flat front has a card");
    }
}
