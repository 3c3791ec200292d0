//! Finds, for each pixel, the triangle nearest to the eye.
//!
//! Corners are rounded to 1/256 of a pixel and edges tested in whole numbers, so neighbouring triangles leave no gap
//! between them and share no pixel.

use crate::body::Body;
use crate::camera::{Camera, NEAREST};
use crate::clip::{FARTHEST, clip};
use nalgebra::Vector3;
use std::ops::Range;

/// Parts of a pixel that corners are rounded to.
const PARTS: i32 = 256;

/// No triangle.
const NOTHING: u32 = u32::MAX;

/// A body seen from the camera.
pub(crate) struct Posed<'a> {
    pub(crate) body: &'a Body,
    /// Its vertices in camera axes.
    vertices: Vec<Vector3<f64>>,
    /// Where they lie on the picture.
    places: Vec<Option<Place>>,
    /// Number of its first triangle when the triangles of all bodies are counted through.
    first: u32,
}

impl Posed<'_> {
    /// The triangle's corners in camera axes.
    pub(crate) fn corners(&self, triangle: usize) -> [Vector3<f64>; 3] {
        self.body.triangles[triangle].map(|v| self.vertices[v as usize])
    }

    /// Where the triangle's corners lie, if each can be mapped as it is.
    fn places(&self, triangle: usize) -> Option<[Place; 3]> {
        let [a, b, c] = self.body.triangles[triangle].map(|v| self.places[v as usize]);
        Some([a?, b?, c?])
    }
}

/// A point on the picture.
#[derive(Clone, Copy)]
struct Place {
    /// In parts of a pixel.
    at: [i32; 2],
    nearness: f32,
}

impl Place {
    /// `None` if the point has to be clipped, or is not finite.
    fn of(camera: &Camera, p: &Vector3<f64>) -> Option<Self> {
        let [x, y, w] = camera.homogeneous(p);
        let maps = w >= NEAREST && x.abs() <= FARTHEST * w && y.abs() <= FARTHEST * w;
        maps.then(|| Self::at([x / w, y / w], camera.nearness(p.z)))
    }

    /// Of a point that was clipped: rounding may have left it a hair outside.
    fn of_clipped(camera: &Camera, p: &Vector3<f64>) -> Self {
        let [x, y, w] = camera.homogeneous(p);
        Self::at([x / w, y / w].map(|c| c.clamp(-FARTHEST, FARTHEST)), camera.nearness(p.z))
    }

    fn at(pixel: [f64; 2], nearness: f64) -> Self {
        Self { at: pixel.map(|c| (c * f64::from(PARTS) + 0.5).floor() as i32), nearness: nearness as f32 }
    }
}

/// Puts bodies before the camera. What would go beyond 4 thousand million triangles is left out.
pub(crate) fn pose<'a>(bodies: impl Iterator<Item = &'a Body>, camera: &Camera) -> Vec<Posed<'a>> {
    let mut posed = Vec::new();
    let mut first = 0_u32;
    for body in bodies {
        let Some(next) = u32::try_from(body.triangles.len()).ok().and_then(|n| first.checked_add(n)) else { break };
        let vertices: Vec<_> = body.vertices.iter().map(|v| camera.rotation * v + camera.translation).collect();
        let places = vertices.iter().map(|p| Place::of(camera, p)).collect();
        posed.push(Posed { body, vertices, places, first });
        first = next;
    }
    posed
}

/// A triangle on the picture.
pub(crate) struct Flat {
    /// Corners in parts of a pixel, turning from x right towards y down.
    corners: [[i32; 2]; 3],
    nearness: [f32; 3],
    number: u32,
}

