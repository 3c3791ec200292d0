//! What makes tiles go together: registration crosses, join lines and labels.

use crate::free_space::{FreeSpace, in_polygon};
use crate::hull;
use crate::layout::Placement;
use crate::nest::Shape;
use crate::sheet::{Anchor, Drawing, Ink, Part, Path, Rect, Stroke, Text};
use crate::words::{Block, Line, Search, set_first};

const PEN_MM: f64 = 0.15;
const LABEL_SIZE_MM: f64 = 2.6;

/// For each placement, what is drawn over its part, in the part's millimetres; nothing for a whole part.
pub(crate) fn overlays(parts: &[Part], shapes: &[Shape], placements: &[Placement]) -> Vec<Drawing> {
    let mut out = vec![Drawing::default(); placements.len()];
    for (part, shape) in shapes.iter().enumerate() {
        let mine: Vec<usize> = (0..placements.len()).filter(|&k| placements[k].part == part).collect();
        if mine.len() < 2 {
            continue;
        }
        let mut joins = 0;
        for (n, &a) in mine.iter().enumerate() {
            for &b in &mine[n + 1..] {
                let shared = placements[a].source.intersection(&placements[b].source);
                let band = hull::bounds_within(&shape.outline, &shared);
                if band.is_empty() || shared.is_empty() {
                    continue;
                }
                let mark = join(&band, &shared, &join_letter(joins));
                joins += 1;
                for k in [a, b] {
                    out[k].items.extend(mark.items.iter().cloned());
                }
            }
        }
        for &k in &mine {
            label(&mut out[k], &parts[part], &shape.outline, &placements[k]);
        }
    }
    out
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

/// The line along the middle of an overlap, with two crosses and the letter both tiles carry.
fn join(band: &Rect, shared: &Rect, letter: &str) -> Drawing {
    let mut d = Drawing::default();
    let along = usize::from(shared.size()[1] > shared.size()[0]);
    let across = 1 - along;
    let middle = shared.centre()[across];
    let arm = (shared.size()[across] / 2.0 - 0.5).clamp(0.0, 4.0).min(band.size()[along] / 8.0);
    let p = |a: f64, c: f64| if along == 0 { [a, c] } else { [c, a] };
    let at = |t: f64| band.min[along] + band.size()[along] * t;
    let faint = Stroke::dashed(PEN_MM, Ink::MID, &[3.0, 1.5]);
    d.push(Path::line(p(at(0.0), middle), p(at(1.0), middle), faint));
    for t in [0.2, 0.8] {
        let c = at(t);
        for (from, to) in [([c - arm, middle], [c + arm, middle]), ([c, middle - arm], [c, middle + arm])] {
            d.push(Path::line(p(from[0], from[1]), p(to[0], to[1]), Stroke::solid(PEN_MM, Ink::BLACK)));
        }
    }
    let q = p(at(0.5), middle);
    d.push(Text::new(letter, [q[0], q[1] - 0.36 * LABEL_SIZE_MM], LABEL_SIZE_MM).anchored(Anchor::Middle).bold());
    d
}

/// Says on a tile which one it is, where it covers nothing if there is such a place.
fn label(d: &mut Drawing, part: &Part, outline: &[[f64; 2]], placement: &Placement) {
    let Some(t) = placement.tile else { return };
    let source = placement.source;
    let place = format!("row {} of {}, column {} of {}", t.row, t.rows, t.column, t.columns);
    let one = Block::new(vec![Line::bold(format!("{}: {place}", part.title), LABEL_SIZE_MM)]);
    let two = Block::new(vec![Line::bold(part.title.clone(), LABEL_SIZE_MM), Line::new(place, LABEL_SIZE_MM)]);
    let blocks: Vec<Block> = [1.2, 1.0, 0.8].iter().flat_map(|&s| [two.scaled(s), one.scaled(s)]).collect();
    let mut free = FreeSpace::default();
    free.add_drawing(&part.drawing, &source);
    free.add_drawing(d, &source);
    let on_part = |p: [f64; 2]| in_polygon(outline, p);
    let anywhere = |_: [f64; 2]| true;
    for inside in [&on_part as &dyn Fn([f64; 2]) -> bool, &anywhere] {
        let search = Search { area: source.grown(-0.5), prefer: source.centre(), clear: 0.7, inside };
        if set_first(d, &mut free, &search, &blocks, true) {
            return;
        }
    }
    // No free place at all: on white paper in the middle, along the tile.
    let block = one.scaled(0.7);
    let [w, h] = block.size();
    let upright = source.size()[1] > source.size()[0];
    let size = if upright { [h, w] } else { [w, h] };
    let c = source.centre();
    let at = [c[0] - size[0] / 2.0, c[1] - size[1] / 2.0];
    d.push(Path::rect(&Rect::at(at, size), None, Some(Ink::WHITE)));
    block.set(d, at, upright);
}
