//! A passage cut by a plane.
//!
//! The wall is a tube of straight lines in two lengths: from a plane ahead of its edge to the edge, and on to the inner outline. Its
//! cut by a plane square to an axis is traced from facet to facet; at the tube's ends, which are flat and square to the sight, what
//! is left open is closed along them.

use super::Passage;
use crate::space::{Vector, add, dot, times};
use std::collections::BTreeMap;

/// A plane square to an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutPlane {
    /// A cross plane at this station; places in it are (y, z).
    Station(f64),
    /// The centre plane, or a plane parallel to it at this half-breadth, negative to port; places are (x, z).
    Buttock(f64),
    /// A level plane at this height; places are (x, y).
    Height(f64),
}

impl CutPlane {
    fn axis(self) -> (usize, f64) {
        match self {
            Self::Station(x) => (0, x),
            Self::Buttock(y) => (1, y),
            Self::Height(z) => (2, z),
        }
    }
}

/// Which side of the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wall {
    /// The air's side.
    Air,
    /// The other side: what a former must clear.
    Outside,
}

/// How far ahead of its foremost place the tube begins, mm.
const AHEAD: f64 = 5.0;

/// An edge of the tube's net: the line along it (level, number), or the line round (level, number).
type Edge = (bool, usize, usize);

impl Passage {
    /// The closed outlines of what a plane cuts of the passage, in the plane's own two places (the first axis of the two that are
    /// left before the second). They reach out of the form through the opening, and end at the inner outline.
    pub fn cut(&self, plane: CutPlane, wall: Wall) -> Vec<Vec<[f64; 2]>> {
        let (axis, value) = plane.axis();
        let tube = self.tube(wall);
        let flat = |p: Vector| {
            let rest: Vec<f64> = (0..3).filter(|k| *k != axis).map(|k| p[k]).collect();
            [rest[0], rest[1]]
        };
        let chains = Contour { tube: &tube, axis, value }.chains();
        let (closed, open): (Vec<Chain>, Vec<Chain>) = chains.into_iter().partition(|c| c.ends.is_none());
        let mut out: Vec<Vec<[f64; 2]>> =
            closed.into_iter().map(|c| c.points.into_iter().map(flat).collect()).collect();
        out.extend(joined(&open).into_iter().map(|ring| ring.into_iter().map(flat).collect()));
        out.retain(|ring: &Vec<[f64; 2]>| ring.len() > 2);
        out
    }

    /// Three rings: ahead of the edge, at it, at the inner outline.
    fn tube(&self, wall: Wall) -> [Vec<Vector>; 3] {
        let by = if wall == Wall::Air { 0.0 } else { self.wall };
        let moved = |p: Vector, n: Vector| add(p, times(n, by));
        let outer: Vec<Vector> = self.strips.iter().map(|s| moved(s.outer.point, s.into_wall[0])).collect();
        let inner = self.strips.iter().map(|s| self.held(moved(s.inner, s.into_wall[1]), s.inner)).collect();
        let first = outer.iter().map(|p| dot(*p, self.sight)).fold(f64::INFINITY, f64::min) - AHEAD;
        let ahead = outer.iter().map(|p| add(*p, times(self.sight, first - dot(*p, self.sight)))).collect();
        [ahead, outer, inner]
    }

    /// A place brought to the depth of another.
    fn held(&self, p: Vector, at: Vector) -> Vector {
        add(p, times(self.sight, dot(at, self.sight) - dot(p, self.sight)))
    }
}

struct Contour<'a> {
    tube: &'a [Vec<Vector>; 3],
    axis: usize,
    value: f64,
}

/// A traced stretch; open ones end on the first or the last ring.
struct Chain {
    points: Vec<Vector>,
    ends: Option<[usize; 2]>,
}

