//! What the README shows works as it stands there.

use crate::folder::{Folder, copy_all, number};
use std::fs;
use std::path::Path;

fn readme() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../README.md")).unwrap()
}

#[test]
fn every_example_of_a_command_runs() {
    let folder = Folder::with_demo();
    copy_all(&folder.path("demo"), &folder.path("demo-projects/ostrel"));
    let readme = readme();
    let examples: Vec<Vec<&str>> = readme
        .lines()
        .filter(|l| l.starts_with('|'))
        .filter_map(|l| l.split("`plugwright ").nth(1)?.split('`').next())
        .map(|e| e.split_whitespace().collect())
        .collect();
    for command in [
        "measure",
        "check",
        "offsets",
        "from-offsets",
        "sheets",
        "stack",
        "book",
        "cut",
        "camera",
        "solve",
        "mesh",
        "picture",
    ] {
        assert!(examples.iter().any(|e| e[0] == command), "{command} has no example");
    }
    for example in examples {
        folder.fine(&example);
        if let Some(to) = example.iter().position(|a| *a == "--to") {
            let path = folder.path(example[to + 1]);
            if path.is_dir() {
                assert!(fs::read_dir(path).unwrap().count() > 0, "{example:?} wrote nothing");
            } else {
                assert!(!folder.read(example[to + 1]).is_empty());
            }
        }
    }
}

#[test]
fn the_table_in_it_makes_a_form() {
    let readme = readme();
    let table = readme.split("```csv\n").nth(1).unwrap().split("```").next().unwrap();
    let folder = Folder::new();
    folder.project("table", table);
    let measured = folder.measured("table", &[]);
    assert_eq!(number(&measured["length_mm"]), 120.0);
    folder.fine(&["check", "table"]);
}
