//! Sheets for machines: read back with quick-xml's reader and held against the plan.

use super::{lofted, with_stack, without_stack};
use desk::output::{CutFailure, cut_sheets, plug_plan, write_cut_sheets};
use project::document::{Document, Paper};
use proptest::prelude::*;
use quick_xml::Reader;
use quick_xml::events::Event;
use sheets::{Item, Page, Purpose, Rect};
use std::sync::Arc;

/// The closed cuts of a page as polygons.
fn cuts(page: &Page) -> Vec<Vec<[f64; 2]>> {
    let cut = |i: &Item| match i {
        Item::Path(p) if p.stroke.as_ref().is_some_and(|s| s.purpose == Purpose::Cut) => Some(p.points().collect()),
        _ => None,
    };
    page.items.iter().filter_map(|p| cut(&p.item)).collect()
}

fn bounds(points: &[[f64; 2]]) -> Rect {
    let mut r = Rect::NOTHING;
    points.iter().for_each(|&p| r.include(p));
    r
}

fn area(q: &[[f64; 2]]) -> f64 {
    let twice: f64 = (0..q.len()).map(|k| (q[k], q[(k + 1) % q.len()])).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum();
    0.5 * twice.abs()
}

/// width, height and viewBox of a file, the ids of its groups in order, and how many paths the group `cut` has.
fn read(text: &str) -> ([String; 3], Vec<String>, usize) {
    let mut reader = Reader::from_str(text);
    let (mut head, mut groups, mut paths) = (Default::default(), Vec::new(), 0);
    loop {
        match reader.read_event().unwrap() {
            Event::Eof => return (head, groups, paths),
            Event::Start(e) | Event::Empty(e) => {
                let get =
                    |name: &str| e.try_get_attribute(name).unwrap().map(|a| a.value.to_string()).unwrap_or_default();
                match e.name().as_ref() {
                    "svg" => head = ["width", "height", "viewBox"].map(get),
                    "g" => groups.push(get("id")),
                    "path" if groups.last().is_some_and(|g| g == "cut") => paths += 1,
                    _ => {}
                }
            }
            _ => {}
        }
    }
}

#[test]
fn files_have_the_size_of_the_card_in_millimetres_and_three_groups() {
    let document = desk::demo::document().unwrap();
    let sheets = cut_sheets(&document, &lofted(&document), 0.2).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("made").join("for it");
    std::fs::create_dir_all(&to).unwrap();
    for other in ["card-9.svg", "foam-30.0mm-7.svg", "own.svg", "card-9.txt"] {
        std::fs::write(to.join(other), "mine").unwrap();
    }
    assert_eq!(write_cut_sheets(&sheets, &to).unwrap(), ["card-9.svg", "foam-30.0mm-7.svg"]);
    assert_eq!(std::fs::read_to_string(to.join("card-9.svg")).unwrap(), "mine");
    for sheet in &sheets.sheets {
        let (head, groups, paths) = read(&std::fs::read_to_string(to.join(&sheet.file)).unwrap());
        let size =
            if sheet.file.starts_with("card") { document.build.foam.card_sheet } else { document.build.foam.board };
        let [w, h] = size;
        assert_eq!(head, [format!("{w}mm"), format!("{h}mm"), format!("0 0 {w} {h}")], "{}", sheet.file);
        assert_eq!(groups, ["text", "score", "cut"]);
        assert_eq!(paths, cuts(&sheet.page).len());
        assert!(paths > 0);
    }
}

/// Formers and templates of the plan come out with their area: Steiner's correction for the kerf is undone by cutting.
#[test]
fn without_a_kerf_the_card_that_is_cut_is_the_plans() {
    let document = desk::demo::document().unwrap();
    let plan = plug_plan(&document, &lofted(&document)[0]).unwrap().unwrap();
    let sheets = cut_sheets(&document, &lofted(&document), 0.0).unwrap();
    let card = || sheets.sheets.iter().filter(|s| s.file.starts_with("card"));
    let all: Vec<f64> = card().flat_map(|s| cuts(&s.page)).map(|c| area(&c)).collect();
    for contour in plan.formers.iter().flat_map(|f| &f.part.pieces).flatten() {
        let want = area(contour);
        assert!(all.iter().any(|a| (a - want).abs() < 1e-6 * want.max(1.0)), "a contour of {want} mm²");
    }
    let blocks: usize = sheets.sheets.iter().filter(|s| s.file.starts_with("foam")).map(|s| cuts(&s.page).len()).sum();
    assert_eq!(blocks, plan.blocks.len());
    let outlines = card()
        .flat_map(|s| s.page.items.iter())
        .filter(|p| matches!(&p.item, Item::Text(t) if t.text.starts_with("Blocks")));
    assert_eq!(outlines.count(), 0, "outlines that are drawn on foam are not cut from card");
}

