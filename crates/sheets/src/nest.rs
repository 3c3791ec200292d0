//! Parts onto as few pages as can be found: a bounded, seeded search, the same on every machine.
//!
//! Each part larger than a page has several ways to be cut ([`split`]); all pieces then share pages ([`maxrects`]). The search
//! changes one decision at a time (a way to cut, the order of a few pieces, the rule of packing) and keeps what is no worse.

use crate::maxrects::{Bin, Place, Rule};
use crate::sheet::Rect;
use crate::split::{self, Cell, Split};

/// What a part is to the search.
#[derive(Clone, Debug)]
pub(crate) struct Shape {
    /// Convex outline in the part's millimetres.
    pub(crate) outline: Vec<[f64; 2]>,
}

/// The room on a page and the rules for using it, mm as measured on the finished print.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Room {
    /// Width and height that parts may cover.
    pub(crate) area: [f64; 2],
    /// Least distance between parts.
    pub(crate) gap: f64,
    /// Overlap of tiles.
    pub(crate) overlap: f64,
}

/// A part or tile on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) part: usize,
    pub(crate) cell: Cell,
    /// Lower left corner in the room.
    pub(crate) at: [f64; 2],
    /// Turned a quarter counter-clockwise.
    pub(crate) turned: bool,
}

impl Piece {
    /// The area it covers in the room.
    pub(crate) fn area(&self) -> Rect {
        let [w, h] = self.cell.rect.size();
        Rect::at(self.at, if self.turned { [h, w] } else { [w, h] })
    }
}

/// Pages of pieces, and how the parts were cut.
pub(crate) type Pages = Vec<Vec<Piece>>;

/// Told how far the work is (0 to 1); answers whether to go on.
pub(crate) type Progress<'a> = &'a mut dyn FnMut(f32) -> bool;

/// Work allowed for one search, in piece-times-bin trials; about 0.05 s in a release build.
const WORK: usize = 1_100_000;
const RULES: [Rule; 3] = [Rule::ShortSide, Rule::Area, Rule::LongSide];

/// Puts all shapes on pages. `None` if cancelled.
pub(crate) fn nest(shapes: &[Shape], room: &Room, progress: Progress<'_>) -> Option<Pages> {
    let ways: Vec<Vec<Split>> = shapes.iter().map(|s| split::ways(&s.outline, room.area, room.overlap)).collect();
    let mut search = Search { ways: &ways, room, noise: Noise(0x9E37_79B9_7F4A_7C15), work: 0, spare: Vec::new() };
    let mut best = search.start();
    let bound = area_bound(shapes, room.area);
    while search.work < WORK {
        if !progress(search.work as f32 / WORK as f32) {
            return None;
        }
        // First fewer pages; then, or once there cannot be fewer, fewer cuts on no more pages.
        let fewer_pages = best.pages.len() > bound && search.work < WORK / 6 * 5;
        if !fewer_pages && best.pieces() == shapes.len() {
            break;
        }
        for _ in 0..32 {
            let next = search.changed(&best.choice);
            let Some(next) = search.packed(next, best.pages.len()) else { continue };
            let better = if fewer_pages {
                next.cost <= best.cost
            } else {
                (next.pages.len(), next.pieces()) <= (best.pages.len(), best.pieces())
            };
            if better {
                best = next;
            }
        }
    }
    if !progress(1.0) {
        return None;
    }
    let mut pages = best.pages;
    for page in &mut pages {
        page.sort_by_key(|p| (p.part, p.cell.row, p.cell.column));
    }
    pages.sort_by_key(|page| page.first().map(|p| (p.part, p.cell.row, p.cell.column)));
    Some(pages)
}

/// The least number of pages by area: the convex outlines' area over the room of a page, rounded up.
pub(crate) fn area_bound(shapes: &[Shape], area: [f64; 2]) -> usize {
    let total: f64 = shapes.iter().map(|s| crate::hull::area(&s.outline)).sum();
    (total / (area[0] * area[1]) - 1e-9).ceil().max(1.0) as usize
}

