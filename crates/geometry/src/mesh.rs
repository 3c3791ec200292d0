//! A closed triangle mesh of a loft.
//!
//! Rows of vertices lie on sections; the fractions of the half section are the same in every row, so that knuckles run
//! along edges. Flat ends get a cap, a point end a fan, an upright edge closes on itself, a level edge gets a cap without area.

use crate::loft::Loft;
use crate::section::Section;
use crate::weave::Weave;
use std::collections::{BTreeMap, BTreeSet};

/// A closed, outward-facing triangle mesh: counter-clockwise seen from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Three indices into `vertices` each.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Signed volume in mm³: positive where the triangles face outward.
    pub fn volume(&self) -> f64 {
        let corner = |i: u32| self.vertices[i as usize];
        let wedge = |t: &[u32; 3]| {
            let [a, b, c] = t.map(corner);
            a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
        };
        self.triangles.iter().map(wedge).sum::<f64>() / 6.0
    }

    /// Area of all triangles, mm².
    pub fn area(&self) -> f64 {
        let triangle = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|i| self.vertices[i as usize]);
            let (u, v) = ([0, 1, 2].map(|k| b[k] - a[k]), [0, 1, 2].map(|k| c[k] - a[k]));
            let n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
            0.5 * (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt()
        };
        self.triangles.iter().map(triangle).sum()
    }

    /// The closed lines of open edges, as vertices in order, the mesh at their left; where two of them touch at a vertex they are
    /// told apart in one of the possible ways.
    pub fn open_loops(&self) -> Vec<Vec<u32>> {
        let mut sides: BTreeSet<(u32, u32)> = BTreeSet::new();
        for t in &self.triangles {
            sides.extend([(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]);
        }
        let mut next: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (a, b) in sides.iter().filter(|(a, b)| !sides.contains(&(*b, *a))) {
            next.entry(*a).or_default().push(*b);
        }
        let mut loops = Vec::new();
        while let Some(start) = next.iter().find(|n| !n.1.is_empty()).map(|n| *n.0) {
            let mut line = vec![start];
            let mut at = start;
            while let Some(to) = next.get_mut(&at).and_then(Vec::pop).filter(|to| *to != start) {
                line.push(to);
                at = to;
            }
            loops.push(line);
        }
        loops
    }

    /// Edges that do not lie between exactly two triangles of opposite sense; none in a closed mesh.
    pub fn open_edges(&self) -> usize {
        let mut seen = BTreeMap::new();
        for t in &self.triangles {
            for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                let key = (a.min(b), a.max(b));
                let entry: &mut (u32, i32) = seen.entry(key).or_default();
                entry.0 += 1;
                entry.1 += if a < b { 1 } else { -1 };
            }
        }
        seen.values().filter(|(count, sense)| *count != 2 || *sense != 0).count()
    }
}

/// A row of places from crown to keel.
type Row = Vec<[f64; 2]>;

/// Below this, in mm, vertices are one.
const SAME: f64 = 1e-7;

impl Loft {
    /// A closed mesh whose triangles stay within `tolerance` mm of the surface.
    ///
    /// The bound is checked, not proved: along every section at the middles of the chords between fractions, and along the
    /// body at the middles of the bays between rows, each at half the tolerance. Cost grows with the inverse of the
    /// tolerance. Where a section crosses the centre plane the mesh is still closed, but folds over itself.
    pub fn mesh(&self, tolerance: f64) -> Mesh {
        let weave = self.weave(0.5 * tolerance);
        let rows: Vec<(f64, Row)> = self.row_places(&weave, 0.5 * tolerance);
        Builder::default().build(&rows)
    }

    fn row(&self, weave: &Weave, x: f64) -> Row {
        let section = Section::new(self, x);
        weave.strands().map(|(half, strand)| section.place(half, strand).p).collect()
    }

    /// Rows along the body, so dense that straight lines between them stay within `tolerance`.
    fn row_places(&self, weave: &Weave, tolerance: f64) -> Vec<(f64, Row)> {
        let breaks = self.x_breaks();
        let last = breaks.len() - 2;
        let mut rows = vec![(breaks[0], self.row(weave, breaks[0]))];
        for (i, w) in breaks.windows(2).enumerate() {
            let ease = (i == 0, i == last);
            let x_at = |t: f64| w[0] + (w[1] - w[0]) * eased(t, ease);
            let from = (0.0, self.row(weave, w[0]));
            let to = (1.0, self.row(weave, w[1]));
            self.halve_rows(weave, &x_at, &from, &to, tolerance, 9, &mut rows);
            rows.push((w[1], to.1));
        }
        rows
    }

