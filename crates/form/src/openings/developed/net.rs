//! The net on the surface.

use super::place::placed;
use super::solve::{Link, solved};
use super::{Developed, Flat, Flattening, Knot, Mark, MarkKind, NotDeveloped, true_length};
use crate::openings::hole::Hole;
use crate::openings::target::{SkinPlace, Target};
use crate::seen::Spot;
use crate::space::{Vector, add, dot, length, sub, times};
use geometry::control::Half;
use project::photograph::Side;

/// Meshes along and round.
const MESHES: usize = 20;
/// Weight of the margin's links, against those of the hole.
const MARGIN: f64 = 0.01;
/// Steps by which lengths along the lines are measured to space the net.
const FINE: usize = 60;

/// A net along the surface's own lines. The second parameter counts runs from the crown down to starboard, from 0 to the keel at
/// `runs`; to port it goes on beyond the keel, or below 0 beyond the crown.
pub(super) struct Net<'a> {
    target: &'a Target<'a>,
    runs: Vec<(Half, usize)>,
    inset: f64,
    xs: Vec<f64>,
    vs: Vec<f64>,
    /// For every mesh its corners, each with the normal of the mesh's own sheet.
    corners: Vec<[Knot; 4]>,
    /// For every mesh, whether it may hold a part of the hole.
    in_hole: Vec<bool>,
    flat: Vec<Flat>,
}

impl<'a> Net<'a> {
    pub(super) fn new(target: &'a Target<'a>, hole: &Hole, how: &Flattening) -> Result<Self, NotDeveloped> {
        let mut net = Self {
            target,
            runs: target.runs(),
            inset: how.inset,
            xs: Vec::new(),
            vs: Vec::new(),
            corners: Vec::new(),
            in_hole: Vec::new(),
            flat: Vec::new(),
        };
        let [xs, vs] = net.reach(hole).ok_or(NotDeveloped::AllRound)?;
        net.space(xs, vs, how.margin)?;
        net.set_corners().ok_or(NotDeveloped::AllRound)?;
        let meets = |w: &[f64], [from, to]: [f64; 2]| w[1] > from && w[0] < to;
        let along: Vec<bool> = net.xs.windows(2).map(|w| meets(w, xs)).collect();
        let round: Vec<bool> = net.vs.windows(2).map(|w| meets(w, vs)).collect();
        net.in_hole = along.iter().flat_map(|a| round.iter().map(move |b| *a && *b)).collect();
        net.flatten()?;
        Ok(net)
    }

    fn count(&self) -> f64 {
        self.runs.len() as f64
    }

    /// The second parameter of a spot, as near as may be to another.
    fn second(&self, spot: &Spot, near: f64) -> f64 {
        let k = self.runs.iter().position(|r| *r == (spot.half, spot.run)).unwrap_or(0) as f64;
        let round = 2.0 * self.count();
        let v = if spot.side == Side::Port { -(k + spot.fraction) } else { k + spot.fraction };
        v + round * ((near - v) / round).round()
    }

    /// The spot at both parameters; `side` tells which run is meant at a mark: below it (-1) or above.
    fn spot(&self, x: f64, v: f64, side: f64) -> Spot {
        let (round, n) = (2.0 * self.count(), self.count());
        let wound = v.rem_euclid(round);
        // Just beside the mark, then the fraction from the true value.
        let beside = (wound + 1e-9 * side).rem_euclid(round);
        let port = beside > n;
        let (own, beside) = if port { (round - wound, round - beside) } else { (wound, beside) };
        let k = (beside.floor().max(0.0) as usize).min(self.runs.len() - 1);
        // Over the crown from port the whole turn is the beginning.
        let own = if port && wound == 0.0 {
            0.0
        } else if own - k as f64 > 1.5 {
            own - round
        } else {
            own
        };
        let (half, run) = self.runs[k];
        let side = if port { Side::Port } else { Side::Starboard };
        Spot { x, half, run, fraction: (own - k as f64).clamp(0.0, 1.0), side }
    }

    /// Least and greatest parameters of a hole's edge.
    fn reach(&self, hole: &Hole) -> Option<[[f64; 2]; 2]> {
        let mut x = [f64::INFINITY, f64::NEG_INFINITY];
        let mut v = x;
        let (mut near, mut first) = (0.0, None);
        for place in hole.places() {
            let spot = place.spot()?;
            near = self.second(&spot, near);
            first.get_or_insert(near);
            x = [x[0].min(spot.x), x[1].max(spot.x)];
            v = [v[0].min(near), v[1].max(near)];
        }
        let closed = hole.whole().is_some();
        let start = hole.places().next()?.spot()?;
        let round_trip = (self.second(&start, near) - first?).abs();
        (!(closed && round_trip > 0.5) && v[1] - v[0] < 1.8 * self.count()).then_some([x, v])
    }

