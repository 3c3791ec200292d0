//! What the window opens with: the named project, the last one, or a working copy of the demo; and whether an earlier
//! run left something unsaved.

use crate::app::App;
use crate::dialogs::{Dialog, files};
use crate::window::Start;
use desk::{Desk, FileFailure, Overwrite, StateFolder, recent_projects, recoveries};
use project::document::Document;
use std::path::{Path, PathBuf};

/// Opens what is to be opened first.
pub(crate) fn open(start: &Start) -> App {
    let state = StateFolder::find();
    let desk = state.clone().map_or_else(Desk::new, Desk::keeping);
    let mut app = App::over(desk);
    match (&start.project, &state) {
        (Some(path), _) => files::open_now(&mut app, path),
        (None, Some(state)) => {
            let last = recent_projects(state).into_iter().next();
            if last.is_none_or(|path| app.desk.open(&path).is_err()) {
                open_demo(&mut app, state);
            }
        }
        (None, None) => {}
    }
    offer_recovery(&mut app, state.as_ref());
    app.state = state;
    app
}

/// A working copy of the demo. It lies in the state folder until the builder saves it elsewhere.
pub(crate) fn open_demo(app: &mut App, state: &StateFolder) {
    let Ok(document) = desk::demo::document() else { return };
    if document.forms.is_empty() {
        return;
    }
    match working_copy(state, &document) {
        Ok(path) => files::open_now(app, &path),
        Err(failure) => app.message = Some(failure.to_string()),
    }
}

fn working_copy(state: &StateFolder, document: &Document) -> Result<PathBuf, FileFailure> {
    let folder = state.path().join("demo");
    let path = folder.join(format!("{}{}", files::file_stem(&document.name), desk::files::ENDING));
    if !path.exists() {
        make_folder(&folder)?;
        desk::files::save(document, &path, None, Overwrite::Refuse)?;
    }
    Ok(path)
}

fn make_folder(folder: &Path) -> Result<(), FileFailure> {
    std::fs::create_dir_all(folder).map_err(|cause| FileFailure::Unwritable {
        path: folder.to_owned(),
        cause,
        hint: "The demo cannot be opened; begin a new project.",
    })
}

/// Offers what an earlier run left unsaved, the latest first.
pub(crate) fn offer_recovery(app: &mut App, state: Option<&StateFolder>) {
    let Some(state) = state else { return };
    let mut found = recoveries(state);
    if app.dialog.is_none() && !found.is_empty() {
        let latest = found.remove(0);
        app.dialog = Some(Dialog::Recovery(Some(latest)));
    }
}