/// The count without any thought: parts in their order, never turned, in rows from the left, a new page when one is full; a
/// part that does not fit is tiled from its corner on pages of its own.
pub(crate) fn naive_row_by_row(sizes: &[[f64; 2]], room: &Room) -> usize {
    let (mut pages, mut open) = (0, false);
    let (mut x, mut row_low, mut row_high) = (0.0, 0.0, 0.0_f64);
    for &[w, h] in sizes {
        if w > room.area[0] + 1e-6 || h > room.area[1] + 1e-6 {
            pages += split::plain_tiles([w, h], room.area, room.overlap);
            open = false;
            continue;
        }
        if open && x + w > room.area[0] + 1e-6 {
            (x, row_low) = (0.0, row_high + room.gap);
        }
        if !open || row_low + h > room.area[1] + 1e-6 {
            pages += 1;
            (open, x, row_low, row_high) = (true, 0.0, 0.0, 0.0);
        }
        x += w + room.gap;
        row_high = row_high.max(row_low + h);
    }
    pages
}

/// What the search may change.
#[derive(Clone, Debug)]
struct Choice {
    /// Per part, which way it is cut.
    way: Vec<usize>,
    /// Per part, by how much its pieces come earlier or later than their size says.
    weight: Vec<f64>,
    rule: Rule,
    /// Order by longer side instead of area.
    by_side: bool,
}

struct Trial {
    choice: Choice,
    pages: Pages,
    cost: f64,
}

impl Trial {
    fn pieces(&self) -> usize {
        self.pages.iter().map(Vec::len).sum()
    }
}

struct Search<'a> {
    ways: &'a [Vec<Split>],
    room: &'a Room,
    noise: Noise,
    work: usize,
    /// Pages of earlier trials, to be filled again.
    spare: Vec<OpenPage>,
}

impl Search<'_> {
    /// The best of plain starts: least area or fewest tiles, every rule and order.
    fn start(&mut self) -> Trial {
        let mut best: Option<Trial> = None;
        for fewest in [false, true] {
            let way: Vec<usize> = self.ways.iter().map(|w| self.cheapest(w, fewest)).collect();
            for rule in RULES {
                for by_side in [false, true] {
                    let weight = vec![1.0; way.len()];
                    let choice = Choice { way: way.clone(), weight, rule, by_side };
                    let trial = self.packed(choice, usize::MAX);
                    best = [best, trial].into_iter().flatten().reduce(|a, b| if b.cost < a.cost { b } else { a });
                }
            }
        }
        best.unwrap_or_else(|| Trial {
            choice: Choice { way: Vec::new(), weight: Vec::new(), rule: Rule::ShortSide, by_side: false },
            pages: Vec::new(),
            cost: 0.0,
        })
    }

    fn cheapest(&self, ways: &[Split], fewest: bool) -> usize {
        let gap = self.room.gap;
        let cost = |s: &Split| {
            let area: f64 = s.cells.iter().map(|c| c.rect.size()).map(|[w, h]| (w + gap) * (h + gap)).sum();
            if fewest { s.cells.len() as f64 * 1e9 + area } else { area }
        };
        (0..ways.len()).min_by(|&a, &b| cost(&ways[a]).total_cmp(&cost(&ways[b]))).unwrap_or(0)
    }

    fn changed(&mut self, from: &Choice) -> Choice {
        let mut c = from.clone();
        let n = c.way.len();
        for _ in 0..=self.noise.below(3) {
            let k = self.noise.below(n);
            match self.noise.below(8) {
                0..4 => c.way[k] = self.noise.below(self.ways[k].len()),
                4..7 => c.weight[k] = 0.4 + self.noise.unit() * 1.6,
                _ => {
                    c.rule = RULES[self.noise.below(RULES.len())];
                    c.by_side = self.noise.below(2) == 0;
                }
            }
        }
        c
    }

    /// Packs by a choice; `None` as soon as it takes more than `most` pages.
    fn packed(&mut self, choice: Choice, most: usize) -> Option<Trial> {
        let pieces = self.pieces(&choice);
        let thinnest = pieces.iter().map(|(_, _, c)| c.rect.size()).fold(f64::INFINITY, |m, [w, h]| m.min(w).min(h));
        let spare = std::mem::take(&mut self.spare);
        let mut packing = Packing::new(self.room, choice.rule, thinnest, spare);
        let mut few = true;
        for &(_, part, cell) in &pieces {
            self.work += packing.open.len() + 1;
            packing.put(part, cell);
            few = packing.open.len() + packing.closed.len() <= most;
            if !few {
                break;
            }
        }
        let cost = packing.cost() + pieces.len() as f64 * 1e-3;
        let (pages, spare) = packing.done(few);
        self.spare = spare;
        few.then_some(Trial { choice, pages, cost })
    }

    /// All pieces in the order in which they are put.
    fn pieces(&self, choice: &Choice) -> Vec<(f64, usize, Cell)> {
        let mut pieces: Vec<(f64, usize, Cell)> = Vec::new();
        for (part, &way) in choice.way.iter().enumerate() {
            for cell in &self.ways[part][way].cells {
                let [w, h] = cell.rect.size();
                let key = if choice.by_side { w.max(h) } else { (w * h).sqrt() };
                pieces.push((key * choice.weight[part], part, *cell));
            }
        }
        pieces.sort_by(|a, b| b.0.total_cmp(&a.0));
        pieces
    }
}

