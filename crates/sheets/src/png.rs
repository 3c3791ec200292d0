//! Draws a [`Page`] as a PNG picture, without a display.

use std::io::Cursor;

use thiserror::Error;
use tiny_skia::{
    FillRule, FilterQuality, LineJoin, Mask, Paint, PathBuilder, Pixmap, PixmapPaint, Stroke as SkiaStroke, StrokeDash,
    Transform,
};

use crate::font;
use crate::sheet::{Affine, Ink, Item, Page, Path, Picture, PictureFormat, Rect, Segment, Stroke, Text};

/// The most pixels of one picture: 100 million, 400 MB while drawing.
const MOST_PIXELS: f64 = 1e8;

/// Why a PNG could not be made.
#[derive(Debug, Error)]
pub enum PngError {
    /// No pixels, or far too many.
    #[error("a picture of {width:.0} by {height:.0} pixels cannot be made; choose fewer pixels per millimetre")]
    Size {
        /// Pixels across.
        width: f64,
        /// Pixels down.
        height: f64,
    },
    /// A picture on the page cannot be read.
    #[error("a picture on the page cannot be read: {0}")]
    Picture(String),
    /// The bundled font is damaged.
    #[error("the bundled font cannot be read; please install the program again")]
    Font,
    /// The PNG itself could not be written.
    #[error("the PNG could not be made: {0}")]
    Encode(String),
}

/// The page on white at a resolution, as a PNG file's bytes. Lines thinner than a pixel are drawn fainter, not thicker.
///
/// # Errors
/// No or too many pixels, a picture that cannot be read, a damaged font.
pub fn page_to_png(page: &Page, pixels_per_mm: f64) -> Result<Vec<u8>, PngError> {
    let pixmap = draw(page, pixels_per_mm)?;
    let (width, height) = (pixmap.width(), pixmap.height());
    // The ground is opaque white, so premultiplied and plain colours are the same.
    rgba_to_png(width, height, pixmap.take())
}

/// An opaque picture of four bytes a pixel, rows from the top, as a PNG file's bytes.
///
/// # Errors
/// The bytes do not fill the picture.
pub fn rgba_to_png(width: u32, height: u32, rgba: Vec<u8>) -> Result<Vec<u8>, PngError> {
    let picture =
        image::RgbaImage::from_raw(width, height, rgba).ok_or_else(|| PngError::Encode("wrong size".to_owned()))?;
    let mut out = Cursor::new(Vec::new());
    image::DynamicImage::ImageRgba8(picture)
        .into_rgb8()
        .write_to(&mut out, image::ImageFormat::Png)
        .map_err(|e| PngError::Encode(e.to_string()))?;
    Ok(signed(out.into_inner()))
}

/// Where the first chunk of a PNG file ends: eight bytes that say what it is, then the header (W3C PNG 5.2, 11.2.1).
const AFTER_HEADER: usize = 33;

/// With the maker's name in a text chunk (W3C PNG 11.3.3), so that the program knows its own files again.
fn signed(mut png: Vec<u8>) -> Vec<u8> {
    let text = b"tEXtSoftware\0Plugwright";
    let length = (text.len() as u32 - 4).to_be_bytes();
    let chunk: Vec<u8> = [&length[..], text, &checksum(text).to_be_bytes()].concat();
    png.splice(AFTER_HEADER.min(png.len())..AFTER_HEADER.min(png.len()), chunk);
    png
}

/// The checksum of a chunk: a cyclic redundancy check with the reflected polynomial 0xEDB88320 (W3C PNG annex D).
fn checksum(bytes: &[u8]) -> u32 {
    let step = |c: u32| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 };
    let byte = |c: u32, b: &u8| (0..8).fold(c ^ u32::from(*b), |c, _| step(c));
    !bytes.iter().fold(u32::MAX, byte)
}

