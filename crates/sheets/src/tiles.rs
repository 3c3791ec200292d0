//! What makes the tiles of a split part go together, and keeps their words whole.
//!
//! Every pair of neighbouring tiles gets, in their overlap, a line to cut along, two crosses to lay on each other and a letter
//! that both carry. Words that a tile's edge would cut are drawn only on the tile that holds them whole, and moved into one
//! where none does. Every tile says which one it is.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

use crate::free_space::{Banded, FreeSpace, hits};
use crate::guides;
use crate::hull;
use crate::layout::{Placement, Tile};
use crate::nest::Shape;
use crate::sheet::{Affine, Anchor, Drawing, Ink, Item, Part, Path, Rect, Stroke, Text};
use crate::tile_label::TileLabel;
use crate::words::{Block, Search, set_first};

const PEN_MM: f64 = 0.15;
/// Size of the joins' letters, mm.
const LABEL_SIZE_MM: f64 = 2.6;
/// Longest arm of a registration cross, mm.
const ARM_MM: f64 = 4.0;
/// Tiles that meet only corner to corner share less than this many times the shorter side of what they share; their neighbours
/// hold them, and marks there would only crowd.
const CORNER_RATIO: f64 = 1.6;
/// A join shorter than this needs no marks of its own, mm.
const LEAST_JOIN_MM: f64 = 15.0;

/// What is drawn of each placement, in its part's millimetres.
pub(crate) fn drawings<'a>(parts: &'a [Part], shapes: &[Shape], placements: &[Placement]) -> Vec<Cow<'a, Drawing>> {
    let mut out: Vec<Cow<'a, Drawing>> = placements.iter().map(|p| Cow::Borrowed(&parts[p.part].drawing)).collect();
    let mut split: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (k, p) in placements.iter().enumerate().filter(|(_, p)| p.tile.is_some()) {
        split.entry(p.part).or_default().push(k);
    }
    for (part, mine) in split {
        let sources: Vec<Rect> = mine.iter().map(|&k| placements[k].source).collect();
        let mut tiles = SplitPart::new(&parts[part], &shapes[part].outline, &sources);
        let moved = tiles.draw_items();
        tiles.draw_joins();
        tiles.draw_moved(&moved);
        for (n, &k) in mine.iter().enumerate() {
            if let Some(tile) = placements[k].tile {
                tiles.label(n, tile);
            }
        }
        for (tile, &k) in tiles.tiles.into_iter().zip(&mine) {
            out[k] = Cow::Owned(tile.drawing);
        }
    }
    out
}

struct SplitPart<'a> {
    part: &'a Part,
    outline: Banded,
    tiles: Vec<TileDrawing>,
    joins: Vec<Join>,
}

/// Where two tiles meet.
struct Join {
    pair: [usize; 2],
    /// What both show.
    shared: Rect,
    /// What both show of the part.
    band: Rect,
}

impl Join {
    /// The axis along which the join runs.
    fn along(&self) -> usize {
        usize::from(self.shared.size()[1] > self.shared.size()[0])
    }

    /// The line along the middle of what both show.
    fn line(&self) -> [[f64; 2]; 2] {
        let along = self.along();
        let mut ends = [self.band.min, self.band.max];
        ends.iter_mut().for_each(|e| e[1 - along] = self.shared.centre()[1 - along]);
        ends
    }
}

struct TileDrawing {
    source: Rect,
    drawing: Drawing,
    free: FreeSpace,
    /// The same without stations' lines, which words on white paper may cover.
    free_on_white: FreeSpace,
}

impl TileDrawing {
    fn push(&mut self, item: Item) {
        let one = Drawing { items: vec![item], together: Vec::new() };
        self.free.add_drawing(&one, &self.source);
        if !guides::may_be_covered(&one.items[0]) {
            self.free_on_white.add_drawing(&one, &self.source);
        }
        self.drawing.items.extend(one.items);
    }
}