#[test]
fn the_kerf_makes_outlines_larger_and_slots_narrower() {
    let document = with_stack(200.0, 70.0, 80.0, 5);
    let sizes = |kerf: f64| -> Vec<[f64; 2]> {
        let sheets = cut_sheets(&document, &lofted(&document), kerf).unwrap();
        let card = sheets.sheets.iter().filter(|s| s.file.starts_with("card"));
        let mut sizes: Vec<[f64; 2]> =
            card.flat_map(|s| cuts(&s.page)).map(|c| bounds(&c).size()).map(|[a, b]| [a.max(b), a.min(b)]).collect();
        sizes.sort_by(|a, b| (a[0] * a[1]).total_cmp(&(b[0] * b[1])));
        sizes
    };
    let (plain, led) = (sizes(0.0), sizes(0.4));
    assert_eq!(plain.len(), led.len());
    let grown = plain.iter().zip(&led).filter(|(p, l)| (0..2).all(|k| (l[k] - p[k] - 0.4).abs() < 0.02)).count();
    // Every outline of the set; it has no holes.
    assert_eq!(grown, plain.len(), "{plain:?} {led:?}");
}

#[test]
fn a_part_larger_than_the_card_is_told_and_gets_a_sheet_of_its_own() {
    let mut document = with_stack(700.0, 90.0, 90.0, 8);
    Arc::make_mut(&mut document.build).foam.card_sheet = [420.0, 297.0];
    let sheets = cut_sheets(&document, &lofted(&document), 0.2).unwrap();
    assert!(sheets.too_large.contains(&"Centre template".to_owned()), "{:?}", sheets.too_large);
    let large = sheets.sheets.iter().find(|s| s.page.name.contains("Centre template")).unwrap();
    let paper = Rect::at([0.0; 2], [large.page.width_mm, large.page.height_mm]);
    assert!(large.page.width_mm > 690.0 && cuts(&large.page).iter().all(|c| paper.holds(&bounds(c), 0.0)));
}

#[test]
fn without_a_stack_the_plain_templates_are_cut_and_without_parts_it_is_told() {
    let mut document = without_stack(Paper::A4);
    let sheets = cut_sheets(&document, &lofted(&document), 0.1).unwrap();
    assert!(sheets.sheets.iter().all(|s| s.file.starts_with("card")) && !sheets.sheets.is_empty());
    document.forms.clear();
    assert!(matches!(cut_sheets(&document, &[], 0.1), Err(CutFailure::NoParts)));
}

#[test]
fn a_project_in_the_way_is_not_written_over() {
    let document = with_stack(200.0, 70.0, 80.0, 5);
    let sheets = cut_sheets(&document, &lofted(&document), 0.0).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let in_the_way = folder.path().join(&sheets.sheets[0].file);
    desk::files::save(&document, &in_the_way, None, desk::Overwrite::Refuse).unwrap();
    assert!(matches!(write_cut_sheets(&sheets, folder.path()), Err(CutFailure::File(_))));
}

/// No two outlines on a sheet come nearer than the machine's cut, and none leaves the sheet.
fn assert_apart(document: &Document, kerf: f64) {
    let sheets = cut_sheets(document, &lofted(document), kerf).unwrap();
    for sheet in &sheets.sheets {
        let paper = Rect::at([0.0; 2], [sheet.page.width_mm, sheet.page.height_mm]);
        let all: Vec<Rect> = cuts(&sheet.page).iter().map(|c| bounds(c)).collect();
        assert!(all.iter().all(|r| paper.holds(r, 1e-6)), "{}", sheet.file);
        let outer: Vec<&Rect> = all.iter().filter(|r| !all.iter().any(|o| o != *r && o.holds(r, 0.0))).collect();
        for (k, a) in outer.iter().enumerate() {
            assert!(outer[..k].iter().all(|b| !a.overlaps(b, 1e-3)), "{}", sheet.file);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    #[test]
    fn nothing_overlaps_or_leaves_its_sheet_for_any_form(
        length in 80.0..600.0f64,
        breadth in 25.0..150.0f64,
        high in 25.0..150.0f64,
        boards in 2usize..10,
        kerf in 0.0..1.0f64,
    ) {
        assert_apart(&with_stack(length, breadth, high, boards), kerf);
    }
}
