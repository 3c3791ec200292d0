//! The ways in which a part larger than a page can be cut into tiles.
//!
//! A part is cut in straight bands first (rows or columns), then each band across, with every cut doubled by the overlap.
//! Each tile is as large as what it shows of the part's convex outline, so the corners of an oval cost nothing.

use crate::hull;
use crate::sheet::Rect;

/// The least a tile must show beyond its overlap, mm: a thinner sliver is no fun to glue.
const LEAST_GAIN: f64 = 10.0;

/// One tile of a split part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Row from the top, from 0.
    pub(crate) row: usize,
    /// Column from the left, from 0.
    pub(crate) column: usize,
    /// What it shows, in the part's millimetres.
    pub(crate) rect: Rect,
}

/// One way to cut a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Split {
    pub(crate) cells: Vec<Cell>,
}

/// Where the short tile of a band goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Share {
    FullFirst,
    FullLast,
    Even,
}

const SHARES: [Share; 3] = [Share::FullFirst, Share::FullLast, Share::Even];

/// Whether a rectangle fits the area, turned if need be.
pub(crate) fn fits(size: [f64; 2], area: [f64; 2]) -> bool {
    const SLACK: f64 = 1e-6;
    let fit = |w: f64, h: f64| w <= area[0] + SLACK && h <= area[1] + SLACK;
    fit(size[0], size[1]) || fit(size[1], size[0])
}

/// Every distinct way considered; one single cell if the part fits. `overlap` must be less than half of both sides of `area`.
pub(crate) fn ways(outline: &[[f64; 2]], area: [f64; 2], overlap: f64) -> Vec<Split> {
    let whole = hull::bounds(outline);
    if fits(whole.size(), area) {
        return vec![Split { cells: vec![Cell { row: 0, column: 0, rect: whole }] }];
    }
    let mut found: Vec<Split> = Vec::new();
    for axis in [1, 0] {
        for limit in area {
            for first in SHARES {
                for second in SHARES {
                    let split = cut(outline, &whole, axis, limit, [first, second], area, overlap);
                    if !found.contains(&split) {
                        found.push(split);
                    }
                }
            }
        }
    }
    found
}

/// The plain grid: full tiles from the lower left, the part not turned; for the naive count.
pub(crate) fn plain_tiles(size: [f64; 2], area: [f64; 2], overlap: f64) -> usize {
    (0..2).map(|k| tile_count(size[k], area[k], overlap)).product()
}

fn tile_count(length: f64, limit: f64, overlap: f64) -> usize {
    if length <= limit + 1e-6 {
        return 1;
    }
    (((length - overlap) / (limit - overlap)) - 1e-9).ceil().max(1.0) as usize
}

fn cut(
    outline: &[[f64; 2]],
    whole: &Rect,
    axis: usize,
    limit: f64,
    shares: [Share; 2],
    area: [f64; 2],
    overlap: f64,
) -> Split {
    let across = 1 - axis;
    let mut cells = Vec::new();
    let bands = intervals(whole.min[axis], whole.max[axis], limit, shares[0], overlap);
    for (i, band) in bands.iter().enumerate() {
        let shown = hull::bounds_within(outline, &window(whole, axis, *band));
        if shown.is_empty() {
            continue;
        }
        let depth = shown.size()[axis];
        // A band no deeper than the short side of the paper may lie along its long side.
        let longest =
            if fits([depth, area[0].max(area[1])], area) { area[0].max(area[1]) } else { area[0].min(area[1]) };
        let pieces = intervals(shown.min[across], shown.max[across], longest, shares[1], overlap);
        for (j, piece) in pieces.iter().enumerate() {
            let rect = hull::bounds_within(outline, &window(&window(whole, axis, *band), across, *piece));
            let (row, column) = if axis == 1 { (bands.len() - 1 - i, j) } else { (pieces.len() - 1 - j, i) };
            if !rect.is_empty() {
                cells.push(Cell { row, column, rect });
            }
        }
    }
    cells.sort_by_key(|c| (c.row, c.column));
    Split { cells }
}

fn window(whole: &Rect, axis: usize, interval: [f64; 2]) -> Rect {
    let mut w = *whole;
    w.min[axis] = interval[0];
    w.max[axis] = interval[1];
    w
}

/// Overlapping intervals that cover `from..to`, none longer than `limit`.
fn intervals(from: f64, to: f64, limit: f64, share: Share, overlap: f64) -> Vec<[f64; 2]> {
    let n = tile_count(to - from, limit, overlap);
    let total = to - from + (n - 1) as f64 * overlap;
    let mut lengths = vec![total / n as f64; n];
    if share != Share::Even && n > 1 {
        lengths = vec![limit; n];
        let rest = total - (n - 1) as f64 * limit;
        let last = rest.max((overlap + LEAST_GAIN).min(total / n as f64));
        lengths[n - 1] = last;
        lengths[n - 2] -= last - rest;
        if share == Share::FullLast {
            lengths.reverse();
        }
    }
    let mut at = from;
    lengths
        .iter()
        .map(|length| {
            let interval = [at, (at + length).min(to)];
            at += length - overlap;
            interval
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_cover_with_the_overlap_and_none_is_too_long() {
        for share in SHARES {
            for length in [191.0, 200.0, 369.0, 370.0, 371.0, 1234.5] {
                let cut = intervals(5.0, 5.0 + length, 190.0, share, 10.0);
                assert!((cut[0][0] - 5.0).abs() < 1e-9 && (cut[cut.len() - 1][1] - 5.0 - length).abs() < 1e-9);
                assert!(cut.iter().all(|c| c[1] - c[0] <= 190.0 + 1e-9 && c[1] - c[0] >= 20.0 - 1e-9), "{cut:?}");
                assert!(cut.windows(2).all(|w| (w[0][1] - w[1][0] - 10.0).abs() < 1e-9), "{cut:?}");
            }
        }
    }

    #[test]
    fn every_way_covers_the_part_and_fits_the_page() {
        let outline = hull::convex_hull(Rect::at([-600.0, -20.0], [1200.0, 411.0]).corners().to_vec());
        for way in ways(&outline, [190.0, 277.0], 10.0) {
            assert!(way.cells.iter().all(|c| fits(c.rect.size(), [190.0, 277.0])));
            for i in 0..=120 {
                for j in 0..=40 {
                    let p = [-600.0 + f64::from(i) * 10.0, -20.0 + f64::from(j) * 10.275];
                    assert!(way.cells.iter().any(|c| c.rect.holds(&Rect { min: p, max: p }, 1e-6)), "{p:?}");
                }
            }
        }
    }
}
