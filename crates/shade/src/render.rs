//! From a scene to a picture.

use crate::body::Body;
use crate::camera::Camera;
use crate::colour::{from_srgb, mix, to_srgb};
use crate::light::{Paint, Spot};
use crate::lines::{Covered, Line};
use crate::picture::{Background, Picture};
use crate::raster::{Flat, Posed, Seen, flatten, pose};
use nalgebra::{Matrix3, Vector3};

/// A body and its paint.
#[derive(Clone, Copy)]
pub struct Surface<'a> {
    /// The body.
    pub body: &'a Body,
    /// Its paint and light.
    pub paint: &'a dyn Paint,
}

/// What is drawn.
#[derive(Clone, Copy, Default)]
pub struct Scene<'a> {
    /// The bodies. Where two lie at the same distance the first is seen.
    pub surfaces: &'a [Surface<'a>],
    /// Lines with depth; later ones go over earlier ones.
    pub lines: &'a [Line],
    /// What is behind.
    pub background: Background,
}

/// How it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Width and height, pixels; a side of more than 8192 is cut to that.
    pub size: [u32; 2],
    /// Takes 2 by 2 samples a pixel, so that edges are smooth.
    pub smooth_edges: bool,
    /// Lights every sample and not only those of a pixel that differ: for paint with finer detail than a pixel.
    pub fine_paint: bool,
    /// Threads for large scenes; the picture does not depend on it.
    pub threads: usize,
}

impl Default for Settings {
    fn default() -> Self {
        Self { size: [900, 700], smooth_edges: true, fine_paint: false, threads: 2 }
    }
}

/// Longest side of a picture, pixels.
const LONGEST_SIDE: u32 = 8192;

/// Below this many triangles and samples together a second thread costs more than it brings.
const WORTH_A_THREAD: usize = 50_000;

/// Draws the scene. A scene without triangles gives the background, a size of zero an empty picture.
pub fn render(scene: &Scene, camera: &Camera, settings: &Settings) -> Picture {
    let [width, height] = settings.size.map(|s| s.min(LONGEST_SIDE));
    let mut rgba = vec![0; 4 * width as usize * height as usize];
    if rgba.is_empty() {
        return Picture { width, height, rgba };
    }
    let samples = if settings.smooth_edges { 2 } else { 1 };
    let camera = camera.magnified(samples as f64);
    let fine = [width as usize * samples, height as usize * samples];
    let posed = pose(scene.surfaces.iter().map(|s| s.body), &camera);
    let work = posed.iter().map(|p| p.body.triangles.len()).sum::<usize>() + fine[0] * fine[1];
    let threads = if work < WORTH_A_THREAD { 1 } else { settings.threads.clamp(1, 16) };
    let flats = flatten(&posed, &camera, fine, threads);
    let view = View {
        scene,
        camera,
        turn: camera.rotation.cast(),
        samples,
        fine,
        fine_paint: settings.fine_paint,
        posed: &posed,
        flats: &flats,
    };
    let rows = (height as usize).div_ceil(threads);
    std::thread::scope(|scope| {
        let bytes = 4 * width as usize * rows;
        for (first, band) in (0..).step_by(rows).zip(rgba.chunks_mut(bytes)) {
            if threads == 1 {
                view.draw(first, band);
            } else {
                let view = &view;
                scope.spawn(move || view.draw(first, band));
            }
        }
    });
    Picture { width, height, rgba }
}

/// A scene before the camera, on a raster of `samples` by `samples` for each pixel.
struct View<'a> {
    scene: &'a Scene<'a>,
    camera: Camera,
    /// The camera's rotation.
    turn: Matrix3<f32>,
    samples: usize,
    fine: [usize; 2],
    fine_paint: bool,
    posed: &'a [Posed<'a>],
    flats: &'a [Vec<Flat>],
}

impl View<'_> {
    /// Draws the pixel rows from `first` that `band` holds.
    fn draw(&self, first: usize, band: &mut [u8]) {
        let width = self.fine[0] / self.samples;
        let rows = first * self.samples..(first + band.len() / (4 * width)) * self.samples;
        let seen = Seen::new(self.flats, self.fine[0], rows);
        let covered = Covered::new(self.scene.lines, &self.camera, &seen, self.samples as f32);
        let rows = Rows { view: self, seen, covered };
        for (y, row) in band.chunks_exact_mut(4 * width).enumerate() {
            let background = self.background(first + y);
            for (x, pixel) in row.chunks_exact_mut(4).enumerate() {
                let empty = rows.is_empty(x, y);
                pixel.copy_from_slice(&if empty { background } else { rows.pixel(x, y) });
            }
        }
    }

    /// A pixel of that row where nothing is drawn.
    fn background(&self, row: usize) -> [u8; 4] {
        let (light, opacity) =
            self.scene.background.light((row as f32 + 0.5) * self.samples as f32 / self.fine[1] as f32);
        let [r, g, b] = to_srgb(light);
        [r, g, b, (opacity * 255.0 + 0.5) as u8]
    }

    /// The light of a body's triangle at a place on the raster, in samples.
    fn light(&self, (body, posed, triangle): (usize, &Posed, usize), place: [f64; 2]) -> [f32; 3] {
        self.scene.surfaces[body].paint.light(&self.spot(posed, triangle, place))
    }

    fn spot(&self, posed: &Posed, triangle: usize, place: [f64; 2]) -> Spot {
        let (start, along) = self.camera.sight_in_camera(place);
        let hit = Hit::of(posed.corners(triangle), start, along);
        let corners = posed.body.triangles[triangle].map(|v| posed.body.vertices[v as usize]);
        let [a, b, c] = hit.shares;
        let position = corners[0] * a + corners[1] * b + corners[2] * c;
        let normals = &posed.body.normals[triangle];
        let normal = normals[0] * a as f32 + normals[1] * b as f32 + normals[2] * c as f32;
        let side = if hit.from_outside { 1.0 } else { -1.0 };
        let normal = normal * (side / normal.norm().max(1e-12));
        let depth = (self.camera.rotation * position + self.camera.translation).z;
        Spot {
            position: position.into(),
            normal: normal.into(),
            normal_in_camera: (self.turn * normal).into(),
            to_eye_in_camera: (-along / along.norm()).cast::<f32>().into(),
            mm_per_px: self.mm_per_sample(depth) * self.samples as f64,
        }
    }

    fn mm_per_sample(&self, z: f64) -> f64 {
        match self.camera.lens {
            crate::Lens::Orthographic { px_per_mm } => 1.0 / px_per_mm,
            crate::Lens::Perspective { focal_px } => z / focal_px,
        }
    }
}