    #[expect(clippy::too_many_arguments, reason = "a recursion that carries its whole state")]
    fn halve_rows(
        &self,
        weave: &Weave,
        x_at: &impl Fn(f64) -> f64,
        from: &(f64, Row),
        to: &(f64, Row),
        tolerance: f64,
        depth: u32,
        rows: &mut Vec<(f64, Row)>,
    ) {
        let t = 0.5 * (from.0 + to.0);
        let (x0, x1, x) = (x_at(from.0), x_at(to.0), x_at(t));
        let middle = (t, self.row(weave, x));
        let share = (x - x0) / (x1 - x0);
        let off = |i: usize| {
            let chord = |k: usize| from.1[i][k] + share * (to.1[i][k] - from.1[i][k]);
            let miss = (middle.1[i][0] - chord(0)).hypot(middle.1[i][1] - chord(1));
            let rise = (to.1[i][0] - from.1[i][0]).hypot(to.1[i][1] - from.1[i][1]);
            // The distance from a steep chord is less than the distance within the station's plane.
            miss * (x1 - x0) / (x1 - x0).hypot(rise)
        };
        if depth == 0 || (0..from.1.len()).all(|i| off(i) <= tolerance) {
            return;
        }
        self.halve_rows(weave, x_at, from, &middle, tolerance, depth - 1, rows);
        rows.push((x, middle.1.clone()));
        self.halve_rows(weave, x_at, &middle, to, tolerance, depth - 1, rows);
    }
}

/// Share of a bay at t: even inside the body, easing towards the ends as an upright line does.
fn eased(t: f64, (front, rear): (bool, bool)) -> f64 {
    match (front, rear) {
        (true, true) => 0.5 * (1.0 - (std::f64::consts::PI * t).cos()),
        (true, false) => t * t,
        (false, true) => 1.0 - (1.0 - t) * (1.0 - t),
        (false, false) => t,
    }
}

/// A row as vertex numbers: starboard side from crown to keel, and port side; on the centre plane both are the same vertex.
struct Ring {
    starboard: Vec<u32>,
    port: Vec<u32>,
}

impl Ring {
    fn is_shared(&self, i: usize) -> bool {
        self.starboard[i] == self.port[i]
    }
}

#[derive(Default)]
struct Builder {
    mesh: Mesh,
}

impl Builder {
    fn build(mut self, rows: &[(f64, Row)]) -> Mesh {
        let last = rows.len() - 1;
        let level = |i: usize| (i == 0 || i == last) && is_level_edge(&rows[i].1);
        let rings: Vec<Ring> = rows
            .iter()
            .enumerate()
            .map(|(i, (x, row))| if level(i) { self.level_ring(*x, row) } else { self.ring(*x, row) })
            .collect();
        for (i, w) in rings.windows(2).enumerate() {
            if level(i) || level(i + 1) {
                self.edge_band(&rows[i..=i + 1], &w[0], &w[1]);
            } else {
                self.band(&w[0], &w[1], false);
                self.band(&w[0], &w[1], true);
            }
        }
        for (i, front) in [(0, true), (last, false)] {
            if !level(i) {
                self.cap(&rings[i], front);
            }
        }
        self.mesh
    }

    fn ring(&mut self, x: f64, row: &[[f64; 2]]) -> Ring {
        let mut ring = Ring { starboard: Vec::new(), port: Vec::new() };
        let is_point = row.iter().all(|p| (p[0] - row[0][0]).hypot(p[1] - row[0][1]) < SAME && p[0].abs() < SAME);
        for (i, p) in row.iter().enumerate() {
            let before = i.checked_sub(1).map(|j| row[j]);
            let repeats = before.is_some_and(|b| (p[0] - b[0]).hypot(p[1] - b[1]) < SAME);
            if repeats || (is_point && i > 0) {
                ring.starboard.push(ring.starboard[i - 1]);
                ring.port.push(ring.port[i - 1]);
                continue;
            }
            let centre = p[0].abs() < SAME || i == 0 || i + 1 == row.len();
            let s = self.vertex([x, if centre { 0.0 } else { p[0] }, p[1]]);
            ring.starboard.push(s);
            ring.port.push(if centre { s } else { self.vertex([x, -p[0], p[1]]) });
        }
        ring
    }

    fn vertex(&mut self, p: [f64; 3]) -> u32 {
        self.mesh.vertices.push(p);
        (self.mesh.vertices.len() - 1) as u32
    }

