//! A corpus of projects that are no good, each spoilt in one way: one message with place and hint and exit code 2 from every command,
//! and nothing written, changed or waited for.

use crate::folder::Folder;
use plugwright_tests::pictures::png;
use std::fmt::Write as _;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};

/// Every command that reads a project, on the one in `bad`.
const COMMANDS: [&[&str]; 14] = [
    &["measure", "bad"],
    &["check", "bad"],
    &["check", "bad", "--json"],
    &["offsets", "bad", "--to", "out.csv"],
    &["sheets", "bad", "--to", "out.pdf"],
    &["mesh", "bad", "--to", "out.stl"],
    &["picture", "bad", "--view", "side", "--to", "out.png"],
    &["stack", "bad"],
    &["book", "bad", "--to", "out.pdf"],
    &["cut", "bad", "--to", "out"],
    &["cloth", "bad"],
    &["mass", "bad"],
    &["release", "bad"],
    &["solve", "bad", "--to", "out.plug.ron"],
];

/// All files below a folder with what is in them, links as where they lead.
fn all_files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match fs::read_link(&path) {
            Ok(to) => found.push((path, to.as_os_str().as_encoded_bytes().to_vec())),
            Err(_) if path.is_dir() => found.extend(all_files(&path)),
            Err(_) => found.push((path.clone(), fs::read(&path).unwrap())),
        }
    }
    found.sort();
    found
}

/// Every command refuses the project in `bad`, with all of these words, and leaves everything as it was.
fn refused(folder: &Folder, of: &str, words: &[&str]) {
    let before = all_files(&folder.path("."));
    for command in COMMANDS {
        let said = folder.refused(command);
        for word in words {
            assert!(said.contains(word), "{of}, {command:?}: {said}");
        }
        assert!(said.len() < 1000, "{of}, {command:?}: {said}");
        // What is wrong, and what to do about it: at least a sentence each.
        assert!(said.matches(['.', ':']).count() >= 3, "{of}, {command:?}: {said}");
    }
    assert_eq!(before.len(), all_files(&folder.path(".")).len(), "{of}");
    assert!(before == all_files(&folder.path(".")), "{of}");
}

/// The demo in `bad`, its project's text changed.
fn spoilt(change: impl FnOnce(&str) -> String) -> Folder {
    let folder = Folder::with_demo();
    fs::rename(folder.path("demo"), folder.path("bad")).unwrap();
    let file = project_of(&folder);
    let text = fs::read_to_string(&file).unwrap();
    let changed = change(&text);
    assert_ne!(text, changed, "nothing was spoilt");
    fs::write(file, changed).unwrap();
    folder
}

fn project_of(folder: &Folder) -> PathBuf {
    let files = fs::read_dir(folder.path("bad")).unwrap().map(|entry| entry.unwrap().path());
    files.into_iter().find(|path| path.to_string_lossy().ends_with(".plug.ron")).unwrap()
}

/// With one part of its text put in another's place.
fn with(part: &str, other: &str) -> Folder {
    spoilt(|text| text.replacen(part, other, 1))
}

#[test]
fn text_that_breaks_off_or_is_of_another_kind() {
    refused(&spoilt(|text| text[..text.len() / 3].into()), "cut short", &["ine ", "olumn"]);
    refused(&with("version: 1", "version: 9"), "another version", &["version 9", "left as it is"]);
    refused(&with("model_scale: 4.0", "model_scale: \"four\""), "a word for a number", &["Line 6"]);
    refused(&with("points: [", "points: 7, none: ["), "a number for a list", &["ine "]);
    refused(&with("version: 1,", "version: 1, version: 1,"), "a key twice", &["twice", "Remove one"]);
    refused(&with("name: \"Ostrel", &format!("deep: {}, name: \"Ostrel", "[".repeat(50_000))), "deep", &["nested"]);
}

#[test]
fn numbers_that_no_form_has() {
    for bad in ["NaN", "inf", "-inf", "1e300", "-1e300", "1e999"] {
        refused(&with("x: 28.0", &format!("x: {bad}")), bad, &["Line 21", "Give a number from"]);
    }
    refused(&with("x: 28.0", "x: 1e-320"), "a number next to none", &["Line 21", "front to rear"]);
    refused(&with("thickness: 3.0", "thickness: -2.0"), "negative thickness", &["thickness", "-2.0", "Give a number"]);
}

#[test]
fn lists_that_no_form_has() {
    let mut stations = String::from("stations: [");
    (0..10_000).for_each(|i| write!(stations, "{i}.5, ").unwrap());
    refused(&with("stations: [", &stations), "10 000 stations", &["2000 entries", "Shorten"]);
    // Two points of a line at one place.
    refused(&with("x: 28.0", "x: 9.0"), "coincident points", &["9 mm does not come behind 9 mm"]);
    refused(&with("30.0,", "0.0,"), "coincident stations", &["0 mm does not come behind 0 mm"]);
}

/// The demo's side view, spoilt; the message names the picture and its file.
fn bad_picture(of: &str, words: &[&str], spoil: impl FnOnce(&Path)) {
    let folder = spoilt(|text| format!("{text}\n"));
    let pictures = fs::read_dir(folder.path("bad/pictures")).unwrap().map(|entry| entry.unwrap().path());
    let side = pictures.into_iter().find(|path| path.to_string_lossy().contains("side-")).unwrap();
    spoil(&side);
    refused(&folder, of, &[&["picture \"Side\"", "side-", "Put the right file there"], words].concat());
}

#[test]
fn pictures_that_are_none() {
    bad_picture("a text file", &["a text file, not a JPEG or PNG picture"], |side| {
        fs::write(side, "<html>not found</html>").unwrap();
    });
    bad_picture("a truncated JPEG", &["breaks off", "Copy the file again"], |side| {
        let whole = fs::read(side).unwrap();
        fs::write(side, &whole[..whole.len() / 2]).unwrap();
    });
    bad_picture("a header of 60 000 x 60 000", &["60000 x 60000", "smaller copy"], |side| {
        fs::write(side, png([60_000; 2], b"")).unwrap();
    });
}

#[test]
fn pictures_elsewhere() {
    let elsewhere = Folder::with_demo();
    let outside = elsewhere.path("demo/pictures");
    bad_picture("a link that leads out", &["is a link", "outside"], |side| {
        let name = side.file_name().unwrap();
        fs::remove_file(side).unwrap();
        symlink(outside.join(name), side).unwrap();
    });
    let folder = spoilt(|text| format!("{text}\n"));
    fs::remove_dir_all(folder.path("bad/pictures")).unwrap();
    symlink(&outside, folder.path("bad/pictures")).unwrap();
    refused(&folder, "a folder that leads out", &["is a link", "picture \"Side\"", "picture \"Face\""]);
    for path in ["../secret.jpg", "pictures/../../secret.jpg", "/etc/hostname", "C:/secret.jpg", "pictures\\\\side.jpg"]
    {
        let folder = spoilt(|text| {
            let from = text.find("pictures/side-").unwrap();
            let to = from + text[from..].find('"').unwrap();
            format!("{}{path}{}", &text[..from], &text[to..])
        });
        refused(&folder, path, &["does not stay beside the project", "Give a path such as"]);
    }
}
