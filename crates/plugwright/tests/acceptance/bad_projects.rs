//! Projects that cannot be read: a message with the place, and nothing written or changed.

use crate::folder::Folder;
use std::fs;

/// Every command that reads a project, on this one.
fn every_command_refuses(folder: &Folder, project: &str) -> Vec<String> {
    let commands: [&[&str]; 6] = [
        &["measure", project, "--json"],
        &["check", project],
        &["offsets", project, "--to", "out.csv"],
        &["sheets", project, "--to", "out.pdf"],
        &["mesh", project, "--to", "out.stl"],
        &["picture", project, "--view", "side", "--to", "out.png"],
    ];
    commands.iter().map(|c| folder.refused(c)).collect()
}

#[test]
fn a_missing_project_is_named() {
    let folder = Folder::new();
    for said in every_command_refuses(&folder, "nowhere.plug.ron") {
        assert!(said.contains("nowhere.plug.ron"), "{said}");
    }
}

#[test]
fn a_folder_with_no_project_or_with_two_is_named() {
    let folder = Folder::with_demo();
    fs::create_dir(folder.path("empty")).unwrap();
    for said in every_command_refuses(&folder, "empty") {
        assert!(said.contains("empty"), "{said}");
    }
    fs::copy(folder.demo_file(), folder.path("demo/other.plug.ron")).unwrap();
    for said in every_command_refuses(&folder, "demo") {
        assert!(said.contains("other.plug.ron"), "{said}");
    }
}

#[test]
fn a_project_that_was_cut_off_says_where() {
    let folder = Folder::with_demo();
    let text = fs::read_to_string(folder.demo_file()).unwrap();
    for share in [1, 10, 50, 90, 99] {
        let cut = &text[..text.len() * share / 100];
        folder.write("cut.plug.ron", cut);
        for said in every_command_refuses(&folder, "cut.plug.ron") {
            assert!(said.contains("cut.plug.ron") && said.contains("ine "), "{share} %: {said}");
        }
    }
    folder.write("nothing.plug.ron", "");
    every_command_refuses(&folder, "nothing.plug.ron");
    fs::write(folder.path("bytes.plug.ron"), [0, 159, 146, 150]).unwrap();
    every_command_refuses(&folder, "bytes.plug.ron");
}

#[test]
fn an_unknown_version_is_left_alone() {
    let folder = Folder::with_demo();
    let text = fs::read_to_string(folder.demo_file()).unwrap();
    for version in ["0", "2", "4000000000"] {
        folder.write("other.plug.ron", &text.replacen("version: 1", &format!("version: {version}"), 1));
        for said in every_command_refuses(&folder, "other.plug.ron") {
            assert!(said.contains("version") && said.contains(version), "{said}");
        }
    }
}

#[test]
fn numbers_that_are_none_or_absurd_say_their_line() {
    let folder = Folder::with_demo();
    let text = fs::read_to_string(folder.demo_file()).unwrap();
    let line = 1 + text[..text.find("x: 28.0").unwrap()].matches('\n').count();
    for bad in ["NaN", "inf", "-inf", "1e300", "28,0", "twenty"] {
        folder.write("bad.plug.ron", &text.replacen("x: 28.0", &format!("x: {bad}"), 1));
        for said in every_command_refuses(&folder, "bad.plug.ron") {
            assert!(said.contains(&format!("ine {line}")), "{bad}, line {line}: {said}");
        }
    }
}

/// A picture that is gone does not keep a project from being used; it is said, and the answer is the same.
#[test]
fn a_missing_picture_is_said_and_the_rest_goes_on() {
    let folder = Folder::with_demo();
    let whole = folder.fine(&["measure", "demo", "--json"]).out;
    let pictures = folder.path("demo/pictures");
    let lost = fs::read_dir(&pictures).unwrap().next().unwrap().unwrap().path();
    fs::remove_file(&lost).unwrap();
    let outcome = folder.run(&["measure", "demo", "--json"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    assert!(outcome.err.contains(&*lost.file_name().unwrap().to_string_lossy()), "{}", outcome.err);
    assert_eq!(outcome.out, whole);
}

/// A project that was just begun has nothing to measure; that is said in words, with what to do.
#[test]
fn a_form_without_lines_is_refused_with_a_reason() {
    let folder = Folder::new();
    folder.write(
        "begun.plug.ron",
        "(format: \"plugwright project\", version: 1, name: \"Begun\", model_scale: 4.0, forms: [(name: \"Form 1\", \
         lines: (crown: (points: []), keel: (points: []), breadth: (points: []), breadth_height: (points: [])))])",
    );
    let said = folder.refused(&["measure", "begun.plug.ron"]);
    assert!(said.contains("Form 1"), "{said}");
    folder.refused(&["sheets", "begun.plug.ron", "--to", "out.pdf"]);
    folder.refused(&["mesh", "begun.plug.ron", "--to", "out.3mf"]);
    let outcome = folder.run(&["check", "begun.plug.ron"]);
    assert!([0, 1].contains(&outcome.code) && !outcome.out.is_empty(), "{outcome:?}");
}
