//! Areas of a hole, from the true surface.
//!
//! The surface is cut into strips along the body, each at a fixed place of the half section. Along such a strip the part inside the
//! outline is found (its ends by Newton's method against the outline itself) and ∫ |S_x × S_f| dx taken; then over the strips. The
//! strips lie between all places where their ends change kind: marks, breaks of the control shapes, and where the outline turns back
//! in the fraction. Between two of these the sum runs by Gauss's rule in an angle, which takes the square roots at both ends.

use super::hole::Hole;
use super::outline::OutlineCurve;
use super::target::{Sheet, Target};
use crate::seen::Spot;
use crate::space::{Vector, add, cross, dot, length, sub, times};
use geometry::control::Half;
use geometry::quadrature::{Rule, gauss5, gauss8};
use geometry::section::{Section, SurfacePlace};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use project::opening::Seen;
use project::photograph::Side;
use std::f64::consts::FRAC_PI_2;
use std::sync::OnceLock;

/// Areas of a hole, mm².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Areas {
    /// On the surface.
    pub surface: f64,
    /// As seen along the line of sight: of what meets the form.
    pub seen: f64,
    /// As seen along the body: what stands square to the flow.
    pub to_flow: f64,
    /// Inside the drawn outline, whether it meets the form or not.
    pub outline: f64,
    /// The sum of the surface's normals, each times its area.
    pub vector: Vector,
}

/// Chords along a strip within the hole's own stations, and over the rest of the body.
const NEAR_CHORDS: usize = 20;
const FAR_CHORDS: usize = 16;
/// A stretch between changes of kind is divided into no more pieces than this.
const MOST_PIECES: usize = 4;
/// Chord error of the front face's edge, mm.
const EDGE: f64 = 1e-3;
/// Two places nearer than this are one, mm.
const SAME: f64 = 0.01;

impl Hole {
    /// Areas of the hole: within 2e-5 of them for ellipses and boxes on a plain surface, 3e-4 for drawn outlines, on surfaces of
    /// many control points, and where the outline crosses the edge of the front or leaves the form. What the form itself hides along the line of sight is left out.
    pub fn areas(&self, target: &Target<'_>) -> Areas {
        let strips = Strips::new(self, target);
        let (mut surface, mut vector) = strips.sum();
        let outline = self.curve.area();
        let front = front_area(self, target);
        if let Some((area, normal)) = front {
            surface += area;
            vector = add(vector, times(normal, area));
        }
        let seen = -dot(vector, self.seen.sight());
        Areas { surface, seen, to_flow: vector[0].abs(), outline, vector }
    }
}

/// The part of the flat front inside the outline, and its normal.
fn front_area(hole: &Hole, target: &Target<'_>) -> Option<(f64, Vector)> {
    let place = hole.places().chain(hole.centre.as_ref()).find(|p| p.on == Sheet::Front)?;
    let normal = place.normal;
    let edge = target.front_edge(EDGE)?;
    let [a, b] = hole.seen.axes();
    let face: Vec<[f64; 2]> = edge.iter().map(|p| [p[a], p[b]]).collect();
    let shapes = hole.curve.points(EDGE).overlay(&face, OverlayRule::Intersect, FillRule::NonZero);
    let area: f64 = shapes.iter().flatten().map(|ring| polygon_area(ring)).sum::<f64>().abs();
    let facing = -dot(normal, hole.seen.sight());
    (facing > 1e-9).then(|| (area / facing, normal))
}

/// Signed area of a polygon.
pub(super) fn polygon_area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum()
}

/// A run of one half on one side.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Cell {
    half: Half,
    run: usize,
    side: Side,
}

struct Strips<'a> {
    hole: &'a Hole,
    target: &'a Target<'a>,
    sections: Vec<Section<'a>>,
    breaks: Vec<f64>,
    bounds: [[f64; 2]; 2],
    /// The body stands upright in front: there the sum runs over the root of the station.
    upright: bool,
}

/// Where the ends of strips change kind.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Break {
    at: f64,
    /// Strips begin here, so that their length may go like a root.
    is_root: bool,
}

