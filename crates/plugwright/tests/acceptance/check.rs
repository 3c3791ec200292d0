//! `check`: findings and the exit code they give.

use crate::folder::Folder;
use crate::tables;

#[test]
fn the_demo_has_no_error() {
    let folder = Folder::with_demo();
    let list = folder.fine(&["check", "demo", "--json"]).json();
    for finding in list["findings"].as_array().unwrap() {
        assert_ne!(finding["severity"], "error", "{finding}");
    }
    folder.project("cylinder", &tables::cylinder());
    assert_eq!(folder.fine(&["check", "cylinder", "--json"]).json(), serde_json::json!({ "findings": [] }));
    folder.fine(&["check", "cylinder"]);
}

/// The demo with a control section whose cubic dips through the centre plane between its points.
fn crossing(folder: &Folder) {
    let file = folder.demo_file();
    let text = std::fs::read_to_string(&file).unwrap();
    let from = text.find("sections: [").unwrap();
    let to = from + text[from..].find("stations: [").unwrap();
    let section = "sections: [ Shaped(station: 120.0, points: [(u: 0.0, v: 1.0, role: Crown), (u: 0.9, v: 0.9), \
                   (u: 0.0, v: 0.6), (u: 0.0, v: 0.3), (u: 1.0, v: 0.0, role: Breadth), \
                   (u: 0.0, v: -1.0, role: Keel)], arcs: [Cubic, Cubic, Cubic, Cubic, Conic(rho: 0.41)])], ";
    std::fs::write(&file, format!("{}{section}{}", &text[..from], &text[to..])).unwrap();
}

#[test]
fn a_section_through_the_centre_plane_is_an_error_that_says_where() {
    let folder = Folder::with_demo();
    crossing(&folder);
    let outcome = folder.run(&["check", "demo", "--json"]);
    assert_eq!(outcome.code, 1, "{}{}", outcome.out, outcome.err);
    let json = outcome.json();
    let findings = json["findings"].as_array().unwrap();
    let errors: Vec<_> = findings.iter().filter(|f| f["severity"] == "error").collect();
    assert!(!errors.is_empty());
    for finding in findings {
        for key in ["severity", "place", "what", "measured", "allowed", "hint"] {
            assert!(finding.get(key).is_some(), "{key} is missing from {finding}");
        }
        assert!(finding["hint"].as_str().is_some_and(|h| !h.is_empty()), "{finding}");
    }
    let placed = errors.iter().any(|f| f["place"]["station_mm"] == 120.0 && f["place"]["label"].is_string());
    assert!(placed, "{errors:?}");
    let crosses = errors.iter().any(|f| f["what"].as_str().unwrap().contains("centre plane"));
    assert!(crosses, "{errors:?}");
    let words = folder.run(&["check", "demo"]);
    assert_eq!(words.code, 1);
    assert!(words.out.contains("error") && words.out.contains("120"), "{}", words.out);
}
