//! The page that comes first: what the set is, how to print it, and which part lies on which page.

use crate::dress;
use crate::font;
use crate::guides::coarse;
use crate::layout::{PageCount, PageSetup, PaperSize, Placement};
use crate::nest::Shape;
use crate::sheet::{Affine, Anchor, Ink, Item, Page, Part, Path, Placed, Rect, Stroke, Text};
use crate::words::{Block, Line};

/// The narrowest small page on the map, mm; what does not fit at that width goes on a further overview page.
const NARROWEST_MM: f64 = 17.0;
/// The widest.
const WIDEST_MM: f64 = 60.0;
/// Between small pages, mm.
const GAP_MM: f64 = 4.0;
/// Under each small page, for its number, mm.
const NUMBER_MM: f64 = 4.5;
/// Points of an outline nearer together than this on paper are left out on the map, mm.
const COARSE_MM: f64 = 0.3;

/// What the map needs to know.
pub(crate) struct Map<'a> {
    pub(crate) parts: &'a [Part],
    pub(crate) shapes: &'a [Shape],
    pub(crate) setup: &'a PageSetup,
    pub(crate) paper: [f64; 2],
    pub(crate) count: PageCount,
}

/// A grid of small pages.
#[derive(Clone, Copy)]
struct Grid {
    columns: usize,
    rows: usize,
    width: f64,
}

