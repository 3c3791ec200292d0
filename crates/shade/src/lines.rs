//! Lines on and around the bodies.

use crate::camera::{Camera, NEAREST};
use crate::raster::Seen;
use nalgebra::Vector3;

/// A line through points in space, hidden where a body is before it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its points, mm in project axes.
    pub points: Vec<[f64; 3]>,
    /// Its colour for a screen.
    pub colour: [u8; 3],
    /// 0 invisible to 1 opaque.
    pub opacity: f32,
    /// Width in pixels of the finished picture.
    pub width_px: f32,
    /// How far a body may stand before the line and not hide it, mm. A line on a surface needs at least the mesh's
    /// tolerance, and more for a broad line on a surface that slopes away.
    pub bias_mm: f64,
}

impl Default for Line {
    fn default() -> Self {
        Self { points: Vec::new(), colour: [40, 44, 52], opacity: 1.0, width_px: 1.5, bias_mm: 0.5 }
    }
}

/// Which line covers each pixel of some rows, and how much of it.
pub(crate) struct Covered {
    cover: Vec<f32>,
    line: Vec<u32>,
}

impl Covered {
    /// Draws the lines over what is seen; `magnified` pixels stand for one of the finished picture.
    pub(crate) fn new(lines: &[Line], camera: &Camera, seen: &Seen, magnified: f32) -> Self {
        let pixels = if lines.is_empty() { 0 } else { seen.width * seen.rows.len() };
        let mut covered = Self { cover: vec![0.0; pixels], line: vec![0; pixels] };
        for (number, line) in (0..).zip(lines) {
            let pen = Pen { camera, seen, number, line, half_width: f64::from(line.width_px * magnified) / 2.0 };
            for pair in line.points.windows(2) {
                covered.segment(&pen, camera.to_camera(pair[0]), camera.to_camera(pair[1]));
            }
        }
        covered
    }

    /// The line over a pixel and how much of the pixel it covers, its opacity included.
    pub(crate) fn at<'a>(&self, lines: &'a [Line], at: usize) -> Option<(&'a Line, f32)> {
        let cover = *self.cover.get(at)?;
        let line = lines.get(*self.line.get(at)? as usize)?;
        (cover > 0.0).then_some((line, cover * line.opacity.clamp(0.0, 1.0)))
    }

    /// Whether any line covers any of a pixel.
    pub(crate) fn reaches(&self, at: usize) -> bool {
        self.cover.get(at).is_some_and(|cover| *cover > 0.0)
    }

    fn segment(&mut self, pen: &Pen, from: Vector3<f64>, to: Vector3<f64>) {
        let Some(stroke) = Stroke::between(pen.camera, from, to) else { return };
        let reach = pen.half_width + 0.5;
        if !reach.is_finite() {
            return;
        }
        for y in pixels(stroke.least(1) - reach, stroke.greatest(1) + reach, pen.seen.rows.end) {
            if y < pen.seen.rows.start {
                continue;
            }
            let [left, right] = stroke.across(y as f64 + 0.5, reach);
            for x in pixels(left, right, pen.seen.width) {
                self.pixel(pen, &stroke, x, y);
            }
        }
    }

    fn pixel(&mut self, pen: &Pen, stroke: &Stroke, x: usize, y: usize) {
        let (distance, nearness) = stroke.nearest([x as f64 + 0.5, y as f64 + 0.5]);
        let cover = (pen.half_width + 0.5 - distance).clamp(0.0, (2.0 * pen.half_width).min(1.0)) as f32;
        let at = (y - pen.seen.rows.start) * pen.seen.width + x;
        // A later line goes over an earlier one, but its own segments do not add up where they meet.
        let over = if self.line[at] == pen.number { self.cover[at] } else { 0.0 };
        if cover > over && pen.shows(nearness, at) {
            self.cover[at] = cover;
            self.line[at] = pen.number;
        }
    }
}

/// A line being drawn.
struct Pen<'a> {
    camera: &'a Camera,
    seen: &'a Seen,
    number: u32,
    line: &'a Line,
    half_width: f64,
}

impl Pen<'_> {
    fn shows(&self, nearness: f64, at: usize) -> bool {
        let brought_forward = self.camera.depth(nearness) - self.line.bias_mm;
        let ahead = self.camera.depth(f64::from(self.seen.nearness(at)));
        self.seen.nearness(at) == f32::NEG_INFINITY || brought_forward <= ahead
    }
}

/// The whole pixels whose middles may lie between two places.
fn pixels(from: f64, to: f64, end: usize) -> std::ops::Range<usize> {
    // `as` brings what is negative or not a number to 0, and what is too large to the largest.
    let first = from.floor() as usize;
    first..(to.ceil() as usize).min(end).max(first)
}

/// A segment on the picture.
struct Stroke {
    from: [f64; 2],
    to: [f64; 2],
    nearness: [f64; 2],
}

impl Stroke {
    /// The part ahead of the eye, if any.
    fn between(camera: &Camera, from: Vector3<f64>, to: Vector3<f64>) -> Option<Self> {
        let weight = |p: &Vector3<f64>| camera.homogeneous(p)[2] - NEAREST;
        let cut = |behind: Vector3<f64>, ahead: Vector3<f64>| {
            behind + (ahead - behind) * (weight(&behind) / (weight(&behind) - weight(&ahead)))
        };
        let (from, to) = match (weight(&from) >= 0.0, weight(&to) >= 0.0) {
            (true, true) => (from, to),
            (true, false) => (from, cut(to, from)),
            (false, true) => (cut(from, to), to),
            (false, false) => return None,
        };
        let place = |p: &Vector3<f64>| {
            let [x, y, w] = camera.homogeneous(p);
            [x / w, y / w]
        };
        let stroke =
            Self { from: place(&from), to: place(&to), nearness: [camera.nearness(from.z), camera.nearness(to.z)] };
        let numbers = stroke.from.iter().chain(&stroke.to).chain(&stroke.nearness);
        numbers.into_iter().all(|c| c.is_finite()).then_some(stroke)
    }

    fn least(&self, axis: usize) -> f64 {
        self.from[axis].min(self.to[axis])
    }

    fn greatest(&self, axis: usize) -> f64 {
        self.from[axis].max(self.to[axis])
    }

    /// Leftmost and rightmost place the stroke can reach in a row.
    fn across(&self, row: f64, reach: f64) -> [f64; 2] {
        let [dx, dy] = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
        let along = |y: f64| if dy == 0.0 { 0.0 } else { ((y - self.from[1]) / dy).clamp(0.0, 1.0) };
        let (a, b) = if dy == 0.0 { (0.0, 1.0) } else { (along(row - reach), along(row + reach)) };
        let (a, b) = (self.from[0] + a * dx, self.from[0] + b * dx);
        [a.min(b) - reach, a.max(b) + reach]
    }

    /// Distance of a pixel's middle from the stroke, and the nearness where it is nearest.
    fn nearest(&self, pixel: [f64; 2]) -> (f64, f64) {
        let along = [self.to[0] - self.from[0], self.to[1] - self.from[1]];
        let offset = [pixel[0] - self.from[0], pixel[1] - self.from[1]];
        let length_squared = along[0] * along[0] + along[1] * along[1];
        let t = if length_squared > 0.0 {
            ((offset[0] * along[0] + offset[1] * along[1]) / length_squared).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let distance = (offset[0] - t * along[0]).hypot(offset[1] - t * along[1]);
        (distance, self.nearness[0] + t * (self.nearness[1] - self.nearness[0]))
    }
}
