//! From parts to finished pages: where each part lies, what is drawn round it, and how good the count of pages is.

use thiserror::Error;

use crate::dress;
use crate::hull;
use crate::names;
use crate::nest::{self, Piece, Room, Shape};
use crate::one_sheet;
use crate::overview::Map;
use crate::sheet::{Affine, Drawing, Page, Part, Placed, Rect, SheetSet};
use crate::tiles;

/// The paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PaperSize {
    /// Width and height, mm. Parts may turn, so either way up gives the same pages.
    Size([f64; 2]),
    /// One sheet as large as it needs to be.
    OneSheet,
}

/// How parts are laid on paper. Lengths are mm as measured on the finished print, but for the margin, which is paper.
#[derive(Clone, Debug, PartialEq)]
pub struct PageSetup {
    /// The paper.
    pub paper: PaperSize,
    /// Paper left free of parts on every side, mm. At the left and the foot at least 9.5 mm stay free of parts, for the two
    /// measured lines and the foot line.
    pub margin_mm: f64,
    /// How much neighbouring tiles of one part share, mm.
    pub overlap_mm: f64,
    /// Least distance between parts on a page, mm.
    pub gap_mm: f64,
    /// What the printed 100 mm lines measured along the page's width and height, mm; 100 for a true printer. Everything is
    /// drawn larger by 100 / measured, so that it comes out true; the page itself stays.
    pub measured_mm: [f64; 2],
    /// The project's name, for the foot line and the file's title.
    pub project: String,
    /// Sentences that every page must carry, such as what was taken off the outlines.
    pub notes: Vec<String>,
    /// A small picture of the whole set for the overview page; drawn to fit, not to scale.
    pub set_picture: Option<Drawing>,
    /// Whether a page with the set picture and a map of the pages comes first (only when there are two pages or more).
    pub overview: bool,
}

impl Default for PageSetup {
    fn default() -> Self {
        Self {
            paper: PaperSize::Size([210.0, 297.0]),
            margin_mm: 10.0,
            overlap_mm: 10.0,
            gap_mm: 4.0,
            measured_mm: [100.0; 2],
            project: String::new(),
            notes: Vec::new(),
            set_picture: None,
            overview: true,
        }
    }
}

impl PageSetup {
    /// By how much everything is drawn larger along the page's width and height.
    #[must_use]
    pub fn correction(&self) -> [f64; 2] {
        self.measured_mm.map(|m| 100.0 / m)
    }

    /// Paper between the edge and the parts at the left and the foot, mm.
    pub(crate) fn wide_margin(&self) -> f64 {
        self.margin_mm.max(dress::BAND_MM)
    }

    /// The room for parts on paper of a size, mm as measured on the print.
    pub(crate) fn room(&self, paper: [f64; 2]) -> Room {
        let k = self.correction();
        let used = self.wide_margin() + self.margin_mm;
        Room { area: [(paper[0] - used) / k[0], (paper[1] - used) / k[1]], gap: self.gap_mm, overlap: self.overlap_mm }
    }
}

/// How many pages, against two yardsticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PageCount {
    /// Pages that carry parts; the overview page is not counted.
    pub pages: usize,
    /// Pages if the parts were laid in their order, unturned, in rows, each larger part tiled on pages of its own.
    pub naive_row_by_row: usize,
    /// The area of the parts' convex outlines over the printable area, rounded up: no arrangement needs fewer pages unless parts
    /// reach into each other's hollows.
    pub area_bound: usize,
}

/// Where a tile belongs in its part; rows count from the top, columns from the left, both from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tile {
    /// The row.
    pub row: usize,
    /// How many rows the part has.
    pub rows: usize,
    /// The column within its row.
    pub column: usize,
    /// How many columns its row has.
    pub columns: usize,
}

/// A part, or one tile of it, on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Index into the parts given.
    pub part: usize,
    /// Which tile, if the part is split.
    pub tile: Option<Tile>,
    /// What of the part it shows, in the part's millimetres.
    pub source: Rect,
    /// Index into the set's pages.
    pub page: usize,
    /// Whether it is turned a quarter counter-clockwise.
    pub turned: bool,
    /// The paper it covers, in page millimetres (correction included).
    pub area: Rect,
    /// From the part's millimetres to the page's.
    pub page_from_part: Affine,
}

/// Finished pages and how they came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The pages, for any writer or a preview.
    pub set: SheetSet,
    /// How many pages, and the yardsticks.
    pub count: PageCount,
    /// Where everything lies, by page.
    pub placements: Vec<Placement>,
    /// Pages at the front that carry no parts but the overview and the map of pages; 0 without an overview.
    pub overview_pages: usize,
}

