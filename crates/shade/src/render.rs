//! From a scene to a picture.

use crate::body::Body;
use crate::camera::Camera;
use crate::colour::{from_srgb, mix, to_srgb};
use crate::light::{Paint, Spot};
use crate::lines::{Covered, Line};
use crate::picture::{Background, Picture};
use crate::raster::{Flat, Posed, Seen, flatten, pose};
use nalgebra::Vector3;
use std::ops::Range;

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
    /// Takes 2 by 2 samples a pixel: smooth edges for four times the work.
    pub smooth_edges: bool,
    /// Threads for large scenes; the picture does not depend on it.
    pub threads: usize,
}

impl Default for Settings {
    fn default() -> Self {
        Self { size: [900, 700], smooth_edges: true, threads: 2 }
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
    let view = View { scene, camera, samples, fine, posed: &posed, flats: &flats };
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
    samples: usize,
    fine: [usize; 2],
    posed: &'a [Posed<'a>],
    flats: &'a [Vec<Flat>],
}

impl View<'_> {
    /// Draws the pixel rows from `first` that `band` holds.
    fn draw(&self, first: usize, band: &mut [u8]) {
        let width = self.fine[0] / self.samples;
        let rows = first * self.samples..(first + band.len() / (4 * width)) * self.samples;
        let band_seen = Seen::new(self.flats, self.fine[0], rows);
        let covered = Covered::new(self.scene.lines, &self.camera, &band_seen, self.samples as f32);
        for (at, pixel) in band.chunks_exact_mut(4).enumerate() {
            let across = at % width * self.samples..(at % width + 1) * self.samples;
            let down = at / width * self.samples..(at / width + 1) * self.samples;
            pixel.copy_from_slice(&self.pixel(&band_seen, &covered, across, down));
        }
    }

    /// The mean of the samples in a pixel, rows counted within the band.
    fn pixel(&self, seen: &Seen, covered: &Covered, across: Range<usize>, down: Range<usize>) -> [u8; 4] {
        let count = (across.len() * down.len()) as f32;
        let (mut light, mut opacity) = ([0.0; 3], 0.0);
        for y in down {
            for x in across.clone() {
                let (sample, solid) = self.sample(seen, covered, x, y);
                light = std::array::from_fn(|i| light[i] + sample[i] * solid);
                opacity += solid;
            }
        }
        if opacity <= 0.0 {
            return [0; 4];
        }
        let [r, g, b] = to_srgb(light.map(|c| c / opacity));
        [r, g, b, (opacity / count * 255.0 + 0.5) as u8]
    }

    /// Light and opacity of a sample.
    fn sample(&self, seen: &Seen, covered: &Covered, x: usize, y: usize) -> ([f32; 3], f32) {
        let at = y * seen.width + x;
        let row = seen.rows.start + y;
        let place = [x as f64 + 0.5, row as f64 + 0.5];
        let (light, opacity) = match seen.triangle(self.posed, at) {
            Some((body, posed, triangle)) => {
                let spot = self.spot(posed, triangle, place);
                (self.scene.surfaces[body].paint.light(&spot), 1.0)
            }
            None => self.scene.background.light(place[1] as f32 / self.fine[1] as f32),
        };
        match covered.at(self.scene.lines, at) {
            None => (light, opacity),
            Some((line, cover)) => {
                let both = opacity + cover * (1.0 - opacity);
                let share = if both > 0.0 { cover / both } else { 0.0 };
                (mix(light, from_srgb(line.colour), share), both)
            }
        }
    }

    fn spot(&self, posed: &Posed, triangle: usize, place: [f64; 2]) -> Spot {
        let shares = self.shares(posed.corners(triangle), place);
        let corners = posed.body.triangles[triangle].map(|v| posed.body.vertices[v as usize]);
        let position = corners[0] * shares[0] + corners[1] * shares[1] + corners[2] * shares[2];
        let normals = &posed.body.normals[triangle];
        let normal = normals[0] * shares[0] as f32 + normals[1] * shares[1] as f32 + normals[2] * shares[2] as f32;
        let normal = normal / normal.norm().max(1e-12);
        let in_camera = self.camera.rotation * position + self.camera.translation;
        let along = self.camera.sight_in_camera(place).1;
        let to_eye: Vector3<f32> = (-along / along.norm()).cast();
        let normal_in_camera = self.camera.rotation.cast::<f32>() * normal;
        let side = if self.faces_eye(posed.corners(triangle), &along) { 1.0 } else { -1.0 };
        Spot {
            position: position.into(),
            normal: (normal * side).into(),
            normal_in_camera: (normal_in_camera * side).into(),
            to_eye_in_camera: to_eye.into(),
            mm_per_px: self.mm_per_sample(in_camera.z) * self.samples as f64,
        }
    }

    fn faces_eye(&self, [a, b, c]: [Vector3<f64>; 3], along: &Vector3<f64>) -> bool {
        (b - a).cross(&(c - a)).dot(along) <= 0.0
    }

    fn mm_per_sample(&self, z: f64) -> f64 {
        match self.camera.lens {
            crate::Lens::Orthographic { px_per_mm } => 1.0 / px_per_mm,
            crate::Lens::Perspective { focal_px } => z / focal_px,
        }
    }

    /// How much each corner counts where the line of sight meets the triangle (Möller and Trumbore 1997). Corners are
    /// rounded on the raster, so a line may pass just beside: then it is taken to the border.
    fn shares(&self, [a, b, c]: [Vector3<f64>; 3], place: [f64; 2]) -> [f64; 3] {
        let (start, along) = self.camera.sight_in_camera(place);
        let (ab, ac) = (b - a, c - a);
        let across = along.cross(&ac);
        let volume = ab.dot(&across);
        if volume.abs() <= f64::MIN_POSITIVE {
            return [1.0 / 3.0; 3];
        }
        let from_a = start - a;
        let at_b = (from_a.dot(&across) / volume).clamp(0.0, 1.0);
        let at_c = (along.dot(&from_a.cross(&ab)) / volume).clamp(0.0, 1.0);
        let sum = at_b + at_c;
        let (at_b, at_c) = if sum > 1.0 { (at_b / sum, at_c / sum) } else { (at_b, at_c) };
        [1.0 - at_b - at_c, at_b, at_c]
    }
}
