//! What crosses what: the triangles of two grids, and the segments along which they cross.
//!
//! Signs are those of the volumes of tetrahedra, each computed from the same corners in the same order whoever asks, so that two
//! triangles that share an edge never disagree about it.

use super::boxes::{Bounds, Tree};
use super::chain::{Chain, linked};
use super::grid::{Grid, Triangle};
use super::skin::At;
use crate::space::{Vector, add, cross, dot, sub, times};
use std::collections::HashMap;

/// A place at which an edge of one grid crosses a triangle of the other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Crossing {
    /// Whose edge it is: 0 the first form's, 1 the added form's.
    pub(super) edge_of: usize,
    /// Parameters of the ends of the edge.
    pub(super) edge: [At; 2],
    /// Share of the edge at which it crosses.
    pub(super) share: f64,
    /// Parameters of the place on the other skin.
    pub(super) other: At,
}

/// Places and lines through them.
#[derive(Debug, Default)]
pub(super) struct Crossings {
    pub(super) places: Vec<Crossing>,
    pub(super) chains: Vec<Chain>,
}

/// The triangles of one grid with their corners.
struct Side {
    points: Vec<Vector>,
    triangles: Vec<Triangle>,
    boxes: Vec<Bounds>,
}

impl Side {
    fn new(grid: &Grid, nudge: Vector) -> Self {
        let points: Vec<Vector> = grid.points.iter().map(|p| add(*p, nudge)).collect();
        let triangles = grid.triangles();
        let boxes = triangles.iter().map(|t| Bounds::of(t.nodes.map(|n| points[n as usize]))).collect();
        Self { points, triangles, boxes }
    }

    fn corner(&self, node: u32) -> Vector {
        self.points[node as usize]
    }
}

/// What the triangles of two grids have in common, once the corners of the second are moved by `nudge`.
pub(super) fn crossings(grids: &[Grid; 2], nudge: Vector) -> Crossings {
    let sides = [Side::new(&grids[0], [0.0; 3]), Side::new(&grids[1], nudge)];
    let tree = Tree::new(&sides[0].boxes);
    let mut found = Found { sides: &sides, known: HashMap::new(), places: Vec::new(), segments: Vec::new() };
    for (b, bounds) in sides[1].boxes.iter().enumerate() {
        tree.meeting(&sides[0].boxes, bounds, &mut |a| found.pair([a, b]));
    }
    let chains = linked(found.places.len(), &found.segments);
    Crossings { places: found.places, chains }
}

/// Edge of one side, by its corners, and a triangle of the other.
type Key = (usize, u32, u32, usize);

struct Found<'a> {
    sides: &'a [Side; 2],
    known: HashMap<Key, usize>,
    places: Vec<Crossing>,
    segments: Vec<[usize; 2]>,
}

impl Found<'_> {
    fn pair(&mut self, pair: [usize; 2]) {
        let triangles = [0, 1].map(|k| self.sides[k].triangles[pair[k]]);
        let heights = [0, 1].map(|k| {
            let plane = triangles[1 - k].nodes.map(|n| self.sides[1 - k].corner(n));
            triangles[k].nodes.map(|n| volume(plane[0], plane[1], plane[2], self.sides[k].corner(n)))
        });
        let beside = |h: &[f64; 3]| h.iter().all(|v| *v > 0.0) || h.iter().all(|v| *v < 0.0);
        if heights.iter().any(beside) {
            return;
        }
        let mut ends = Vec::new();
        for (k, own) in heights.iter().enumerate() {
            for (i, j) in [(0, 1), (1, 2), (2, 0)] {
                if (own[i] > 0.0) != (own[j] > 0.0) {
                    ends.extend(self.crossing(k, [i, j], pair, &triangles, *own));
                }
            }
        }
        if let [a, b] = ends[..] {
            self.segments.push([a, b]);
        }
    }

    /// The place at which edge `[i, j]` of side `k`'s triangle crosses the other triangle.
    fn crossing(
        &mut self,
        k: usize,
        [i, j]: [usize; 2],
        pair: [usize; 2],
        triangles: &[Triangle; 2],
        heights: [f64; 3],
    ) -> Option<usize> {
        let own = &triangles[k];
        let [i, j] = if own.nodes[i] < own.nodes[j] { [i, j] } else { [j, i] };
        let shares = self.shares(k, [own.nodes[i], own.nodes[j]], &triangles[1 - k])?;
        let key = (k, own.nodes[i], own.nodes[j], pair[1 - k]);
        if let Some(known) = self.known.get(&key) {
            return Some(*known);
        }
        let at = triangles[1 - k].at;
        let other = [0, 1].map(|c| (0..3).map(|n| shares[n] * at[n][c]).sum());
        let share = heights[i] / (heights[i] - heights[j]);
        self.places.push(Crossing { edge_of: k, edge: [own.at[i], own.at[j]], share, other });
        self.known.insert(key, self.places.len() - 1);
        Some(self.places.len() - 1)
    }

    /// Shares of the corners of a triangle in the place at which the line through an edge passes it; `None` where it passes beside.
    fn shares(&self, k: usize, edge: [u32; 2], triangle: &Triangle) -> Option<[f64; 3]> {
        let opposite = [(1, 2), (2, 0), (0, 1)];
        let volumes = opposite.map(|(a, b)| self.between(k, edge, [triangle.nodes[a], triangle.nodes[b]]));
        let all = |sign: f64| volumes.iter().all(|v| sign * v > 0.0);
        let sum: f64 = volumes.iter().sum();
        (all(1.0) || all(-1.0)).then(|| volumes.map(|v| v / sum))
    }

    /// Volume between an edge of side `k` and one of the other side: always the same number for these two, with the sign of the
    /// second's direction.
    fn between(&self, k: usize, edge: [u32; 2], [a, b]: [u32; 2]) -> f64 {
        let (other, sign) = if a < b { ([a, b], 1.0) } else { ([b, a], -1.0) };
        let of = |k: usize, edge: [u32; 2]| edge.map(|n| self.sides[k].corner(n));
        let (first, second) = if k == 0 { (of(0, edge), of(1, other)) } else { (of(0, other), of(1, edge)) };
        sign * volume(first[0], first[1], second[0], second[1])
    }
}

/// Six times the volume of a tetrahedron, positive where the fourth corner lies on the side that sees the others run
/// counter-clockwise.
fn volume(a: Vector, b: Vector, c: Vector, d: Vector) -> f64 {
    dot(cross(sub(b, a), sub(c, a)), sub(d, a))
}

/// The place a share of the way along an edge in parameters.
pub(super) fn along(edge: &[At; 2], share: f64) -> At {
    [0, 1].map(|c| edge[0][c] + share * (edge[1][c] - edge[0][c]))
}

/// A place a share of the way from one to another.
pub(super) fn between(a: Vector, b: Vector, share: f64) -> Vector {
    add(a, times(sub(b, a), share))
}
