//! Previews, steps, and what is remembered.

use std::sync::Arc;

use desk::Desk;
use project::document::LineName;
use project::edit::Edit;

use crate::a_form;

fn lift(value: f64) -> Edit {
    Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: 1, x: 120.0, value }
}

fn crown(desk: &Desk) -> f64 {
    desk.document().forms[0].lines.crown.points[1].value
}

fn started() -> Desk {
    let mut desk = Desk::new();
    desk.apply(&a_form()).unwrap();
    desk
}

#[test]
fn a_drag_is_one_step() {
    let mut desk = started();
    let before = crown(&desk);
    for value in [101.0, 102.0, 103.0] {
        desk.preview(&lift(value)).unwrap();
        assert_eq!(crown(&desk), value);
    }
    assert!(desk.commit_preview() && !desk.commit_preview());
    assert_eq!(desk.undo_label(), Some("Move crown point"));
    assert!(desk.undo());
    assert_eq!(crown(&desk), before);
    assert!(desk.redo());
    assert_eq!(crown(&desk), 103.0);
}

#[test]
fn a_cancelled_drag_leaves_no_trace() {
    let mut desk = started();
    let before = Arc::clone(desk.document());
    desk.preview(&lift(150.0)).unwrap();
    assert!(desk.is_previewing());
    desk.cancel_preview();
    assert!(Arc::ptr_eq(desk.document(), &before));
    assert!(!desk.commit_preview());
    assert_eq!(desk.undo_label(), Some("Replace form"));
}

#[test]
fn a_refused_preview_keeps_the_one_before() {
    let mut desk = started();
    desk.preview(&lift(150.0)).unwrap();
    assert!(desk.preview(&lift(f64::NAN)).is_err());
    assert_eq!(crown(&desk), 150.0);
}

#[test]
fn an_edit_that_changes_nothing_is_no_step() {
    let mut desk = started();
    let value = crown(&desk);
    desk.apply(&lift(value)).unwrap();
    assert_eq!(desk.undo_label(), Some("Replace form"));
    desk.preview(&lift(150.0)).unwrap();
    desk.preview(&lift(value)).unwrap();
    assert!(!desk.commit_preview());
}

#[test]
fn two_hundred_steps_can_be_taken_back() {
    let mut desk = started();
    for step in 0..200 {
        desk.apply(&lift(120.0 + f64::from(step))).unwrap();
    }
    assert!((0..201).all(|_| desk.undo()) && !desk.undo());
    assert!(!desk.is_changed());
}

#[test]
fn a_loft_is_remembered_by_what_it_reads() {
    let mut desk = started();
    let skin = desk.skin(0).unwrap();
    assert!(skin.skin.is_some());
    desk.apply(&Edit::AddStation { form: 0, x: 45.0 }).unwrap();
    desk.apply(&Edit::RenameForm { form: 0, name: "Cowling".into() }).unwrap();
    assert!(Arc::ptr_eq(&desk.skin(0).unwrap(), &skin));
    desk.apply(&lift(150.0)).unwrap();
    assert!(!Arc::ptr_eq(&desk.skin(0).unwrap(), &skin));
    desk.undo();
    assert!(Arc::ptr_eq(&desk.skin(0).unwrap(), &skin));
    assert!(desk.skin(1).is_none());
}