/// A page with room left.
struct OpenPage {
    bin: Bin,
    pieces: Vec<Piece>,
    used: f64,
}

impl OpenPage {
    fn new(area: [f64; 2]) -> Self {
        Self { bin: Bin::new(area), pieces: Vec::new(), used: 0.0 }
    }

    fn clear(&mut self, area: [f64; 2]) {
        self.bin.clear(area);
        self.pieces.clear();
        self.used = 0.0;
    }
}

/// Pages while they are being filled. Bins are larger than the room by one gap, and so is every piece.
struct Packing {
    gap: f64,
    area: [f64; 2],
    rule: Rule,
    /// The shortest side of any piece: less room than this is none.
    thinnest: f64,
    open: Vec<OpenPage>,
    closed: Pages,
    spare: Vec<OpenPage>,
}

impl Packing {
    fn new(room: &Room, rule: Rule, thinnest: f64, spare: Vec<OpenPage>) -> Self {
        let area = [room.area[0] + room.gap, room.area[1] + room.gap];
        Self { gap: room.gap, area, rule, thinnest, open: Vec::new(), closed: Vec::new(), spare }
    }

    fn put(&mut self, part: usize, cell: Cell) {
        let [w, h] = cell.rect.size();
        let size = [w + self.gap, h + self.gap];
        let (index, place) = self.best(size).unwrap_or_else(|| self.new_page(size));
        let piece = Piece { part, cell, at: place.at, turned: place.turned };
        let [w, h] = piece.area().size();
        let covered = [w + self.gap, h + self.gap];
        let page = &mut self.open[index];
        page.pieces.push(piece);
        page.used += w * h;
        page.bin.take(&Rect::at(place.at, covered));
        // A piece that fills its page leaves nothing worth looking at again.
        if page.pieces.len() == 1 && (0..2).all(|k| self.area[k] - covered[k] < self.thinnest + self.gap) {
            let mut full = self.open.swap_remove(index);
            self.closed.push(std::mem::take(&mut full.pieces));
            self.spare.push(full);
        }
    }

    fn best(&self, size: [f64; 2]) -> Option<(usize, Place)> {
        let mut best: Option<(usize, Place)> = None;
        for (k, page) in self.open.iter().enumerate() {
            if let Some(place) = page.bin.find(size, self.rule)
                && best.is_none_or(|(_, b)| place.score < b.score)
            {
                best = Some((k, place));
            }
        }
        best
    }

    fn new_page(&mut self, size: [f64; 2]) -> (usize, Place) {
        let mut page = self.spare.pop().unwrap_or_else(|| OpenPage::new(self.area));
        page.clear(self.area);
        // Pieces are cut to fit, so an empty page always takes one.
        let corner = Place { at: [0.0; 2], turned: size[0] > self.area[0], score: [0.0; 2] };
        let place = page.bin.find(size, self.rule).unwrap_or(corner);
        self.open.push(page);
        (self.open.len() - 1, place)
    }

    /// Pages, and as a fraction how full the emptiest one is, so that emptying a page counts as progress.
    fn cost(&self) -> f64 {
        let emptiest = self.open.iter().map(|p| p.used).fold(f64::INFINITY, f64::min) / (self.area[0] * self.area[1]);
        (self.open.len() + self.closed.len()) as f64 + emptiest.min(1.0) * 0.5
    }

    /// The pages, where they are `wanted`, and what can be filled again.
    fn done(self, wanted: bool) -> (Pages, Vec<OpenPage>) {
        let (mut pages, mut spare) = (self.closed, self.spare);
        for mut page in self.open {
            if wanted {
                pages.push(std::mem::take(&mut page.pieces));
            }
            spare.push(page);
        }
        (pages, spare)
    }
}

/// A small generator of even noise (xorshift, G. Marsaglia 2003), so that no outside source of chance is needed.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() >> 16) as usize % n.max(1)
    }

    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