    fn point(&self, x: f64, v: f64) -> Option<Vector> {
        self.target.at(self.spot(x, v, 1.0), [0.0; 2]).map(|p| p.moved_in(self.inset))
    }

    /// Lines of the net, evenly by length along the middle of the hole, with a margin where there is surface for it; marks and
    /// breaks of the surface are lines.
    fn space(&mut self, x: [f64; 2], v: [f64; 2], margin: f64) -> Result<(), NotDeveloped> {
        let middle = [0.5 * (x[0] + x[1]), 0.5 * (v[0] + v[1])];
        let (low, high) = self.target.loft().x_range();
        let pointed = self.target.is_pointed();
        let length = high - low;
        let ends = [if pointed { low + 1e-4 * length } else { low }, high];
        let along = |x: f64| self.point(x, middle[1]);
        let xs = spread(&along, x, [ends[0], ends[1]], margin, 0.5 * length).ok_or(NotDeveloped::AllRound)?;
        let round = |v: f64| self.point(middle[0], v);
        let all_round = [middle[1] - 0.95 * self.count(), middle[1] + 0.95 * self.count()];
        let vs = spread(&round, v, all_round, margin, 1.0).ok_or(NotDeveloped::AllRound)?;
        let breaks = self.target.loft().x_breaks();
        self.xs = with_breaks(xs, &breaks);
        let marks: Vec<f64> = (-2 * self.runs.len() as i64..=4 * self.runs.len() as i64).map(|k| k as f64).collect();
        self.vs = with_breaks(vs, &marks);
        Ok(())
    }

    /// A corner of a mesh, read a hair inside it, so that the normal is its own sheet's.
    fn knot(&self, x: f64, v: f64, inside: [f64; 2]) -> Option<Knot> {
        let (low, high) = self.target.loft().x_range();
        let beside = Spot { x: (x + 1e-7 * (high - low) * inside[0]).clamp(low, high), ..self.spot(x, v, inside[1]) };
        let p = self.target.at(self.spot(x, v, inside[1]), [0.0; 2])?.point;
        Some(Knot { p, normal: self.target.normal(beside)? })
    }

    fn set_corners(&mut self) -> Option<()> {
        let mut corners = Vec::with_capacity((self.xs.len() - 1) * (self.vs.len() - 1));
        for x in self.xs.windows(2) {
            for v in self.vs.windows(2) {
                let knot = |i: usize, j: usize| self.knot(x[i], v[j], [1.0 - 2.0 * i as f64, 1.0 - 2.0 * j as f64]);
                corners.push([knot(0, 0)?, knot(1, 0)?, knot(1, 1)?, knot(0, 1)?]);
            }
        }
        self.corners = corners;
        if self.inset != 0.0 {
            self.move_in();
        }
        Some(())
    }

    /// Moves all corners inward: those of several sheets to where these meet once moved.
    fn move_in(&mut self) {
        let (rows, columns) = (self.xs.len(), self.vs.len());
        let mut bends: Vec<Vec<Vector>> = vec![Vec::new(); rows * columns];
        for (cell, corners) in self.corners.iter().enumerate() {
            for (k, node) in self.nodes(cell).into_iter().enumerate() {
                let n = corners[k].normal;
                if bends[node].iter().all(|m| length(sub(*m, n)) > 1e-4) {
                    bends[node].push(n);
                }
            }
        }
        for cell in 0..self.corners.len() {
            let nodes = self.nodes(cell);
            for k in 0..4 {
                let moved = match bends[nodes[k]][..] {
                    [a, b] => times(add(a, b), 1.0 / (1.0 + dot(a, b)).max(0.2)),
                    _ => self.corners[cell][k].normal,
                };
                let p = self.corners[cell][k].p;
                self.corners[cell][k].p = sub(p, times(moved, self.inset));
            }
        }
    }

    fn node(&self, i: usize, j: usize) -> usize {
        i * self.vs.len() + j
    }

    /// The nodes at a mesh's corners.
    fn nodes(&self, cell: usize) -> [usize; 4] {
        let (i, j) = (cell / (self.vs.len() - 1), cell % (self.vs.len() - 1));
        [self.node(i, j), self.node(i + 1, j), self.node(i + 1, j + 1), self.node(i, j + 1)]
    }