impl Map<'_> {
    /// How many overview pages it takes.
    pub(crate) fn pages(&self) -> usize {
        let first = self.grid(&self.map_area(true), self.count.pages);
        let held = first.columns * first.rows;
        if held >= self.count.pages {
            return 1;
        }
        let further = self.grid(&self.map_area(false), self.count.pages);
        1 + (self.count.pages - held).div_ceil((further.columns * further.rows).max(1))
    }

    /// The overview pages; `placements` name pages counted with the overview in front.
    pub(crate) fn draw(&self, placements: &[Placement], total: usize) -> Vec<Page> {
        let overview = self.pages();
        let mut next = 0;
        (0..overview)
            .map(|k| {
                let mut page = Page {
                    width_mm: self.paper[0],
                    height_mm: self.paper[1],
                    name: "Overview".to_owned(),
                    items: Vec::new(),
                };
                let area = self.map_area(k == 0);
                if k == 0 {
                    self.head(&mut page, overview, total);
                }
                let grid = self.grid(&area, self.count.pages - next);
                let held = (grid.columns * grid.rows).min(self.count.pages - next);
                for i in 0..held {
                    self.small_page(&mut page, &area, grid, i, placements, overview + next + i);
                }
                next += held;
                dress::furnish(&mut page, self.setup, "overview and map of the pages", k + 1, total);
                page
            })
            .collect()
    }

    fn inner(&self) -> Rect {
        let low = self.setup.wide_margin() + 2.0;
        let high = self.setup.margin_mm.max(8.0);
        Rect { min: [low, low], max: [self.paper[0] - high, self.paper[1] - high] }
    }

    /// Where the small pages go.
    fn map_area(&self, first: bool) -> Rect {
        let mut area = self.inner();
        if first {
            area.max[1] -= self.text_height() + self.picture_height() + 12.0;
        }
        area
    }

    fn picture_height(&self) -> f64 {
        let Some(picture) = &self.setup.set_picture else { return 0.0 };
        let [w, h] = picture.bounds().size();
        let inner = self.inner().size();
        if w <= 0.0 || h <= 0.0 { 0.0 } else { (h * inner[0] / w).min(0.27 * inner[1]) }
    }

    fn text(&self, overview: usize, total: usize) -> Block {
        let setup = self.setup;
        let c = self.count;
        let paper = match setup.paper {
            PaperSize::Size([w, h]) => format!("{w:.0} × {h:.0} mm"),
            PaperSize::OneSheet => "one sheet".to_owned(),
        };
        let plural = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
        let mut lines = vec![
            Line::bold(if setup.project.is_empty() { "Templates" } else { setup.project.as_str() }, 7.0),
            Line::new(
                format!(
                    "{} on {} of {paper}, numbered {} to {total}. Row by row, unturned, it would be {}; by area alone {}.",
                    plural(self.parts.len(), "part"),
                    plural(c.pages, "page"),
                    overview + 1,
                    plural(c.naive_row_by_row, "page"),
                    c.area_bound
                ),
                3.0,
            ),
            Line::bold(
                "Print at 100 % (actual size), never fitted to the page. Then measure both lines on any page:",
                3.0,
            ),
            Line::new(
                "if one of them is not 100.0 mm, set what you measured as the print correction and print again. \
                 Tiles go together cross on cross: cut one of the two along its dashed line, and glue it on the other. \
                 On the map, 2/1 means row 2, column 1 of a part.",
                3.0,
            ),
        ];
        let k = setup.correction();
        if k != [1.0, 1.0] {
            let said = format!(
                "Drawn × {:.4} across and × {:.4} up the page, for a printer whose lines measured {} and {} mm.",
                k[0], k[1], setup.measured_mm[0], setup.measured_mm[1]
            );
            lines.push(Line::new(said, 3.0));
        }
        Block::new(lines).wrapped(self.inner().size()[0])
    }

    fn text_height(&self) -> f64 {
        // The page numbers in the text have at most four figures; the height does not depend on them noticeably.
        self.text(1, self.count.pages + 1).size()[1]
    }

    fn head(&self, page: &mut Page, overview: usize, total: usize) {
        let inner = self.inner();
        let block = self.text(overview, total);
        let [_, h] = block.size();
        let mut drawing = crate::sheet::Drawing::default();
        block.set(&mut drawing, [inner.min[0], inner.max[1] - h], false);
        if let Some(picture) = &self.setup.set_picture {
            let b = picture.bounds();
            let [pw, ph] = b.size();
            if pw > 0.0 && ph > 0.0 {
                let k = (inner.size()[0] / pw).min(self.picture_height() / ph);
                let left = inner.min[0] + (inner.size()[0] - k * pw) / 2.0;
                let foot = inner.max[1] - self.text_height() - 6.0 - k * ph;
                let map = Affine::shift([-b.min[0], -b.min[1]]).then(&Affine::scale([k, k]));
                drawing.push_mapped(picture, &map.then(&Affine::shift([left, foot])));
            }
        }
        page.items.extend(drawing.items.into_iter().map(|item| Placed { item, clip: None }));
    }

    /// The grid with the widest small pages that hold `wanted`, or as many as fit at the narrowest.
    fn grid(&self, area: &Rect, wanted: usize) -> Grid {
        let [w, h] = area.size();
        let aspect = self.paper[1] / self.paper[0];
        let of_width = |width: f64| {
            let columns = ((w + GAP_MM) / (width + GAP_MM) + 1e-9).floor().max(1.0) as usize;
            let rows = ((h + GAP_MM) / (width * aspect + NUMBER_MM + GAP_MM)).floor().max(1.0) as usize;
            Grid { columns, rows, width }
        };
        let mut grid = of_width(WIDEST_MM);
        while grid.columns * grid.rows < wanted && grid.width > NARROWEST_MM {
            grid = of_width((grid.width - 0.5).max(NARROWEST_MM));
        }
        // The last grid before it would be too small even for one row: shrink into the height there is.
        let tallest = (h - NUMBER_MM).max(5.0) / aspect;
        Grid { width: grid.width.min(tallest), ..grid }
    }

    fn small_page(&self, page: &mut Page, area: &Rect, grid: Grid, i: usize, placements: &[Placement], number: usize) {
        let k = grid.width / self.paper[0];
        let height = self.paper[1] * k;
        let (column, row) = ((i % grid.columns) as f64, (i / grid.columns) as f64);
        let left = area.min[0] + column * (grid.width + GAP_MM);
        let top = area.max[1] - row * (height + NUMBER_MM + GAP_MM);
        let map = Affine::scale([k, k]).then(&Affine::shift([left, top - height]));
        let frame = Rect::at([left, top - height], [grid.width, height]);
        let mut add = |item: Item, clip: Option<Rect>| page.items.push(Placed { item, clip });
        add(Path::rect(&frame, Some(Stroke::solid(0.15, Ink::MID)), None).into(), None);
        for p in placements.iter().filter(|p| p.page == number) {
            let area = map.apply_rect(&p.area);
            let outline = coarse(&self.shapes[p.part].outline, &p.page_from_part.then(&map), COARSE_MM);
            let pen = Stroke::solid(0.12, Ink::DARK);
            let clip = p.tile.map(|_| area.grown(0.06));
            add(Path::polygon(&outline, Some(pen.clone()), Some(Ink::LIGHT)).into(), clip);
            if p.tile.is_some() {
                add(Path::rect(&area, Some(Stroke::dashed(0.1, Ink::MID, &[0.8, 0.5])), None).into(), None);
            }
        }
        for p in placements.iter().filter(|p| p.page == number) {
            if let Some(text) = self.mark(p, &map.apply_rect(&p.area)) {
                add(text.into(), None);
            }
        }
        let size = 3.2;
        let at = [frame.centre()[0], frame.min[1] - font::CAPITAL * size - 0.8];
        add(Text::new((number + 1).to_string(), at, size).anchored(Anchor::Middle).bold().into(), None);
    }

    /// The part's short mark in its place on the map, as large as fits; none if it would be too small to read.
    fn mark(&self, p: &Placement, area: &Rect) -> Option<Text> {
        let short = &self.parts[p.part].short;
        let words = p.tile.map_or_else(|| short.clone(), |t| format!("{short} {}/{}", t.row, t.column));
        let [w, h] = area.size();
        let upright = h > w;
        let (long, deep) = if upright { (h, w) } else { (w, h) };
        let unit = font::text_width(&words, 1.0, true);
        let size = (0.9 * long / unit).min(0.85 * deep / font::CAPITAL).min(3.6);
        let c = area.centre();
        let drop = font::CAPITAL * size / 2.0;
        let at = if upright { [c[0] + drop, c[1]] } else { [c[0], c[1] - drop] };
        let turn = if upright { 90.0 } else { 0.0 };
        (size >= 0.9).then(|| Text::new(words, at, size).anchored(Anchor::Middle).bold().turned(turn))
    }
}
