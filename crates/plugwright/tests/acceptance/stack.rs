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
    let sum: f64 = layers.iter().map(|l| number(&l["thickness_mm"])).sum();
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
