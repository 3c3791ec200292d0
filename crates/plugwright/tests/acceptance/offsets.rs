//! `offsets`: what the table holds, and that it leads back to the same body.

use crate::folder::{Folder, close, number};
use crate::tables;
use std::collections::BTreeSet;

/// Rows of a table by station, in order.
fn stations(table: &str) -> Vec<tables::Station> {
    let mut out: Vec<tables::Station> = Vec::new();
    for line in table.lines().filter(|l| !l.starts_with('#')).skip(1) {
        let v: Vec<f64> = line.split(',').map(|n| n.parse().unwrap()).collect();
        assert_eq!(v.len(), 3, "{line}");
        match out.last_mut() {
            Some((x, points)) if *x == v[0] => points.push([v[1], v[2]]),
            _ => out.push((v[0], vec![[v[1], v[2]]])),
        }
    }
    out
}

/// Project to table to project: the volume within 1e-4. Surface hangs on slopes too, which come back less closely than places:
/// within 5e-4.
fn round_trip(folder: &Folder, project: &str) {
    folder.fine(&["offsets", project, "--to", "back.csv"]);
    folder.fine(&["from-offsets", "back.csv", "--to", "back", "--overwrite"]);
    let (there, back) = (folder.measured(project, &[]), folder.measured("back", &[]));
    for (key, share) in [("length_mm", 1e-9), ("volume_mm3", 1e-4), ("lateral_surface_mm2", 5e-4)] {
        close(number(&back[key]), number(&there[key]), share);
    }
    let centroid = |m: &serde_json::Value, k: usize| number(&m["centroid_mm"][k]);
    let length = number(&there["length_mm"]);
    for k in 0..3 {
        assert!((centroid(&there, k) - centroid(&back, k)).abs() < 1e-4 * length);
    }
}

#[test]
fn the_demo_comes_back_from_its_table() {
    round_trip(&Folder::with_demo(), "demo");
}

#[test]
fn bodies_with_knuckles_ridges_and_points_come_back() {
    let folder = Folder::new();
    folder.project("house", &tables::house());
    folder.project("cylinder", &tables::cylinder());
    folder.project("ellipsoid", &tables::ellipsoid(&[-120.0, -110.0, -80.0, -30.0, 20.0, 70.0, 96.0], 19));
    for project in ["house", "cylinder", "ellipsoid"] {
        round_trip(&folder, project);
    }
}

#[test]
fn the_table_holds_control_sections_stations_and_both_ends() {
    let folder = Folder::with_demo();
    folder.fine(&["offsets", "demo", "--to", "demo.csv"]);
    let text = folder.text("demo.csv");
    assert!(text.starts_with(tables::HEADER));
    let table = stations(&text);
    assert!(table.windows(2).all(|p| p[0].0 < p[1].0), "stations rise");
    let held: Vec<f64> = table.iter().map(|s| s.0).collect();
    let project = std::fs::read_to_string(folder.demo_file()).unwrap();
    let measured = folder.measured("demo", &[]);
    let own = measured["stations"].as_array().unwrap().iter().map(|s| number(&s["x_mm"]));
    // Behind the first form come the second one and what they must fit, which have stations of their own.
    let (first, _) = project.split_once("name: \"Exhaust cover\"").unwrap();
    let sections = first.lines().filter_map(|l| l.trim().strip_prefix("station: ")?.strip_suffix(',')?.parse().ok());
    let wanted: Vec<f64> = own.chain(sections).collect();
    assert!(wanted.len() > 10 + 5);
    for x in wanted {
        assert!(held.iter().any(|h| (h - x).abs() < 1e-5), "station {x} is not in the table");
    }
    close(held[held.len() - 1] - held[0], number(&measured["length_mm"]), 1e-6);
}

/// Each station: at least 25 points from centre plane to centre plane, the numbers of `measure` within the chord's 0.01 mm.
#[test]
fn each_station_is_a_whole_half_section() {
    let folder = Folder::with_demo();
    folder.fine(&["offsets", "demo", "--to", "demo.csv"]);
    let mut knuckles = BTreeSet::new();
    for (x, rows) in stations(&folder.text("demo.csv")) {
        let mut points = rows.clone();
        points.dedup();
        assert!(points.len() >= 25, "station {x} has {} points", points.len());
        assert!(rows[0][0] == 0.0 && rows[rows.len() - 1][0] == 0.0, "station {x} begins and ends on the centre plane");
        knuckles.insert(rows.len() - points.len());
        let at = &folder.measured("demo", &[x])["stations"][0];
        let area: f64 = points.windows(2).map(|p| (p[0][1] - p[1][1]) * (p[0][0] + p[1][0])).sum();
        assert!((number(&at["area_mm2"]) - area).abs() < 0.01 * number(&at["girth_mm"]), "station {x}");
    }
    assert_eq!(knuckles.len(), 1, "every station has the same knuckles doubled: {knuckles:?}");
    assert!(*knuckles.first().unwrap() > 0, "the demo has a knuckle");
}

#[test]
fn a_table_that_cannot_be_written_is_said() {
    let folder = Folder::with_demo();
    let said = folder.refused(&["offsets", "demo", "--to", "nowhere/table.csv"]);
    assert!(said.contains("nowhere"), "{said}");
}
