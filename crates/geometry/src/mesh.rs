//! A closed triangle mesh of a loft.
//!
//! Rows of vertices lie on sections; the fractions of the half section are the same in every row, so that knuckles run
//! along edges. Flat ends get a cap, a point end a fan, an upright edge closes on itself, a level edge gets a cap without area.

use crate::loft::Loft;
use crate::section::Section;
use crate::weave::Weave;

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

    /// Edges that do not lie between exactly two triangles of opposite sense; none in a closed mesh.
    pub fn open_edges(&self) -> usize {
        let mut seen = std::collections::BTreeMap::new();
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
        let rings: Vec<Ring> = rows.iter().map(|(x, row)| self.ring(*x, row)).collect();
        for w in rings.windows(2) {
            self.band(&w[0], &w[1], false);
            self.band(&w[0], &w[1], true);
        }
        if let (Some(first), Some(last)) = (rings.first(), rings.last()) {
            self.cap(first, true);
            self.cap(last, false);
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

    /// A flat face: strips across from starboard to port.
    fn cap(&mut self, ring: &Ring, front: bool) {
        for i in 0..ring.starboard.len() - 1 {
            let (s, p) = (&ring.starboard, &ring.port);
            self.triangle(s[i], s[i + 1], p[i + 1], !front);
            self.triangle(s[i], p[i + 1], p[i], !front);
        }
    }

    fn triangle(&mut self, a: u32, b: u32, c: u32, turned: bool) {
        if a == b || b == c || c == a {
            return;
        }
        self.mesh.triangles.push(if turned { [a, c, b] } else { [a, b, c] });
    }
}
