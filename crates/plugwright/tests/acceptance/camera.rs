//! `camera`: cameras from landmarks, held against those that took the demo's pictures.

use crate::folder::{Folder, number};
use project::edit::Edit;
use project::photograph::Landmark;
use serde_json::Value;

/// Changes the demo in this folder.
pub(crate) fn changed(folder: &Folder, edits: &[Edit]) {
    let opened = desk::files::open(&folder.demo_file()).unwrap();
    let document = edits.iter().fold(opened.document, |d, edit| edit.apply(&d).unwrap());
    desk::files::save(&document, &opened.on_disk.path, Some(&opened.on_disk), desk::Overwrite::Refuse).unwrap();
}

/// The landmarks of one of the demo's pictures.
fn landmarks(folder: &Folder, picture: usize) -> Vec<Landmark> {
    desk::files::open(&folder.demo_file()).unwrap().document.pictures[picture].photograph.landmarks.clone()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

/// The landmarks were picked by eye in the picture files; the cameras that took them stand in `truth.json`, at full size.
#[test]
fn the_demos_cameras_are_found_within_what_is_said_of_them() {
    let folder = Folder::with_demo();
    let found = folder.fine(&["camera", "demo", "--json"]).json();
    let truth: Value = serde_json::from_str(&folder.text("demo/truth.json")).unwrap();
    let scale = number(&truth["model_scale"]);
    assert_eq!(found["pictures"].as_array().unwrap().len(), 3);
    for (found, truth) in found["pictures"].as_array().unwrap().iter().zip(truth["pictures"].as_array().unwrap()) {
        assert_eq!((&found["name"], &found["solved"]), (&truth["name"], &Value::Bool(true)));
        let (eye, sigma) = (numbers(&found["camera"]["eye_mm"]), numbers(&found["sigma"]["eye_mm"]));
        for (k, full) in numbers(&truth["eye_mm"]).iter().enumerate() {
            assert!((eye[k] - full / scale).abs() < 3.0 * sigma[k], "{}: axis {k} of the eye", found["name"]);
        }
        let off = number(&found["camera"]["focal_px"]) - number(&truth["focal_px"]);
        assert!(off.abs() < 3.0 * number(&found["sigma"]["focal_px"]), "{}: {off} px", found["name"]);
        assert!(found["landmarks"].as_array().unwrap().iter().all(|l| number(&l["px"]) < 3.0), "{found}");
        assert_eq!(found["suspects"], Value::Array(Vec::new()));
    }
}

#[test]
fn words_tell_place_focal_length_and_every_landmark() {
    let folder = Folder::with_demo();
    let told = folder.fine(&["camera", "demo"]).out;
    for part in ["Three-quarter: camera from 9 of 9 landmarks", "stands at", "focal length", "port mark 1", "off px"] {
        assert!(told.contains(part), "{part} is missing from {told}");
    }
}

#[test]
fn a_landmark_with_two_digits_swapped_is_named_and_the_camera_does_without_it() {
    let folder = Folder::with_demo();
    let there = landmarks(&folder, 2);
    let index = there.iter().position(|l| l.name == "port mark 2").unwrap();
    // 1256.5 typed as 1526.5.
    let with = Landmark { pixel: [1526.5, 454.5], ..there[index].clone() };
    let good = folder.fine(&["camera", "demo", "--json"]).json();
    changed(&folder, &[Edit::ReplaceLandmark { picture: 2, index, with }]);
    let outcome = folder.run(&["camera", "demo", "--json"]);
    assert_eq!((outcome.code, outcome.err.as_str()), (1, ""));
    let json = outcome.json();
    let picture = &json["pictures"][2];
    assert_eq!(picture["suspects"][0]["name"], "port mark 2");
    assert_eq!(picture["suspects"][0]["certain"], true);
    let eye = |json: &Value| numbers(&json["pictures"][2]["camera"]["eye_mm"]);
    let sigma = numbers(&picture["sigma"]["eye_mm"]);
    let near = eye(&json).iter().zip(eye(&good)).zip(&sigma).all(|((a, b), s)| (a - b).abs() < 3.0 * s);
    assert!(near, "the wrong landmark draws the camera away");
    let words = folder.run(&["camera", "demo"]);
    assert!(words.code == 1 && words.out.contains("port mark 2 contradicts"), "{}", words.out);
}

#[test]
fn a_camera_that_cannot_be_had_says_why() {
    let folder = Folder::with_demo();
    let out = |(index, landmark): (usize, Landmark)| Edit::ReplaceLandmark {
        picture: 1,
        index,
        with: Landmark { used: false, ..landmark },
    };
    let edits: Vec<Edit> = landmarks(&folder, 1).into_iter().enumerate().skip(3).map(out).collect();
    changed(&folder, &edits);
    let outcome = folder.run(&["camera", "demo", "--json"]);
    assert_eq!(outcome.code, 1);
    let face = &outcome.json()["pictures"][1];
    assert_eq!(face["solved"], false);
    assert!(face["why"].as_str().unwrap().contains("4 are needed"), "{face}");
    let edits: Vec<Edit> = landmarks(&folder, 1).into_iter().enumerate().map(out).collect();
    changed(&folder, &edits);
    let words = folder.run(&["camera", "demo"]);
    assert!(words.code == 1 && words.out.contains("Face: no camera. All landmarks"), "{}", words.out);
}

#[test]
fn a_picture_without_landmarks_is_named_as_such_and_is_no_fault() {
    let folder = Folder::with_demo();
    let count = landmarks(&folder, 0).len();
    changed(&folder, &vec![Edit::RemoveLandmark { picture: 0, index: 0 }; count]);
    let words = folder.fine(&["camera", "demo"]).out;
    assert!(words.contains("Side: no camera. No landmarks are picked"), "{words}");
}

#[test]
fn a_project_without_pictures_is_refused() {
    let folder = Folder::new();
    folder.project("cylinder", &crate::tables::cylinder());
    assert!(folder.refused(&["camera", "cylinder"]).contains("no pictures"));
    assert!(folder.refused(&["camera", "nowhere"]).contains("nowhere"));
}

#[test]
fn the_scale_from_all_known_distances_is_told_with_each_ones_residual() {
    let folder = Folder::with_demo();
    let json = folder.fine(&["camera", "demo", "--json"]).json();
    let scale = &json["pictures"][0]["scale"];
    assert_eq!(scale["distances"].as_array().unwrap().len(), 2);
    assert!(scale["distances"].as_array().unwrap().iter().all(|d| number(&d["residual_mm"]).abs() < 0.5), "{scale}");
    assert_eq!(json["pictures"][2]["scale"], Value::Null);
    assert!(folder.fine(&["camera", "demo"]).out.contains("Second distance: "));
}

/// Landmarks are pixels of one file: another one in its place is named.
#[test]
fn a_picture_of_another_size_than_the_project_says_is_named() {
    let folder = Folder::with_demo();
    let text = std::fs::read_to_string(folder.demo_file()).unwrap();
    let other = text.replacen("size_px: (1600, 1000)", "size_px: (3200, 2000)", 1);
    assert_ne!(text, other);
    std::fs::write(folder.demo_file(), other).unwrap();
    let told = folder.run(&["camera", "demo"]);
    assert_eq!(told.code, 1);
    assert!(told.out.contains("measures 3200 x 2000 px, its file has 1600 x 1000"), "{told:?}");
}
