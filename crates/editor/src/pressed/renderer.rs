//! A small renderer on the CPU for pictures of the window in tests: no display, no driver, the same bytes on every run.

use egui::epaint::{ClippedPrimitive, ImageData, Mesh, Primitive, Vertex};
use egui::{Color32, TextureId, TexturesDelta};
use egui_kittest::TestRenderer;
use image::RgbaImage;
use std::collections::HashMap;

/// Textures, and nothing else.
#[derive(Default)]
pub(crate) struct CpuRenderer {
    textures: HashMap<TextureId, Texture>,
}

struct Texture {
    size: [usize; 2],
    pixels: Vec<Color32>,
}

impl Texture {
    /// Bilinear, colours multiplied by their opacity, as egui's own renderers do.
    fn at(&self, u: f32, v: f32) -> [f32; 4] {
        let (x, y) = (u * self.size[0] as f32 - 0.5, v * self.size[1] as f32 - 0.5);
        let (fx, fy) = (x - x.floor(), y - y.floor());
        let texel = |dx: f32, dy: f32| {
            let column = (x.floor() + dx).clamp(0.0, self.size[0] as f32 - 1.0) as usize;
            let row = (y.floor() + dy).clamp(0.0, self.size[1] as f32 - 1.0) as usize;
            self.pixels[row * self.size[0] + column].to_array().map(f32::from)
        };
        let corners = [texel(0.0, 0.0), texel(1.0, 0.0), texel(0.0, 1.0), texel(1.0, 1.0)];
        std::array::from_fn(|k| {
            let upper = corners[0][k] * (1.0 - fx) + corners[1][k] * fx;
            let lower = corners[2][k] * (1.0 - fx) + corners[3][k] * fx;
            (upper * (1.0 - fy) + lower * fy) / 255.0
        })
    }
}

impl TestRenderer for CpuRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, changes) in std::mem::take(&mut delta.set) {
            for change in &changes {
                let ImageData::Color(image) = &change.image;
                match change.pos {
                    None => {
                        let texture = Texture { size: image.size, pixels: image.pixels.clone() };
                        self.textures.insert(id, texture);
                    }
                    Some([left, top]) => {
                        let Some(texture) = self.textures.get_mut(&id) else { continue };
                        for row in 0..image.size[1] {
                            let from = row * image.size[0];
                            let to = (top + row) * texture.size[0] + left;
                            texture.pixels[to..to + image.size[0]]
                                .copy_from_slice(&image.pixels[from..from + image.size[0]]);
                        }
                    }
                }
            }
        }
        // What is freed is not drawn any more; its number may be given again.
        for id in std::mem::take(&mut delta.free) {
            self.textures.remove(&id);
        }
    }

    fn render(&mut self, ctx: &egui::Context, output: &egui::FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        let mut canvas = Canvas::new(size.x.round() as usize, size.y.round() as usize);
        for ClippedPrimitive { clip_rect, primitive } in ctx.tessellate(output.shapes.clone(), scale) {
            let Primitive::Mesh(mesh) = primitive else { continue };
            let Some(texture) = self.textures.get(&mesh.texture_id) else { continue };
            canvas.draw(&mesh, texture, scale, clip_rect * scale);
        }
        canvas.image()
    }
}

struct Canvas {
    width: usize,
    height: usize,
    /// Red, green, blue over black; the window is opaque.
    pixels: Vec<[f32; 3]>,
}

impl Canvas {
    fn new(width: usize, height: usize) -> Self {
        Self { width, height, pixels: vec![[0.0; 3]; width * height] }
    }

    fn draw(&mut self, mesh: &Mesh, texture: &Texture, scale: f32, clip: egui::Rect) {
        for corners in mesh.indices.chunks_exact(3) {
            let corner = |i: usize| mesh.vertices[corners[i] as usize];
            self.triangle([corner(0), corner(1), corner(2)], texture, scale, clip);
        }
    }

    fn triangle(&mut self, mut corners: [Vertex; 3], texture: &Texture, scale: f32, clip: egui::Rect) {
        let place = |v: &Vertex| [f64::from(v.pos.x * scale), f64::from(v.pos.y * scale)];
        let mut p = [place(&corners[0]), place(&corners[1]), place(&corners[2])];
        let mut area = edge(p[0], p[1], p[2]);
        if area == 0.0 {
            return;
        }
        if area < 0.0 {
            corners.swap(1, 2);
            p.swap(1, 2);
            area = -area;
        }
        let low = |k: usize| p[0][k].min(p[1][k]).min(p[2][k]);
        let high = |k: usize| p[0][k].max(p[1][k]).max(p[2][k]);
        let span = |k: usize, from: f32, to: f32, most: usize| {
            let first = low(k).max(f64::from(from)).max(0.0).floor() as usize;
            let last = high(k).min(f64::from(to)).min(most as f64).max(0.0).ceil() as usize;
            first..last
        };
        for y in span(1, clip.top().round(), clip.bottom().round(), self.height) {
            for x in span(0, clip.left().round(), clip.right().round(), self.width) {
                let at = [x as f64 + 0.5, y as f64 + 0.5];
                let weights = [edge(p[1], p[2], at), edge(p[2], p[0], at), edge(p[0], p[1], at)];
                let inside = (0..3).all(|i| covers(weights[i], p[(i + 1) % 3], p[(i + 2) % 3]));
                if inside {
                    self.blend(x, y, &corners, weights.map(|w| (w / area) as f32), texture);
                }
            }
        }
    }

    fn blend(&mut self, x: usize, y: usize, corners: &[Vertex; 3], weights: [f32; 3], texture: &Texture) {
        let mix = |pick: &dyn Fn(&Vertex) -> f32| (0..3).map(|i| weights[i] * pick(&corners[i])).sum::<f32>();
        let texel = texture.at(mix(&|v| v.uv.x), mix(&|v| v.uv.y));
        let source: [f32; 4] = std::array::from_fn(|k| texel[k] * mix(&|v| f32::from(v.color.to_array()[k]) / 255.0));
        let pixel = &mut self.pixels[y * self.width + x];
        for k in 0..3 {
            pixel[k] = source[k] + pixel[k] * (1.0 - source[3]);
        }
    }

    fn image(&self) -> Result<RgbaImage, String> {
        let byte = |v: f32| (v.clamp(0.0, 1.0) * 255.0).round() as u8;
        let bytes = self.pixels.iter().flat_map(|p| [byte(p[0]), byte(p[1]), byte(p[2]), 255]).collect();
        RgbaImage::from_raw(self.width as u32, self.height as u32, bytes).ok_or_else(|| "wrong size".into())
    }
}

/// Twice the area of the triangle; positive when `c` lies to the right of the way from `a` to `b`, y downwards.
fn edge(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// A pixel on an edge belongs to one of the two triangles there: that with the edge at its top or left.
fn covers(weight: f64, from: [f64; 2], to: [f64; 2]) -> bool {
    let top_left = (from[1] == to[1] && to[0] > from[0]) || to[1] < from[1];
    weight > 0.0 || (weight == 0.0 && top_left)
}
