//! Which template lies on which page.

use super::composer::{Align, Composer, Table};
use super::{Subject, count};
use sheets::{Affine, Anchor, Drawing, Ink, Layout, Path, Rect, Stroke, Text};
use std::ops::Range;

/// So many small pages stand beside each other.
const IN_A_ROW: usize = 8;
/// Between them, and under them for their numbers, mm.
const GAP: f64 = 4.0;

pub(super) fn set(c: &mut Composer, s: &Subject<'_>) {
    c.chapter("Map of the templates");
    let layout = match &s.templates {
        Ok(layout) => layout,
        Err(why) => {
            c.loud(&format!("There are no templates yet: {why}."));
            return;
        }
    };
    let pages = layout.set.pages.len();
    c.text(&format!(
        "The templates are a file of their own: {} on {}. Print at 100 %, never fitted to the page, and measure both 100 mm lines on \
         every page before anything is cut. Two numbers behind a name are the row and the column of a tile: tiles go together cross on \
         cross.",
        count(pages, "page"),
        s.document.paper.paper.label()
    ));
    for row in (0..pages).step_by(IN_A_ROW) {
        c.figure(&small_pages(layout, row..(row + IN_A_ROW).min(pages), c.width()));
    }
    let mut table = Table::new(&[("Page", Align::Right), ("What is on it", Align::Left)]);
    for (k, page) in layout.set.pages.iter().enumerate() {
        table.row([(k + 1).to_string(), page.name.clone()]);
    }
    c.table(&table);
}

/// A row of small pages with what each part covers.
fn small_pages(layout: &Layout, which: Range<usize>, width: f64) -> Drawing {
    let mut d = Drawing::default();
    let each = (width - GAP * (IN_A_ROW - 1) as f64) / IN_A_ROW as f64;
    // Nothing is drawn at the row's end, but the row is as wide as a full one, so that columns stand under each other.
    d.push(Path::line([0.0, 0.0], [width, 0.0], Stroke::solid(0.1, Ink::WHITE)));
    for (column, number) in which.enumerate() {
        let Some(page) = layout.set.pages.get(number) else { continue };
        let k = each / page.width_mm.max(page.height_mm / 1.5);
        let map = Affine::scale([k, k]).then(&Affine::shift([column as f64 * (each + GAP), GAP]));
        let frame = map.apply_rect(&Rect::at([0.0; 2], [page.width_mm, page.height_mm]));
        d.push(Path::rect(&frame, Some(Stroke::solid(0.15, Ink::MID)), None));
        for part in layout.placements.iter().filter(|p| p.page == number) {
            d.push(Path::rect(&map.apply_rect(&part.area), Some(Stroke::solid(0.12, Ink::DARK)), Some(Ink::LIGHT)));
        }
        let at = [frame.centre()[0], 0.6];
        d.push(Text::new((number + 1).to_string(), at, 2.8).anchored(Anchor::Middle).bold());
    }
    d
}