    /// The strip between two rings on one side; on the port side the triangles are turned over.
    fn band(&mut self, front: &Ring, rear: &Ring, port: bool) {
        let (f, r) = if port { (&front.port, &rear.port) } else { (&front.starboard, &rear.starboard) };
        for i in 0..f.len() - 1 {
            // A diagonal between two vertices of the centre plane would serve both sides at once: then the other one.
            let shared = front.is_shared(i) && rear.is_shared(i + 1);
            if shared {
                self.triangle(f[i], r[i], f[i + 1], port);
                self.triangle(r[i], r[i + 1], f[i + 1], port);
            } else {
                self.triangle(f[i], r[i], r[i + 1], port);
                self.triangle(f[i], r[i + 1], f[i + 1], port);
            }
        }
    }

    /// A ring of a level edge, where the section has breadth but no height: upper and lower half run along the same line, so
    /// there is one vertex for every place that either of them has.
    fn level_ring(&mut self, x: f64, row: &[[f64; 2]]) -> Ring {
        let mut known: Vec<(f64, u32, u32)> = Vec::new();
        let mut ring = Ring { starboard: Vec::new(), port: Vec::new() };
        for p in row {
            let y = if p[0].abs() < SAME { 0.0 } else { p[0] };
            let found = known.iter().find(|k| (k.0 - y).abs() < SAME).map(|k| (k.1, k.2));
            let (s, p) = found.unwrap_or_else(|| {
                let s = self.vertex([x, y, p[1]]);
                let port = if y == 0.0 { s } else { self.vertex([x, -y, p[1]]) };
                known.push((y, s, port));
                (s, port)
            });
            ring.starboard.push(s);
            ring.port.push(p);
        }
        ring
    }

    /// The band between a level edge and its neighbour: on every half the edge is a straight line, along which the vertices of both
    /// halves lie; each triangle takes the next vertex of the side that is behind, so that none of them is left out.
    fn edge_band(&mut self, rows: &[(f64, Row)], front: &Ring, rear: &Ring) {
        let edge_is_front = is_level_edge(&rows[0].1);
        let (edge_row, edge) = if edge_is_front { (&rows[0].1, front) } else { (&rows[1].1, rear) };
        let (body_row, body) = if edge_is_front { (&rows[1].1, rear) } else { (&rows[0].1, front) };
        let widest = (0..edge_row.len()).max_by(|&a, &b| edge_row[a][0].total_cmp(&edge_row[b][0])).unwrap_or(0);
        for port in [false, true] {
            let side = |ring: &Ring, i: usize| if port { ring.port[i] } else { ring.starboard[i] };
            let mut along: Vec<(f64, u32)> = (0..edge_row.len()).map(|i| (edge_row[i][0], side(edge, i))).collect();
            along.sort_by(|a, b| a.0.total_cmp(&b.0));
            along.dedup_by_key(|e| e.1);
            for (from, to) in [(0, widest), (widest, body_row.len() - 1)] {
                let share = |i: usize| (i - from) as f64 / (to - from).max(1) as f64;
                let own: Vec<(f64, f64)> = (from..=to).map(|i| (edge_row[i][0], share(i))).collect();
                let mut edge: Vec<(f64, u32)> = along.iter().map(|e| (share_at(&own, e.0), e.1)).collect();
                if from > 0 {
                    edge.reverse();
                }
                let strip: Vec<(f64, u32)> = (from..=to).map(|i| (share(i), side(body, i))).collect();
                if edge_is_front {
                    self.zip(&edge, &strip, port);
                } else {
                    self.zip(&strip, &edge, port);
                }
            }
        }
    }

    /// The strip between two lists of (share of the way, vertex) that begin and end together.
    fn zip(&mut self, front: &[(f64, u32)], rear: &[(f64, u32)], port: bool) {
        let (mut i, mut j) = (0, 0);
        while i + 1 < front.len() || j + 1 < rear.len() {
            let front_next = j + 1 == rear.len() || (i + 1 < front.len() && front[i + 1].0 < rear[j + 1].0);
            if front_next {
                self.triangle(front[i].1, rear[j].1, front[i + 1].1, port);
                i += 1;
            } else {
                self.triangle(front[i].1, rear[j].1, rear[j + 1].1, port);
                j += 1;
            }
        }
    }

