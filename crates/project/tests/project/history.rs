//! Undo and redo.

use std::sync::Arc;

use project::document::Document;
use project::history::{History, MAX_STEPS};
use project::starter::new_document;

fn named(name: &str) -> Arc<Document> {
    Arc::new(new_document(name))
}

#[test]
fn steps_go_back_and_forth_with_their_labels() {
    let mut history = History::new(new_document("0"));
    assert!(!history.undo() && !history.redo() && history.undo_label().is_none());
    history.push("first".into(), named("1"));
    history.push("second".into(), named("2"));
    assert_eq!((history.undo_label(), history.redo_label()), (Some("second"), None));
    assert!(history.undo());
    assert_eq!((history.undo_label(), history.redo_label()), (Some("first"), Some("second")));
    assert_eq!(history.document().name, "1");
    history.push("other".into(), named("3"));
    assert!(!history.redo());
    assert!(history.undo() && history.undo() && !history.undo());
    assert_eq!(history.document().name, "0");
}

#[test]
fn a_thousand_steps_are_kept_and_the_oldest_go() {
    let mut history = History::new(new_document("0"));
    for step in 1..=MAX_STEPS + 5 {
        history.push("step".into(), named(&step.to_string()));
    }
    let mut back = 0;
    while history.undo() {
        back += 1;
    }
    assert_eq!(back, MAX_STEPS);
    assert_eq!(history.document().name, "5");
}

#[test]
fn what_is_on_disk_counts_as_unchanged_from_both_sides() {
    let mut history = History::new(new_document("0"));
    assert!(!history.is_changed());
    history.push("step".into(), named("1"));
    assert!(history.is_changed());
    history.undo();
    assert!(!history.is_changed());
    history.redo();
    let shown = Arc::clone(history.document());
    history.mark_saved(&shown);
    assert!(!history.is_changed());
    history.undo();
    assert!(history.is_changed());
    assert!(History::unsaved(new_document("0")).is_changed());
}
