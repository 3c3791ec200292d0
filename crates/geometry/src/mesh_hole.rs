//! Holes in a triangle mesh: a closed line that lies on the surface is cut into the mesh, and what it holds goes.
//!
//! ```text
//!        .-----.-----.       the line is walked through the triangles as it is seen along the line of sight; where it crosses an
//!       / \   / \   /        edge, both triangles that share the edge get the same new corner, so that nothing gapes and no corner
//!      /   *=====* /         lies on an edge without belonging to it; each triangle that it crosses is cut into polygons along it,
//!     '---*-\-----*-.        and these into triangles by cutting off ears
//!          * \   / *
//! ```
//!
//! The edge of the hole is the line as it is given: its points, and further corners on its chords. Beside it corners of the mesh's
//! edges are moved onto the line, by no more than mesh and line lie apart; elsewhere the mesh stays as it was.
//!
//! A line that passes a corner of the mesh, or whose point lies on an edge, would leave triangles without an area. So the line is
//! walked at several places a few thousandths of a millimetre apart, and cut where it keeps clear best; its corners are set down at
//! the places that were given.

mod around;
mod edges;
mod lining;
mod split;
#[cfg(test)]
mod tests;
mod walk;

use crate::mesh::Mesh;
use split::Splitter;
use thiserror::Error;
use walk::{Track, Walker};

/// Why a line cannot be cut into a mesh.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum HoleError {
    /// Fewer than three points, or no area as it is seen.
    #[error("the outline holds no area")]
    Empty,
    /// No triangle that faces the line of sight lies under a point of it.
    #[error("the outline does not lie on the surface")]
    OffSurface,
    /// It runs over an edge of the surface, behind which it is not seen.
    #[error("the outline runs over the edge of what is seen of the surface")]
    OverEdge,
}

/// A corner on the edge of a hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RimPlace {
    /// The mesh's vertex.
    pub vertex: u32,
    /// Number of the line's point, with the share of the way to the next.
    pub along: f64,
}

/// The edge of a hole, the hole at its left as it is seen along the line of sight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HoleRim {
    /// Corners by rising `along`.
    pub places: Vec<RimPlace>,
    /// Whether the line was given the other way round: then `along` counts its points backward from the first.
    pub turned: bool,
    /// How many points the line has.
    pub points: usize,
}

/// A mesh with edges along a closed line.
#[derive(Clone, Debug)]
pub struct Parted {
    /// The mesh.
    pub mesh: Mesh,
    /// For each triangle, whether the line holds it.
    pub inside: Vec<bool>,
    /// The line.
    pub rim: HoleRim,
}

impl Parted {
    /// The mesh without what the line holds.
    #[must_use]
    pub fn outside(self) -> (Mesh, HoleRim) {
        let Self { mut mesh, inside, mut rim } = self;
        let mut held = inside.into_iter();
        mesh.triangles.retain(|_| held.next() != Some(true));
        let mut vertices: Vec<u32> = rim.places.iter().map(|r| r.vertex).collect();
        let mesh = mesh.compact(&mut vertices);
        rim.places.iter_mut().zip(vertices).for_each(|(place, vertex)| place.vertex = vertex);
        (mesh, rim)
    }
}

/// The line as it is seen, and the mesh as it is seen.
pub(crate) struct Seen {
    across: [f64; 3],
    up: [f64; 3],
    sight: [f64; 3],
}

impl Seen {
    /// Axes square to the line of sight, so that a triangle that faces it runs counter-clockwise.
    fn along(sight: [f64; 3]) -> Self {
        let length = dot(sight, sight).sqrt().max(f64::MIN_POSITIVE);
        let sight = sight.map(|c| c / length);
        let least = (0..3).min_by(|a, b| sight[*a].abs().total_cmp(&sight[*b].abs())).unwrap_or(0);
        let mut other = [0.0; 3];
        other[least] = 1.0;
        let across = cross(other, sight);
        let length = dot(across, across).sqrt().max(f64::MIN_POSITIVE);
        let across = across.map(|c| c / length);
        Self { across, up: cross(across, sight), sight }
    }

    fn place(&self, p: [f64; 3]) -> [f64; 2] {
        [dot(p, self.across), dot(p, self.up)]
    }

    fn depth(&self, p: [f64; 3]) -> f64 {
        dot(p, self.sight)
    }

