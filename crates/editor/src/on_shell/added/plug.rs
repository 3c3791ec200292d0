//! The plug of an added form that is shown: a project of its own, planned beside the window's thread as that of the first form is.

use crate::app::App;
use crate::planning::{Age, Planning};
use crate::view::Tab;
use desk::{PlanSource, Planned};
use project::build::Build;
use project::document::Document;
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
        let project = desk::shell::added::as_project(&document, form);
        let before = work.plug.take().filter(|plug| plug.of.1 == form).map(|plug| plug.planning);
        let planning = before.unwrap_or_else(|| Planning::new(ctx));
        work.plug = project.map(|project| AddedPlug { of: (document, form), project, planning });
    }
    let Some(plug) = &mut work.plug else { return };
    let lofted = app.desk.skin(form);
    let source = lofted.and_then(|lofted| PlanSource::of(&plug.project, &lofted));
    plug.planning.follow(&app.desk, source);
}

/// The edit that builds the plug of a form another way.
pub(crate) fn built(form: usize, build: Build) -> Edit {
    if form == 0 { Edit::SetBuild(build) } else { Edit::SetFormBuild { form, build: Some(build) } }
}
