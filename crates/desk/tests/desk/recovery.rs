//! Unsaved work survives the end of the program, however it comes.

use std::fs;
use std::thread::sleep;
use std::time::{Duration, Instant};

use desk::{Desk, FileFailure, Overwrite, StateFolder, recoveries};
use project::edit::Edit;
use tempfile::{TempDir, tempdir};

use crate::{a_form, a_picture};

fn state() -> (TempDir, StateFolder) {
    let folder = tempdir().unwrap();
    let state = StateFolder::at(folder.path());
    (folder, state)
}

fn rename(name: &str) -> Edit {
    Edit::SetName(name.into())
}

/// A desk with unsaved work that goes without being closed.
fn leave_behind(state: &StateFolder, name: &str) {
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&a_form()).unwrap();
    desk.apply(&a_picture("Side", b"side")).unwrap();
    desk.apply(&rename(name)).unwrap();
}

#[test]
fn work_left_behind_is_offered_recovered_and_gone_once_saved() {
    let (folder, state) = state();
    leave_behind(&state, "Lost");
    let [recovery] = <[_; 1]>::try_from(recoveries(&state)).unwrap();
    assert!(recovery.origin().is_none());
    assert_eq!(recovery.open().unwrap().document.name, "Lost");

    let mut desk = Desk::keeping(state.clone());
    desk.recover(recovery).unwrap();
    assert_eq!(desk.document().name, "Lost");
    assert_eq!(desk.problems(), []);
    assert!(!desk.document().pictures[0].bytes.is_empty());
    assert!(desk.is_changed());
    assert!(matches!(desk.save(), Err(FileFailure::NoPath)));
    desk.save_as(&folder.path().join("found.plug.ron"), Overwrite::Refuse).unwrap();
    drop(desk);
    assert!(recoveries(&state).is_empty());
    assert_eq!(fs::read_dir(state.path().join("recovery")).unwrap().count(), 0);
}

#[test]
fn recovered_work_that_is_left_again_is_still_there() {
    let (_folder, state) = state();
    leave_behind(&state, "Lost");
    let mut desk = Desk::keeping(state.clone());
    desk.recover(recoveries(&state).remove(0)).unwrap();
    drop(desk);
    let [again] = <[_; 1]>::try_from(recoveries(&state)).unwrap();
    assert_eq!(again.open().unwrap().document.name, "Lost");
}

#[test]
fn work_on_a_project_goes_back_to_it_unless_the_file_has_changed() {
    let (folder, state) = state();
    let path = folder.path().join("cowl.plug.ron");
    Desk::new().save_as(&path, Overwrite::Refuse).unwrap();
    let mut desk = Desk::keeping(state.clone());
    desk.open(&path).unwrap();
    desk.apply(&rename("Lost")).unwrap();
    drop(desk);

    let mut desk = Desk::keeping(state.clone());
    desk.recover(recoveries(&state).remove(0)).unwrap();
    assert_eq!(desk.path(), Some(&*path));
    fs::write(&path, "changed meanwhile").unwrap();
    assert!(matches!(desk.save(), Err(FileFailure::ChangedOnDisk { .. })));
    desk.save_as(&path, Overwrite::OnPurpose).unwrap();
    assert!(fs::read_to_string(&path).unwrap().contains("Lost"));
}

#[test]
fn a_closed_desk_leaves_nothing() {
    let (_folder, state) = state();
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&rename("Unwanted")).unwrap();
    desk.close();
    assert!(recoveries(&state).is_empty());
}

#[test]
fn work_that_was_taken_back_leaves_nothing() {
    let (_folder, state) = state();
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&rename("Unwanted")).unwrap();
    desk.undo();
    drop(desk);
    assert!(recoveries(&state).is_empty());
}

#[test]
fn what_a_running_program_keeps_is_not_offered() {
    let (_folder, state) = state();
    leave_behind(&state, "Lost");
    let mut desk = Desk::keeping(state.clone());
    let folders = || -> Vec<_> {
        fs::read_dir(state.path().join("recovery")).unwrap().map(|entry| entry.unwrap().file_name()).collect()
    };
    let old = folders();
    desk.recover(recoveries(&state).remove(0)).unwrap();
    // The desk writes a folder of its own and then removes the old one, beside us.
    let until = Instant::now() + Duration::from_secs(30);
    while folders() == old || folders().len() != 1 || !recoveries(&state).is_empty() {
        assert!(Instant::now() < until, "{:?} are kept and {:?} are offered", folders(), recoveries(&state));
        sleep(Duration::from_millis(5));
    }
    drop(desk);
    assert_eq!(recoveries(&state).len(), 1);
}

#[test]
fn a_recovery_can_be_thrown_away() {
    let (_folder, state) = state();
    leave_behind(&state, "One");
    leave_behind(&state, "Two");
    let mut all = recoveries(&state);
    assert_eq!(all.len(), 2);
    all.remove(0).discard();
    drop(all);
    assert_eq!(recoveries(&state).len(), 1);
}

#[test]
fn a_state_folder_that_cannot_be_written_is_told() {
    let (folder, _) = state();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    let autosave = desk::autosave::Autosave::new(&StateFolder::at(file));
    let mut desk = Desk::new();
    desk.apply(&rename("Unsaved")).unwrap();
    autosave.note(desk.document().clone(), None);
    while autosave.trouble().is_none() {
        sleep(Duration::from_millis(50));
    }
    assert!(autosave.trouble().unwrap().contains("cannot be kept safe"));
    autosave.discard();
}