/// Some rows of the raster, drawn and ready to be lit.
struct Rows<'a> {
    view: &'a View<'a>,
    seen: Seen,
    covered: Covered,
}

impl Rows<'_> {
    /// Whether neither a body nor a line reaches into the pixel.
    fn is_empty(&self, x: usize, y: usize) -> bool {
        let n = self.view.samples;
        let free = |at: usize| self.seen.nearness(at) == f32::NEG_INFINITY && !self.covered.reaches(at);
        (n * y..n * (y + 1)).all(|row| (n * x..n * (x + 1)).all(|column| free(row * self.seen.width + column)))
    }

    /// The mean of a pixel's samples; its row is counted within these rows.
    fn pixel(&self, x: usize, y: usize) -> [u8; 4] {
        let n = self.view.samples;
        let shared = if n > 1 && !self.view.fine_paint { self.shared_light(x, y) } else { None };
        let (mut light, mut opacity) = ([0.0; 3], 0.0);
        for (i, j) in (0..n).flat_map(|j| (0..n).map(move |i| (i, j))) {
            let (sample, solid) = self.sample(n * x + i, n * y + j, shared);
            light = std::array::from_fn(|k| light[k] + sample[k] * solid);
            opacity += solid;
        }
        if opacity <= 0.0 {
            return [0; 4];
        }
        let [r, g, b] = to_srgb(light.map(|c| c / opacity));
        [r, g, b, (opacity / (n * n) as f32 * 255.0 + 0.5) as u8]
    }

    /// The light in a pixel's middle, if all its samples see one smooth piece of one body.
    fn shared_light(&self, x: usize, y: usize) -> Option<[f32; 3]> {
        /// Cosine of the bend, about 6°, from which a knuckle is lit on both its sides.
        const SMOOTH: f32 = 0.9945;
        let n = self.view.samples;
        let at = |i: usize, j: usize| self.seen.triangle(self.view.posed, (n * y + j) * self.seen.width + n * x + i);
        let first = at(0, 0)?;
        let normal = &first.1.body.normals[first.2][0];
        for (i, j) in (0..n).flat_map(|j| (0..n).map(move |i| (i, j))).skip(1) {
            let other = at(i, j)?;
            let same = other.2 == first.2 || other.1.body.normals[other.2][0].dot(normal) > SMOOTH;
            if other.0 != first.0 || !same {
                return None;
            }
        }
        let middle = [n * x, self.seen.rows.start + n * y].map(|start| (start + n / 2) as f64);
        Some(self.view.light(first, middle))
    }

    /// Light and opacity of a sample; `shared` is the light of its body, if it is known.
    fn sample(&self, x: usize, y: usize, shared: Option<[f32; 3]>) -> ([f32; 3], f32) {
        let at = y * self.seen.width + x;
        let place = [x as f64 + 0.5, (self.seen.rows.start + y) as f64 + 0.5];
        let (light, opacity) = match (shared, self.seen.triangle(self.view.posed, at)) {
            (Some(light), _) => (light, 1.0),
            (None, Some(seen)) => (self.view.light(seen, place), 1.0),
            (None, None) => self.view.scene.background.light(place[1] as f32 / self.view.fine[1] as f32),
        };
        match self.covered.at(self.view.scene.lines, at) {
            None => (light, opacity),
            Some((line, cover)) => {
                let both = opacity + cover * (1.0 - opacity);
                let share = if both > 0.0 { cover / both } else { 0.0 };
                (mix(light, from_srgb(line.colour), share), both)
            }
        }
    }
}

/// Where a line of sight meets a triangle's plane.
struct Hit {
    /// How much each corner counts.
    shares: [f64; 3],
    /// Whether the triangle's outer side is seen.
    from_outside: bool,
}

impl Hit {
    /// By Möller and Trumbore (1997). A line of sight may pass beside the triangle, as corners are rounded on the raster
    /// and a pixel's middle may lie beside the sample that saw it; it counts as on the plane, within a triangle's size.
    fn of([a, b, c]: [Vector3<f64>; 3], start: Vector3<f64>, along: Vector3<f64>) -> Self {
        let (ab, ac) = (b - a, c - a);
        let across = along.cross(&ac);
        let volume = ab.dot(&across);
        if volume.abs() <= f64::MIN_POSITIVE {
            return Self { shares: [1.0 / 3.0; 3], from_outside: true };
        }
        let from_a = start - a;
        let at_b = (from_a.dot(&across) / volume).clamp(-1.0, 1.0);
        let at_c = (along.dot(&from_a.cross(&ab)) / volume).clamp(-1.0, 1.0);
        Self { shares: [1.0 - at_b - at_c, at_b, at_c], from_outside: volume > 0.0 }
    }
}
