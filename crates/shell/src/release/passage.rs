//! Over the rim: does every section of the shell pass over all of the plug that lies on its way?
//!
//! ```text
//!            ____.----.____        Drawn to the left, the section at i passes every plug section at j ahead of it, shifted by what
//!       .---'   j      '---.  i    the way leads aside; what of it stands beyond the shell's own outline at i is the excess.
//!       '---.____.----.____|rim    Seen along the way, what of the whole plug stands beyond the rim is an area.
//! ```

use form::space::{Vector, dot, triad};
use geometry::loft::Loft;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

/// Where the plug is widest against what has to pass over it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tight {
    /// By how much the plug stands out, mm; not above 0 where it passes.
    pub excess: f64,
    /// Station of the plug that is passed, mm.
    pub station: f64,
    /// Half-breadth and height there, mm; negative half-breadths to port.
    pub at: [f64; 2],
    /// Station of the shell's section that has to pass, mm.
    pub passing: f64,
}

/// What passes and what does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// The rim that passes last.
    pub rim: Tight,
    /// The worst of all sections; the rim's, if no other is worse.
    pub worst: Tight,
    /// Of the plug seen along the way, what stands beyond its rim, mm².
    pub beyond_rim: f64,
}

/// Stations that are compared.
const STATIONS: u32 = 40;
/// How far chords of the outlines may lie beside them, mm.
const CHORD: f64 = 0.01;
/// Ways that lead less along the body than this do not pass sections over one another.
const LEAST_ALONG: f64 = 0.3;

struct Outline {
    x: f64,
    /// Closed, both halves; first from crown to keel.
    points: Vec<[f64; 2]>,
}

/// What passes along a way; `None` for a way that leads across the body, or where nothing is left of the plug.
pub(crate) fn passage(loft: &Loft, taken_off: f64, way: Vector) -> Option<Passage> {
    if way[0].abs() < LEAST_ALONG {
        return None;
    }
    // In the order of passing: the first is passed by all others, the last is the rim.
    let mut outlines = outlines(loft, taken_off);
    if way[0] > 0.0 {
        outlines.reverse();
    }
    let rim = outlines.last()?;
    let aside = [way[1] / way[0], way[2] / way[0]];
    let last = outlines.len() - 1;
    let at_rim = worst_of(&outlines[..last], rim, aside, None)?;
    let passing = outlines.iter().enumerate().take(last);
    let worst =
        passing.fold(at_rim, |worst, (i, it)| worst_of(&outlines[..i], it, aside, Some(worst)).unwrap_or(worst));
    Some(Passage { rim: at_rim, worst, beyond_rim: beyond_rim(&outlines, rim, way) })
}

/// What of the passed sections stands furthest beyond one that passes them; `known`, if nothing exceeds it.
fn worst_of(passed: &[Outline], passing: &Outline, aside: [f64; 2], known: Option<Tight>) -> Option<Tight> {
    passed.iter().fold(known, |worst, it| excess(it, passing, aside, worst))
}

fn outlines(loft: &Loft, taken_off: f64) -> Vec<Outline> {
    let (low, high) = loft.x_range();
    let at = |k: u32| {
        let x = low + (high - low) * f64::from(k) / f64::from(STATIONS);
        let half = if taken_off == 0.0 {
            loft.section(x)?.polyline(CHORD)
        } else {
            loft.offset_section(x, taken_off, CHORD).outline
        };
        let port = half.iter().rev().map(|p| [-p[0], p[1]]);
        let mut points: Vec<[f64; 2]> = half.iter().copied().chain(port).collect();
        points.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9);
        (points.len() > 3).then_some(Outline { x, points })
    };
    (0..=STATIONS).filter_map(at).collect()
}

/// The place of one section of the plug that stands furthest beyond the shell's section that passes it; `known`, if none exceeds it.
/// A place cannot stand further out than its neighbour does by more than their distance, so most need not be looked at.
fn excess(passed: &Outline, passing: &Outline, aside: [f64; 2], known: Option<Tight>) -> Option<Tight> {
    let by = passed.x - passing.x;
    let mut worst = known;
    let mut seen: Option<(f64, [f64; 2])> = None;
    for p in &passed.points {
        let so_far = worst.map_or(f64::NEG_INFINITY, |w| w.excess) + SAME;
        if seen.is_some_and(|(out, at)| out + (p[0] - at[0]).hypot(p[1] - at[1]) <= so_far) {
            continue;
        }
        // The place as the passing section sees it when it is there.
        let out = beyond(&passing.points, [p[0] - aside[0] * by, p[1] - aside[1] * by]);
        seen = Some((out, *p));
        if out > so_far {
            worst = Some(Tight { excess: out, station: passed.x, at: *p, passing: passing.x });
        }
    }
    worst
}

/// Excesses that differ by less are the same, mm.
const SAME: f64 = 1e-9;

/// Distance of a place beyond a closed outline, mm; negative inside.
fn beyond(outline: &[[f64; 2]], q: [f64; 2]) -> f64 {
    let (mut inside, mut near) = (false, f64::INFINITY);
    for i in 0..outline.len() {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        let (d, to) = ([b[0] - a[0], b[1] - a[1]], [q[0] - a[0], q[1] - a[1]]);
        let share = ((to[0] * d[0] + to[1] * d[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-300)).clamp(0.0, 1.0);
        let (u, v) = (to[0] - share * d[0], to[1] - share * d[1]);
        near = near.min(u * u + v * v);
        if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0] + d[0] * (q[1] - a[1]) / d[1] {
            inside = !inside;
        }
    }
    if inside { -near.sqrt() } else { near.sqrt() }
}

/// Area of all sections seen along the way together, less that of the rim.
fn beyond_rim(outlines: &[Outline], rim: &Outline, way: Vector) -> f64 {
    let [_, a, b] = triad(way);
    let seen = |outline: &Outline| -> Vec<[f64; 2]> {
        let turned = |p: &[f64; 2]| [dot([outline.x, p[0], p[1]], a), dot([outline.x, p[0], p[1]], b)];
        outline.points.iter().map(turned).collect()
    };
    let all: Vec<Vec<[f64; 2]>> = outlines.iter().map(seen).collect();
    let rest = all.overlay(&vec![seen(rim)], OverlayRule::Difference, FillRule::NonZero);
    rest.iter().flatten().map(|contour| signed_area(contour)).sum::<f64>().abs()
}

fn signed_area(contour: &[[f64; 2]]) -> f64 {
    let twice = (0..contour.len()).map(|i| {
        let (p, q) = (contour[i], contour[(i + 1) % contour.len()]);
        p[0] * q[1] - p[1] * q[0]
    });
    0.5 * twice.sum::<f64>()
}
