//! The part of a strip that lies inside an outline.

use super::strip::{Cell, Strip};
use super::strips::Strips;
use crate::openings::outline::OutlineCurve;
use crate::space::{dot, length, sub};

/// Two places nearer than this are one, mm.
const SAME: f64 = 0.01;
/// The outline's bounds are told as closely as its polygon follows it; this is more, mm.
const AROUND: f64 = 0.1;

impl Strips<'_> {
    /// Stations between which a strip lies inside the outline and faces the eye; with `first_met` only where it is met first.
    pub(super) fn spans(&self, cell: &Cell, fraction: f64, first_met: bool) -> Vec<[f64; 2]> {
        let strip = self.body.strip(cell, fraction);
        let seat = |s: &geometry::section::Section<'_>| (s.x(), strip.seat_of(s.x(), &strip.line.in_section(s)).p);
        let path: Vec<(f64, [f64; 2])> = self.sections.iter().map(seat).collect();
        let Some((first, last)) = path.first().zip(path.last()) else { return Vec::new() };
        let mut cuts = self.cuts(&strip, &path, [first.0, last.0]);
        self.add_trim(&strip, &mut cuts);
        cuts.extend([first.0, last.0]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a < 1e-10);
        let pairs = cuts.windows(2).map(|w| [w[0], w[1]]);
        pairs.filter(|[a, b]| self.is_open(&strip, 0.5 * (a + b), first_met)).collect()
    }

    /// Where a strip crosses the outline.
    fn cuts(&self, strip: &Strip<'_>, path: &[(f64, [f64; 2])], [first, last]: [f64; 2]) -> Vec<f64> {
        let mut found: Vec<(f64, f64)> = Vec::new();
        for w in path.windows(2) {
            let met = crossings(&self.hole.curve, &self.bounds, w[0].1, w[1].1);
            found.extend(met.iter().map(|(share, u)| (w[0].0 + share * (w[1].0 - w[0].0), *u)));
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let cut = |(k, (x, u)): (usize, &(f64, f64))| {
            // Two that are near each other must not become one.
            let from = k.checked_sub(1).and_then(|i| found.get(i)).map_or(first, |f| 0.5 * (f.0 + x));
            let to = found.get(k + 1).map_or(last, |f| 0.5 * (f.0 + x));
            self.polished(strip, [from, to], (*x, *u))
        };
        found.iter().enumerate().filter_map(cut).collect()
    }

    /// Where the ring's plane cuts the strip.
    fn add_trim(&self, strip: &Strip<'_>, cuts: &mut Vec<f64>) {
        let Some(trim) = self.body.target.trim() else { return };
        let ahead = |x: f64| trim.ahead(strip.point(x));
        for w in self.sections.windows(2) {
            let (mut low, mut high) = (w[0].x(), w[1].x());
            let is_ahead = ahead(low) > 0.0;
            if is_ahead == (ahead(high) > 0.0) {
                continue;
            }
            while high - low > 1e-9 {
                let middle = 0.5 * (low + high);
                if (ahead(middle) > 0.0) == is_ahead { low = middle } else { high = middle }
            }
            cuts.push(0.5 * (low + high));
        }
    }

    /// Where the strip crosses the outline between two stations: Newton's method in the station and the outline's parameter, and
    /// halving where that leaves them.
    fn polished(&self, strip: &Strip<'_>, between: [f64; 2], (start, start_u): (f64, f64)) -> Option<f64> {
        let ends = self.body.target.loft().x_range();
        let [low, high] = between;
        let (mut x, mut u) = (start, start_u);
        for _ in 0..12 {
            let seat = strip.seat(x);
            let on = self.hole.curve.at(u);
            let (d, miss) = (seat.by_x, [on.p[0] - seat.p[0], on.p[1] - seat.p[1]]);
            let turn = d[0] * -on.d[1] + on.d[0] * d[1];
            let step = [(miss[0] * -on.d[1] + on.d[0] * miss[1]) / turn, (d[0] * miss[1] - d[1] * miss[0]) / turn];
            if miss[0].hypot(miss[1]) < 1e-10 && x >= low && x <= high {
                return Some(x);
            }
            (x, u) = ((x + step[0]).clamp(ends.0, ends.1), u + step[1].clamp(-0.3, 0.3));
            if !(x.is_finite() && u.is_finite()) {
                break;
            }
        }
        self.halved(strip, between)
    }

    fn halved(&self, strip: &Strip<'_>, [mut low, mut high]: [f64; 2]) -> Option<f64> {
        let inside = |x: f64| self.hole.curve.inside(strip.seat(x).p);
        let first = inside(low);
        if inside(high) == first {
            return None;
        }
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if inside(middle) == first { low = middle } else { high = middle }
        }
        Some(0.5 * (low + high))
    }

    /// Whether a place of a strip is inside the outline, faces the eye and is not trimmed off, and is met first if that is asked.
    fn is_open(&self, strip: &Strip<'_>, x: f64, first_met: bool) -> bool {
        let (point, view) = (strip.point(x), strip.seat(x).p);
        let inside_box = (0..2).all(|k| view[k] >= self.bounds[0][k] - AROUND && view[k] <= self.bounds[1][k] + AROUND);
        let faces = || dot(strip.normal(x), self.hole.seen.sight()) < 0.0;
        let trimmed = || self.body.target.trim().is_some_and(|trim| trim.ahead(point) > 0.0);
        if !inside_box || !self.hole.curve.inside(view) || !faces() || trimmed() {
            return false;
        }
        let met = || self.body.target.meet(self.hole.seen, view);
        !first_met || met().is_some_and(|met| length(sub(met.point, point)) < SAME)
    }
}

/// Where a chord crosses the outline's polygon: shares of the chord, and the outline's parameter.
fn crossings(curve: &OutlineCurve, bounds: &[[f64; 2]; 2], a: [f64; 2], b: [f64; 2]) -> Vec<(f64, f64)> {
    let apart = |k: usize| a[k].max(b[k]) < bounds[0][k] - AROUND || a[k].min(b[k]) > bounds[1][k] + AROUND;
    if apart(0) || apart(1) {
        return Vec::new();
    }
    let polygon = curve.polygon();
    let d = [b[0] - a[0], b[1] - a[1]];
    let aside = |p: &[f64; 2]| d[0] * (p[1] - a[1]) - d[1] * (p[0] - a[0]);
    let mut out = Vec::new();
    let first = (curve.pieces() as f64, polygon[0].1);
    let mut before = (polygon[0], aside(&polygon[0].1));
    for next in polygon[1..].iter().chain([&first]) {
        let here = aside(&next.1);
        let ((u, p), was) = before;
        if (was > 0.0) != (here > 0.0) {
            let t = was / (was - here);
            let q = [0, 1].map(|k| p[k] + t * (next.1[k] - p[k]));
            let square = d[0] * d[0] + d[1] * d[1];
            let share = ((q[0] - a[0]) * d[0] + (q[1] - a[1]) * d[1]) / square.max(f64::MIN_POSITIVE);
            if (0.0..=1.0).contains(&share) {
                out.push((share, u + t * (next.0 - u)));
            }
        }
        before = (*next, here);
    }
    out
}