    /// A flat face: strips across from starboard to port, where they all have an area; else by cutting off ears.
    fn cap(&mut self, ring: &Ring, front: bool) {
        let mut outline: Vec<u32> = ring.starboard.clone();
        outline.extend(ring.port.iter().rev());
        outline.dedup();
        if outline.len() > 1 && outline.first() == outline.last() {
            outline.pop();
        }
        if outline.len() < 3 {
            return;
        }
        let strips = strips(ring);
        let at = |i: u32| [self.mesh.vertices[i as usize][1], self.mesh.vertices[i as usize][2]];
        let sound = strips.iter().all(|t| turn(t.map(at)) < -LEAST_CAP_TRIANGLE);
        let triangles = if sound { strips } else { ears(&outline, &at) };
        for t in triangles {
            self.triangle(t[0], t[1], t[2], !front);
        }
    }

    fn triangle(&mut self, a: u32, b: u32, c: u32, turned: bool) {
        if a == b || b == c || c == a {
            return;
        }
        self.mesh.triangles.push(if turned { [a, c, b] } else { [a, b, c] });
    }
}

/// Twice the least area, mm², that a triangle of a cap made of strips must have.
const LEAST_CAP_TRIANGLE: f64 = 1e-9;

/// A section with breadth but without height.
fn is_level_edge(row: &[[f64; 2]]) -> bool {
    row.iter().all(|p| (p[1] - row[0][1]).abs() < SAME) && row.iter().any(|p| p[0] > SAME)
}

/// The share of the way at half-breadth y, straight between the places (y, share) of a half, which rise or fall throughout.
fn share_at(own: &[(f64, f64)], y: f64) -> f64 {
    let between = own.windows(2).find(|w| (y - w[0].0) * (y - w[1].0) <= 0.0 && w[0].0 != w[1].0);
    match between {
        Some(w) => w[0].1 + (w[1].1 - w[0].1) * (y - w[0].0) / (w[1].0 - w[0].0),
        None if own.first().is_some_and(|first| (y - first.0).abs() < SAME) => 0.0,
        None => 1.0,
    }
}

/// Triangles across a ring, between mirrored vertices.
fn strips(ring: &Ring) -> Vec<[u32; 3]> {
    let (s, p) = (&ring.starboard, &ring.port);
    let mut out = Vec::new();
    for i in 0..s.len() - 1 {
        for t in [[s[i], s[i + 1], p[i + 1]], [s[i], p[i + 1], p[i]]] {
            if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
                out.push(t);
            }
        }
    }
    out
}

/// Twice the signed area of a triangle.
fn turn([a, b, c]: [[f64; 2]; 3]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// A polygon, run through clockwise, cut into triangles that use all its vertices: always the roundest ear next, so that vertices
/// on a straight edge become corners of triangles with an area and not of flat ones (Meisters, Amer. Math. Monthly 82, 1975).
pub(crate) fn ears(outline: &[u32], at: &impl Fn(u32) -> [f64; 2]) -> Vec<[u32; 3]> {
    let mut rest: Vec<u32> = outline.to_vec();
    let mut out = Vec::new();
    while rest.len() > 3 {
        let n = rest.len();
        let ear = |i: usize| [rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]];
        let best = (0..n)
            .filter(|&i| is_ear(ear(i), &rest, at))
            .max_by(|&a, &b| roundness(ear(a).map(at)).total_cmp(&roundness(ear(b).map(at))));
        // A polygon that crosses itself may have no ear: then any corner serves to close the mesh.
        let i = best.unwrap_or(0);
        out.push(ear(i));
        rest.remove(i);
    }
    out.extend(<[u32; 3]>::try_from(rest).ok());
    out
}

/// Whether the corner is convex and no other vertex lies in its triangle.
fn is_ear(t: [u32; 3], rest: &[u32], at: &impl Fn(u32) -> [f64; 2]) -> bool {
    let [a, b, c] = t.map(at);
    let inside = |p: [f64; 2]| turn([a, b, p]) <= 0.0 && turn([b, c, p]) <= 0.0 && turn([c, a, p]) <= 0.0;
    turn([a, b, c]) < 0.0 && !rest.iter().any(|v| !t.contains(v) && inside(at(*v)))
}

/// Area over the square of the longest side: small for slivers.
fn roundness([a, b, c]: [[f64; 2]; 3]) -> f64 {
    let square = |p: [f64; 2], q: [f64; 2]| (q[0] - p[0]).powi(2) + (q[1] - p[1]).powi(2);
    turn([a, b, c]).abs() / square(a, b).max(square(b, c)).max(square(c, a)).max(f64::MIN_POSITIVE)
}
