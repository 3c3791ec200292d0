//! Forms that are put on the first one: the demo's exhaust cover, through every command.

use crate::folder::{Folder, number};
use serde_json::Value;

fn words(bytes: &[u8]) -> String {
    let document = lopdf::Document::load_mem(bytes).unwrap();
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    document.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Puts the demo's cover so far to starboard of the centre plane.
fn move_cover(folder: &Folder, aside: f64) {
    let text = std::fs::read_to_string(folder.demo_file()).unwrap();
    let (before, mount) = text.split_once("mount: (").expect("the cover is mounted");
    let (place, after) = mount.split_once("),").unwrap();
    let numbers: Vec<&str> = place.split_once("place: (").unwrap().1.split(", ").collect();
    let moved = format!("{before}mount: (place: ({}, {aside:?}, {}),{after}", numbers[0], numbers[2]);
    std::fs::write(folder.demo_file(), moved).unwrap();
}

/// Its stack is its own: boards and cards add up to its length.
#[test]
fn the_stack_of_an_added_form_is_its_own() {
    let folder = Folder::with_demo();
    let said = folder.fine(&["stack", "demo", "--form", "2", "--json"]).json();
    let measured = folder.fine(&["measure", "demo", "--form", "2", "--json"]).json();
    let layers = said["ledger"]["layers"].as_array().unwrap();
    let last = number(&layers.last().unwrap()["rear_mm"]);
    assert!((last - number(&measured["length_mm"])).abs() < 1e-6, "{last} {measured}");
    let first = folder.fine(&["stack", "demo", "--json"]).json();
    assert_ne!(first["ledger"], said["ledger"]);
    let cards = layers.iter().filter(|layer| layer["kind"] == "card").count();
    assert_eq!(measured["stations"].as_array().unwrap().len(), cards + 2, "cards and both ends");
}

/// Templates of both forms are in one set, the lines of meeting among them.
#[test]
fn the_sheets_hold_the_cover_s_cards_and_the_lines_it_is_joined_along() {
    let folder = Folder::with_demo();
    folder.fine(&["sheets", "demo", "--to", "demo.pdf"]);
    let said = words(&folder.read("demo.pdf"));
    for part in ["Fit line: Exhaust cover, starboard", "Fit line: Exhaust cover, port", "Exhaust cover meets it"] {
        assert!(said.contains(part), "{part}");
    }
    assert!(said.contains("surface of Nose cowl"), "marked on the cover's cards");
    assert!(said.contains("two shells from this plug"));
}

#[test]
fn the_book_says_where_the_cover_belongs_and_it_has_a_book_of_its_own() {
    let folder = Folder::with_demo();
    folder.fine(&["book", "demo", "--to", "book.pdf"]);
    let said = words(&folder.read("book.pdf"));
    for part in ["Added forms", "Exhaust cover", "roll ", "2 lines", "How they are joined"] {
        assert!(said.contains(part), "{part}");
    }
    folder.fine(&["book", "demo", "--form", "2", "--to", "cover.pdf"]);
    let said = words(&folder.read("cover.pdf"));
    assert!(said.contains("Exhaust cover") && !said.contains("Added forms") && !said.contains("Where the shell fits"));
    let refused = folder.refused(&["book", "demo", "--form", "3", "--to", "none.pdf"]);
    assert!(refused.contains("There is no form 3"), "{refused}");
}

#[test]
fn a_cover_that_is_moved_away_is_found_to_float() {
    let folder = Folder::with_demo();
    let before = folder.run(&["check", "demo", "--json"]).json();
    let floats = |said: &Value| {
        said["findings"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|f| f["what"].as_str().unwrap().contains("does not touch"))
            .count()
    };
    assert_eq!(floats(&before), 0);
    move_cover(&folder, 175.0);
    let after = folder.run(&["check", "demo", "--json"]).json();
    assert_eq!(floats(&after), 1);
    let words = folder.run(&["check", "demo"]).out;
    assert!(words.contains("Exhaust cover") && words.contains("Move it in until the two meet."), "{words}");
}

#[test]
fn files_for_cutting_hold_the_cover_s_cards_and_its_foam_comes_by_itself() {
    let folder = Folder::with_demo();
    folder.fine(&["cut", "demo", "--form", "2", "--to", "cover"]);
    let files: Vec<String> = std::fs::read_dir(folder.path("cover"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert!(files.iter().any(|f| f.starts_with("foam-")) && files.iter().any(|f| f.starts_with("card-")), "{files:?}");
}

#[test]
fn a_picture_shows_the_cover_on_the_cowl() {
    let folder = Folder::with_demo();
    folder.fine(&["picture", "demo", "--view", "shaded", "--to", "with.png"]);
    move_cover(&folder, 15.0);
    folder.fine(&["picture", "demo", "--view", "shaded", "--to", "without.png"]);
    assert_ne!(folder.read("with.png"), folder.read("without.png"));
}