/// All triangles that can show in a picture of that size, in the order of the bodies, in as many parts as threads.
pub(crate) fn flatten(posed: &[Posed], camera: &Camera, size: [usize; 2], threads: usize) -> Vec<Vec<Flat>> {
    let count = posed.last().map_or(0, |last| last.first as usize + last.body.triangles.len());
    let share = count.div_ceil(threads).max(1);
    let part = |numbers: Range<usize>| {
        let mut flats = Vec::with_capacity(numbers.len());
        for one in posed {
            let first = one.first as usize;
            let own = numbers.start.clamp(first, first + one.body.triangles.len()) - first
                ..numbers.end.clamp(first, first + one.body.triangles.len()) - first;
            flatten_some(one, camera, own, size, &mut flats);
        }
        flats
    };
    if threads == 1 {
        return vec![part(0..count)];
    }
    std::thread::scope(|scope| {
        let part = &part;
        let parts: Vec<_> = (0..count)
            .step_by(share)
            .map(|start| scope.spawn(move || part(start..(start + share).min(count))))
            .collect();
        // A part can only be lost to a fault of ours; then the rest is still shown.
        parts.into_iter().filter_map(|part| part.join().ok()).collect()
    })
}

fn flatten_some(one: &Posed, camera: &Camera, triangles: Range<usize>, size: [usize; 2], flats: &mut Vec<Flat>) {
    for triangle in triangles {
        let number = one.first + triangle as u32;
        if let Some(places) = one.places(triangle) {
            flats.extend(flat(places, number, size, one.body.closed));
            continue;
        }
        let cut: Vec<_> = clip(camera, one.corners(triangle)).iter().map(|p| Place::of_clipped(camera, p)).collect();
        for i in 2..cut.len() {
            flats.extend(flat([cut[0], cut[i - 1], cut[i]], number, size, false));
        }
    }
}

fn flat(places: [Place; 3], number: u32, size: [usize; 2], front_only: bool) -> Option<Flat> {
    let mut corners = places.map(|p| p.at);
    let mut nearness = places.map(|p| p.nearness);
    let turn = edge(corners[0], corners[1], corners[2]);
    // Outward triangles turn counter-clockwise to the eye, which on a picture with y down is a negative turn.
    if turn < 0 {
        corners.swap(1, 2);
        nearness.swap(1, 2);
    } else if front_only {
        return None;
    }
    let flat = Flat { corners, nearness, number };
    (turn != 0 && !flat.pixels(0, size[0]).is_empty() && !flat.pixels(1, size[1]).is_empty()).then_some(flat)
}

/// Twice the area that `p` spans with the edge from `a` to `b`, positive on the inner side.
fn edge(a: [i32; 2], b: [i32; 2], p: [i32; 2]) -> i64 {
    let [a, b, p] = [a, b, p].map(|c| c.map(i64::from));
    (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
}

impl Flat {
    /// The pixels along an axis whose middles the triangle's box holds, of `end`.
    fn pixels(&self, axis: usize, end: usize) -> Range<usize> {
        let [a, b, c] = self.corners.map(|corner| corner[axis]);
        let pixel = |at: i32| (at + PARTS / 2 - 1).div_euclid(PARTS).max(0) as usize;
        let first = pixel(a.min(b).min(c));
        let end = end.min(pixel(a.max(b).max(c) + 1));
        first..end.max(first)
    }
}

/// What is seen in some rows of the picture.
pub(crate) struct Seen {
    pub(crate) width: usize,
    pub(crate) rows: Range<usize>,
    nearness: Vec<f32>,
    triangle: Vec<u32>,
}

impl Seen {
    /// Draws the triangles into the rows. Of two at the same distance the first is seen.
    pub(crate) fn new(flats: &[Vec<Flat>], width: usize, rows: Range<usize>) -> Self {
        let pixels = width * rows.len();
        let mut seen = Self { width, rows, nearness: vec![f32::NEG_INFINITY; pixels], triangle: vec![NOTHING; pixels] };
        for flat in flats.iter().flatten() {
            seen.draw(flat);
        }
        seen
    }

    /// The body and its triangle at a pixel.
    pub(crate) fn triangle<'a, 'b>(&self, posed: &'a [Posed<'b>], at: usize) -> Option<(usize, &'a Posed<'b>, usize)> {
        let number = self.triangle[at];
        if number == NOTHING {
            return None;
        }
        let body = posed.iter().rposition(|one| one.first <= number)?;
        Some((body, &posed[body], (number - posed[body].first) as usize))
    }

    /// How near the nearest triangle is at a pixel; minus infinity where there is none.
    pub(crate) fn nearness(&self, at: usize) -> f32 {
        self.nearness[at]
    }

    fn draw(&mut self, flat: &Flat) {
        let rows = flat.pixels(1, self.rows.end);
        let rows = rows.start.max(self.rows.start)..rows.end;
        let columns = flat.pixels(0, self.width);
        if rows.is_empty() {
            return;
        }
        let [a, b, c] = flat.corners;
        let edges = [(b, c), (c, a), (a, b)];
        let step = |from: i32, to: i32| i64::from(to - from) * i64::from(PARTS);
        let steps = edges.map(|(from, to)| [step(to[1], from[1]), step(from[0], to[0])]);
        let middle = [columns.start, rows.start].map(|p| p as i32 * PARTS + PARTS / 2);
        let mut row = edges.map(|(from, to)| edge(from, to, middle) - i64::from(!is_top_left(from, to)));
        let plane = Plane::through(flat);
        for y in rows {
            let mut inner = row;
            let line = (y - self.rows.start) * self.width;
            for x in columns.clone() {
                if (inner[0] | inner[1] | inner[2]) >= 0 {
                    self.put(line + x, plane.at(x, y), flat.number);
                }
                for i in 0..3 {
                    inner[i] += steps[i][0];
                }
            }
            for i in 0..3 {
                row[i] += steps[i][1];
            }
        }
    }

    fn put(&mut self, at: usize, nearness: f32, number: u32) {
        if nearness > self.nearness[at] {
            self.nearness[at] = nearness;
            self.triangle[at] = number;
        }
    }
}

