//! What the window opens with: the named project, the last one, or a working copy of the demo; and whether an earlier
//! run left something unsaved.

use crate::app::App;
use crate::dialogs::{files, questions};
use crate::kept_view;
use crate::window::Start;
use desk::demo::Demo;
use desk::{Desk, FileFailure, Overwrite, StateFolder, recent_projects, recoveries};
use project::document::Document;
use std::path::{Path, PathBuf};

/// Opens what is to be opened first. Without a state folder nothing is kept for the next start.
pub(crate) fn open(start: &Start, state: Option<StateFolder>) -> App {
    let desk = state.clone().map_or_else(Desk::new, Desk::keeping);
    let mut app = App::over(desk);
    app.state = state;
    let state = app.state.clone();
    match (&start.project, &state) {
        (Some(path), _) => files::open_now(&mut app, path),
        (None, Some(state)) => {
            let last = recent_projects(state).into_iter().next();
            match last.map(|path| app.desk.open(&path)) {
                Some(Ok(())) => files::tell_of_opened(&mut app),
                Some(Err(failure)) => {
                    open_demo(&mut app, state, Demo::Cowl);
                    let text = format!("{failure}\n\nThe demo is open instead.");
                    questions::tell(&mut app, "The project that was open last cannot be opened", text);
                }
                None => open_demo(&mut app, state, Demo::Cowl),
            }
        }
        (None, None) => {}
    }
    kept_view::load(&mut app);
    offer_recovery(&mut app, state.as_ref());
    app
}

/// A working copy of a demo. It lies in the state folder until the builder saves it elsewhere.
pub(crate) fn open_demo(app: &mut App, state: &StateFolder, demo: Demo) {
    let Ok(document) = demo.document() else { return };
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
    app.left_behind = recoveries(state).into_iter().next();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dialogs::Dialog;

    fn opened(app: &App) -> String {
        app.desk.document().name.clone()
    }

    #[test]
    fn the_demo_comes_first_and_then_what_was_open_last() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = StateFolder::at(folder.path().join("state"));
        let first = open(&Start::default(), Some(state.clone()));
        assert_eq!(opened(&first), desk::demo::document().expect("the demo").name);
        drop(first);

        let own = folder.path().join("own.plug.ron");
        let document = project::starter::new_document("My own");
        desk::files::save(&document, &own, None, Overwrite::Refuse).expect("saved");
        drop(open(&Start { project: Some(own.clone()) }, Some(state.clone())));
        assert_eq!(opened(&open(&Start::default(), Some(state.clone()))), "My own");

        // What is gone is not tried again.
        std::fs::remove_file(&own).expect("removed");
        assert_ne!(opened(&open(&Start::default(), Some(state))), "My own");
    }

    #[test]
    fn a_project_that_cannot_be_opened_says_why_and_leaves_an_empty_one() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("broken.plug.ron");
        std::fs::write(&path, "(version: 1, name: ").expect("written");
        let app = open(&Start { project: Some(path) }, None);
        assert!(matches!(&app.dialog, Some(Dialog::Told { text, .. }) if text.contains("broken.plug.ron")));
        assert!(app.form().lines.crown.points.is_empty());
    }

    #[test]
    fn work_that_was_left_behind_is_offered() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = StateFolder::at(folder.path());
        let mut app = open(&Start::default(), Some(state.clone()));
        app.desk.apply(&project::edit::Edit::SetName("Half done".into())).expect("a good name");
        // A desk that is dropped without being closed stands for a program that ended.
        drop(app);
        let next = open(&Start::default(), Some(state));
        assert!(next.left_behind.is_some());
    }

    #[test]
    fn what_else_is_to_be_said_does_not_keep_unsaved_work_from_being_offered() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = StateFolder::at(folder.path().join("state"));
        let path = folder.path().join("own.plug.ron");
        let document = project::starter::new_document("My own");
        desk::files::save(&document, &path, None, Overwrite::Refuse).expect("saved");
        let mut app = open(&Start { project: Some(path.clone()) }, Some(state.clone()));
        app.desk.apply(&project::edit::Edit::SetName("Half done".into())).expect("a good name");
        drop(app);
        std::fs::write(&path, "broken meanwhile").expect("written");
        let mut next = open(&Start::default(), Some(state));
        assert!(matches!(&next.dialog, Some(Dialog::Told { text, .. }) if text.contains("own.plug.ron")));
        next.offer_left_behind();
        assert!(matches!(next.dialog, Some(Dialog::Told { .. })), "one thing after the other");
        next.dialog = None;
        next.offer_left_behind();
        let recovery = next.dialog.take();
        let Some(Dialog::Recovery(Some(recovery))) = recovery else { return };
        files::recover(&mut next, recovery);
        assert_eq!(opened(&next), "Half done");
    }

    #[test]
    fn a_second_window_on_a_project_is_told() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = StateFolder::at(folder.path().join("state"));
        let first = open(&Start::default(), Some(state.clone()));
        assert!(first.dialog.is_none());
        let second = open(&Start::default(), Some(state));
        assert!(matches!(&second.dialog, Some(Dialog::Told { text, .. }) if text.contains("open in another window")));
    }
}
