//! The book's numbers are the plan's, and nothing on its pages is cut off or overlaps.

use super::{lofted, with_stack, without_stack};
use desk::output::{BookFailure, book, plug_plan};
use lopdf::Document as Pdf;
use plug::{LayerKind, Plan};
use project::build::MeasuredWidth;
use project::document::{Document, Paper};
use proptest::prelude::*;
use sheets::{Item, Page, Rect, SheetSet};
use std::sync::OnceLock;

fn made(document: &Document) -> SheetSet {
    book(document, &lofted(document)).unwrap()
}

/// The demo with its plan and its book, made once for all tests.
struct Demo {
    document: Document,
    plan: Plan,
    book: SheetSet,
}

fn demo() -> &'static Demo {
    static DEMO: OnceLock<Demo> = OnceLock::new();
    DEMO.get_or_init(|| {
        let document = desk::demo::document().unwrap();
        let plan = plug_plan(&document, &lofted(&document)[0]).unwrap().unwrap();
        let book = made(&document);
        Demo { document, plan, book }
    })
}

/// The words of every page as lopdf reads them from the file, one line a text.
fn words(set: &SheetSet) -> Vec<Vec<String>> {
    let pdf = Pdf::load_mem(&sheets::pdf::write_pdf(set).unwrap()).unwrap();
    let pages: Vec<u32> = pdf.get_pages().into_keys().collect();
    let of = |page: u32| {
        let text = pdf.extract_text(&[page]).unwrap();
        text.lines().map(str::trim).filter(|l| !l.is_empty()).map(str::to_owned).collect()
    };
    pages.into_iter().map(of).collect()
}

/// The words of all pages of a chapter.
fn chapter(set: &SheetSet, name: &str) -> Vec<String> {
    words(set).into_iter().zip(&set.pages).filter(|(_, p)| p.name == name).flat_map(|(w, _)| w).collect()
}

fn stands(words: &[String], row: &[String]) -> bool {
    words.windows(row.len()).any(|w| w == row)
}

/// Two decimals with a true minus: written here again, so that the book's own hand is not its judge.
fn two(v: f64) -> String {
    let text = format!("{:.2}", v.abs());
    if v < -0.005 { format!("−{text}") } else { text }
}

#[test]
fn the_ledger_on_paper_is_the_plans_row_by_row() {
    let Demo { document, plan, book } = demo();
    let said = chapter(book, "The stack");
    assert!(plan.ledger.layers.len() > 20);
    for layer in &plan.ledger.layers {
        let changed = if (layer.thickness - layer.measured).abs() > 0.005 { " (to be made so)" } else { "" };
        let name = match layer.kind {
            LayerKind::Card(n) => format!("Card {n}"),
            LayerKind::Board(n) => format!("Board {n}{changed}"),
            LayerKind::NoseFoam => "Nose foam".to_owned(),
            LayerKind::RingPlate => "Ring plate".to_owned(),
        };
        let numbers = [layer.measured, layer.thickness, layer.front, layer.rear, layer.sum].map(two);
        let row: Vec<String> = [name].into_iter().chain(numbers).collect();
        assert!(stands(&said, &row), "{row:?} in {said:?}");
    }
    // What the stack is for: it ends where the fuselage begins.
    let last = plan.ledger.layers.last().unwrap();
    assert!((last.rear - document.airframe.fuselage.as_ref().unwrap().station).abs() < 1e-9);
}

#[test]
fn every_block_former_and_gauge_of_the_plan_is_in_the_book() {
    let Demo { plan, book: set, .. } = demo();
    let (foam, picture) = (chapter(set, "Foam"), chapter(set, "Assembly picture"));
    for b in &plan.blocks {
        let row = [b.stations.0, b.stations.1, b.thickness(), b.size[0], b.size[1]].map(|v| format!("{v:.1}"));
        let row: Vec<String> = [b.name.clone()].into_iter().chain(row).collect();
        assert!(stands(&foam, &row), "{row:?}");
        assert!(foam.iter().filter(|w| **w == b.name).count() >= 2, "{} in the table and on its board", b.name);
        assert!(picture.contains(&b.name), "{} on the assembly picture", b.name);
    }
    for f in &plan.formers {
        assert!(picture.iter().filter(|w| **w == f.number.to_string()).count() >= 2, "former {}", f.number);
    }
    let steps = chapter(set, "Step by step").join(" ");
    for step in &plan.steps {
        assert!(steps.contains(&format!("{}: {}.", step.part, step.way.label())), "{step:?}");
    }
    let gauges = chapter(set, "Gauges and calipers");
    for row in &plan.gauges.calipers {
        let widths: Vec<String> =
            ["width".to_owned()].into_iter().chain(row.widths.iter().map(|w| format!("{:.1}", w.1))).collect();
        assert!(stands(&gauges, &widths), "station {}", row.station);
    }
}

/// What is open in the program's list is open in the book.
#[test]
fn findings_that_are_open_are_printed_and_the_cautions_stand_in_every_book() {
    let Demo { document, book: set, .. } = demo();
    let said = chapter(set, "Findings still open").join(" ");
    let open = desk::findings_anew(document);
    assert!(!open.is_empty());
    for f in open {
        // A cell is broken into lines that other cells stand between: the first words are on one line.
        let first = f.what.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
        assert!(said.contains(&first), "{} in {said}", f.what);
    }
    for set in [set, &made(&without_stack(Paper::A4))] {
        let cautions = chapter(set, "Before you begin").join(" ");
        for word in
            ["rules", "licensed", "Dust", "Fumes", "Blades", "Resin", "Carbon near antennas", "Spinning propellers"]
        {
            assert!(cautions.contains(word), "{word}");
        }
    }
}

