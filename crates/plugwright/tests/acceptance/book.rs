//! `book` and `cut`: the build book, and the sheets for machines.

use crate::folder::Folder;
use crate::tables;
use lopdf::Document;

/// All words of a PDF, one blank between two.
fn words(bytes: &[u8]) -> String {
    let document = Document::load_mem(bytes).unwrap();
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    document.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_demos_book_has_its_chapters_and_says_how_many_pages() {
    let folder = Folder::with_demo();
    let said = folder.fine(&["book", "demo", "--to", "book.pdf"]).out;
    let bytes = folder.read("book.pdf");
    let pages = Document::load_mem(&bytes).unwrap().get_pages().len();
    assert!(said.contains(&format!("{pages} pages")), "{said}");
    let words = words(&bytes);
    let chapters = [
        "Before you begin",
        "Materials and counts",
        "The stack",
        "Assembly picture",
        "Formers and joints",
        "Foam",
        "Step by step",
        "Gauges and calipers",
        "Where the shell fits",
        "Map of the templates",
        "Findings still open",
    ];
    for chapter in chapters {
        assert!(words.contains(chapter), "{chapter}");
    }
}

#[test]
fn without_a_stack_the_book_and_the_answer_say_what_is_missing() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    let said = folder.fine(&["book", "cylinder", "--to", "book.pdf"]).out;
    assert!(said.contains("no stack"), "{said}");
    assert!(words(&folder.read("book.pdf")).contains("no stack of boards and cards yet"));
    folder.refused(&["book", "cylinder", "--to", "nowhere/book.pdf"]);
    folder.refused(&["book", "cylinder"]);
}

#[test]
fn every_sheet_that_is_told_is_a_file_in_millimetres() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    let said = folder.fine(&["cut", "cylinder", "--to", "cut", "--kerf", "0.2"]).out;
    let files: Vec<String> = said
        .lines()
        .filter_map(|l| l.strip_prefix("wrote "))
        .filter_map(|l| l.split_once(": "))
        .map(|(f, _)| f.to_owned())
        .collect();
    assert!(!files.is_empty(), "{said}");
    for file in &files {
        let text = String::from_utf8(folder.read(file)).unwrap();
        assert!(text.contains("width=\"594mm\"") && text.contains("viewBox=\"0 0 594 420\""), "{file}");
    }
    let plain = folder.fine(&["cut", "cylinder", "--to", "plain"]).out;
    assert!(plain.contains("card-1.svg"), "{plain}");
    assert!(folder.read("cut/card-1.svg") != folder.read("plain/card-1.svg"), "the kerf makes a difference");
}

#[test]
fn a_kerf_that_is_none_and_a_folder_that_is_a_file_are_refused() {
    let folder = Folder::new();
    folder.project("cylinder", &tables::cylinder());
    for kerf in ["-0.1", "6", "wide", "NaN"] {
        folder.refused(&["cut", "cylinder", "--to", "cut", "--kerf", kerf]);
    }
    folder.fine(&["book", "cylinder", "--to", "book.pdf"]);
    folder.refused(&["cut", "cylinder", "--to", "book.pdf"]);
}