/// The rule over a piece with roots at its ends; more places where it is a whole stretch.
fn rule(roots: [bool; 2], is_whole: bool) -> &'static Rule {
    static RULES: OnceLock<[Rule; 3]> = OnceLock::new();
    let [few, more, many] = RULES.get_or_init(|| [5, 8, 12].map(Rule::gauss));
    match roots {
        [true, true] => many,
        [false, false] if !is_whole => few,
        _ => more,
    }
}

/// A share of a piece, and its slope, that stands still at the ends where the strips' length may go like a root.
fn eased(t: f64, still: [bool; 2]) -> (f64, f64) {
    match still {
        [true, true] => {
            let (sin, cos) = (FRAC_PI_2 * t).sin_cos();
            (sin * sin, 2.0 * FRAC_PI_2 * sin * cos)
        }
        [true, false] => (t * t, 2.0 * t),
        [false, true] => (1.0 - (1.0 - t) * (1.0 - t), 2.0 * (1.0 - t)),
        [false, false] => (t, 1.0),
    }
}

impl<'a> Strips<'a> {
    fn new(hole: &'a Hole, target: &'a Target<'a>) -> Self {
        let loft = target.loft();
        let (low, high) = loft.x_range();
        let bounds = hole.curve.bounds();
        let own = hole
            .places()
            .map(|p| p.point[0])
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)]);
        let near = match hole.seen {
            Seen::Ahead if own[0] <= own[1] => own,
            Seen::Ahead => [low, high],
            _ => [bounds[0][0].max(low), bounds[1][0].min(high)],
        };
        let pad = 0.02 * (near[1] - near[0]) + 1e-6;
        let (from, to) = ((near[0] - pad).max(low), (near[1] + pad).min(high));
        let even = |a: f64, b: f64, n: usize| (0..=n).map(move |i| a + (b - a) * i as f64 / n as f64);
        let breaks: Vec<f64> = loft.x_breaks();
        let mut xs: Vec<f64> = even(from, to, NEAR_CHORDS).collect();
        if hole.seen == Seen::Ahead {
            // Denser in front, where the surface may be steep.
            xs.extend(even(0.0, 1.0, FAR_CHORDS).map(|s| low + (high - low) * s * s));
        }
        xs.sort_by(f64::total_cmp);
        xs.dedup_by(|b, a| *b - *a < 1e-9 * (high - low));
        let sections = xs.iter().filter_map(|x| loft.section(*x)).collect();
        let lines = loft.lines();
        let upright = [&lines.crown, &lines.keel, &lines.breadth].iter().any(|line| line.is_upright(true));
        Self { hole, target, sections, breaks, bounds, upright }
    }

    fn sum(&self) -> (f64, Vector) {
        let mut all = (0.0, [0.0; 3]);
        for cell in self.cells() {
            let Some((breaks, seams)) = self.cell_breaks(&cell) else { continue };
            for w in breaks.windows(2) {
                if w[1].at - w[0].at > 1e-9 {
                    self.add_stretch(&cell, [w[0], w[1]], &seams, &mut all);
                }
            }
        }
        all
    }

    /// Adds the strips between two fractions at which their ends change kind.
    fn add_stretch(&self, cell: &Cell, [from, to]: [Break; 2], seams: &[f64], all: &mut (f64, Vector)) {
        let middle = 0.5 * (from.at + to.at);
        let open = self.spans(cell, middle, false);
        if open.is_empty() {
            return;
        }
        // Mostly nothing stands before the strips; then that is not asked of each.
        let careful = self.spans(cell, middle, true) != open;
        let pieces = self.pieces(cell, [from.at, to.at], seams);
        let last = pieces.len() - 1;
        for (i, w) in pieces.into_iter().enumerate() {
            let roots = [i == 0 && from.is_root, i == last && to.is_root];
            for &(node, weight) in &rule(roots, last == 0).nodes {
                let (share, slope) = eased(node, roots);
                let (area, vector) = self.strip(cell, w[0] + share * (w[1] - w[0]), careful);
                let by = weight * slope * (w[1] - w[0]);
                *all = (all.0 + by * area, add(all.1, times(vector, by)));
            }
        }
    }

    /// A stretch divided where the control shapes are only piecewise smooth, at all of these places or at so many of them, and at
    /// the outline's smooth joints.
    fn pieces(&self, cell: &Cell, [from, to]: [f64; 2], seams: &[f64]) -> Vec<[f64; 2]> {
        let least = 0.05 * (to - from);
        let breaks = self.sections.first().map(|s| s.run_breaks(cell.half, cell.run)).unwrap_or_default();
        let inner: Vec<f64> = breaks.into_iter().filter(|f| *f > from + least && *f < to - least).collect();
        let step = inner.len().div_ceil(MOST_PIECES).max(1);
        let mut ends = vec![from];
        ends.extend(inner.into_iter().step_by(step));
        ends.extend(seams.iter().copied().filter(|f| *f > from && *f < to));
        ends.push(to);
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|b, a| *b - *a < 1e-9);
        ends.windows(2).map(|w| [w[0], w[1]]).collect()
    }

    fn cells(&self) -> Vec<Cell> {
        let sides: &[Side] = match self.hole.seen {
            Seen::Starboard => &[Side::Starboard],
            Seen::Port => &[Side::Port],
            _ => &[Side::Starboard, Side::Port],
        };
        let Some(section) = self.sections.first() else { return Vec::new() };
        let of = |side: &Side| section.runs().map(|(half, run)| Cell { half, run, side: *side }).collect::<Vec<_>>();
        sides.iter().flat_map(of).collect()
    }

    /// Fractions between which the strips' ends change kind; `None` where nothing of the cell is inside the outline.
    fn cell_breaks(&self, cell: &Cell) -> Option<(Vec<Break>, Vec<f64>)> {
        let mut seams = Vec::new();
        let mut out = [0.0, 1.0].map(|at| Break { at, is_root: false }).to_vec();
        let root = |at| Break { at, is_root: true };
        let own = |spot: &Spot| spot.half == cell.half && spot.run == cell.run && spot.side == cell.side;
        let visited = self.hole.places().any(|p| p.spot().is_some_and(|s| own(&s)));
        if !visited && self.hole.whole().is_some() && self.spans(cell, 0.5, false).is_empty() {
            return None;
        }
        for run in &self.hole.runs {
            let n = run.places.len();
            let at = |i: usize| run.places[i % n];
            let fraction = |i: usize| at(i).place.spot().filter(own).map(|s| s.fraction);
            for i in 0..n {
                let Some(here) = fraction(i) else { continue };
                let is_end = !run.closed && (i == 0 || i + 1 == n);
                let u = at(i).u;
                let joint = u.round() as usize;
                if (u - u.round()).abs() < 1e-9 && self.hole.curve.is_seam(joint) {
                    if self.hole.curve.is_corner(joint) {
                        out.push(Break { at: here, is_root: false });
                    } else {
                        seams.push(here);
                    }
                }
                if is_end {
                    out.push(root(here));
                    continue;
                }
                let (before, after) = (fraction((i + n - 1) % n), fraction(i + 1));
                match (before, after) {
                    (Some(a), Some(b)) if (a - here) * (b - here) > 0.0 => {
                        out.push(root(self.turning(&at((i + n - 1) % n).u, &u, &at(i + 1).u, &own).unwrap_or(here)));
                    }
                    (Some(a), Some(b)) if (a - here) * (b - here) == 0.0 => out.push(root(here)),
                    _ => (),
                }
            }
        }
        out.sort_by(|a, b| a.at.total_cmp(&b.at));
        out.dedup_by(|b, a| {
            let same = b.at - a.at < 1e-9;
            a.is_root |= same && b.is_root;
            same
        });
        Some((out, seams))
    }

    /// The fraction at which the outline turns back between two of its places, by parabolas.
    fn turning(&self, before: &f64, middle: &f64, after: &f64, own: &impl Fn(&Spot) -> bool) -> Option<f64> {
        let round = self.hole.curve.pieces() as f64;
        let unwound = |u: f64| middle + (u - middle + 0.5 * round).rem_euclid(round) - 0.5 * round;
        let fraction = |u: f64| {
            let place = self.target.meet(self.hole.seen, self.hole.curve.at(u).p)?;
            place.spot().filter(own).map(|s| s.fraction)
        };
        let (mut a, mut b, mut c) = (unwound(*before), *middle, unwound(*after));
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

    /// Where the view shows a place of a cell.
    fn view(&self, cell: &Cell, x: f64, place: &SurfacePlace) -> ([f64; 2], [f64; 2]) {
        let sign = if cell.side == Side::Port { -1.0 } else { 1.0 };
        let (p, d) = ([x, sign * place.p[0], place.p[1]], [1.0, sign * place.by_x[0], place.by_x[1]]);
        let [a, b] = self.hole.seen.axes();
        ([p[a], p[b]], [d[a], d[b]])
    }

    fn at(&self, cell: &Cell, fraction: f64, x: f64) -> Option<SurfacePlace> {
        Some(self.target.loft().section(x)?.at(cell.half, cell.run, fraction))
    }

    /// Stations between which a strip lies inside the outline and faces the eye; with `first_met` only where it is met first.
    fn spans(&self, cell: &Cell, fraction: f64, first_met: bool) -> Vec<[f64; 2]> {
        let path: Vec<(f64, [f64; 2])> = self
            .sections
            .iter()
            .map(|s| (s.x(), self.view(cell, s.x(), &s.at(cell.half, cell.run, fraction)).0))
            .collect();
        let mut cuts: Vec<f64> = Vec::new();
        let Some((first, last)) = path.first().zip(path.last()) else { return Vec::new() };
        let mut found: Vec<(f64, f64)> = Vec::new();
        for w in path.windows(2) {
            let met = crossings(&self.hole.curve, &self.bounds, w[0].1, w[1].1);
            found.extend(met.iter().map(|(share, u)| (w[0].0 + share * (w[1].0 - w[0].0), *u)));
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (k, (x, u)) in found.iter().enumerate() {
            // Two that are near each other must not become one.
            let from = k.checked_sub(1).and_then(|i| found.get(i)).map_or(first.0, |f| 0.5 * (f.0 + x));
            let to = found.get(k + 1).map_or(last.0, |f| 0.5 * (f.0 + x));
            cuts.extend(self.polished(cell, fraction, [from, to], (*x, *u)));
        }
        self.add_trim(cell, fraction, &mut cuts);
        cuts.extend([first.0, last.0]);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a < 1e-10);
        let pairs = cuts.windows(2).map(|w| [w[0], w[1]]);
        pairs.filter(|[a, b]| self.is_open(cell, fraction, 0.5 * (a + b), first_met)).collect()
    }

    /// Where the ring's plane cuts the strip.
    fn add_trim(&self, cell: &Cell, fraction: f64, cuts: &mut Vec<f64>) {
        let Some(trim) = self.target.trim() else { return };
        let sign = if cell.side == Side::Port { -1.0 } else { 1.0 };
        let ahead = |x: f64| self.at(cell, fraction, x).map(|p| trim.ahead([x, sign * p.p[0], p.p[1]]));
        for w in self.sections.windows(2) {
            let (mut low, mut high) = (w[0].x(), w[1].x());
            let Some((a, b)) = ahead(low).zip(ahead(high)) else { continue };
            if (a > 0.0) == (b > 0.0) {
                continue;
            }
            while high - low > 1e-9 {
                let middle = 0.5 * (low + high);
                if ahead(middle).is_some_and(|m| (m > 0.0) == (a > 0.0)) { low = middle } else { high = middle }
            }
            cuts.push(0.5 * (low + high));
        }
    }

    /// Where the strip crosses the outline between two stations: Newton's method in the station and the outline's parameter, and
    /// halving where that leaves them.
    fn polished(&self, cell: &Cell, fraction: f64, between: [f64; 2], (start, start_u): (f64, f64)) -> Option<f64> {
        let ends = self.target.loft().x_range();
        let [low, high] = between;
        let (mut x, mut u) = (start, start_u);
        for _ in 0..12 {
            let Some(place) = self.at(cell, fraction, x) else { break };
            let (p, d) = self.view(cell, x, &place);
            let on = self.hole.curve.at(u);
            let miss = [on.p[0] - p[0], on.p[1] - p[1]];
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
        self.halved(cell, fraction, between)
    }

    fn halved(&self, cell: &Cell, fraction: f64, [mut low, mut high]: [f64; 2]) -> Option<f64> {
        let inside = |x: f64| Some(self.hole.curve.inside(self.view(cell, x, &self.at(cell, fraction, x)?).0));
        let first = inside(low)?;
        if inside(high)? == first {
            return None;
        }
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if inside(middle)? == first { low = middle } else { high = middle }
        }
        Some(0.5 * (low + high))
    }

    /// Whether a place of a strip is inside the outline, faces the eye and is not trimmed off, and is met first if that is asked.
    fn is_open(&self, cell: &Cell, fraction: f64, x: f64, first_met: bool) -> bool {
        let Some(place) = self.at(cell, fraction, x) else { return false };
        let (view, _) = self.view(cell, x, &place);
        let inside_box = (0..2).all(|k| view[k] >= self.bounds[0][k] - 0.1 && view[k] <= self.bounds[1][k] + 0.1);
        if !inside_box || !self.hole.curve.inside(view) {
            return false;
        }
        if dot(outward(cell.side, &place), self.hole.seen.sight()) >= 0.0 {
            return false;
        }
        let sign = if cell.side == Side::Port { -1.0 } else { 1.0 };
        let p = [x, sign * place.p[0], place.p[1]];
        if self.target.trim().is_some_and(|trim| trim.ahead(p) > 0.0) {
            return false;
        }
        !first_met || self.target.meet(self.hole.seen, view).is_some_and(|met| length(sub(met.point, p)) < SAME)
    }

    /// ∫ |S_x × S_f| dx, and of the vector itself, over what is open of a strip.
    fn strip(&self, cell: &Cell, fraction: f64, careful: bool) -> (f64, Vector) {
        let mut sum = (0.0, [0.0; 3]);
        for [from, to] in self.spans(cell, fraction, careful) {
            let inner = self.breaks.iter().copied().filter(|x| *x > from && *x < to);
            let mut ends: Vec<f64> = [from].into_iter().chain(inner).collect();
            ends.push(to);
            let rule = if ends.len() > 3 { gauss5() } else { gauss8() };
            for w in ends.windows(2) {
                self.add_piece(cell, fraction, [w[0], w[1]], rule, &mut sum);
            }
        }
        sum
    }

    fn add_piece(&self, cell: &Cell, fraction: f64, [from, to]: [f64; 2], rule: &Rule, sum: &mut (f64, Vector)) {
        let low = self.target.loft().x_range().0;
        let root = |x: f64| if self.upright { (x - low).max(0.0).sqrt() } else { x };
        let (a, b) = (root(from), root(to));
        for &(node, weight) in &rule.nodes {
            let r = a + (b - a) * node;
            let (x, slope) = if self.upright { (low + r * r, 2.0 * r) } else { (r, 1.0) };
            let Some(place) = self.at(cell, fraction, x) else { continue };
            let normal = outward(cell.side, &place);
            let share = weight * (b - a) * slope;
            sum.0 += share * length(normal);
            sum.1 = add(sum.1, times(normal, share));
        }
    }
}

/// S_x × S_f, outward.
fn outward(side: Side, place: &SurfacePlace) -> Vector {
    let ([fy, fz], [xy, xz]) = (place.by_fraction, place.by_x);
    let n = cross([1.0, xy, xz], [0.0, fy, fz]);
    if side == Side::Port { [n[0], -n[1], n[2]] } else { n }
}

/// Where a chord crosses the outline's polygon: shares of the chord, and the outline's parameter.
fn crossings(curve: &OutlineCurve, bounds: &[[f64; 2]; 2], a: [f64; 2], b: [f64; 2]) -> Vec<(f64, f64)> {
    let apart = |k: usize| a[k].max(b[k]) < bounds[0][k] - 0.1 || a[k].min(b[k]) > bounds[1][k] + 0.1;
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
