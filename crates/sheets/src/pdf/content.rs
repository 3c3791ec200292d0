//! What is drawn on one page, in the operators of a PDF.

use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Str};

use super::{PdfError, Used, picture_name};
use crate::sheet::{Ink, Item, Page, Path, Placed, Segment, Stroke, Text};

/// Page millimetres to user units.
#[derive(Clone, Copy)]
pub(super) struct Scale(pub(super) f64);

impl Scale {
    pub(super) fn length(self, mm: f64) -> f32 {
        ((mm * self.0 * 1e3).round() / 1e3) as f32
    }

    fn point(self, p: [f64; 2]) -> (f32, f32) {
        (self.length(p[0]), self.length(p[1]))
    }
}

/// What was set last on a page, so that nothing is set twice: thousands of cells of a picture share their pen.
#[derive(Clone, Default)]
struct Set {
    fill: Option<Ink>,
    stroke: Option<Ink>,
    /// Width and dashes, mm.
    line: Option<(f64, Vec<f64>)>,
    /// Whether bold, and its size, mm.
    font: Option<(bool, f64)>,
}

/// The operators of a page.
pub(super) fn of(page: &Page, scale: Scale, used: &Used<'_>) -> Result<Vec<u8>, PdfError> {
    let mut c = Content::new();
    c.set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::RoundJoin);
    let mut set = Set::default();
    for placed in &page.items {
        let before = placed.clip.map(|_| set.clone());
        let clipped = begin_clip(&mut c, placed, scale);
        match &placed.item {
            Item::Path(p) => path(&mut c, p, scale, &mut set),
            Item::Text(t) => text(&mut c, t, scale, used, &mut set)?,
            Item::Picture(p) => {
                c.save_state();
                c.transform(p.placement.0.map(|v| scale.length(v)));
                if let Some(number) = used.number(p) {
                    c.x_object(Name(picture_name(number).as_bytes()));
                }
                c.restore_state();
            }
        }
        if clipped {
            c.restore_state();
            set = before.unwrap_or_default();
        }
    }
    Ok(c.finish().into_vec())
}

fn text(c: &mut Content, t: &Text, scale: Scale, used: &Used<'_>, set: &mut Set) -> Result<(), PdfError> {
    let font = &used.fonts[usize::from(t.bold)];
    let codes = font.codes(&t.text)?;
    let (s, k) = t.turn_deg.to_radians().sin_cos();
    let (x, y) = scale.point(t.origin());
    let round = |v: f64| ((v * 1e6).round() / 1e6) as f32;
    c.begin_text();
    fill(c, t.ink, set);
    if set.font.replace((t.bold, t.size_mm)) != Some((t.bold, t.size_mm)) {
        c.set_font(Name(font.name()), scale.length(t.size_mm));
    }
    c.set_text_matrix([round(k), round(s), round(-s), round(k), x, y]);
    c.show(Str(&codes));
    c.end_text();
    Ok(())
}

fn unit_rgb(ink: Ink) -> [f32; 3] {
    ink.0.map(|v| (f32::from(v) / 255.0 * 1e4).round() / 1e4)
}

/// Opens a clip if the item has one that can cut anything; whether it did.
fn begin_clip(c: &mut Content, placed: &Placed, scale: Scale) -> bool {
    let Some(clip) = placed.clip else { return false };
    let (x, y) = scale.point(clip.min);
    let size = clip.size();
    c.save_state();
    c.rect(x, y, scale.length(size[0]), scale.length(size[1]));
    c.clip_nonzero();
    c.end_path();
    true
}

fn fill(c: &mut Content, ink: Ink, set: &mut Set) {
    if set.fill.replace(ink) != Some(ink) {
        let [r, g, b] = unit_rgb(ink);
        c.set_fill_rgb(r, g, b);
    }
}

fn path(c: &mut Content, p: &Path, scale: Scale, set: &mut Set) {
    if p.segments.is_empty() || (p.stroke.is_none() && p.fill.is_none()) {
        return;
    }
    if let Some(ink) = p.fill {
        fill(c, ink, set);
    }
    if let Some(stroke) = &p.stroke {
        pen(c, stroke, scale, set);
    }
    for s in &p.segments {
        match *s {
            Segment::Move(a) => {
                let (x, y) = scale.point(a);
                c.move_to(x, y);
            }
            Segment::Line(a) => {
                let (x, y) = scale.point(a);
                c.line_to(x, y);
            }
            Segment::Cubic(a, b, e) => {
                let ((x1, y1), (x2, y2), (x3, y3)) = (scale.point(a), scale.point(b), scale.point(e));
                c.cubic_to(x1, y1, x2, y2, x3, y3);
            }
            Segment::Close => {
                c.close_path();
            }
        }
    }
    match (p.fill.is_some(), p.stroke.is_some()) {
        (true, true) => c.fill_nonzero_and_stroke(),
        (true, false) => c.fill_nonzero(),
        _ => c.stroke(),
    };
}

fn pen(c: &mut Content, stroke: &Stroke, scale: Scale, set: &mut Set) {
    if set.stroke.replace(stroke.ink) != Some(stroke.ink) {
        let [r, g, b] = unit_rgb(stroke.ink);
        c.set_stroke_rgb(r, g, b);
    }
    let same = |(width, dash): &(f64, Vec<f64>)| *width == stroke.width_mm && *dash == stroke.dash_mm;
    if !set.line.as_ref().is_some_and(same) {
        set.line = Some((stroke.width_mm, stroke.dash_mm.clone()));
        c.set_line_width(scale.length(stroke.width_mm));
        c.set_dash_pattern(stroke.dash_mm.iter().map(|&d| scale.length(d)), 0.0);
    }
}