impl<'a> SplitPart<'a> {
    fn new(part: &'a Part, outline: &[[f64; 2]], sources: &[Rect]) -> Self {
        let tile = |&source: &Rect| TileDrawing {
            source,
            drawing: Drawing::default(),
            free: FreeSpace::default(),
            free_on_white: FreeSpace::default(),
        };
        let mut joins = Vec::new();
        for (a, source) in sources.iter().enumerate() {
            for (b, other) in sources.iter().enumerate().skip(a + 1) {
                let shared = source.intersection(other);
                let [w, h] = shared.size();
                if shared.is_empty() || w.max(h) < LEAST_JOIN_MM.max(CORNER_RATIO * w.min(h)) {
                    continue;
                }
                let band = hull::bounds_within(outline, &shared);
                if !band.is_empty() {
                    joins.push(Join { pair: [a, b], shared, band });
                }
            }
        }
        Self { part, outline: Banded::new(outline), tiles: sources.iter().map(tile).collect(), joins }
    }

    /// Whether a tile shows a rectangle whole, with no join running through it.
    fn shows_whole(&self, tile: usize, r: &Rect) -> bool {
        let crossed = |j: &Join| j.pair.contains(&tile) && hits(&j.line(), &r.grown(0.5));
        self.tiles[tile].source.holds(r, 0.01) && !self.joins.iter().any(crossed)
    }

    /// Draws all that needs no moving; what is left are ranges of items that no tile holds whole.
    fn draw_items(&mut self) -> Vec<Range<usize>> {
        let drawing = &self.part.drawing;
        let mut left = Vec::new();
        let mut k = 0;
        while k < drawing.items.len() {
            let group = drawing.together.iter().find(|r| r.start == k && r.end > k).cloned();
            let range = group.clone().unwrap_or(k..k + 1);
            k = range.end;
            let items = &drawing.items[range.clone()];
            let words = group.is_some() || matches!(items[0], Item::Text(_));
            let b = items.iter().fold(Rect::NOTHING, |r, i| r.union(&i.bounds()));
            let whole: Vec<usize> = (0..self.tiles.len()).filter(|&k| words && self.shows_whole(k, &b)).collect();
            if group.is_some() && whole.is_empty() {
                left.push(range);
                continue;
            }
            for (k, tile) in self.tiles.iter_mut().enumerate() {
                let seen = if whole.is_empty() { !tile.source.intersection(&b).is_empty() } else { whole.contains(&k) };
                if seen {
                    items.iter().for_each(|i| tile.push(i.clone()));
                }
            }
        }
        left
    }

    /// Draws what no tile holds whole on the tile that holds most of it, moved to a free place; clipped if there is none.
    fn draw_moved(&mut self, ranges: &[Range<usize>]) {
        for range in ranges {
            let items = &self.part.drawing.items[range.clone()];
            let b = items.iter().fold(Rect::NOTHING, |r, i| r.union(&i.bounds()));
            let on_white = matches!(&items[0], Item::Path(p) if p.fill == Some(Ink::WHITE));
            // A lone label stays as near to its line as it was.
            let clear = if range.len() == 1 { 0.05 } else { 0.7 };
            let share = |t: &TileDrawing| t.source.intersection(&b).size().iter().product::<f64>();
            let mut order: Vec<usize> = (0..self.tiles.len()).collect();
            order.sort_by(|&a, &c| share(&self.tiles[c]).total_cmp(&share(&self.tiles[a])));
            let inside = |p: [f64; 2]| self.outline.holds(p);
            let spot = order.iter().find_map(|&k| {
                let t = &self.tiles[k];
                let free = if on_white { &t.free_on_white } else { &t.free };
                let at = free.find(&t.source.grown(-0.5), b.size(), clear, b.centre(), inside)?;
                Some((k, Affine::shift([at[0] - b.min[0], at[1] - b.min[1]])))
            });
            match spot {
                Some((k, map)) => items.iter().for_each(|i| self.tiles[k].push(i.mapped(&map))),
                None => {
                    for tile in self.tiles.iter_mut().filter(|t| !t.source.intersection(&b).is_empty()) {
                        items.iter().for_each(|i| tile.push(i.clone()));
                    }
                }
            }
        }
    }

    fn draw_joins(&mut self) {
        for count in 0..self.joins.len() {
            let join = &self.joins[count];
            let mark = self.join_mark(join, &join_letter(count));
            for k in join.pair {
                mark.items.iter().for_each(|i| self.tiles[k].push(i.clone()));
            }
        }
    }