#[test]
fn a_project_without_a_stack_has_a_shorter_book_that_says_what_is_missing() {
    let set = made(&without_stack(Paper::Letter));
    let names: Vec<&str> = set.pages.iter().map(|p| p.name.as_str()).collect();
    assert!(!names.contains(&"The stack") && names.contains(&"Map of the templates"), "{names:?}");
    let cover = chapter(&set, "Build book").join(" ");
    assert!(cover.contains("no stack of boards and cards yet"), "{cover}");
    assert!(set.pages.iter().all(|p| (p.width_mm, p.height_mm) == (215.9, 279.4)), "Letter, ANSI/ASME Y14.1");
    set.pages.iter().for_each(assert_tidy);
}

#[test]
fn a_form_that_cannot_be_lofted_gives_its_reasons_and_no_book() {
    let mut document = without_stack(Paper::A4);
    document.forms = vec![std::sync::Arc::new(project::starter::empty_form("Empty"))];
    let failure = book(&document, &lofted(&document)).unwrap_err();
    assert!(matches!(failure, BookFailure::NotLofted(_)) && failure.to_string().contains("\"Empty\""));
    document.forms.clear();
    assert!(matches!(book(&document, &[]), Err(BookFailure::NoForm)));
}

#[test]
fn equal_projects_give_equal_books() {
    let document = with_stack(180.0, 60.0, 70.0, 6);
    let bytes = || sheets::pdf::write_pdf(&made(&document)).unwrap();
    assert_eq!(bytes(), bytes());
}

/// No text lies on another, and everything lies on the paper with at least 5 mm to spare.
fn assert_tidy(page: &Page) {
    let texts: Vec<(&str, Rect)> = page
        .items
        .iter()
        .filter_map(|p| if let Item::Text(t) = &p.item { Some((t.text.as_str(), t.bounds())) } else { None })
        .collect();
    for (k, (one, a)) in texts.iter().enumerate() {
        for (other, b) in &texts[..k] {
            assert!(!a.overlaps(b, 0.01), "\"{one}\" lies on \"{other}\" on a page of \"{}\"", page.name);
        }
    }
    let paper = Rect::at([0.0; 2], [page.width_mm, page.height_mm]).grown(-5.0);
    for p in &page.items {
        assert!(paper.holds(&p.item.bounds(), 1e-6), "{:?} runs off a page of \"{}\"", p.item, page.name);
    }
}

#[test]
fn the_demos_pages_are_tidy() {
    demo().book.pages.iter().for_each(assert_tidy);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// For forms of any size, with few or many boards, and with a breadth template or none.
    #[test]
    fn pages_are_tidy_for_any_form(
        length in 60.0..900.0f64,
        breadth in 20.0..250.0f64,
        high in 20.0..250.0f64,
        boards in 2usize..14,
        with_breadth: bool,
        letter: bool,
    ) {
        let mut document = with_stack(length, breadth, high, boards);
        std::sync::Arc::make_mut(&mut document.build).formers.breadth_template = with_breadth.then_some(0.0);
        if letter {
            document.paper.paper = Paper::Letter;
        }
        let set = made(&document);
        set.pages.iter().for_each(assert_tidy);
        let pdf = Pdf::load_mem(&sheets::pdf::write_pdf(&set).unwrap()).unwrap();
        prop_assert_eq!(pdf.get_pages().len(), set.pages.len());
    }
}

#[test]
fn what_was_measured_after_sanding_has_its_chapter_and_nothing_else_has() {
    let mut document = with_stack(200.0, 60.0, 60.0, 5);
    assert!(chapter(&made(&document), "After sanding").is_empty());
    let measured = |height: f64, width: f64| MeasuredWidth { station: 100.0, height, width };
    let plan = plug_plan(&document, &lofted(&document)[0]).unwrap().unwrap();
    assert!(plan.gauges.deviations.is_empty());
    let build = std::sync::Arc::make_mut(&mut document.build);
    build.sanding.measured = vec![measured(0.0, 100.0), measured(5.0, 200.0), measured(500.0, 10.0)];
    let plan = plug_plan(&document, &lofted(&document)[0]).unwrap().unwrap();
    let [narrow, wide, none] = plan.gauges.deviations[..] else { panic!("three") };
    let words = chapter(&made(&document), "After sanding");
    for (d, verdict) in [(narrow, "sanded too far"), (wide, "left to sand")] {
        let over = d.over().unwrap();
        let row =
            ["100.0".to_owned(), one(d.measured.height), two(d.measured.width), two(d.planned.unwrap()), two(over)];
        assert!(stands(&words, &[&row[..], &[verdict.to_owned()]].concat()), "{row:?} {words:?}");
    }
    let many = (-40..40).map(|z| measured(f64::from(z), 110.0)).collect();
    std::sync::Arc::make_mut(&mut document.build).sanding.measured = many;
    made(&document).pages.iter().for_each(assert_tidy);
    assert!(none.over().is_none() && words.contains(&"the plug has no width there".to_owned()));
}

#[test]
fn the_former_spacing_stands_in_the_book_with_and_without_a_stack() {
    let demo = demo();
    let words = chapter(&demo.book, "The stack");
    for bay in &demo.plan.bays {
        assert!(stands(&words, &[one(bay.from), one(bay.to), two(bay.sagitta)]), "{bay:?} {words:?}");
    }
    assert!(words.iter().any(|w| w.contains("The curve asks for faces at these")), "{words:?}");
    let plain = chapter(&made(&without_stack(Paper::A4)), "Materials and counts");
    assert!(plain.contains(&"Former spacing".to_owned()), "{plain:?}");
}

/// One decimal with a true minus.
fn one(v: f64) -> String {
    let text = format!("{:.1}", v.abs());
    if v < -0.05 { format!("−{text}") } else { text }
}
