//! Whole pages as a builder sees them: no words cut off, none on top of each other, none off the paper.
#![allow(clippy::unwrap_used)] // tests may stop at the first surprise
mod common;

use sheets::{Drawing, Ink, Item, PageSetup, PaperSize, Part, Path, Rect, Stroke, lay_out, set_picture};

/// The letters' own box; see the templates' tests.
fn letters(t: &sheets::Text) -> Rect {
    t.bounds().grown(-0.25)
}

fn parts(scale: f64, formers: usize) -> Vec<Part> {
    let mut parts: Vec<Part> = (1..=formers)
        .map(|k| {
            let grow = scale * (0.55 + 0.45 * k as f64 / formers as f64);
            common::former(k, 70.0 * grow, 110.0 * grow, 8.0 * scale).part()
        })
        .collect();
    parts.push(common::centre(scale).part());
    parts
}

fn assert_tidy(parts: &[Part], setup: &PageSetup, name: &str) {
    let l = lay_out(parts, setup, &mut |_| true).unwrap();
    for (n, page) in l.set.pages.iter().enumerate() {
        let paper = Rect { min: [0.0; 2], max: [page.width_mm, page.height_mm] };
        let mut words: Vec<(&str, Rect)> = Vec::new();
        for placed in &page.items {
            let Item::Text(t) = &placed.item else { continue };
            let r = letters(t);
            assert!(paper.holds(&r, 0.0), "{name}, page {}: {:?} leaves the paper", n + 1, t.text);
            if let Some(clip) = placed.clip {
                assert!(clip.holds(&r, 0.05), "{name}, page {}: {:?} is cut off", n + 1, t.text);
            }
            for (other, q) in &words {
                assert!(!r.overlaps(q, 0.0), "{name}, page {}: {:?} lies on {other:?}", n + 1, t.text);
            }
            words.push((&t.text, r));
        }
        // Furniture keeps clear of the parts.
        for placed in page.items.iter().filter(|p| p.clip.is_none()) {
            if let Item::Text(t) = &placed.item {
                let own = |p: &&sheets::Placement| p.page == n && p.area.overlaps(&letters(t), 0.0);
                let inside_part = l.placements.iter().find(own).is_none_or(|p| p.area.holds(&letters(t), 0.01));
                assert!(inside_part, "{name}, page {}: {:?} lies across a part's edge", n + 1, t.text);
            }
        }
    }
}

#[test]
fn words_are_whole_and_apart_on_every_page() {
    for (scale, formers) in [(0.25, 9), (1.0, 12), (2.6, 8), (5.0, 4)] {
        let parts = parts(scale, formers);
        let halves: Vec<_> = (1..5).map(|k| common::former(k, 15.0 * k as f64, 90.0, 0.0).half_section).collect();
        for paper in [[210.0, 297.0], [431.8, 279.4], [297.0, 420.0]] {
            for margin_mm in [4.0, 10.0] {
                let setup = PageSetup {
                    paper: PaperSize::Size(paper),
                    margin_mm,
                    measured_mm: [99.6, 100.3],
                    project: "Heron one, a name that goes on for rather longer than anyone would like".to_owned(),
                    notes: vec!["finished outside: no laminate, no card thickness taken off".to_owned()],
                    set_picture: Some(set_picture(&common::centre(1.0), &halves, [180.0, 60.0])),
                    ..PageSetup::default()
                };
                assert_tidy(&parts, &setup, &format!("scale {scale}, paper {paper:?}, margin {margin_mm}"));
            }
        }
        let one = PageSetup { paper: PaperSize::OneSheet, ..PageSetup::default() };
        assert_tidy(&parts, &one, &format!("scale {scale}, one sheet"));
    }
}

/// A board with lines all over it, so that no words find a free place, a little too long for a page: one of its tiles is short.
fn lined_board([w, h]: [f64; 2]) -> Part {
    let mut d = Drawing::default();
    d.push(Path::rect(&Rect::at([0.0; 2], [w, h]), Some(Stroke::solid(0.25, Ink::BLACK)), None));
    for k in 1..(h / 2.0) as usize {
        let y = 2.0 * k as f64;
        d.push(Path::line([0.0, y], [w, y], Stroke::solid(0.1, Ink::MID)));
    }
    Part::new("board", "Outside 750.0 mm, starboard of the crown line", d)
}

#[test]
fn every_tile_says_its_row_and_column_whole_however_small_and_crowded() {
    for size in [[30.0, 300.0], [20.0, 290.0], [12.0, 300.0], [300.0, 25.0], [205.0, 290.0], [420.0, 30.0]] {
        let l = lay_out(&[lined_board(size)], &PageSetup::default(), &mut |_| true).unwrap();
        assert!(l.placements.len() > 1, "{size:?} is not split");
        for p in &l.placements {
            let tile = p.tile.unwrap();
            let page = &l.set.pages[p.page];
            let clip = p.area.grown(0.2);
            let mut said = String::new();
            for placed in &page.items {
                let (Item::Text(t), Some(c)) = (&placed.item, placed.clip) else { continue };
                if p.area.holds(&c, 0.2) && t.text.chars().count() > 1 {
                    assert!(clip.holds(&t.bounds(), 0.0), "{size:?}: {:?} is cut off", t.text);
                    assert!(t.size_mm * 72.0 / 25.4 >= 6.0 - 1e-9, "{size:?}: {:?} is set too small", t.text);
                    said += &format!("{} ", t.text);
                }
            }
            let row = format!("row {} of {}", tile.row, tile.rows);
            let column = format!("column {} of {}", tile.column, tile.columns);
            assert!(tile.rows == 1 || said.contains(&row), "{size:?}: {row} is missing in {said:?}");
            assert!(tile.columns == 1 || said.contains(&column), "{size:?}: {column} is missing in {said:?}");
        }
    }
}