    fn flatten(&mut self) -> Result<(), NotDeveloped> {
        let mut links = Vec::new();
        for (cell, corners) in self.corners.iter().enumerate() {
            let nodes = self.nodes(cell);
            for (a, b) in [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)] {
                let length = true_length(corners[a], corners[b]);
                let weight = if self.in_hole[cell] { 1.0 } else { MARGIN };
                links.push(Link { ends: [nodes[a], nodes[b]], length, weight });
            }
        }
        self.flat = solved(self.first_guess(), &links, 2 * (self.vs.len() + 2)).ok_or(NotDeveloped::Folded)?;
        let turned = |cell: usize| {
            let [a, b, c, d] = self.nodes(cell).map(|n| self.flat[n]);
            [[a, b, c], [a, c, d]].into_iter().any(|t| area(t) <= 0.0)
        };
        if (0..self.corners.len()).any(turned) { Err(NotDeveloped::Folded) } else { Ok(()) }
    }

    /// Lengths along the middle lines of the net, as if it were a plane's.
    fn first_guess(&self) -> Vec<Flat> {
        let (rows, columns) = (self.xs.len() - 1, self.vs.len() - 1);
        let sum = |lengths: Vec<f64>| {
            let mut all = vec![0.0];
            lengths.iter().for_each(|l| all.push(all[all.len() - 1] + l));
            all
        };
        let cell = |i: usize, j: usize| &self.corners[i * columns + j];
        let along = sum((0..rows).map(|i| true_length(cell(i, columns / 2)[0], cell(i, columns / 2)[1])).collect());
        let round = sum((0..columns).map(|j| true_length(cell(rows / 2, j)[0], cell(rows / 2, j)[3])).collect());
        along.iter().flat_map(|a| round.iter().map(move |b| [*a, *b])).collect()
    }

    /// The flat place of a place of the surface; `None` beyond the net.
    fn flat_place(&self, x: f64, v: f64) -> Option<Flat> {
        let cell_of = |lines: &[f64], at: f64| {
            let (first, last) = (lines.first()?, lines.last()?);
            let slack = 1e-9 * (last - first);
            let within = at >= first - slack && at <= last + slack;
            within.then(|| lines.partition_point(|l| *l <= at).clamp(1, lines.len() - 1) - 1)
        };
        let (i, j) = (cell_of(&self.xs, x)?, cell_of(&self.vs, v)?);
        let cell = i * (self.vs.len() - 1) + j;
        let nodes = self.nodes(cell).map(|n| self.flat[n]);
        let middle = [0.5 * (self.xs[i] + self.xs[i + 1]) - x, 0.5 * (self.vs[j] + self.vs[j + 1]) - v];
        let mut knot = self.knot(x, v, middle.map(f64::signum))?;
        knot.p = sub(knot.p, times(knot.normal, self.inset));
        let share =
            [(x - self.xs[i]) / (self.xs[i + 1] - self.xs[i]), (v - self.vs[j]) / (self.vs[j + 1] - self.vs[j])];
        let lengths = self.corners[cell].map(|corner| true_length(corner, knot));
        Some(placed(nodes, lengths, share))
    }

    pub(super) fn developed(&self, hole: &Hole, how: &Flattening) -> Result<Developed, NotDeveloped> {
        let mut near = 0.5 * (self.vs[0] + self.vs[self.vs.len() - 1]);
        let mut flat = |place: &SkinPlace| {
            let spot = place.spot()?;
            near = self.second(&spot, near);
            self.flat_place(spot.x, near)
        };
        let mut edges = Vec::new();
        for run in &hole.runs {
            let line: Option<Vec<Flat>> = run.places.iter().map(|p| flat(&p.place)).collect();
            edges.push((run.closed, line.ok_or(NotDeveloped::OverTheRim)?));
        }
        let middle = hole.centre.as_ref().and_then(|c| {
            let spot = c.spot()?;
            let v = self.second(&spot, near);
            Some([spot.x, v])
        });
        let [x, v] = middle.unwrap_or([self.xs[self.xs.len() / 2], self.vs[self.vs.len() / 2]]);
        let centre = self.flat_place(x, v).ok_or(NotDeveloped::OverTheRim)?;
        let aft = {
            let step = 1e-3 * (self.xs[self.xs.len() - 1] - self.xs[0]);
            let ends =
                [x - step, x + step].map(|x| self.flat_place(x.clamp(self.xs[0], self.xs[self.xs.len() - 1]), v));
            let [Some(a), Some(b)] = ends else { return Err(NotDeveloped::Folded) };
            let size = (b[0] - a[0]).hypot(b[1] - a[1]).max(f64::MIN_POSITIVE);
            [(b[0] - a[0]) / size, (b[1] - a[1]) / size]
        };
        let turn = |p: Flat| {
            let [a, b] = [p[0] - centre[0], p[1] - centre[1]];
            [a * aft[0] + b * aft[1], b * aft[0] - a * aft[1]]
        };
        let marks = self
            .marks([x, v], how)
            .into_iter()
            .map(|(kind, line)| Mark { kind, line: line.into_iter().map(turn).collect() });
        let marks = marks.filter(|m| m.line.len() > 1).collect();
        let strain = self.strain();
        let edges: Vec<(bool, Vec<Flat>)> =
            edges.into_iter().map(|(closed, line)| (closed, line.into_iter().map(turn).collect())).collect();
        let extent = extent(edges.iter().flat_map(|(_, line)| line.iter().copied()));
        let length_error = strain * extent / (1.0 - strain.min(0.9));
        let sheet = self.border().into_iter().map(|n| turn(self.flat[n])).collect();
        Ok(Developed { edges, centre: [0.0, 0.0], sheet, marks, strain, length_error })
    }

    /// The nodes round the net.
    fn border(&self) -> Vec<usize> {
        let (rows, columns) = (self.xs.len() - 1, self.vs.len() - 1);
        let mut out: Vec<usize> = (0..rows).map(|i| self.node(i, 0)).collect();
        out.extend((0..columns).map(|j| self.node(rows, j)));
        out.extend((1..=rows).rev().map(|i| self.node(i, columns)));
        out.extend((1..=columns).rev().map(|j| self.node(0, j)));
        out
    }

    fn marks(&self, [x, v]: [f64; 2], how: &Flattening) -> Vec<(MarkKind, Vec<Flat>)> {
        let mut out = Vec::new();
        let inside = |s: &&f64| **s > self.xs[0] && **s < self.xs[self.xs.len() - 1];
        let station = how.stations.iter().filter(inside).min_by(|a, b| (**a - x).abs().total_cmp(&(**b - x).abs()));
        let station = station.copied().unwrap_or(x);
        out.push((MarkKind::Station(station), self.vs.iter().filter_map(|v| self.flat_place(station, *v)).collect()));
        let n = self.count();
        let centre = self.vs.iter().find(|v| (*v / n - (*v / n).round()).abs() < 1e-9);
        if let Some(v) = centre {
            let line = self.xs.iter().filter_map(|x| self.flat_place(*x, *v)).collect();
            out.push((MarkKind::CentrePlane, line));
        } else if let Some(middle) = self.target.at(self.spot(x, v, 1.0), [0.0; 2]) {
            // The one of both that crosses the surface more steeply.
            let level = middle.normal[2].abs() < 0.7;
            let k = if level { 2 } else { 1 };
            let value = middle.point[k];
            let line = self.xs.iter().filter_map(|x| self.flat_place(*x, self.second_at(*x, k, value)?)).collect();
            out.push((if level { MarkKind::Height(value) } else { MarkKind::HalfBreadth(value) }, line));
        }
        out
    }

    /// The second parameter at which the surface at a station has a half-breadth or height, on the net.
    fn second_at(&self, x: f64, k: usize, value: f64) -> Option<f64> {
        let miss = |v: f64| self.target.at(self.spot(x, v, 1.0), [0.0; 2]).map_or(0.0, |p| p.point[k] - value);
        let w = self.vs.windows(2).find(|w| (miss(w[0]) > 0.0) != (miss(w[1]) > 0.0))?;
        let (mut low, mut high) = (w[0], w[1]);
        let sign = miss(low) > 0.0;
        for _ in 0..44 {
            let middle = 0.5 * (low + high);
            if (miss(middle) > 0.0) == sign { low = middle } else { high = middle }
        }
        Some(0.5 * (low + high))
    }

    /// The greatest relative change of length in any triangle of the hole: from its principal stretches.
    fn strain(&self) -> f64 {
        let mut worst = 0.0_f64;
        for (cell, knots) in self.corners.iter().enumerate().filter(|(cell, _)| self.in_hole[*cell]) {
            let flat = self.nodes(cell).map(|n| self.flat[n]);
            for [a, b, c] in [[0, 1, 2], [0, 2, 3], [0, 1, 3], [1, 2, 3]] {
                let far = |i: usize, k: usize| (flat[k][0] - flat[i][0]).hypot(flat[k][1] - flat[i][1]);
                let real = |i: usize, k: usize| true_length(knots[i], knots[k]);
                let was = gram(real(a, b), real(a, c), real(b, c));
                let is = gram(far(a, b), far(a, c), far(b, c));
                worst = stretches(was, is).into_iter().map(|s| (s - 1.0).abs()).fold(worst, f64::max);
            }
        }
        worst
    }
}

