//! Packing against counts reached by an independent nesting script, and laws over random parts.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise
mod common;

use proptest::prelude::*;
use sheets::{Layout, LayoutError, PageSetup, PaperSize, Part, Rect, lay_out};

fn laid(parts: &[Part], setup: &PageSetup) -> Layout {
    lay_out(parts, setup, &mut |_| true).unwrap()
}

/// The script reached 5 pages with boxes; it counted 12 with a page for each, and 3 by area.
#[test]
fn twelve_formers_take_five_pages_and_none_is_split() {
    let boxes = common::twelve();
    let l = laid(&common::ovals(&boxes, 2.6), &PageSetup::default());
    assert_eq!(l.count.pages, 5);
    assert_eq!(l.count.area_bound, 3);
    assert!(l.placements.iter().all(|p| p.tile.is_none()));
    assert_eq!(l.placements.len(), boxes.len());
}

/// The script reached 33 pages with true shapes and a long search, where tiling each former by itself takes 48.
#[test]
fn twenty_five_larger_formers_take_no_more_than_thirty_three_pages() {
    let parts = common::ovals(&common::twenty_five(), 2.6);
    let l = laid(&parts, &PageSetup::default());
    assert!(l.count.pages <= 33, "{:?}", l.count);
    assert_eq!(l.count.naive_row_by_row, 48);
    check(&parts, &PageSetup::default(), &l);
}

#[test]
fn one_sheet_holds_all_parts_whole() {
    let parts = common::ovals(&common::twenty_five(), 2.6);
    let setup = PageSetup { paper: PaperSize::OneSheet, ..PageSetup::default() };
    let l = laid(&parts, &setup);
    assert_eq!((l.count.pages, l.set.pages.len()), (1, 1));
    check(&parts, &setup, &l);
    let page = &l.set.pages[0];
    let boxes: f64 = parts.iter().map(|p| p.bounds.size()).map(|[w, h]| w * h).sum();
    assert!(boxes / (page.width_mm * page.height_mm) > 0.8, "too much of the sheet is empty");
}

#[test]
fn the_map_names_the_pages_as_they_are_printed() {
    let l = laid(&common::ovals(&common::twelve(), 2.6), &PageSetup::default());
    assert_eq!((l.overview_pages, l.set.pages.len()), (1, 6));
    assert!(l.placements.iter().all(|p| (1..6).contains(&p.page)));
    let without = laid(&common::ovals(&common::twelve(), 2.6), &PageSetup { overview: false, ..PageSetup::default() });
    assert_eq!((without.overview_pages, without.set.pages.len()), (0, 5));
}

#[test]
fn a_long_set_gets_a_map_of_several_pages() {
    let parts: Vec<Part> = (0..120).map(|k| common::oval(k, [180.0, 250.0], 2.0)).collect();
    let l = laid(&parts, &PageSetup::default());
    assert_eq!(l.count.pages, 120);
    assert!(l.overview_pages > 1 && l.set.pages.len() == 120 + l.overview_pages);
}

#[test]
fn a_hangar_door_on_small_paper_is_tiled_whole() {
    let parts = [common::oval(1, [6_000.0, 2_000.0], 2.0)];
    let l = laid(&parts, &PageSetup::default());
    check(&parts, &PageSetup::default(), &l);
    assert!(l.count.pages < l.count.naive_row_by_row);
}

#[test]
fn work_can_be_stopped_and_settings_are_checked_with_a_hint() {
    let parts = common::ovals(&common::twenty_five(), 2.6);
    let mut calls = 0;
    let stop = |_| {
        calls += 1;
        calls < 3
    };
    let mut stop = stop;
    assert_eq!(lay_out(&parts, &PageSetup::default(), &mut stop), Err(LayoutError::Cancelled));
    let with = |change: fn(&mut PageSetup)| {
        let mut setup = PageSetup::default();
        change(&mut setup);
        lay_out(&parts, &setup, &mut |_| true).unwrap_err()
    };
    assert!(matches!(with(|s| s.margin_mm = f64::NAN), LayoutError::Setting { setting: "the margin", .. }));
    assert!(matches!(with(|s| s.margin_mm = 85.0), LayoutError::NoRoom { .. }));
    assert!(matches!(with(|s| s.measured_mm = [0.0, 100.0]), LayoutError::Setting { .. }));
    assert!(matches!(with(|s| s.paper = PaperSize::Size([50.0, 297.0])), LayoutError::Setting { .. }));
    assert_eq!(lay_out(&[], &PageSetup::default(), &mut |_| true), Err(LayoutError::NoParts));
    let empty = [Part::new("x", "X", sheets::Drawing::default())];
    assert!(matches!(lay_out(&empty, &PageSetup::default(), &mut |_| true), Err(LayoutError::PartSize { .. })));
    let huge = [common::oval(1, [15_000.0, 15_000.0], 2.0)];
    assert!(matches!(lay_out(&huge, &PageSetup::default(), &mut |_| true), Err(LayoutError::TooMany { .. })));
}