    /// The line along the middle of an overlap, two crosses and a letter, these three where both tiles have room for them.
    fn join_mark(&self, join: &Join, letter: &str) -> Drawing {
        let Join { pair, shared, band } = join;
        let mut d = Drawing::default();
        let along = join.along();
        let across = 1 - along;
        let middle = shared.centre()[across];
        let length = band.size()[along];
        let arm = (shared.size()[across] / 2.0 - 0.5).clamp(0.0, ARM_MM).min(length / 8.0);
        let p = |a: f64, c: f64| if along == 0 { [a, c] } else { [c, a] };
        let at = |t: f64| band.min[along] + length * t;
        let square = |t: f64, half: f64| {
            let c = p(at(t), middle);
            Rect { min: [c[0] - half, c[1] - half], max: [c[0] + half, c[1] + half] }
        };
        let free = |t: f64, half: f64| pair.iter().all(|&k| self.tiles[k].free.is_free(&square(t, half)));
        let near = |want: f64, half: f64, range: [f64; 2]| {
            let steps = (0..=24).map(|k| range[0] + (range[1] - range[0]) * f64::from(k) / 24.0);
            let mut steps: Vec<f64> = steps.collect();
            steps.sort_by(|a, b| (a - want).abs().total_cmp(&(b - want).abs()));
            steps.into_iter().find(|&t| free(t, half)).unwrap_or(want)
        };
        let [from, to] = join.line();
        d.push(Path::line(from, to, Stroke::dashed(PEN_MM, Ink::MID, &[3.0, 1.5])));
        for t in [near(0.2, arm, [0.08, 0.4]), near(0.8, arm, [0.6, 0.92])] {
            let c = at(t);
            for (from, to) in [([c - arm, middle], [c + arm, middle]), ([c, middle - arm], [c, middle + arm])] {
                d.push(Path::line(p(from[0], from[1]), p(to[0], to[1]), Stroke::solid(PEN_MM, Ink::BLACK)));
            }
        }
        let size = LABEL_SIZE_MM.min(length / 6.0);
        let q = square(near(0.5, 0.6 * size, [0.42, 0.58]), 0.6 * size);
        d.push(Path::rect(&q, None, Some(Ink::WHITE)));
        let c = q.centre();
        d.push(Text::new(letter, [c[0], c[1] - 0.365 * size], size).anchored(Anchor::Middle).bold());
        d
    }

    /// Says which tile it is, where it covers nothing if there is such a place; on a tile too small for any words, not at all.
    fn label(&mut self, n: usize, t: Tile) {
        let tile = &mut self.tiles[n];
        let area = tile.source.grown(-0.5);
        let label = TileLabel { title: &self.part.title, tile: t };
        let whole = label.whole();
        let narrow = label.narrow(area.size());
        let on_part = |p: [f64; 2]| self.outline.holds(p);
        let anywhere = |_: [f64; 2]| true;
        for inside in [&on_part as &dyn Fn([f64; 2]) -> bool, &anywhere] {
            for (blocks, clear) in [(&whole, 1.2), (&narrow, 0.6)] {
                let search = Search { area, prefer: area.centre(), clear, inside };
                if set_first(&mut tile.drawing, &mut tile.free, &search, blocks, true) {
                    return;
                }
            }
        }
        // No free place at all: on white paper over lines, but over no other words if that can be had.
        for free in [tile.free_on_white.clone(), tile.free.words_only(), FreeSpace::default()] {
            if tile.label_on_white(&free, &area, &narrow) {
                return;
            }
        }
    }
}

impl TileDrawing {
    /// Sets the first block that finds room on white paper. Whether one did.
    fn label_on_white(&mut self, free: &FreeSpace, area: &Rect, blocks: &[Block]) -> bool {
        let mut words = Drawing::default();
        let search = Search { area: *area, prefer: area.centre(), clear: 0.0, inside: &|_| true };
        let set = set_first(&mut words, &mut free.clone(), &search, blocks, true);
        if set {
            self.drawing.push(Path::rect(&words.bounds(), None, Some(Ink::WHITE)));
            self.drawing.items.extend(words.items);
        }
        set
    }
}

/// A, B, … Z, AA, AB, …
fn join_letter(mut n: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + (n % 26) as u8));
        if n < 26 {
            break;
        }
        n = n / 26 - 1;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn join_letters_go_on_after_z() {
        assert_eq!([0, 25, 26, 51, 52, 701, 702].map(join_letter), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