/// Why parts could not be laid on paper.
#[derive(Debug, Error, PartialEq)]
pub enum LayoutError {
    /// Nothing to print.
    #[error("there is nothing to print yet; draw a form with at least one station first")]
    NoParts,
    /// A setting is not usable.
    #[error("{setting} is {value}; it must be {allowed}")]
    Setting {
        /// Which setting.
        setting: &'static str,
        /// Its value.
        value: f64,
        /// What is allowed.
        allowed: &'static str,
    },
    /// Margins and overlap leave no room.
    #[error(
        "margins and overlap leave too little of the paper ({room_mm:.0} mm); choose larger paper or smaller margins"
    )]
    NoRoom {
        /// The short side of what is left, mm.
        room_mm: f64,
    },
    /// A part has no finite size.
    #[error("\"{title}\" has no usable size to print; check the form at that station")]
    PartSize {
        /// The part's title.
        title: String,
    },
    /// More tiles than anyone would glue.
    #[error("about {tiles} tiles would be needed; choose larger paper or a smaller model scale")]
    TooMany {
        /// How many tiles, roughly.
        tiles: usize,
    },
    /// The caller asked to stop.
    #[error("stopped")]
    Cancelled,
}

/// The most tiles that are laid out.
const MOST_TILES: usize = 2_000;
/// The largest part side, mm.
const LARGEST_PART_MM: f64 = 20_000.0;

