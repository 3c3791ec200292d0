//! `release` against a zone of a sphere.

use crate::folder::{Folder, number};
use crate::tables::{half_ellipse, text};
use serde_json::Value;
use std::f64::consts::PI;

/// A sphere of radius 60 between 45 mm ahead and 45 mm aft of its middle.
fn zone() -> Folder {
    let at = |k: i32| {
        let x = 5.0 * f64::from(k);
        let r = (3600.0 - x * x).sqrt();
        (x, half_ellipse(r, r, 25))
    };
    let folder = Folder::new();
    folder.project("zone", &text(&(-9..=9).map(at).collect::<Vec<_>>()));
    folder
}

/// Exit code 1: it is held.
fn held(folder: &Folder, arguments: &[&str]) -> Value {
    let outcome = folder.run(arguments);
    assert_eq!((outcome.code, outcome.err.as_str()), (1, ""), "{}", outcome.out);
    outcome.json()
}

fn near(a: f64, b: f64, share: f64) {
    assert!((a / b - 1.0).abs() < share, "{a} against {b}");
}

/// Drawn ahead, the half behind the middle is undercut: a zone of height 45, 2π 60 · 45. The rim is narrower than the middle by
/// 60 - √(60² - 45²). Parted across in the middle nothing is left undercut.
#[test]
fn a_sphere_is_held_behind_its_middle() {
    let folder = zone();
    let said = held(&folder, &["release", "zone", "--json"]);
    assert_eq!((said["verdict"].as_str(), said["way_from"].as_str()), (Some("held"), Some("datum axis")));
    near(number(&said["undercut_mm2"]), 2.0 * PI * 60.0 * 45.0, 0.01);
    near(number(&said["passage"]["rim"]["excess_mm"]), 60.0 - (3600.0_f64 - 2025.0).sqrt(), 0.01);
    let patch = &said["patches"][0];
    assert!(number(&patch["from_mm"]) < 3.0 && number(&patch["to_mm"]) > 44.9, "{patch}");
    assert!(patch["place"].as_str().unwrap().contains("all round"), "{patch}");
    let joints = said["joints"].as_array().unwrap();
    assert_eq!(joints.len(), 3);
    let across = joints.iter().find(|j| j["parting"] == "across").unwrap();
    assert!(number(&across["undercut_mm2"]) < 60.0 && number(&across["station_mm"]).abs() < 1.0, "{across}");
    near(number(&across["length_mm"]), 2.0 * PI * 60.0, 0.001);
    assert!(said["advice"].as_array().unwrap().iter().any(|a| a.as_str().unwrap().contains("solvents")));
}

/// Drawn up, the lower half is undercut, half of 2π 60 · 90.
#[test]
fn another_way_may_be_asked_for() {
    let folder = zone();
    let said = held(&folder, &["release", "zone", "--way", "0,0,2", "--json"]);
    assert_eq!(said["way_from"], "own");
    near(number(&said["undercut_mm2"]), PI * 60.0 * 90.0, 0.01);
    assert!(said["patches"][0]["place"].as_str().unwrap().contains("on the keel"), "{}", said["patches"][0]);
    for wrong in ["up", "1,2", "1,2,3,4", "1,x,2"] {
        assert!(folder.refused(&["release", "zone", "--way", wrong]).contains("three numbers"));
    }
    assert!(folder.refused(&["release", "zone", "--way", "0,0,0"]).contains("no way to go"));
}

/// A cone that widens aft comes off ahead.
#[test]
fn a_cone_comes_off() {
    let folder = Folder::new();
    folder.project("cone", &text(&[0.0, 50.0, 100.0].map(|x| (x, half_ellipse(40.0 + 0.2 * x, 40.0 + 0.2 * x, 25)))));
    let said = folder.fine(&["release", "cone", "--json"]).json();
    assert_eq!(said["verdict"], "free");
    assert!(number(&said["undercut_mm2"]) < 1.0 && number(&said["tight_mm2"]) < 1.0);
    assert!(folder.fine(&["release", "cone"]).out.contains("comes off its plug"));
}
