//! Triangles cut along a line, and what the line holds taken out.

use super::edges::{Edges, edge, sides};
use super::walk::Crossed;
use super::{RimPlace, Seen};
use crate::mesh::{Mesh, ears};
use std::collections::BTreeMap;

/// A polygon of vertices, counter-clockwise as it is seen; whether the line holds it, as far as that is known.
struct Piece {
    corners: Vec<u32>,
    inside: bool,
}

pub(super) struct Splitter<'a> {
    mesh: Mesh,
    crossed: &'a Crossed,
    /// Places of all vertices as they are seen.
    flat: Vec<[f64; 2]>,
    /// Vertices of the crossings, and of the line's points.
    crossing: Vec<u32>,
    point: Vec<u32>,
    /// Vertices put on each edge, by their share of the way along it.
    on_edge: BTreeMap<(u32, u32), Vec<(f64, u32)>>,
}

impl<'a> Splitter<'a> {
    pub(super) fn new(mut mesh: Mesh, seen: &Seen, line: &[[f64; 3]], crossed: &'a Crossed) -> Self {
        let mut flat: Vec<[f64; 2]> = mesh.vertices.iter().map(|v| seen.place(*v)).collect();
        let n = line.len();
        let mut add = |p: [f64; 3], seen_at: [f64; 2]| {
            mesh.vertices.push(p);
            flat.push(seen_at);
            (mesh.vertices.len() - 1) as u32
        };
        let point: Vec<u32> = line.iter().zip(&crossed.flat).map(|(p, f)| add(*p, *f)).collect();
        let mut on_edge: BTreeMap<(u32, u32), Vec<(f64, u32)>> = BTreeMap::new();
        let mut crossing = Vec::new();
        for c in &crossed.crossings {
            let i = (c.along.floor() as usize).min(n - 1);
            let (share, next) = (c.along - i as f64, (i + 1) % n);
            let (p, q) = (line[i], line[next]);
            let (fp, fq) = (crossed.flat[i], crossed.flat[next]);
            let at = [0, 1, 2].map(|k| p[k] + share * (q[k] - p[k]));
            let v = add(at, [0, 1].map(|k| fp[k] + share * (fq[k] - fp[k])));
            on_edge.entry(c.edge).or_default().push((c.on_edge, v));
            crossing.push(v);
        }
        on_edge.values_mut().for_each(|list| list.sort_by(|a, b| a.0.total_cmp(&b.0)));
        Self { mesh, crossed, flat, crossing, point, on_edge }
    }

    /// The mesh with edges along the line, which triangles it holds, and the line's vertices.
    pub(super) fn cut(mut self) -> (Mesh, Vec<bool>, Vec<RimPlace>) {
        let mut chains: BTreeMap<usize, Vec<Vec<u32>>> = BTreeMap::new();
        let count = self.crossing.len();
        for s in &self.crossed.stretches {
            let between = s.points.iter().map(|&i| self.point[i]);
            let ends = (self.crossing[s.enters], self.crossing[(s.enters + 1) % count]);
            let chain = std::iter::once(ends.0).chain(between).chain([ends.1]).collect();
            chains.entry(s.triangle).or_default().push(chain);
        }
        let old = std::mem::take(&mut self.mesh.triangles);
        let mut triangles = Vec::with_capacity(old.len() + 4 * (count + self.point.len()));
        let mut taken: Vec<usize> = Vec::new();
        let mut done = 0;
        // What lies between two triangles that are cut stays as it is.
        for (i, chains) in chains {
            triangles.extend_from_slice(&old[done..i]);
            done = i + 1;
            for piece in self.pieces(old[i], &chains) {
                let clockwise: Vec<u32> = piece.corners.iter().rev().copied().collect();
                let at = |v: u32| self.flat[v as usize];
                for [a, b, c] in ears(&clockwise, &at) {
                    if piece.inside {
                        taken.push(triangles.len());
                    }
                    triangles.push([a, c, b]);
                }
            }
        }
        triangles.extend_from_slice(&old[done..]);
        self.mesh.triangles = triangles;
        let rim = self.rim();
        let inside = self.held(taken, &rim);
        (self.mesh, inside, rim)
    }

    /// A triangle's polygons between the chains that cross it.
    fn pieces(&self, t: [u32; 3], chains: &[Vec<u32>]) -> Vec<Piece> {
        let mut corners = Vec::new();
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            corners.push(a);
            let between = self.on_edge.get(&(a.min(b), a.max(b))).map_or(&[][..], Vec::as_slice);
            if a < b {
                corners.extend(between.iter().map(|e| e.1));
            } else {
                corners.extend(between.iter().rev().map(|e| e.1));
            }
        }
        let mut pieces = vec![Piece { corners, inside: false }];
        for chain in chains {
            divide(&mut pieces, chain);
        }
        pieces
    }

    fn rim(&self) -> Vec<RimPlace> {
        let points = self.point.iter().enumerate().map(|(i, v)| RimPlace { vertex: *v, along: i as f64 });
        let crossings = self.crossed.crossings.iter().zip(&self.crossing);
        let mut rim: Vec<RimPlace> =
            points.chain(crossings.map(|(c, v)| RimPlace { vertex: *v, along: c.along })).collect();
        rim.sort_by(|a, b| a.along.total_cmp(&b.along));
        rim
    }

    /// Which triangles the line holds: those known to be held, and all that hang together with them this side of the line.
    fn held(&self, taken: Vec<usize>, rim: &[RimPlace]) -> Vec<bool> {
        let triangles = &self.mesh.triangles;
        let mut wall: Vec<(u32, u32)> =
            (0..rim.len()).map(|i| edge(rim[i].vertex, rim[(i + 1) % rim.len()].vertex)).collect();
        wall.sort_unstable();
        let edges = Edges::of(self.mesh.vertices.len(), triangles.iter().copied().enumerate());
        let mut held = vec![false; triangles.len()];
        let mut front = taken;
        front.iter().for_each(|&i| held[i] = true);
        while let Some(i) = front.pop() {
            for side in sides(triangles[i]).into_iter().filter(|side| wall.binary_search(side).is_err()) {
                front.extend(edges.beside(side).filter(|&n| !std::mem::replace(&mut held[n], true)));
            }
        }
        held
    }
}

/// Divides the polygon that has both ends of a chain; what lies at the chain's left is held by the line.
fn divide(pieces: &mut Vec<Piece>, chain: &[u32]) {
    let (Some(first), Some(last)) = (chain.first(), chain.last()) else { return };
    let both = |p: &Piece| {
        let at = |v: &u32| p.corners.iter().position(|c| c == v);
        Some((at(first)?, at(last)?))
    };
    let Some((index, (from, to))) = pieces.iter().enumerate().find_map(|(i, p)| Some((i, both(p)?))) else { return };
    let piece = pieces.swap_remove(index);
    let n = piece.corners.len();
    let way = |from: usize, to: usize| {
        let count = (to + n - from) % n;
        (0..=count).map(move |i| (from + i) % n)
    };
    let inner = &chain[1..chain.len() - 1];
    // At the left of the chain runs the polygon's edge from the chain's end back to its beginning.
    let left: Vec<u32> = way(to, from).map(|i| piece.corners[i]).chain(inner.iter().copied()).collect();
    let right: Vec<u32> = way(from, to).map(|i| piece.corners[i]).chain(inner.iter().rev().copied()).collect();
    pieces.push(Piece { corners: left, inside: true });
    pieces.push(Piece { corners: right, inside: false });
}