/// Lays the parts on pages.
///
/// Parts share pages and may turn by 90°; a part that fits a page is never split; a larger one is split into rows and columns
/// whose tiles overlap. `progress` is told how far the work is, from 0 to 1, and answers whether to go on.
///
/// # Errors
/// Unusable settings, no parts, a part without a finite size, far too many tiles, or cancelled; see [`LayoutError`].
pub fn lay_out(
    parts: &[Part],
    setup: &PageSetup,
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<Layout, LayoutError> {
    check_settings(setup)?;
    let shapes = shapes(parts)?;
    let (paper, pages) = match setup.paper {
        PaperSize::Size(paper) => (paper, tiled_pages(&shapes, setup, paper, progress)?),
        PaperSize::OneSheet => {
            let (size, pieces) = one_sheet::arrange(&shapes, setup.gap_mm);
            let k = setup.correction();
            let used = setup.wide_margin() + setup.margin_mm;
            let paper = [0, 1].map(|a| (size[a] * k[a] + used).max(dress::LEAST_PAPER_MM));
            (paper, vec![pieces])
        }
    };
    let room = setup.room(paper);
    let sizes: Vec<[f64; 2]> = shapes.iter().map(|s| hull::bounds(&s.outline).size()).collect();
    let count = PageCount {
        pages: pages.len(),
        naive_row_by_row: nest::naive_row_by_row(&sizes, &room),
        area_bound: nest::area_bound(&shapes, room.area),
    };
    Ok(assemble(parts, &shapes, setup, paper, &pages, count))
}

fn check_settings(setup: &PageSetup) -> Result<(), LayoutError> {
    let bad = |setting, value, allowed| Err(LayoutError::Setting { setting, value, allowed });
    if !(0.0..=100.0).contains(&setup.margin_mm) {
        return bad("the margin", setup.margin_mm, "from 0 to 100 mm");
    }
    if !(0.0..=100.0).contains(&setup.overlap_mm) {
        return bad("the overlap", setup.overlap_mm, "from 0 to 100 mm");
    }
    if !(0.0..=100.0).contains(&setup.gap_mm) {
        return bad("the gap between parts", setup.gap_mm, "from 0 to 100 mm");
    }
    if let Some(&m) = setup.measured_mm.iter().find(|m| !(80.0..=125.0).contains(*m)) {
        return bad("the measured length of a 100 mm line", m, "from 80 to 125 mm");
    }
    if let PaperSize::Size(size) = setup.paper
        && let Some(&side) = size.iter().find(|s| !(dress::LEAST_PAPER_MM..=LARGEST_PART_MM).contains(*s))
    {
        return bad("a side of the paper", side, "from 130 to 20000 mm");
    }
    Ok(())
}

fn shapes(parts: &[Part]) -> Result<Vec<Shape>, LayoutError> {
    if parts.is_empty() {
        return Err(LayoutError::NoParts);
    }
    parts
        .iter()
        .map(|p| {
            let b = p.bounds;
            let finite = b.min.iter().chain(&b.max).all(|v| v.is_finite());
            let size = b.size();
            if !finite || b.is_empty() || size[0].max(size[1]) <= 0.0 || size[0].max(size[1]) > LARGEST_PART_MM {
                return Err(LayoutError::PartSize { title: p.title.clone() });
            }
            // Bounds wider than the drawing were set on purpose and are kept as a rectangle.
            let drawn = p.drawing.bounds();
            let outline = if drawn.holds(&b, 1e-6) {
                hull::of_drawing(&p.drawing)
            } else {
                hull::convex_hull(b.corners().into())
            };
            Ok(Shape { outline })
        })
        .collect()
}

fn tiled_pages(
    shapes: &[Shape],
    setup: &PageSetup,
    paper: [f64; 2],
    progress: &mut dyn FnMut(f32) -> bool,
) -> Result<nest::Pages, LayoutError> {
    let room = setup.room(paper);
    let least = room.area[0].min(room.area[1]);
    if least.is_nan() || least <= 2.0 * room.overlap + 30.0 {
        return Err(LayoutError::NoRoom { room_mm: least });
    }
    let tiles: usize = shapes
        .iter()
        .map(|s| crate::split::plain_tiles(hull::bounds(&s.outline).size(), room.area, room.overlap))
        .sum();
    if tiles > MOST_TILES {
        return Err(LayoutError::TooMany { tiles });
    }
    nest::nest(shapes, &room, progress).ok_or(LayoutError::Cancelled)
}

fn assemble(
    parts: &[Part],
    shapes: &[Shape],
    setup: &PageSetup,
    paper: [f64; 2],
    pages: &[Vec<Piece>],
    count: PageCount,
) -> Layout {
    let map = Map { parts, shapes, setup, paper, count };
    let overview_pages = if setup.overview && pages.len() > 1 { map.pages() } else { 0 };
    let total = pages.len() + overview_pages;
    let mut placements = Vec::new();
    for (k, page) in pages.iter().enumerate() {
        placements.extend(page.iter().map(|p| placement(p, pages, setup, k + overview_pages)));
    }
    let drawings = tiles::drawings(parts, shapes, &placements);
    let mut set = SheetSet { title: setup.project.clone(), pages: Vec::new() };
    if overview_pages > 0 {
        set.pages = map.draw(&placements, total);
    }
    for k in 0..pages.len() {
        let number = k + overview_pages;
        let names = names_on_page(parts, &placements, number);
        let mut page = Page { width_mm: paper[0], height_mm: paper[1], name: names.clone(), items: Vec::new() };
        for (placement, drawing) in placements.iter().zip(&drawings).filter(|(p, _)| p.page == number) {
            put(&mut page, drawing, placement);
        }
        dress::furnish(&mut page, setup, &names, number + 1, total);
        set.pages.push(page);
    }
    Layout { set, count, placements, overview_pages }
}

fn placement(piece: &Piece, pages: &[Vec<Piece>], setup: &PageSetup, page: usize) -> Placement {
    let k = setup.correction();
    let rect = piece.cell.rect;
    let mut map = Affine::shift([-rect.min[0], -rect.min[1]]);
    if piece.turned {
        map = map.then(&Affine::quarter_turn()).then(&Affine::shift([rect.size()[1], 0.0]));
    }
    let inset = setup.wide_margin();
    let map = map.then(&Affine::shift(piece.at)).then(&Affine::scale(k)).then(&Affine::shift([inset, inset]));
    let mine = || pages.iter().flatten().filter(|p| p.part == piece.part);
    let rows = mine().map(|p| p.cell.row + 1).max().unwrap_or(1);
    let columns = mine().filter(|p| p.cell.row == piece.cell.row).map(|p| p.cell.column + 1).max().unwrap_or(1);
    let tile =
        (mine().count() > 1).then_some(Tile { row: piece.cell.row + 1, rows, column: piece.cell.column + 1, columns });
    Placement {
        part: piece.part,
        tile,
        source: rect,
        page,
        turned: piece.turned,
        area: map.apply_rect(&rect),
        page_from_part: map,
    }
}

/// Half a pen: what a clip leaves of a line that runs along the edge of a tile, mm.
const PEN_ROOM_MM: f64 = 0.15;

fn put(page: &mut Page, drawing: &Drawing, placement: &Placement) {
    let clip = placement.tile.map(|_| placement.area.grown(PEN_ROOM_MM));
    for item in &drawing.items {
        let item = item.mapped(&placement.page_from_part);
        let seen = clip.is_none_or(|c| !c.intersection(&item.bounds()).is_empty());
        if seen {
            page.items.push(Placed { item, clip });
        }
    }
}

fn names_on_page(parts: &[Part], placements: &[Placement], page: usize) -> String {
    let mut names: Vec<String> = placements
        .iter()
        .filter(|p| p.page == page)
        .map(|p| match p.tile {
            None => parts[p.part].title.clone(),
            Some(t) => format!("{} ({}/{})", parts[p.part].title, t.row, t.column),
        })
        .collect();
    names.dedup();
    names::joined(&names)
}
