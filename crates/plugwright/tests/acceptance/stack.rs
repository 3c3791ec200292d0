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
