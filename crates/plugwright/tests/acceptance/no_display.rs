//! Without a display: one line, and the demo's full output in a folder. Only on systems where a display can be missing.
#![cfg(all(unix, not(target_os = "macos")))]

use crate::folder::{Folder, everything, outcome};
use std::fs;

const FILES: [&str; 12] = [
    "templates.pdf",
    "book.pdf",
    "cut/card-1.svg",
    "cut/foam-30.0mm-1.svg",
    "form-1-offsets.csv",
    "form-1-mesh.stl",
    "form-1-mesh.3mf",
    "form-1-floor.png",
    "form-1-body-plan.png",
    "form-1-shaded.png",
    "form-2-mesh.stl",
    "assembled.3mf",
];

fn assert_written(folder: &Folder, name: &str) {
    for file in FILES {
        assert!(!folder.read(&format!("{name}/{file}")).is_empty(), "{name}/{file}");
    }
}

#[test]
fn the_demo_is_written_and_written_again() {
    let folder = Folder::new();
    let first = folder.fine(&[]);
    assert_eq!(first.out.lines().count(), 1, "{}", first.out);
    assert!(first.out.contains("display") && first.out.contains("plugwright-demo"), "{}", first.out);
    assert_written(&folder, "plugwright-demo");
    let before = everything(&folder.path("plugwright-demo"));
    fs::write(folder.path("plugwright-demo/form-1-mesh.stl"), "spoilt").unwrap();
    fs::remove_file(folder.path("plugwright-demo/form-1-shaded.png")).unwrap();
    assert_eq!(folder.fine(&[]).out, first.out);
    assert!(before == everything(&folder.path("plugwright-demo")), "the second run writes the same");
    assert!(!folder.path("plugwright-demo-2").exists());
}

#[test]
fn what_is_not_ours_stays() {
    let folder = Folder::new();
    fs::create_dir(folder.path("plugwright-demo")).unwrap();
    folder.write("plugwright-demo/mine.txt", "mine");
    // A file may have the name too.
    folder.write("plugwright-demo-2", "also mine");
    let said = folder.fine(&[]).out;
    assert!(said.contains("plugwright-demo-3"), "{said}");
    assert_written(&folder, "plugwright-demo-3");
    assert_eq!(everything(&folder.path("plugwright-demo")).len(), 1);
    assert_eq!(folder.text("plugwright-demo-2"), "also mine");
}

#[test]
fn a_display_that_does_not_answer_is_none() {
    let folder = Folder::new();
    let done = outcome(folder.command(&[]).env("DISPLAY", ":65534"));
    assert_eq!((done.code, done.out.lines().count()), (0, 1), "{done:?}");
    assert_written(&folder, "plugwright-demo");
}
