//! All parts whole on one sheet as small as can be found.

use crate::hull;
use crate::maxrects::{Bin, Rule};
use crate::nest::{Piece, Shape};
use crate::sheet::Rect;
use crate::split::Cell;

/// How many widths are tried.
const WIDTHS: usize = 40;
/// A sheet longer than this times its width is not wanted.
const LONGEST_ASPECT: f64 = 2.5;

/// The room taken, mm, and where each part lies in it.
pub(crate) fn arrange(shapes: &[Shape], gap: f64) -> ([f64; 2], Vec<Piece>) {
    let rects: Vec<Rect> = shapes.iter().map(|s| hull::bounds(&s.outline)).collect();
    let sizes: Vec<[f64; 2]> = rects.iter().map(Rect::size).collect();
    let narrowest = sizes.iter().map(|s| s[0].min(s[1])).fold(0.0, f64::max);
    let longest = sizes.iter().map(|s| s[0].max(s[1])).fold(0.0, f64::max);
    let total: f64 = sizes.iter().map(|s| (s[0] + gap) * (s[1] + gap)).sum();
    let widest = (2.0 * total.sqrt()).max(longest);
    let mut best: Option<(f64, [f64; 2], Vec<Piece>)> = None;
    for k in 0..WIDTHS {
        let width = narrowest + (widest - narrowest) * k as f64 / (WIDTHS - 1) as f64;
        for by_side in [false, true] {
            let pieces = stacked(&rects, width, gap, by_side);
            let mut used = Rect::at([0.0; 2], [0.0; 2]);
            pieces.iter().for_each(|p| used = used.union(&p.area()));
            let [w, h] = used.size();
            let aspect = (w / h).max(h / w);
            // Wide rather than tall where it makes no difference: that is how a screen shows it best.
            let cost = w * h * (aspect / LONGEST_ASPECT).max(1.0) * if h > w { 1.001 } else { 1.0 };
            if best.as_ref().is_none_or(|b| cost < b.0) {
                best = Some((cost, [w, h], pieces));
            }
        }
    }
    best.map(|(_, size, pieces)| (size, pieces)).unwrap_or_default()
}

fn stacked(rects: &[Rect], width: f64, gap: f64, by_side: bool) -> Vec<Piece> {
    let key = |r: &Rect| {
        let [w, h] = r.size();
        if by_side { w.max(h) } else { w * h }
    };
    let mut order: Vec<usize> = (0..rects.len()).collect();
    order.sort_by(|&a, &b| key(&rects[b]).total_cmp(&key(&rects[a])));
    let high: f64 = rects.iter().map(|r| r.size()).map(|[w, h]| w.max(h) + gap).sum();
    let mut bin = Bin::new([width + gap, high]);
    let mut pieces = Vec::with_capacity(rects.len());
    for part in order {
        let cell = Cell { row: 0, column: 0, rect: rects[part] };
        let [w, h] = rects[part].size();
        if let Some(place) = bin.find([w + gap, h + gap], Rule::Low) {
            let piece = Piece { part, cell, at: place.at, turned: place.turned };
            let covered = piece.area().size();
            bin.take(&Rect::at(place.at, [covered[0] + gap, covered[1] + gap]));
            pieces.push(piece);
        }
    }
    pieces.sort_by_key(|p| p.part);
    pieces
}