fn draw(page: &Page, pixels_per_mm: f64) -> Result<Pixmap, PngError> {
    let (width, height) = ((page.width_mm * pixels_per_mm).round(), (page.height_mm * pixels_per_mm).round());
    let size = || PngError::Size { width, height };
    if width.is_nan() || height.is_nan() || width < 1.0 || height < 1.0 || width * height > MOST_PIXELS {
        return Err(size());
    }
    let mut pixmap = Pixmap::new(width as u32, height as u32).ok_or_else(size)?;
    pixmap.fill(tiny_skia::Color::WHITE);
    // y turns over: pages point up, pixels down.
    let pixels_from_mm = Affine([pixels_per_mm, 0.0, 0.0, -pixels_per_mm, 0.0, height]);
    let mut canvas = Canvas { pixmap, map: pixels_from_mm, clip: None };
    for placed in &page.items {
        canvas.set_clip(placed.clip);
        match &placed.item {
            Item::Path(p) => canvas.path(p),
            Item::Text(t) => canvas.text(t)?,
            Item::Picture(p) => canvas.picture(p)?,
        }
    }
    Ok(canvas.pixmap)
}

struct Canvas {
    pixmap: Pixmap,
    map: Affine,
    clip: Option<(Rect, Mask)>,
}

impl Canvas {
    fn set_clip(&mut self, clip: Option<Rect>) {
        if self.clip.as_ref().map(|c| c.0) == clip {
            return;
        }
        self.clip = clip.and_then(|rect| {
            let b = self.map.apply_rect(&rect);
            let area = tiny_skia::Rect::from_ltrb(b.min[0] as f32, b.min[1] as f32, b.max[0] as f32, b.max[1] as f32)?;
            let mut mask = Mask::new(self.pixmap.width(), self.pixmap.height())?;
            mask.fill_path(&PathBuilder::from_rect(area), FillRule::Winding, true, Transform::identity());
            Some((rect, mask))
        });
    }

    fn path(&mut self, p: &Path) {
        let mut b = PathBuilder::new();
        let at = |q: [f64; 2]| self.map.apply(q).map(|v| v as f32);
        for s in &p.segments {
            match *s {
                Segment::Move(a) => {
                    let [x, y] = at(a);
                    b.move_to(x, y);
                }
                Segment::Line(a) => {
                    let [x, y] = at(a);
                    b.line_to(x, y);
                }
                Segment::Cubic(a, c, e) => {
                    let ([x1, y1], [x2, y2], [x, y]) = (at(a), at(c), at(e));
                    b.cubic_to(x1, y1, x2, y2, x, y);
                }
                Segment::Close => b.close(),
            }
        }
        let Some(path) = b.finish() else { return };
        let mask = self.clip.as_ref().map(|c| &c.1);
        if let Some(ink) = p.fill {
            self.pixmap.fill_path(&path, &paint(ink), FillRule::Winding, Transform::identity(), mask);
        }
        if let Some(stroke) = &p.stroke {
            let pen = pen(stroke, self.map.mean_scale());
            self.pixmap.stroke_path(&path, &paint(stroke.ink), &pen, Transform::identity(), mask);
        }
    }

    fn text(&mut self, t: &Text) -> Result<(), PngError> {
        let face = font::face(t.bold).ok_or(PngError::Font)?;
        let em = f64::from(face.units_per_em());
        let (s, c) = t.turn_deg.to_radians().sin_cos();
        let origin = t.origin();
        let mut outline = Glyphs { path: PathBuilder::new(), map: Affine::IDENTITY };
        let mut along = 0.0;
        for ch in t.text.chars() {
            let glyph = font::glyph(face, ch);
            let k = t.size_mm / em;
            let at = [origin[0] + along * c, origin[1] + along * s];
            outline.map = Affine([k * c, k * s, -k * s, k * c, at[0], at[1]]).then(&self.map);
            face.outline_glyph(glyph, &mut outline);
            along += font::advance(face, glyph) * t.size_mm;
        }
        if let Some(path) = outline.path.finish() {
            let mask = self.clip.as_ref().map(|c| &c.1);
            self.pixmap.fill_path(&path, &paint(t.ink), FillRule::Winding, Transform::identity(), mask);
        }
        Ok(())
    }