    /// The box of a line as it is seen: its lower left corner and its upper right one.
    fn bounds(&self, line: &[[f64; 3]]) -> [[f64; 2]; 2] {
        let empty = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
        line.iter().map(|p| self.place(*p)).fold(empty, |[low, high], p| {
            [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
        })
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Twice the signed area of a triangle.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Clearance that is enough, mm: far more than rounding, far less than any tolerance.
const CLEAR: f64 = 2e-4;
/// The line is walked at so many places at most.
const TRIES: u32 = 24;
/// The farthest of them from the line's own place, mm.
const ASIDE: f64 = 4e-3;

impl Mesh {
    /// The mesh with a hole along a closed line (its first point not repeated) that lies on it within its tolerance, as it is
    /// seen along `sight`. Triangles that face away are neither crossed nor taken.
    ///
    /// # Errors
    /// The line holds no area, does not lie on the mesh, or runs over an edge of what is seen of it.
    pub fn with_hole(&self, line: &[[f64; 3]], sight: [f64; 3]) -> Result<(Self, HoleRim), HoleError> {
        Ok(self.parted(line, sight)?.outside())
    }

    /// As [`Mesh::with_hole`], with what the line holds still there.
    ///
    /// # Errors
    /// As [`Mesh::with_hole`].
    pub fn parted(&self, line: &[[f64; 3]], sight: [f64; 3]) -> Result<Parted, HoleError> {
        let seen = Seen::along(sight);
        let area = |line: &[[f64; 3]]| {
            let flat: Vec<[f64; 2]> = line.iter().map(|p| seen.place(*p)).collect();
            (1..flat.len().saturating_sub(1)).map(|i| turn(flat[0], flat[i], flat[i + 1])).sum::<f64>()
        };
        let whole = area(line);
        if line.len() < 3 || !whole.is_finite() || whole.abs() < CLEAR * CLEAR {
            return Err(HoleError::Empty);
        }
        let turned = whole < 0.0;
        let line = if turned { turned_round(line) } else { line.to_vec() };
        let mut mesh = self.clone();
        let track = match best_track(&mesh, &seen, &line)? {
            Track::Inside { triangle, within } => {
                mesh.divide(triangle, within, &seen);
                match best_track(&mesh, &seen, &line)? {
                    Track::Inside { .. } => return Err(HoleError::Empty),
                    Track::Across(crossed) => crossed,
                }
            }
            Track::Across(crossed) => crossed,
        };
        let (mesh, inside, places) = Splitter::new(mesh, &seen, &line, &track).cut();
        Ok(Parted { mesh, inside, rim: HoleRim { places, turned, points: line.len() } })
    }

    /// Divides a triangle at a place inside it, so that a line around that place crosses edges.
    fn divide(&mut self, triangle: usize, within: [f64; 2], seen: &Seen) {
        let t = self.triangles[triangle];
        let [a, b, c] = t.map(|v| self.vertices[v as usize]);
        let [fa, fb, fc] = [a, b, c].map(|p| seen.place(p));
        let whole = turn(fa, fb, fc);
        let (u, v) = (turn(fa, within, fc) / whole, turn(fa, fb, within) / whole);
        let middle = self.vertices.len() as u32;
        self.vertices.push([0, 1, 2].map(|k| a[k] + u * (b[k] - a[k]) + v * (c[k] - a[k])));
        self.triangles[triangle] = [t[0], t[1], middle];
        self.triangles.push([t[1], t[2], middle]);
        self.triangles.push([t[2], t[0], middle]);
    }

    /// The mesh without the triangles of which all three corners lie where `on` says: without a flat end, for instance.
    #[must_use]
    pub fn without_face(&self, on: impl Fn([f64; 3]) -> bool) -> Self {
        let lies: Vec<bool> = self.vertices.iter().map(|v| on(*v)).collect();
        let kept = self.triangles.iter().filter(|t| !t.iter().all(|v| lies[*v as usize]));
        Self { vertices: self.vertices.clone(), triangles: kept.copied().collect() }.compact(&mut [])
    }

    /// Without vertices that no triangle has; `also` are further vertices, renumbered with them.
    pub(crate) fn compact(self, also: &mut [u32]) -> Self {
        let mut numbers: Vec<Option<u32>> = vec![None; self.vertices.len()];
        let mut vertices = Vec::new();
        let mut number = |v: u32| {
            *numbers[v as usize].get_or_insert_with(|| {
                vertices.push(self.vertices[v as usize]);
                (vertices.len() - 1) as u32
            })
        };
        let triangles = self.triangles.iter().map(|t| t.map(&mut number)).collect();
        also.iter_mut().for_each(|v| *v = number(*v));
        Self { vertices, triangles }
    }
}

/// The line the other way round, from the same first point.
pub(crate) fn turned_round(line: &[[f64; 3]]) -> Vec<[f64; 3]> {
    line.iter().take(1).chain(line.iter().skip(1).rev()).copied().collect()
}

/// The track that keeps clear of the mesh's corners best, of the first few; the first that is clear enough.
fn best_track(mesh: &Mesh, seen: &Seen, line: &[[f64; 3]]) -> Result<Track, HoleError> {
    let walker = Walker::new(mesh, seen, seen.bounds(line));
    let mut best: Option<(f64, Track)> = None;
    let mut failed = HoleError::OffSurface;
    for i in 0..TRIES {
        // Places on a spiral whose turns never repeat: the golden angle.
        let reach = ASIDE * (f64::from(i) / f64::from(TRIES)).sqrt();
        let (sin, cos) = (2.399_963 * f64::from(i)).sin_cos();
        match walker.walk(line, [reach * cos, reach * sin]) {
            Ok((clear, track)) => {
                let enough = clear >= CLEAR;
                if best.as_ref().is_none_or(|b| clear > b.0) {
                    best = Some((clear, track));
                }
                if enough {
                    break;
                }
            }
            Err(why) => failed = why,
        }
    }
    best.map(|b| b.1).ok_or(failed)
}
