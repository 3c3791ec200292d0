//! The way of a closed line through the triangles of a mesh, as it is seen.

use super::edges::{Edges, edge};
use super::{ASIDE, HoleError, Seen, turn};
use crate::mesh::Mesh;

/// Where the line crosses an edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// The edge, its lower vertex first.
    pub(super) edge: (u32, u32),
    /// Share of the way along the edge.
    pub(super) on_edge: f64,
    /// Number of the line's point, with the share of the way to the next.
    pub(super) along: f64,
}

/// A stretch of the line inside one triangle, from crossing to crossing.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    /// The triangle.
    pub(super) triangle: usize,
    /// Number of the crossing by which it enters; it leaves by the next.
    pub(super) enters: usize,
    /// Numbers of the line's points between them.
    pub(super) points: Vec<usize>,
}

/// What became of the line.
#[derive(Clone, Debug)]
pub(super) enum Track {
    /// It crosses no edge.
    Inside {
        /// The triangle in which it lies.
        triangle: usize,
        /// A place within the line.
        within: [f64; 2],
    },
    /// It crosses edges.
    Across(Crossed),
}

/// Crossings in order along the line, and the stretches that begin at each.
#[derive(Clone, Debug, Default)]
pub(super) struct Crossed {
    /// The line's points, as they were seen while it was walked.
    pub(super) flat: Vec<[f64; 2]>,
    /// Crossings.
    pub(super) crossings: Vec<Crossing>,
    /// One for each crossing.
    pub(super) stretches: Vec<Stretch>,
}

/// A mesh that can be walked.
pub(super) struct Walker<'a> {
    mesh: &'a Mesh,
    seen: &'a Seen,
    flat: Vec<[f64; 2]>,
    /// Triangles that the line may meet, all those beside every place on it among them.
    near: Vec<usize>,
    /// Those beside each of their edges.
    edges: Edges,
}

/// A triangle of less area as it is seen is seen from its edge, mm².
const EDGE_ON: f64 = 1e-12;

impl<'a> Walker<'a> {
    /// For lines within a box, as it is seen, that are moved aside by no more than [`ASIDE`].
    pub(super) fn new(mesh: &'a Mesh, seen: &'a Seen, [low, high]: [[f64; 2]; 2]) -> Self {
        let flat: Vec<[f64; 2]> = mesh.vertices.iter().map(|v| seen.place(*v)).collect();
        let beyond = 2.0 * ASIDE;
        let meets = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|v| flat[v as usize]);
            (0..2).all(|k| a[k].max(b[k]).max(c[k]) >= low[k] - beyond && a[k].min(b[k]).min(c[k]) <= high[k] + beyond)
        };
        let near: Vec<usize> = mesh.triangles.iter().enumerate().filter(|(_, t)| meets(t)).map(|(i, _)| i).collect();
        let edges = Edges::of(flat.len(), near.iter().map(|&i| (i, mesh.triangles[i])));
        Self { mesh, seen, flat, near, edges }
    }

    fn corners(&self, triangle: usize) -> [[f64; 2]; 3] {
        self.mesh.triangles[triangle].map(|v| self.flat[v as usize])
    }

    fn faces(&self, triangle: usize) -> bool {
        let [a, b, c] = self.corners(triangle);
        turn(a, b, c) > EDGE_ON
    }

    /// The facing triangle that holds a place, nearest to it in depth.
    fn holding(&self, p: [f64; 2], depth: f64) -> Option<usize> {
        let off = |i: usize| {
            let [a, b, c] = self.corners(i);
            let whole = turn(a, b, c);
            let shares = [turn(p, b, c), turn(a, p, c), turn(a, b, p)].map(|s| s / whole);
            let inside = whole > EDGE_ON && shares.iter().all(|s| *s >= 0.0);
            let corners = self.mesh.triangles[i].map(|v| self.seen.depth(self.mesh.vertices[v as usize]));
            inside.then(|| (shares.iter().zip(corners).map(|(s, d)| s * d).sum::<f64>() - depth).abs())
        };
        let all = self.near.iter().filter_map(|&i| Some((i, off(i)?)));
        all.min_by(|a, b| a.1.total_cmp(&b.1)).map(|found| found.0)
    }

    /// Walks the line, moved aside by `aside` as it is seen: how clear of corners it keeps, mm, and its way.
    pub(super) fn walk(&self, line: &[[f64; 3]], aside: [f64; 2]) -> Result<(f64, Track), HoleError> {
        let flat: Vec<[f64; 2]> = line
            .iter()
            .map(|p| {
                let q = self.seen.place(*p);
                [q[0] + aside[0], q[1] + aside[1]]
            })
            .collect();
        let first = self.holding(flat[0], self.seen.depth(line[0])).ok_or(HoleError::OffSurface)?;
        let mut way = Way { walker: self, at: first, entered: None, clear: f64::INFINITY, found: Crossed::default() };
        let mut before_first: Vec<usize> = Vec::new();
        let n = flat.len();
        for i in 0..n {
            let (a, b) = (flat[i], flat[(i + 1) % n]);
            let mut from = 0.0;
            // No line crosses a triangle twice on one chord, so this ends.
            for _ in 0..=self.near.len() {
                let Some(leaving) = way.leaving(a, b, from) else { break };
                from = leaving.1;
                way.cross(leaving, i as f64)?;
            }
            way.note_clear(b);
            way.entered = None;
            let next = (i + 1) % n;
            match way.found.stretches.last_mut() {
                Some(stretch) => stretch.points.push(next),
                None => before_first.push(next),
            }
        }
        if way.found.crossings.is_empty() {
            return Ok((way.clear, Track::Inside { triangle: first, within: inside_of(&flat) }));
        }
        if way.at != first {
            return Err(HoleError::OffSurface);
        }
        if let Some(last) = way.found.stretches.last_mut() {
            last.points.extend(before_first);
        }
        way.found.flat = flat;
        Ok((way.clear, Track::Across(way.found)))
    }
}

