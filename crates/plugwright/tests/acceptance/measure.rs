//! `measure` against closed forms, and the shape of its answer.

use crate::folder::{Folder, close, number, points};
use crate::tables;
use std::f64::consts::PI;

/// Volume, surface, centroid, area and girth of a round cylinder.
#[test]
fn a_cylinder_measures_as_it_must() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    let m = folder.measured("cylinder", &[-20.0, -5.5, 80.0]);
    close(number(&m["length_mm"]), 100.0, 1e-12);
    close(number(&m["volume_mm3"]), PI * 1600.0 * 100.0, 1e-5);
    close(number(&m["lateral_surface_mm2"]), 2.0 * PI * 40.0 * 100.0, 1e-5);
    let centroid = m["centroid_mm"].as_array().unwrap();
    for (is, want) in centroid.iter().zip([30.0, 0.0, 0.0]) {
        assert!((number(is) - want).abs() < 1e-6, "{centroid:?}");
    }
    let stations = m["stations"].as_array().unwrap();
    assert_eq!(stations.iter().map(|s| number(&s["x_mm"])).collect::<Vec<_>>(), [-20.0, -5.5, 80.0]);
    for s in stations {
        close(number(&s["area_mm2"]), PI * 1600.0, 1e-5);
        close(number(&s["girth_mm"]), 2.0 * PI * 40.0, 1e-5);
        close(number(&s["half_breadth_mm"]), 40.0, 1e-5);
        close(number(&s["top_mm"]), 40.0, 1e-9);
        close(number(&s["bottom_mm"]), -40.0, 1e-9);
    }
}

/// The polyline leaves the circle by no more than 0.01 mm, and runs from the crown to the keel on the centre plane.
#[test]
fn a_half_section_is_close_to_the_curve() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    let half = points(&folder.measured("cylinder", &[12.0])["stations"][0]["half_section_mm"]);
    assert!((half[0][1] - 40.0).abs() < 1e-9 && (half[half.len() - 1][1] + 40.0).abs() < 1e-9);
    assert!(half[0][0].abs() < 1e-9 && half[half.len() - 1][0].abs() < 1e-9, "both ends lie on the centre plane");
    for pair in half.windows(2) {
        let middle = [(pair[0][0] + pair[1][0]) / 2.0, (pair[0][1] + pair[1][1]) / 2.0];
        for p in [pair[0], middle] {
            let off = (p[0].hypot(p[1]) - 40.0).abs();
            // 0.01 mm of the chord, and what 25 points leave of the circle.
            assert!(off < 0.0105, "{p:?} is {off} mm off");
        }
        assert!(pair[0][1] > pair[1][1], "from crown to keel");
    }
}

/// Area, girth and volume of the house are elementary; every knuckle of it stands in the half section.
#[test]
fn knuckles_and_ridges_stay_sharp() {
    let folder = Folder::new();
    folder.project("house", &tables::house());
    let m = folder.measured("house", &[0.0, 37.5]);
    close(number(&m["volume_mm3"]), 100.0 * (60.0 * 40.0 + 300.0), 1e-6);
    let roof = 30.0_f64.hypot(10.0);
    for s in m["stations"].as_array().unwrap() {
        close(number(&s["area_mm2"]), 2700.0, 1e-6);
        close(number(&s["girth_mm"]), 2.0 * (roof + 40.0 + 30.0), 1e-6);
        let half = points(&s["half_section_mm"]);
        for knuckle in [[0.0, 30.0], [30.0, 20.0], [30.0, -20.0], [0.0, -20.0]] {
            let near = half.iter().map(|p| (p[0] - knuckle[0]).hypot(p[1] - knuckle[1])).fold(f64::MAX, f64::min);
            assert!(near < 1e-6, "{knuckle:?} is missing from {half:?}");
        }
    }
}