/// Inner products of two sides of a triangle, by its three lengths.
fn gram(ab: f64, ac: f64, bc: f64) -> [f64; 3] {
    [ab * ab, 0.5 * (ab * ab + ac * ac - bc * bc), ac * ac]
}

/// Principal stretches between two triangles given by those products: roots of the eigenvalues of the one over the other.
fn stretches([a, b, c]: [f64; 3], [d, e, f]: [f64; 3]) -> [f64; 2] {
    let det = (a * c - b * b).max(f64::MIN_POSITIVE);
    let half = 0.5 * (a * f - 2.0 * b * e + c * d) / det;
    let rest = (half * half - (d * f - e * e) / det).max(0.0).sqrt();
    [(half + rest).max(0.0).sqrt(), (half - rest).max(0.0).sqrt()]
}

fn area([a, b, c]: [Flat; 3]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Greatest distance between any two of some places, at most.
fn extent(points: impl Iterator<Item = Flat>) -> f64 {
    let all: Vec<Flat> = points.collect();
    let far = |a: &Flat| all.iter().map(|b| (b[0] - a[0]).hypot(b[1] - a[1])).fold(0.0, f64::max);
    all.iter().map(far).fold(0.0, f64::max)
}

/// Parameters over a stretch and a margin on both sides, evenly by length. `most` is the largest step looked at beyond the stretch.
fn spread(
    at: &impl Fn(f64) -> Option<Vector>,
    [from, to]: [f64; 2],
    ends: [f64; 2],
    margin: f64,
    most: f64,
) -> Option<Vec<f64>> {
    let speed = |t: f64, way: f64| {
        let h = 1e-4 * most * way;
        Some(length(sub(at(t + h)?, at(t)?)) / h.abs())
    };
    let beyond = |t: f64, way: f64| {
        let reach = margin / speed(t, way).unwrap_or(1.0).max(1e-6);
        t + way * reach.min(most)
    };
    let low = beyond(from, -1.0).max(ends[0]);
    let high = beyond(to, 1.0).min(ends[1]);
    // The root of the distance from the end, as the surface may stand upright there.
    let place = |i: usize| {
        let s = i as f64 / FINE as f64;
        low + (high - low) * s * s * (3.0 - 2.0 * s)
    };
    let points: Option<Vec<Vector>> = (0..=FINE).map(|i| at(place(i))).collect();
    let mut sums = vec![0.0];
    points?.windows(2).for_each(|w| sums.push(sums[sums.len() - 1] + length(sub(w[1], w[0]))));
    let whole = sums[sums.len() - 1];
    let inverse = |share: f64| {
        let wanted = share * whole;
        let i = sums.partition_point(|s| *s <= wanted).clamp(1, FINE);
        let t = (wanted - sums[i - 1]) / (sums[i] - sums[i - 1]).max(f64::MIN_POSITIVE);
        place(i - 1) + t * (place(i) - place(i - 1))
    };
    (whole > 0.0 && high > low).then(|| {
        let inner = (1..MESHES).map(|i| inverse(i as f64 / MESHES as f64));
        std::iter::once(low).chain(inner).chain([high]).collect()
    })
}

/// The breaks that lie among some lines become lines; lines that are nearly breaks go.
fn with_breaks(lines: Vec<f64>, breaks: &[f64]) -> Vec<f64> {
    let (Some(low), Some(high)) = (lines.first().copied(), lines.last().copied()) else { return lines };
    let near = 0.2 * (high - low) / MESHES as f64;
    let inner: Vec<f64> = breaks.iter().copied().filter(|b| *b > low + 1e-9 && *b < high - 1e-9).collect();
    let far = |l: &f64| *l == low || *l == high || inner.iter().all(|b| (b - l).abs() > near);
    let mut out: Vec<f64> = lines.iter().copied().filter(far).chain(inner.iter().copied()).collect();
    out.sort_by(f64::total_cmp);
    out.dedup_by(|b, a| *b - *a < 1e-6 * (high - low));
    out
}