/// Where the line leaves a triangle: by which of its edges, at which share of the line's chord.
type Leaving = (usize, f64, [f64; 2]);

struct Way<'a> {
    walker: &'a Walker<'a>,
    at: usize,
    /// The edge by which this chord came in.
    entered: Option<(u32, u32)>,
    clear: f64,
    found: Crossed,
}

impl Way<'_> {
    /// Where the chord from `a` to `b` leaves the triangle behind the share `from`; `None` if it ends inside.
    fn leaving(&self, a: [f64; 2], b: [f64; 2], from: f64) -> Option<Leaving> {
        let t = self.walker.mesh.triangles[self.at];
        let corners = self.walker.corners(self.at);
        let mut first: Option<Leaving> = None;
        for k in 0..3 {
            let (u, w) = (corners[k], corners[(k + 1) % 3]);
            let (at_a, at_b) = (turn(u, w, a), turn(u, w, b));
            if self.entered == Some(edge(t[k], t[(k + 1) % 3])) || at_b >= 0.0 || at_a <= at_b {
                continue;
            }
            let share = (at_a / (at_a - at_b)).max(from);
            if first.is_none_or(|f| share < f.1) {
                first = Some((k, share, [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]));
            }
        }
        first.filter(|f| f.1 < 1.0)
    }

    fn cross(&mut self, (k, share, p): Leaving, chord: f64) -> Result<(), HoleError> {
        let t = self.walker.mesh.triangles[self.at];
        let key = edge(t[k], t[(k + 1) % 3]);
        let mut beside = self.walker.edges.beside(key);
        let (Some(one), Some(other), None) = (beside.next(), beside.next(), beside.next()) else {
            return Err(HoleError::OverEdge);
        };
        let next = if one == self.at { other } else { one };
        if !self.walker.faces(next) {
            return Err(HoleError::OverEdge);
        }
        let (u, w) = (self.walker.flat[key.0 as usize], self.walker.flat[key.1 as usize]);
        let (to_u, to_w) = ((p[0] - u[0]).hypot(p[1] - u[1]), (p[0] - w[0]).hypot(p[1] - w[1]));
        self.clear = self.clear.min(to_u).min(to_w);
        let on_edge = to_u / (to_u + to_w).max(f64::MIN_POSITIVE);
        self.found.crossings.push(Crossing { edge: key, on_edge, along: chord + share });
        let enters = self.found.crossings.len() - 1;
        self.found.stretches.push(Stretch { triangle: next, enters, points: Vec::new() });
        self.at = next;
        self.entered = Some(key);
        Ok(())
    }

    /// Takes note of how near a point of the line lies to the edges of its triangle.
    fn note_clear(&mut self, p: [f64; 2]) {
        let corners = self.walker.corners(self.at);
        for k in 0..3 {
            let (u, w) = (corners[k], corners[(k + 1) % 3]);
            let length = (w[0] - u[0]).hypot(w[1] - u[1]).max(f64::MIN_POSITIVE);
            self.clear = self.clear.min(turn(u, w, p) / length);
        }
    }
}

/// A place inside a closed line: the middle of the widest stretch at the height midway between two of its points.
fn inside_of(flat: &[[f64; 2]]) -> [f64; 2] {
    let (low, high) = flat.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p[1]), h.max(p[1])));
    // Off the middle by an odd share, so that it passes through no point of a symmetric line.
    let level = low + (high - low) * 0.487_31;
    let n = flat.len();
    let mut cuts: Vec<f64> = (0..n)
        .map(|i| (flat[i], flat[(i + 1) % n]))
        .filter(|(a, b)| (a[1] > level) != (b[1] > level))
        .map(|(a, b)| a[0] + (b[0] - a[0]) * (level - a[1]) / (b[1] - a[1]))
        .collect();
    cuts.sort_by(f64::total_cmp);
    let widest = cuts.chunks_exact(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    widest.map_or(flat[0], |w| [0.5 * (w[0] + w[1]), level])
}
