//! Random plugs, from a table and a project file to written sheets, read back by other libraries than wrote them and held against
//! what the builder asked for and the finished form.

mod bodies;
mod flat;
mod foam;
mod formers;
mod joints;
mod machine;
mod paper;
mod set;
mod solid;

use crate::folder::{Folder, everything, number, points};
use bodies::{Body, Wanted, any_project};
use flat::Point;
use machine::Sheet;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use serde_json::Value;
use set::Set;
use solid::Skin;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::Path;

/// A plug with all that was read back of it.
struct Plugged<'a> {
    folder: &'a Folder,
    body: Body,
    wanted: Wanted,
    stack: Value,
    set: Set,
    skin: Skin,
    sections: RefCell<BTreeMap<u64, Vec<Vec<Point>>>>,
}

impl Plugged<'_> {
    /// Both sides of the finished form's section.
    fn section(&self, x: f64) -> Vec<Vec<Point>> {
        let read = || {
            let x = x.clamp(self.skin.ends.0, self.skin.ends.1);
            let half = points(&self.folder.measured("plug", &[x])["stations"][0]["half_section_mm"]);
            let port = half.iter().rev().map(|p| [-p[0], p[1]]);
            vec![half.iter().copied().chain(port).collect()]
        };
        self.sections.borrow_mut().entry(x.to_bits()).or_insert_with(read).clone()
    }

    fn shaft_radius(&self) -> f64 {
        self.wanted.shaft.map_or(0.0, |s| 0.5 * s[0])
    }

    /// Contours of everything that is cut from card, by title.
    fn card_parts(&self) -> BTreeMap<String, Vec<Vec<Point>>> {
        let set = &self.set;
        let formers = set.formers.iter().map(|(n, f)| (format!("Former {n}"), f.part.contours.clone()));
        let centre = set.centre.iter().map(|c| ("Centre template".to_owned(), c.part.contours.clone()));
        let front = set.front_plane.iter().map(|p| ("Front, on the ring plane".to_owned(), p.contours.clone()));
        let sides = ["starboard", "port"].map(|s| format!("Breadth template, {s}"));
        let breadth = sides.into_iter().zip(set.breadth.iter().map(|b| b.part.contours.clone()));
        let title = |words: &str, start: &str, end: usize| -> String {
            let at = words.find(start).unwrap();
            words[at..].split_whitespace().take(end).collect::<Vec<_>>().join(" ")
        };
        let outside = set.outside.0.iter().map(|p| (title(&p.words, "Outside ", 4), p.contours.clone()));
        let lines = set.outside.1.iter().map(|p| (title(&p.words, "Outside of", 4), p.contours.clone()));
        formers.chain(centre).chain(front).chain(breadth).chain(outside).chain(lines).collect()
    }

    /// Breadth and height of every block.
    fn blocks(&self) -> Vec<Point> {
        let size = |b: &Value| [number(&b["size_mm"][0]), number(&b["size_mm"][1])];
        self.stack["blocks"].as_array().unwrap().iter().map(size).collect()
    }
}

/// As many parts as ledger, stations and lines ask for.
fn count(plug: &Plugged, said_parts: usize) {
    let layers = plug.stack["ledger"]["layers"].as_array().unwrap();
    let cards = layers.iter().filter(|l| l["kind"] == "card").map(|l| l["number"].as_u64().unwrap() as usize);
    for card in cards {
        let left_out = format!("Former {card} is left out");
        let told =
            plug.stack["findings"].as_array().unwrap().iter().any(|f| f["what"].as_str().unwrap().contains(&left_out));
        assert!(plug.set.formers.contains_key(&card) != told, "card {card}: drawn or told, and not both");
    }
    assert_eq!(plug.set.centre.is_some(), !plug.set.formers.is_empty());
    // A form that begins in a point has nothing there to draw on the foam.
    assert!(plug.set.first_face.is_none() || plug.wanted.foam_front);
    assert!(plug.set.first_face.is_some() || !plug.wanted.foam_front || plug.body.front.is_none());
    assert!(plug.wanted.shaft.is_some() || plug.set.front_plane.is_none(), "a ring without a thrust line");
    assert_eq!(plug.set.outside.1.len(), if plug.wanted.lines { 2 } else { 0 });
    let set = &plug.set;
    let outside = set.outside.0.len() + set.outside.1.len();
    let all = set.formers.len() + usize::from(set.centre.is_some()) + set.breadth.len() + outside;
    let faces = usize::from(set.first_face.is_some()) + usize::from(set.front_plane.is_some());
    let all = all + faces + set.blocks.len();
    assert_eq!(said_parts, all, "parts on paper");
}

