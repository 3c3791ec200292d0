//! Sheets for a hot wire: both faces of every block, on random forms.

use super::{lofted, with_stack};
use desk::output::{cut_sheets, plug_plan, write_cut_sheets};
use proptest::prelude::*;
use sheets::{Item, Page, Purpose, Rect};
use std::sync::Arc;

fn paths(page: &Page, purpose: Purpose) -> Vec<Vec<[f64; 2]>> {
    let of = |i: &Item| match i {
        Item::Path(p) if p.stroke.as_ref().is_some_and(|s| s.purpose == purpose) => Some(p.points().collect()),
        _ => None,
    };
    page.items.iter().filter_map(|p| of(&p.item)).collect()
}

fn bounds(points: &[[f64; 2]]) -> Rect {
    let mut r = Rect::NOTHING;
    points.iter().for_each(|&p| r.include(p));
    r
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: proptest::test_runner::RngSeed::Fixed(5), ..ProptestConfig::with_cases(6) })]

    #[test]
    fn both_faces_hold_their_allowance_and_lie_within_the_block(
        (length, half_breadth, high) in (150.0..300.0_f64, 50.0..90.0_f64, 60.0..120.0_f64),
        (boards, allowance) in (3..6_usize, 1.0..6.0_f64),
    ) {
        let mut document = with_stack(length, half_breadth, high, boards);
        {
            let foam = &mut Arc::make_mut(&mut document.build).foam;
            (foam.kerf, foam.allowance) = (0.0, allowance);
        }
        let lofted = lofted(&document);
        let plan = plug_plan(&document, &lofted[0]).unwrap().unwrap();
        let sheets = cut_sheets(&document, &lofted, 0.0).unwrap();
        prop_assert_eq!(sheets.wires.len(), plan.blocks.len());
        for (sheet, block) in sheets.wires.iter().zip(&plan.blocks) {
            let page = &sheet.page;
            let paper = Rect::at([0.0; 2], [page.width_mm, page.height_mm]);
            for item in &page.items {
                prop_assert!(paper.holds(&item.item.bounds(), 0.0), "{}: {:?}", block.name, item.item);
            }
            let around: Vec<Rect> = paths(page, Purpose::Mark).iter().map(|p| bounds(p)).collect();
            let blocks: Vec<&Rect> =
                around.iter().filter(|r| (0..2).all(|k| (r.size()[k] - block.size[k]).abs() < 1e-6)).collect();
            prop_assert_eq!(blocks.len(), 2, "the block stands round each face");
            let cuts = paths(page, Purpose::Cut);
            prop_assert_eq!(cuts.len(), 2);
            for ((cut, around), face) in cuts.iter().zip(&blocks).zip([&block.front_face, &block.rear_face]) {
                let cut = bounds(cut);
                prop_assert!(around.holds(&cut, 0.02), "{}: {cut:?} in {around:?}", block.name);
                let (low, high) = face.bounds().unwrap();
                let grown = [high[0] - low[0] + allowance, high[1] - low[1] + 2.0 * allowance];
                for k in 0..2 {
                    prop_assert!((cut.size()[k] - grown[k]).abs() < 0.02, "{}: {:?}, {grown:?}", block.name, cut.size());
                }
            }
            // As many marks round one face as round the other, 5 mm long.
            let marks = around.iter().filter(|r| (r.size()[0].hypot(r.size()[1]) - 5.0).abs() < 1e-6).count();
            prop_assert_eq!(marks, 34);
        }
    }
}

#[test]
fn the_files_stand_beside_those_of_the_boards() {
    let document = desk::demo::document().unwrap();
    let sheets = cut_sheets(&document, &lofted(&document), 0.2).unwrap();
    let folder = tempfile::tempdir().unwrap();
    write_cut_sheets(&sheets, folder.path()).unwrap();
    for sheet in &sheets.wires {
        let text = std::fs::read_to_string(folder.path().join(&sheet.file)).unwrap();
        let [w, h] = [sheet.page.width_mm, sheet.page.height_mm].map(|v| format!("{}", (v * 1e4).round() / 1e4));
        assert!(
            text.contains(&format!("width=\"{w}mm\"")) && text.contains(&format!("viewBox=\"0 0 {w} {h}\"")),
            "{w} {h}"
        );
    }
    assert!(sheets.wires.iter().any(|s| s.file == "wire-1s.svg"));
}
