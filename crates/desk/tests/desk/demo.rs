//! The demo that is built in.

use std::fs;

use desk::{Desk, Overwrite, StateFolder, demo, recent_projects};
use project::edit::Edit;
use tempfile::tempdir;

#[test]
fn the_demo_is_complete() {
    let document = demo::document().unwrap();
    assert!(document.pictures.len() >= 3);
    assert!(document.pictures.iter().all(|picture| !picture.bytes.is_empty()));
    assert!(document.forms.iter().any(|form| form.sections.len() >= 5));
}

#[test]
fn every_demo_opens_and_each_is_another() {
    let all: Vec<_> = demo::Demo::ALL.iter().map(|demo| demo.document().unwrap()).collect();
    assert_eq!(all[0], demo::document().unwrap());
    assert_ne!(all[0].name, all[1].name);
    assert!(all.iter().all(|document| document.shell.feeds_coat && !document.shell.laminate.plies.is_empty()));
}

#[test]
fn the_first_start_opens_a_copy_of_the_demo_that_can_be_saved() {
    let folder = tempdir().unwrap();
    let state = StateFolder::at(folder.path());
    let mut desk = Desk::keeping(state.clone());
    desk.open_last_or_demo().unwrap();
    assert_eq!(**desk.document(), demo::document().unwrap());
    assert_eq!(desk.problems(), []);
    desk.apply(&Edit::SetName("Mine now".into())).unwrap();
    desk.save().unwrap();
    desk.close();

    let mut again = Desk::keeping(state);
    again.open_last_or_demo().unwrap();
    assert_eq!(again.document().name, "Mine now");
    again.open_demo().unwrap();
    assert_eq!(again.document().name, "Mine now");
}

#[test]
fn the_next_start_opens_the_last_project_and_tells_if_it_cannot() {
    let folder = tempdir().unwrap();
    let state = StateFolder::at(folder.path().join("state"));
    let path = folder.path().join("own.plug.ron");
    let mut desk = Desk::keeping(state.clone());
    desk.apply(&Edit::SetName("Own".into())).unwrap();
    desk.save_as(&path, Overwrite::Refuse).unwrap();
    let mut again = Desk::keeping(state.clone());
    again.open_last_or_demo().unwrap();
    assert_eq!(again.document().name, "Own");
    fs::write(&path, "broken").unwrap();
    let mut third = Desk::keeping(state.clone());
    let failure = third.open_last_or_demo().unwrap_err();
    assert!(failure.to_string().contains("own.plug.ron"), "{failure}");
    assert_eq!(**third.document(), demo::document().unwrap());
    assert_eq!(recent_projects(&state).len(), 2);
}

#[test]
fn without_a_state_folder_the_demo_comes_straight_from_the_program() {
    let mut desk = Desk::new();
    desk.open_last_or_demo().unwrap();
    assert!(desk.path().is_none() && !desk.is_changed());
    let file = tempdir().unwrap();
    let blocked = file.path().join("file");
    fs::write(&blocked, "x").unwrap();
    let mut desk = Desk::keeping(StateFolder::at(blocked));
    assert!(desk.open_last_or_demo().is_err());
    assert_eq!(**desk.document(), demo::document().unwrap());
    desk.close();
}