    fn picture(&mut self, p: &Picture) -> Result<(), PngError> {
        let format = match p.format {
            PictureFormat::Jpeg => image::ImageFormat::Jpeg,
            PictureFormat::Png => image::ImageFormat::Png,
        };
        let picture = image::load_from_memory_with_format(&p.bytes, format)
            .map_err(|e| PngError::Picture(e.to_string()))?
            .into_rgba8();
        let map = p.placement.then(&self.map);
        let [a, b, c, d, e, f] = map.0;
        let picture = shrunk(picture, [a.hypot(b), c.hypot(d)]);
        let (w, h) = (f64::from(picture.width()), f64::from(picture.height()));
        let Some(source) = premultiplied(&picture) else {
            return Err(PngError::Picture("it has no pixels".to_owned()));
        };
        // Pixel rows run down from the top, the unit square up from the bottom.
        let t = Affine([a / w, b / w, -c / h, -d / h, e + c, f + d]).0.map(|v| v as f32);
        let transform = Transform::from_row(t[0], t[1], t[2], t[3], t[4], t[5]);
        let paint = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
        let mask = self.clip.as_ref().map(|c| &c.1);
        self.pixmap.draw_pixmap(0, 0, source.as_ref(), &paint, transform, mask);
        Ok(())
    }
}

/// A picture that will be drawn much smaller is averaged down first, or it would sparkle.
fn shrunk(picture: image::RgbaImage, drawn: [f64; 2]) -> image::RgbaImage {
    let target = |have: u32, want: f64| if f64::from(have) > 1.5 * want { want.ceil().max(1.0) as u32 } else { have };
    let (w, h) = (target(picture.width(), drawn[0]), target(picture.height(), drawn[1]));
    if (w, h) == picture.dimensions() { picture } else { image::imageops::thumbnail(&picture, w, h) }
}

fn premultiplied(picture: &image::RgbaImage) -> Option<Pixmap> {
    let mut out = Pixmap::new(picture.width(), picture.height())?;
    for (to, from) in out.pixels_mut().iter_mut().zip(picture.pixels()) {
        let [r, g, b, a] = from.0;
        *to = tiny_skia::ColorU8::from_rgba(r, g, b, a).premultiply();
    }
    Some(out)
}

fn paint(ink: Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(ink.0[0], ink.0[1], ink.0[2], 255);
    paint.anti_alias = true;
    paint
}

fn pen(stroke: &Stroke, scale: f64) -> SkiaStroke {
    let dash: Vec<f32> = stroke.dash_mm.iter().map(|d| (d * scale) as f32).collect();
    // A dash pattern of odd length repeats once to become even, as PDF reads it.
    let dash = if dash.len() % 2 == 1 { [dash.clone(), dash].concat() } else { dash };
    SkiaStroke {
        width: (stroke.width_mm * scale) as f32,
        line_join: LineJoin::Round,
        dash: StrokeDash::new(dash, 0.0),
        ..SkiaStroke::default()
    }
}

/// Collects glyph outlines in pixels.
struct Glyphs {
    path: PathBuilder,
    map: Affine,
}

impl Glyphs {
    fn at(&self, x: f32, y: f32) -> [f32; 2] {
        self.map.apply([f64::from(x), f64::from(y)]).map(|v| v as f32)
    }
}

impl ttf_parser::OutlineBuilder for Glyphs {
    fn move_to(&mut self, x: f32, y: f32) {
        let [x, y] = self.at(x, y);
        self.path.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let [x, y] = self.at(x, y);
        self.path.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ([x1, y1], [x, y]) = (self.at(x1, y1), self.at(x, y));
        self.path.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ([x1, y1], [x2, y2], [x, y]) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.path.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.path.close();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_checksum_is_that_of_png() {
        // The check value of CRC-32/ISO-HDLC, and the checksum that stands in every empty IEND chunk.
        assert_eq!(checksum(b"123456789"), 0xCBF4_3926);
        assert_eq!(checksum(b"IEND"), 0xAE42_6082);
    }
}