/// The laws every layout keeps.
fn check(parts: &[Part], setup: &PageSetup, l: &Layout) {
    let k = setup.correction();
    for (n, page) in l.set.pages.iter().enumerate() {
        let low = setup.margin_mm.max(9.5);
        let printable =
            Rect { min: [low, low], max: [page.width_mm - setup.margin_mm, page.height_mm - setup.margin_mm] };
        let here: Vec<_> = l.placements.iter().filter(|p| p.page == n).collect();
        for (i, a) in here.iter().enumerate() {
            assert!(printable.holds(&a.area, 1e-6), "{:?} leaves {printable:?}", a.area);
            for b in &here[i + 1..] {
                let apart = (0..2).any(|c| {
                    let gap = setup.gap_mm * k[c] - 1e-6;
                    a.area.min[c] >= b.area.max[c] + gap || b.area.min[c] >= a.area.max[c] + gap
                });
                assert!(apart, "{:?} and {:?} lie too near", a.area, b.area);
            }
        }
    }
    for (n, part) in parts.iter().enumerate() {
        let mine: Vec<_> = l.placements.iter().filter(|p| p.part == n).collect();
        assert!(!mine.is_empty(), "part {n} is missing");
        let [w, h] = part.bounds.size();
        if let PaperSize::Size(paper) = setup.paper {
            let used = setup.margin_mm + setup.margin_mm.max(9.5);
            let room = [(paper[0] - used) / k[0], (paper[1] - used) / k[1]];
            let fits = (w <= room[0] && h <= room[1]) || (h <= room[0] && w <= room[1]);
            assert_eq!(fits, mine.len() == 1 && mine[0].tile.is_none(), "part {n} of {w} by {h} in {room:?}");
        }
        // Every point of the outline is on some tile, and printed true: page lengths are part lengths times k.
        for item in &part.drawing.items {
            let sheets::Item::Path(path) = item else { continue };
            for p in path.points() {
                assert!(mine.iter().any(|t| t.source.holds(&Rect { min: p, max: p }, 1e-6)), "{p:?} is on no tile");
            }
        }
        for t in &mine {
            let [w, h] = t.source.size();
            let [pw, ph] = t.area.size();
            let want = if t.turned { [h * k[0], w * k[1]] } else { [w * k[0], h * k[1]] };
            assert!((pw - want[0]).abs() < 1e-9 && (ph - want[1]).abs() < 1e-9);
        }
    }
    assert!(l.count.pages >= l.count.area_bound);
    assert_eq!(l.count.pages + l.overview_pages, l.set.pages.len());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn parts_never_overlap_nor_leave_the_paper_and_tiles_cover_them(
        boxes in prop::collection::vec([8.0..620.0_f64, 8.0..420.0_f64], 1..14),
        exponent in 1.2..6.0_f64,
        paper in prop::sample::select(vec![[210.0, 297.0], [297.0, 420.0], [215.9, 279.4], [431.8, 279.4]]),
        margin in 0.0..18.0_f64,
        overlap in 0.0..15.0_f64,
        gap in 0.0..6.0_f64,
        measured in [98.0..102.0_f64, 98.0..102.0_f64],
    ) {
        let setup = PageSetup {
            paper: PaperSize::Size(paper),
            margin_mm: margin,
            overlap_mm: overlap,
            gap_mm: gap,
            measured_mm: measured,
            ..PageSetup::default()
        };
        let parts = common::ovals(&boxes, exponent);
        let l = laid(&parts, &setup);
        check(&parts, &setup, &l);
        // Tiles overlap enough: what lies within one overlap of a place is seen whole on some tile.
        for (n, part) in parts.iter().enumerate() {
            let sheets::Item::Path(path) = &part.drawing.items[0] else { continue };
            let outline: Vec<[f64; 2]> = path.points().collect();
            for p in outline.iter().step_by(5) {
                let mut near = Rect::NOTHING;
                let close = |q: &&[f64; 2]| (0..2).all(|k| (q[k] - p[k]).abs() <= overlap / 2.0);
                outline.iter().filter(close).for_each(|q| near.include(*q));
                prop_assert!(l.placements.iter().any(|t| t.part == n && t.source.holds(&near, 1e-6)));
            }
        }
    }
}