/// Volume of a spheroidal cap-to-cap body, 4/3 π a b c, from stations that are not evenly spaced, with point ends.
#[test]
fn point_ends_and_uneven_stations_are_taken() {
    let folder = Folder::new();
    let xs = [-120.0, -117.0, -108.0, -92.0, -70.0, -40.0, -5.0, 30.0, 62.0, 88.0, 105.0, 116.0, 120.0];
    folder.project("ellipsoid", &tables::ellipsoid(&xs, 25));
    let m = folder.measured("ellipsoid", &[]);
    close(number(&m["volume_mm3"]), 4.0 / 3.0 * PI * 120.0 * 70.0 * 55.0, 1e-3);
    let k = 1.0 - (30.0_f64 / 120.0).powi(2);
    let at = &folder.measured("ellipsoid", &[30.0])["stations"][0];
    close(number(&at["area_mm2"]), PI * 70.0 * 55.0 * k, 1e-4);
}

#[test]
fn without_stations_asked_for_the_projects_own_are_measured() {
    let folder = Folder::with_demo();
    let m = folder.measured("demo", &[]);
    let keys: Vec<&str> = m.as_object().unwrap().keys().map(String::as_str).collect();
    let mut want = ["length_mm", "volume_mm3", "lateral_surface_mm2", "centroid_mm", "stations"];
    want.sort_unstable();
    assert_eq!(keys, want);
    let stations = m["stations"].as_array().unwrap();
    assert!(stations.len() >= 10);
    let mut want = ["x_mm", "area_mm2", "girth_mm", "half_breadth_mm", "top_mm", "bottom_mm", "half_section_mm"];
    want.sort_unstable();
    for s in stations {
        assert_eq!(s.as_object().unwrap().keys().map(String::as_str).collect::<Vec<_>>(), want);
    }
    let project = folder.demo_file();
    let by_file = folder.fine(&["measure", project.to_str().unwrap(), "--json"]);
    assert_eq!(by_file.json(), m, "a folder means the project in it");
}

/// Area by the shoelace formula over the polyline that is given, as a script would check it.
#[test]
fn the_numbers_of_a_station_agree_with_its_half_section() {
    let folder = Folder::with_demo();
    for s in folder.measured("demo", &[])["stations"].as_array().unwrap() {
        let half = points(&s["half_section_mm"]);
        let area: f64 = half.windows(2).map(|p| (p[0][1] - p[1][1]) * (p[0][0] + p[1][0])).sum();
        let girth: f64 = half.windows(2).map(|p| (p[0][1] - p[1][1]).hypot(p[0][0] - p[1][0]) * 2.0).sum();
        // Chords lose at most their error times the length.
        assert!((number(&s["area_mm2"]) - area).abs() < 0.01 * girth, "{s}");
        close(girth, number(&s["girth_mm"]), 1e-3);
        let widest = half.iter().map(|p| p[0]).fold(0.0, f64::max);
        assert!((number(&s["half_breadth_mm"]) - widest).abs() < 0.0101);
        let (low, high) = half.iter().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p[1]), h.max(p[1])));
        assert!((number(&s["top_mm"]) - high).abs() < 0.0101 && (number(&s["bottom_mm"]) - low).abs() < 0.0101);
    }
}

#[test]
fn a_station_outside_the_form_is_refused() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    for at in ["-20.001", "80.001", "1e9"] {
        let said = folder.refused(&["measure", "cylinder", "--at", "0", "--at", at]);
        assert!(said.contains("-20.000") && said.contains("80.000"), "it says where the form is: {said}");
    }
    for at in ["nan", "inf", "twelve", ""] {
        folder.refused(&["measure", "cylinder", "--json", "--at", at]);
    }
    folder.refused(&["measure", "cylinder", "--form", "2"]);
    folder.refused(&["measure", "cylinder", "--form", "0"]);
}

#[test]
fn in_words_it_names_its_units() {
    let folder = Folder::with_demo();
    let said = folder.fine(&["measure", "demo", "--at", "30"]).out;
    for word in ["mm3", "mm2", "centroid", "30.000"] {
        assert!(said.contains(word), "{said}");
    }
}