impl Contour<'_> {
    fn height(&self, level: usize, i: usize) -> f64 {
        let ring = &self.tube[level];
        ring[i % ring.len()][self.axis] - self.value
    }

    fn point(&self, (along, level, i): Edge) -> Vector {
        let n = self.tube[level].len();
        let (a, b) = if along { ((level, i), (level + 1, i)) } else { ((level, i), (level, i + 1)) };
        let (p, q) = (self.tube[a.0][a.1 % n], self.tube[b.0][b.1 % n]);
        let (h, k) = (p[self.axis] - self.value, q[self.axis] - self.value);
        let t = (h / (h - k)).clamp(0.0, 1.0);
        let mut at: Vector = std::array::from_fn(|c| p[c] + t * (q[c] - p[c]));
        at[self.axis] = self.value;
        at
    }

    /// Pairs of edges that a facet's cut joins.
    fn facet(&self, level: usize, i: usize, out: &mut Vec<[Edge; 2]>) {
        let n = self.tube[level].len();
        let next = (i + 1) % n;
        let up = |l: usize, k: usize| self.height(l, k) >= 0.0;
        let corners = [up(level, i), up(level, next), up(level + 1, next), up(level + 1, i)];
        let edges: [Edge; 4] = [(false, level, i), (true, level, next), (false, level + 1, i), (true, level, i)];
        let cut: Vec<Edge> = (0..4).filter(|k| corners[*k] != corners[(k + 1) % 4]).map(|k| edges[k]).collect();
        match cut[..] {
            [a, b] => out.push([a, b]),
            [a, b, c, d] => {
                let middle: f64 = [(level, i), (level, next), (level + 1, next), (level + 1, i)]
                    .iter()
                    .map(|(l, k)| self.height(*l, *k))
                    .sum();
                let with_first = (middle >= 0.0) == corners[0];
                out.extend(if with_first { [[a, b], [c, d]] } else { [[a, d], [b, c]] });
            }
            _ => (),
        }
    }

    fn chains(&self) -> Vec<Chain> {
        let n = self.tube[0].len();
        let mut pairs = Vec::new();
        (0..2).for_each(|level| (0..n).for_each(|i| self.facet(level, i, &mut pairs)));
        let mut at: BTreeMap<Edge, Vec<usize>> = BTreeMap::new();
        for (k, [a, b]) in pairs.iter().enumerate() {
            at.entry(*a).or_default().push(k);
            at.entry(*b).or_default().push(k);
        }
        let mut used = vec![false; pairs.len()];
        let mut out = Vec::new();
        let starts: Vec<Edge> = at.iter().filter(|(_, pairs)| pairs.len() == 1).map(|(e, _)| *e).collect();
        for start in starts.into_iter().chain(at.keys().copied()) {
            let Some(edges) = follow(start, &pairs, &at, &mut used) else { continue };
            let closed = edges.len() > 2 && edges.first() == edges.last();
            let level = |e: Option<&Edge>| e.map_or(0, |e| if e.1 == 0 { 0 } else { 2 });
            let ends = (!closed).then(|| [level(edges.first()), level(edges.last())]);
            let count = edges.len() - usize::from(closed);
            out.push(Chain { points: edges[..count].iter().map(|e| self.point(*e)).collect(), ends });
        }
        out
    }
}

/// The edges from one on, along pairs that have not been used; `None` where there are none.
fn follow(start: Edge, pairs: &[[Edge; 2]], at: &BTreeMap<Edge, Vec<usize>>, used: &mut [bool]) -> Option<Vec<Edge>> {
    let mut edges = vec![start];
    let mut here = start;
    while let Some(k) = at.get(&here).and_then(|all| all.iter().copied().find(|k| !used[*k])) {
        used[k] = true;
        let [a, b] = pairs[k];
        here = if a == here { b } else { a };
        edges.push(here);
    }
    (edges.len() > 1).then_some(edges)
}

/// Open stretches closed along the flat ends of the tube: there they meet a straight line, on which every second gap is inside.
fn joined(chains: &[Chain]) -> Vec<Vec<Vector>> {
    let mut ends: Vec<(usize, usize, bool, Vector)> = Vec::new();
    for (k, chain) in chains.iter().enumerate() {
        let Some([first, last]) = chain.ends else { continue };
        ends.extend(chain.points.first().map(|p| (first, k, true, *p)));
        ends.extend(chain.points.last().map(|p| (last, k, false, *p)));
    }
    ends.sort_by(|a, b| {
        let along = |p: &Vector| p.map(|c| (c * 1e9).round());
        a.0.cmp(&b.0).then(along(&a.3).partial_cmp(&along(&b.3)).unwrap_or(std::cmp::Ordering::Equal))
    });
    let mut partner: BTreeMap<(usize, bool), (usize, bool)> = BTreeMap::new();
    for level in [0, 2] {
        let own: Vec<_> = ends.iter().filter(|e| e.0 == level).collect();
        for pair in own.chunks(2) {
            if let [a, b] = pair {
                partner.insert((a.1, a.2), (b.1, b.2));
                partner.insert((b.1, b.2), (a.1, a.2));
            }
        }
    }
    let mut used = vec![false; chains.len()];
    let mut out = Vec::new();
    for start in 0..chains.len() {
        let (mut k, mut from_start, mut ring) = (start, true, Vec::new());
        while !used[k] {
            used[k] = true;
            let points = chains[k].points.iter().copied();
            if from_start {
                ring.extend(points);
            } else {
                ring.extend(points.rev());
            }
            let Some(&(next, at_start)) = partner.get(&(k, !from_start)) else { break };
            (k, from_start) = (next, at_start);
        }
        out.push(ring);
    }
    out.retain(|ring: &Vec<Vector>| ring.len() > 2);
    out
}
