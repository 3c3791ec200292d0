//! What is read off half outlines of the plug, crown to keel, y ≥ 0.

use crate::region::{Point, Region};
use form::PlugSurface;

/// Chord error of everything that is cut out, mm.
pub(crate) const CUT: f64 = 0.01;
/// Chord error of sections of which only a few places are read, mm.
pub(crate) const READ: f64 = 0.02;
/// Chord error where lines are followed from section to section, mm: well below [`CUT`], which tells bends from chords.
const FINE: f64 = 0.002;

/// The half outline of the plug at a station, moved inward by `inset` mm.
pub(crate) fn half(plug: &PlugSurface, x: f64, inset: f64, tolerance: f64) -> Vec<Point> {
    plug.section(x, inset, tolerance).outline
}

/// The half outline of the plug less the inset, to be read where it is at most `y` from the centre plane: there its chords are
/// within [`FINE`].
pub(crate) fn near_centre(plug: &PlugSurface, x: f64, inset: f64, y: f64) -> Vec<Point> {
    plug.section_where(x, inset, FINE, &|a, b| a[0].min(b[0]) <= y).outline
}

/// The half outline of the plug less the inset, to be read at heights from `low` to `high`: there its chords are within [`FINE`].
pub(crate) fn near_heights(plug: &PlugSurface, x: f64, inset: f64, (low, high): (f64, f64)) -> Vec<Point> {
    plug.section_where(x, inset, FINE, &|a, b| a[1].min(b[1]) <= high && a[1].max(b[1]) >= low).outline
}

/// Both sides of a half outline.
pub(crate) fn whole(half: &[Point]) -> Region {
    let port = half.iter().rev().map(|p| [-p[0], p[1]]);
    Region::of(&half.iter().copied().chain(port).collect::<Vec<_>>())
}

/// Lowest and highest place that lie inside over all half-breadths from 0 to `y`; `None` where the outline is narrower.
pub(crate) fn heights_within(half: &[Point], y: f64) -> Option<(f64, f64)> {
    let high = edge_within(half.iter().copied(), y)?.0;
    let low = edge_within(half.iter().rev().copied(), y)?.1;
    (high > low).then_some((low, high))
}

/// Least and greatest height of the outline from its end on the centre plane to where it first is `y` wide.
fn edge_within(points: impl Iterator<Item = Point>, y: f64) -> Option<(f64, f64)> {
    let mut range: Option<(f64, f64)> = None;
    let mut before: Option<Point> = None;
    for p in points {
        let reached = p[0] >= y;
        let here = match before {
            Some(b) if reached && p[0] > b[0] => b[1] + (p[1] - b[1]) * (y - b[0]) / (p[0] - b[0]),
            _ => p[1],
        };
        let (low, high) = range.unwrap_or((here, here));
        range = Some((low.min(here), high.max(here)));
        if reached {
            return range;
        }
        before = Some(p);
    }
    None
}

/// Greatest half-breadth at a height; `None` above the outline or below it.
pub(crate) fn half_breadth_at(half: &[Point], z: f64) -> Option<f64> {
    let crossing = |w: &[Point]| {
        let (a, b) = (w[0], w[1]);
        let within = a[1].min(b[1]) <= z && z <= a[1].max(b[1]);
        let share = if a[1] == b[1] { 0.0 } else { (z - a[1]) / (b[1] - a[1]) };
        let level = (a[1] == b[1]).then_some(a[0].max(b[0]));
        within.then_some(level.unwrap_or(a[0] + share * (b[0] - a[0])))
    };
    half.windows(2).filter_map(crossing).max_by(f64::total_cmp)
}

/// Samples `value` (two lengths) over the stretches between the given stations (rising), so closely that halfway between two
/// samples the chord misses by at most [`CUT`]; stations without a value are left out.
pub(crate) fn follow(stations: &[f64], value: &impl Fn(f64) -> Option<[f64; 2]>) -> Vec<(f64, [f64; 2])> {
    let mut out: Vec<(f64, [f64; 2])> = Vec::new();
    let first = stations.first().map(|&x| (x, value(x)));
    let Some(mut before) = first else { return out };
    out.extend(before.1.map(|v| (before.0, v)));
    for w in stations.windows(2) {
        let pieces = ((w[1] - w[0]) / LONGEST).ceil().max(1.0);
        for i in 1..=pieces as usize {
            let x = w[0] + (w[1] - w[0]) * i as f64 / pieces;
            let here = (x, value(x));
            if w[1] - w[0] > SHORT {
                halve(before, here, value, 6, &mut out);
            }
            out.extend(here.1.map(|v| (x, v)));
            before = here;
        }
    }
    out
}

/// Longest stretch of which only the middle is checked, mm.
const LONGEST: f64 = 24.0;
/// A stretch shorter than this is not looked into: a card's thickness, over which no line of a plug bends by [`CUT`], mm.
const SHORT: f64 = 3.5;

type Sample = (f64, Option<[f64; 2]>);

fn halve(a: Sample, b: Sample, value: &impl Fn(f64) -> Option<[f64; 2]>, depth: u32, out: &mut Vec<(f64, [f64; 2])>) {
    let x = 0.5 * (a.0 + b.0);
    let here = (x, value(x));
    let close = match (a.1, here.1, b.1) {
        (Some(a), Some(m), Some(b)) => (0..2).all(|k| (0.5 * (a[k] + b[k]) - m[k]).abs() <= CUT),
        (None, None, None) => true,
        _ => false,
    };
    if close || depth == 0 {
        // A middle that was looked at is worth keeping: the chord is then four times closer.
        out.extend(here.1.map(|v| (x, v)));
        return;
    }
    halve(a, here, value, depth - 1, out);
    out.extend(here.1.map(|v| (x, v)));
    halve(here, b, value, depth - 1, out);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heights_and_breadths_are_read_between_points() {
        let half = [[0.0, 10.0], [4.0, 8.0], [10.0, 0.0], [0.0, -6.0]];
        assert_eq!(heights_within(&half, 2.0), Some((-4.8, 9.0)));
        assert_eq!(heights_within(&half, 10.5), None);
        assert_eq!(half_breadth_at(&half, 4.0), Some(7.0));
        assert_eq!(half_breadth_at(&half, 11.0), None);
    }

    #[test]
    fn a_hollow_crown_counts_with_its_lowest_place() {
        let half = [[0.0, 5.0], [3.0, 8.0], [9.0, 0.0], [0.0, -6.0]];
        assert_eq!(heights_within(&half, 2.0).unwrap().1, 5.0);
        assert_eq!(edge_within(half.iter().copied(), 2.0), Some((5.0, 7.0)));
    }
}