/// The rule that gives a pixel on a shared edge to one of the two triangles only.
fn is_top_left(from: [i32; 2], to: [i32; 2]) -> bool {
    to[1] < from[1] || (to[1] == from[1] && to[0] > from[0])
}

/// Nearness across a triangle.
struct Plane {
    start: f64,
    slope: [f64; 2],
    range: [f64; 2],
}

impl Plane {
    fn through(flat: &Flat) -> Self {
        let [a, b, c] = flat.corners.map(|corner| corner.map(|p| f64::from(p) / f64::from(PARTS)));
        let [na, nb, nc] = flat.nearness.map(f64::from);
        let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        let slope = [
            ((nb - na) * (c[1] - a[1]) - (nc - na) * (b[1] - a[1])) / area,
            ((nc - na) * (b[0] - a[0]) - (nb - na) * (c[0] - a[0])) / area,
        ];
        let start = na + slope[0] * (0.5 - a[0]) + slope[1] * (0.5 - a[1]);
        Self { start, slope, range: [na.min(nb).min(nc), na.max(nb).max(nc)] }
    }

    /// At a pixel's middle. A sliver's slope is steep enough to overshoot its corners, hence the range.
    fn at(&self, x: usize, y: usize) -> f32 {
        let plain = self.start + self.slope[0] * x as f64 + self.slope[1] * y as f64;
        plain.max(self.range[0]).min(self.range[1]) as f32
    }
}

/// How far away things are, pixel by pixel: for shadows and for picking.
#[derive(Clone, Debug)]
pub struct DepthMap {
    camera: Camera,
    size: [usize; 2],
    nearness: Vec<f32>,
}

impl DepthMap {
    /// Distance ahead of the camera at a pixel, mm; `None` where nothing is, and outside the picture.
    pub fn depth(&self, x: usize, y: usize) -> Option<f64> {
        if x >= self.size[0] || y >= self.size[1] {
            return None;
        }
        let nearness = self.nearness[y * self.size[0] + x];
        nearness.is_finite().then(|| self.camera.depth(f64::from(nearness)))
    }
}

/// Measures how far away the bodies are at each pixel; a side of more than 16384 pixels is cut to that.
pub fn depth_map(bodies: &[&Body], camera: &Camera, size: [u32; 2]) -> DepthMap {
    let size = size.map(|s| s.min(16_384) as usize);
    let posed = pose(bodies.iter().copied(), camera);
    let flats = flatten(&posed, camera, size, 1);
    let seen = Seen::new(&flats, size[0], 0..size[1]);
    DepthMap { camera: *camera, size, nearness: seen.nearness }
}
