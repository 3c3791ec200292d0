//! Where the ends of strips change kind.

use super::strip::Cell;
use super::strips::Strips;
use crate::openings::hole::Run;
use crate::seen::Spot;

/// A fraction at which the ends of strips change kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Change {
    pub(super) at: f64,
    /// Strips begin here, so that their length may go like a root.
    pub(super) is_root: bool,
}

/// The fractions of a cell at which the strips' ends change kind, with both of its marks.
pub(super) fn changes(strips: &Strips<'_>, cell: &Cell) -> Vec<Change> {
    let mut out = [0.0, 1.0].map(|at| Change { at, is_root: false }).to_vec();
    for run in &strips.hole.runs {
        add_changes(strips, cell, run, &mut out);
    }
    out.sort_by(|a, b| a.at.total_cmp(&b.at));
    out.dedup_by(|b, a| {
        let same = b.at - a.at < 1e-9;
        a.is_root |= same && b.is_root;
        same
    });
    out
}

fn add_changes(strips: &Strips<'_>, cell: &Cell, run: &Run, out: &mut Vec<Change>) {
    let curve = &strips.hole.curve;
    let n = run.places.len();
    let at = |i: usize| run.places[i % n];
    let fraction = |i: usize| at(i).place.spot().filter(|s| Cell::of(s) == *cell).map(|s| s.fraction);
    for i in 0..n {
        let Some(here) = fraction(i) else { continue };
        let u = at(i).u;
        let joint = u.round();
        if (u - joint).abs() < 1e-9 && curve.is_seam(joint as usize) {
            out.push(Change { at: here, is_root: false });
        }
        let (before, after) = (i + n - 1, i + 1);
        let is_end = !run.closed && (i == 0 || i + 1 == n);
        let turns = |a: f64, b: f64| (a - here) * (b - here) >= 0.0;
        if is_end {
            out.push(Change { at: here, is_root: true });
        } else if fraction(before).zip(fraction(after)).is_some_and(|(a, b)| turns(a, b)) {
            let turning = turning(strips, cell, [at(before).u, u, at(after).u]);
            out.push(Change { at: turning.unwrap_or(here), is_root: true });
        }
    }
}

/// The fraction at which the outline turns back between two of its places, by parabolas.
fn turning(strips: &Strips<'_>, cell: &Cell, [before, middle, after]: [f64; 3]) -> Option<f64> {
    let curve = &strips.hole.curve;
    let round = curve.pieces() as f64;
    let unwound = |u: f64| middle + (u - middle + 0.5 * round).rem_euclid(round) - 0.5 * round;
    let own = |s: &Spot| Cell::of(s) == *cell;
    let met = |u: f64| strips.body.target.meet(strips.hole.seen, curve.at(u).p)?.spot().filter(own);
    let fraction = |u: f64| Some(met(u)?.fraction);
    let (mut a, mut b, mut c) = (unwound(before), middle, unwound(after));
    let (mut fa, mut fb, mut fc) = (fraction(a)?, fraction(b)?, fraction(c)?);
    for _ in 0..5 {
        let (p, q) = ((b - a) * (fb - fc), (b - c) * (fb - fa));
        let u = b - 0.5 * ((b - a) * p - (b - c) * q) / (p - q);
        if !(u > a && u < c) || (u - b).abs() < 1e-7 {
            break;
        }
        let f = fraction(u)?;
        let better = (f - fb) * (fa - fb) < 0.0;
        match (u < b, better) {
            (true, true) => (c, fc, b, fb) = (b, fb, u, f),
            (true, false) => (a, fa) = (u, f),
            (false, true) => (a, fa, b, fb) = (b, fb, u, f),
            (false, false) => (c, fc) = (u, f),
        }
    }
    Some(fb)
}
