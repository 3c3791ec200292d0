//! `stack`: ledger, formers, blocks and boards of the demo, and of a project without a stack.

use crate::folder::Folder;
use crate::tables;
use serde_json::Value;

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn the_ledger_adds_up_and_ends_at_the_fuselage() {
    let folder = Folder::with_demo();
    let said = folder.fine(&["stack", "demo", "--json"]).json();
    let layers = list(&said["ledger"], "layers");
    let glue = number(&said["ledger"]["glue_mm"]);
    // The ring of the thrust line, 3 mm, is the one ring plate, and stands ahead of what adds up.
    let plates: Vec<f64> =
        layers.iter().filter(|l| l["kind"] == "ring plate").map(|l| number(&l["thickness_mm"])).collect();
    assert_eq!(plates, [3.0]);
    let sum: f64 = layers.iter().map(|l| number(&l["thickness_mm"])).sum::<f64>() - plates[0];
    let whole = sum + glue * number(&said["ledger"]["joints"]);
    let last = layers.last().unwrap();
    assert!((whole - number(&last["sum_mm"])).abs() < 1e-6, "{whole} against {last}");
    assert_eq!(number(&last["rear_mm"]), 360.0, "the demo's fuselage end");
    let boards = layers.iter().filter(|l| l["kind"] == "board").count();
    assert_eq!(list(&said, "blocks").len(), 2 * boards);
    let cards = layers.iter().filter(|l| l["kind"] == "card").count();
    assert_eq!(list(&said, "formers").len(), cards);
    for board in list(&said, "boards") {
        assert!(number(&board["count"]) >= number(&board["area_bound"]), "{board}");
        assert_eq!(list(board, "placed").len(), list(board, "blocks").len());
    }
    assert!(list(&said, "assembly").iter().all(|s| s["free"] == true));
}

#[test]
fn words_say_the_same_and_a_project_without_a_stack_is_told_what_to_do() {
    let folder = Folder::with_demo();
    let words = folder.fine(&["stack", "demo"]).out;
    for part in ["board 1 ", "card 11", "former 1 ", "block 11P", "glue joints", "sheets of card"] {
        assert!(words.contains(part), "{part}: {words}");
    }
    folder.project("plain", &tables::cylinder());
    let refused = folder.refused(&["stack", "plain"]);
    assert!(refused.contains("no stack yet"), "{refused}");
}

/// What the present pitch leaves and what the curve asks for: every bay that is proposed keeps within what is allowed, or is as
/// short as a bay may be.
#[test]
fn the_spacing_tells_what_is_left_and_what_the_curve_asks_for() {
    let folder = Folder::with_demo();
    let said = folder.fine(&["stack", "demo", "--json"]).json();
    let (spacing, bays) = (&said["spacing"], list(&said, "bays"));
    assert_eq!(list(spacing, "present"), bays);
    let allowed = number(&spacing["allowed_sagitta_mm"]);
    let stations: Vec<f64> = list(spacing, "proposed_stations_mm").iter().map(number).collect();
    assert!(stations.is_sorted() && (stations[0], *stations.last().unwrap()) == (0.0, 360.0), "{stations:?}");
    for bay in list(spacing, "proposed") {
        let pitch = number(&bay["to_mm"]) - number(&bay["from_mm"]);
        assert!(number(&bay["sagitta_mm"]) <= allowed + 1e-9 || pitch <= plug::LEAST_PITCH + 1e-6, "{bay}");
    }
    let worst = bays.iter().map(|b| number(&b["sagitta_mm"])).fold(0.0, f64::max);
    let words = folder.fine(&["stack", "demo"]).out;
    assert!(words.contains(&format!("by up to {worst:.2} mm")) && words.contains("asks for faces at"), "{words}");
}

/// The stations that everything is measured and printed at are both ends and the middles of the cards; a board that is measured
/// anew moves them, and without the stack the builder's own come back.
#[test]
fn the_stations_follow_the_boards() {
    let folder = Folder::with_demo();
    let stations =
        || -> Vec<f64> { list(&folder.measured("demo", &[]), "stations").iter().map(|s| number(&s["x_mm"])).collect() };
    let said = folder.fine(&["stack", "demo", "--json"]).json();
    let cards = list(&said["ledger"], "layers").iter().filter(|l| l["kind"] == "card");
    let middles = cards.map(|l| 0.5 * (number(&l["front_mm"]) + number(&l["rear_mm"])));
    let wanted: Vec<f64> = std::iter::once(0.0).chain(middles).chain([360.0]).collect();
    let before = stations();
    assert_eq!(before.len(), wanted.len());
    assert!(before.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 1e-9), "{before:?} against {wanted:?}");
    let text = std::fs::read_to_string(folder.demo_file()).unwrap();
    let with = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        std::fs::write(folder.demo_file(), text.replacen(from, to, 1)).unwrap();
    };
    // The first board is 1.5 mm thicker: all cards but the last move aft by that, as the last board takes it up.
    with("29.6,", "31.1,");
    let moved = stations();
    for i in 1..moved.len() - 2 {
        assert!((moved[i] - before[i] - 1.5).abs() < 1e-9, "station {}: {} after {}", i + 1, moved[i], before[i]);
    }
    assert_eq!(moved[moved.len() - 2..], before[before.len() - 2..]);
    // The last stack in the file is the project's own; the one before is the added form's.
    let (before, behind) = text.rsplit_once("used: true").unwrap();
    std::fs::write(folder.demo_file(), format!("{before}used: false{behind}")).unwrap();
    let own: Vec<f64> = (0..=12).map(|i| 30.0 * f64::from(i)).collect();
    assert_eq!(stations(), own);
}
