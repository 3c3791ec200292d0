//! `sheets`: page counts, and that the file has as many.

use crate::folder::Folder;
use crate::tables;
use lopdf::Document;

fn count(value: &serde_json::Value) -> u64 {
    value.as_u64().unwrap_or_else(|| panic!("{value} is no count"))
}

#[test]
fn page_counts_are_those_of_the_file_on_every_paper() {
    let folder = Folder::with_demo();
    let mut before = u64::MAX;
    for paper in ["a4", "a3", "a2", "a1", "a0", "letter", "tabloid", "one-sheet"] {
        let said = folder.fine(&["sheets", "demo", "--to", "out.pdf", "--paper", paper, "--json"]).json();
        let [pages, naive, bound, overview, parts] =
            ["pages", "naive_row_by_row", "area_bound", "overview_pages", "parts"].map(|k| count(&said[k]));
        // The demo's plug has a stack: 11 cards behind a face of foam alone, the centre template, that face, the front on the
        // ring's plane, 11 bays, outside templates on both sides of four stations and along crown and keel; and the strip by
        // which the screws' holes are drilled.
        let plug = 11 + 1 + 1 + 1 + 11 + 8 + 2 + 1;
        // Trim templates of two intakes, two exhaust holes and the outlet; the cloth of three whole plies.
        let shell = 5 + 3;
        // The exhaust cover's own: seven cards, a centre template, six bays, outside templates on both sides of one station and along
        // crown and keel, three plies; and where it is fitted on either side of the cowl.
        let cover = 7 + 1 + 6 + 2 + 2 + 3 + 2;
        assert_eq!(parts, plug + shell + cover, "{said}");
        assert!(bound <= pages && pages <= naive, "{said}");
        let there = Document::load_mem(&folder.read("out.pdf")).unwrap().get_pages().len() as u64;
        assert_eq!(there, pages + overview, "{said}");
        if paper.starts_with('a') {
            assert!(pages <= before, "larger paper needs no more pages: {said}");
            before = pages;
        }
        if paper == "one-sheet" {
            assert_eq!(there, 1);
        }
    }
}

#[test]
fn in_words_all_three_counts_are_said() {
    let folder = Folder::with_demo();
    let json = folder.fine(&["sheets", "demo", "--to", "out.pdf", "--json"]).json();
    let said = folder.fine(&["sheets", "demo", "--to", "out.pdf"]).out;
    for key in ["pages", "naive_row_by_row", "area_bound"] {
        assert!(said.contains(&json[key].to_string()), "{key}: {said}");
    }
    assert!(said.contains("100 %"), "{said}");
}

#[test]
fn equal_projects_give_equal_files() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    folder.fine(&["sheets", "cylinder", "--to", "one.pdf"]);
    folder.fine(&["sheets", "cylinder", "--to", "two.pdf"]);
    assert!(folder.read("one.pdf") == folder.read("two.pdf"));
}

#[test]
fn every_sheet_says_what_was_not_taken_off() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    folder.fine(&["sheets", "cylinder", "--to", "out.pdf"]);
    let document = Document::load_mem(&folder.read("out.pdf")).unwrap();
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    let said = document.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    let parts = 3 + 1;
    let notes = said.matches("finished outside: no laminate, no card thickness taken off").count();
    assert!(notes >= parts, "{notes} notes on {parts} parts: {said}");
}

#[test]
fn paper_that_is_none_or_a_place_that_is_none_is_refused() {
    let folder = Folder::with_demo();
    let said = folder.refused(&["sheets", "demo", "--to", "out.pdf", "--paper", "a9"]);
    assert!(said.contains("a4") && said.contains("one-sheet"), "it lists what there is: {said}");
    folder.refused(&["sheets", "demo", "--to", "nowhere/out.pdf"]);
    folder.refused(&["sheets", "demo"]);
}