/// The book names every former with its stations, and every block.
fn book(plug: &Plugged) {
    plug.folder.fine(&["book", "plug", "--to", "book.pdf"]);
    let pdf = lopdf::Document::load_mem(&plug.folder.read("book.pdf")).unwrap();
    let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
    let words = pdf.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    for former in plug.stack["formers"].as_array().unwrap() {
        let row = format!("{} {:.2} {:.2}", former["number"], number(&former["front_mm"]), number(&former["rear_mm"]));
        assert!(words.contains(&row), "former {row} is not in the book");
    }
    for block in plug.stack["blocks"].as_array().unwrap() {
        let row = format!(
            "{} {:.1} {:.1}",
            block["name"].as_str().unwrap(),
            number(&block["front_mm"]),
            number(&block["rear_mm"])
        );
        assert!(words.contains(&row), "block {row} is not in the book");
    }
}

/// Every file that `cut` writes into a folder of its own.
fn cut(folder: &Folder, to: &str, kerf: f64) -> Vec<Sheet> {
    folder.fine(&["cut", "plug", "--to", to, "--kerf", &kerf.to_string()]);
    let files = everything(&folder.path(to));
    let name = |file: &Path| file.file_name().unwrap().to_string_lossy().into_owned();
    let flat = |file: &String| file.starts_with("card") || file.starts_with("foam");
    files
        .keys()
        .map(|file| name(file))
        .filter(flat)
        .map(|file| Sheet::read(&file, &folder.text(&format!("{to}/{file}"))))
        .collect()
}

/// A folder with the project `plug`: a body from its table, and the plug that is wanted of it.
fn project(body: &Body, wanted: &Wanted) -> Folder {
    let folder = Folder::new();
    folder.project("plain", &body.table());
    folder.write("plug", &wanted.in_file(&folder.text("plain"), body.length));
    folder
}

fn check(body: Body, wanted: Wanted) {
    let folder = project(&body, &wanted);
    let stack = folder.fine(&["stack", "plug", "--json"]).json();
    let said = folder.fine(&["sheets", "plug", "--to", "sheet.pdf", "--paper", "one-sheet", "--json"]).json();
    let (pages, parts) = paper::read(&folder.read("sheet.pdf"));
    assert_eq!(pages, 1);
    let drawn = parts.len();
    let titles: Vec<&str> = parts.iter().map(|p| p.words.as_str()).collect();
    assert_eq!(said["parts"].as_u64().unwrap() as usize, drawn, "{titles:#?}");
    folder.fine(&["mesh", "plug", "--to", "skin.stl", "--tolerance", "0.01"]);
    let skin = Skin::read(&folder.read("skin.stl"));
    let set = Set::sorted(parts, &wanted, &stack);
    let plug = Plugged { folder: &folder, body, wanted, stack, set, skin, sections: RefCell::default() };
    count(&plug, drawn);
    formers::check(&plug);
    joints::check(&plug);
    foam::check(&plug);
    machine::check(&plug, &cut(&folder, "exact", 0.0), 0.0);
    machine::check(&plug, &cut(&folder, "led", plug.wanted.card_kerf), plug.wanted.card_kerf);
    book(&plug);
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        max_shrink_iters: 0,
        rng_seed: RngSeed::Fixed(3),
        ..ProptestConfig::with_cases(12)
    })]

    #[test]
    fn what_is_written_is_what_was_asked_for((body, wanted) in any_project()) {
        check(body, wanted);
    }
}
