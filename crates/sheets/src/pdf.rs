//! Writes a [`SheetSet`] as PDF, true to size.
//!
//! One millimetre is 72/25.4 points. Text is text in a subset of the bundled font, with a map back to characters. JPEG bytes
//! pass through unchanged. The file asks viewers not to scale it, claims no PDF standard and holds no time of day, so equal
//! sheets give equal bytes. Coordinates are rounded to 1e-3 pt (0.00035 mm).

use std::collections::BTreeMap;
use std::sync::Arc;

use pdf_writer::types::{CidFontType, FontFlags, LineCapStyle, LineJoinStyle, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect as PdfRect, Ref, Str, TextStr};
use subsetter::GlyphRemapper;
use thiserror::Error;

use crate::font;
use crate::jpeg_header;
use crate::sheet::{Ink, Item, Page, Path, Picture, PictureFormat, Placed, Segment, SheetSet, Stroke, Text};

/// Points in a millimetre.
pub const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// The largest page side a reader must accept, in user units (ISO 32000-1, annex C).
const LARGEST_SIDE: f64 = 14_400.0;

/// Why a PDF could not be made.
#[derive(Debug, Error, PartialEq, Eq)]
pub enum PdfError {
    /// A page has no size or an absurd one.
    #[error("page {0} of the sheets has no usable size; check the paper and the size of the parts")]
    PageSize(usize),
    /// A picture cannot be read.
    #[error("a picture on page {page} cannot be put into the PDF: {why}")]
    Picture {
        /// The page, counted from 1.
        page: usize,
        /// What is wrong with it.
        why: String,
    },
    /// The bundled font is damaged.
    #[error("the bundled font cannot be read; please install the program again")]
    Font,
}

/// Writes the pages as a PDF file's bytes.
///
/// # Errors
/// A page without a usable size, a picture that cannot be read, a damaged font.
pub fn write_pdf(set: &SheetSet) -> Result<Vec<u8>, PdfError> {
    let mut writer = Writer::new();
    for (k, page) in set.pages.iter().enumerate() {
        writer.page(k + 1, page)?;
    }
    writer.finish(&set.title)
}

struct Writer {
    pdf: Pdf,
    next: Ref,
    catalog: Ref,
    tree: Ref,
    kids: Vec<Ref>,
    fonts: [FontUse; 2],
    pictures: BTreeMap<Arc<[u8]>, (Ref, usize)>,
}

/// What is used of one face.
struct FontUse {
    id: Ref,
    bold: bool,
    glyphs: GlyphRemapper,
    characters: BTreeMap<u16, char>,
}

/// Page millimetres to user units.
#[derive(Clone, Copy)]
struct Scale(f64);

impl Scale {
    fn length(self, mm: f64) -> f32 {
        ((mm * self.0 * 1e3).round() / 1e3) as f32
    }

    fn point(self, p: [f64; 2]) -> (f32, f32) {
        (self.length(p[0]), self.length(p[1]))
    }
}

impl Writer {
    fn new() -> Self {
        let mut next = Ref::new(1);
        let (catalog, tree) = (next.bump(), next.bump());
        let fonts = [false, true].map(|bold| FontUse {
            id: next.bump(),
            bold,
            glyphs: GlyphRemapper::new(),
            characters: BTreeMap::new(),
        });
        Self { pdf: Pdf::new(), next, catalog, tree, kids: Vec::new(), fonts, pictures: BTreeMap::new() }
    }

    fn page(&mut self, number: usize, page: &Page) -> Result<(), PdfError> {
        let longest = page.width_mm.max(page.height_mm) * POINTS_PER_MM;
        let shortest = page.width_mm.min(page.height_mm);
        if !longest.is_finite() || shortest.is_nan() || shortest <= 0.0 || longest > LARGEST_SIDE * 1000.0 {
            return Err(PdfError::PageSize(number));
        }
        // Beyond 200 inches the user unit grows (PDF 1.6), so that the one large sheet stays valid.
        let unit = (longest / LARGEST_SIDE).ceil().max(1.0);
        let scale = Scale(POINTS_PER_MM / unit);
        let (content, used) = self.content(number, page, scale)?;
        let (page_id, content_id) = (self.next.bump(), self.next.bump());
        let bytes = deflate(&content);
        self.pdf.stream(content_id, &bytes).filter(Filter::FlateDecode);
        let mut dict = self.pdf.page(page_id);
        let box_ = PdfRect::new(0.0, 0.0, scale.length(page.width_mm), scale.length(page.height_mm));
        dict.media_box(box_).parent(self.tree).contents(content_id);
        if unit > 1.0 {
            dict.user_unit(unit as f32);
        }
        let mut resources = dict.resources();
        let mut fonts = resources.fonts();
        for f in &self.fonts {
            fonts.pair(Name(font_name(f.bold)), f.id);
        }
        fonts.finish();
        if !used.is_empty() {
            let mut objects = resources.x_objects();
            for (id, index) in used {
                objects.pair(Name(picture_name(index).as_bytes()), id);
            }
        }
        resources.finish();
        dict.finish();
        self.kids.push(page_id);
        Ok(())
    }

    fn content(
        &mut self,
        number: usize,
        page: &Page,
        scale: Scale,
    ) -> Result<(Vec<u8>, BTreeMap<Ref, usize>), PdfError> {
        let mut c = Content::new();
        let mut used = BTreeMap::new();
        c.set_line_cap(LineCapStyle::ButtCap).set_line_join(LineJoinStyle::RoundJoin);
        for placed in &page.items {
            let clipped = begin_clip(&mut c, placed, scale);
            match &placed.item {
                Item::Path(p) => path(&mut c, p, scale),
                Item::Text(t) => self.text(&mut c, t, scale)?,
                Item::Picture(p) => {
                    let (id, index) = self.picture(number, p)?;
                    used.insert(id, index);
                    c.save_state();
                    c.transform(p.placement.0.map(|v| scale.length(v)));
                    c.x_object(Name(picture_name(index).as_bytes()));
                    c.restore_state();
                }
            }
            if clipped {
                c.restore_state();
            }
        }
        Ok((c.finish().into_vec(), used))
    }

    fn text(&mut self, c: &mut Content, t: &Text, scale: Scale) -> Result<(), PdfError> {
        let face = font::face(t.bold).ok_or(PdfError::Font)?;
        let used = &mut self.fonts[usize::from(t.bold)];
        let mut codes = Vec::with_capacity(t.text.len() * 2);
        for ch in t.text.chars() {
            let new = used.glyphs.remap(font::glyph(face, ch).0);
            // Glyph 0 stands for many characters, so it is mapped back to none.
            if new != 0 {
                used.characters.entry(new).or_insert(if ch.is_control() { ' ' } else { ch });
            }
            codes.extend(new.to_be_bytes());
        }
        let (s, k) = t.turn_deg.to_radians().sin_cos();
        let (x, y) = scale.point(t.origin());
        let round = |v: f64| ((v * 1e6).round() / 1e6) as f32;
        let [r, g, b] = unit_rgb(t.ink);
        c.begin_text();
        c.set_fill_rgb(r, g, b);
        c.set_font(Name(font_name(t.bold)), scale.length(t.size_mm));
        c.set_text_matrix([round(k), round(s), round(-s), round(k), x, y]);
        c.show(Str(&codes));
        c.end_text();
        Ok(())
    }

    fn picture(&mut self, page: usize, p: &Picture) -> Result<(Ref, usize), PdfError> {
        if let Some(&known) = self.pictures.get(&p.bytes[..]) {
            return Ok(known);
        }
        let wrong = |why: String| PdfError::Picture { page, why };
        let id = self.next.bump();
        match p.format {
            PictureFormat::Jpeg => self.jpeg(id, &p.bytes).map_err(wrong)?,
            PictureFormat::Png => self.png(id, &p.bytes).map_err(wrong)?,
        }
        let known = (id, self.pictures.len());
        self.pictures.insert(Arc::clone(&p.bytes), known);
        Ok(known)
    }

    fn jpeg(&mut self, id: Ref, bytes: &[u8]) -> Result<(), String> {
        let head = jpeg_header::read(bytes).ok_or("it is not a JPEG file that a PDF can carry")?;
        let mut x = self.pdf.image_xobject(id, bytes);
        x.filter(Filter::DctDecode);
        x.width(i32::from(head.width)).height(i32::from(head.height)).bits_per_component(8);
        match head.channels {
            1 => x.color_space().device_gray(),
            3 => x.color_space().device_rgb(),
            _ => x.color_space().device_cmyk(),
        }
        if head.channels == 4 && head.adobe {
            x.decode([1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0]);
        }
        Ok(())
    }

    fn png(&mut self, id: Ref, bytes: &[u8]) -> Result<(), String> {
        let picture = image::load_from_memory_with_format(bytes, image::ImageFormat::Png).map_err(|e| e.to_string())?;
        let (w, h) = (picture.width().cast_signed(), picture.height().cast_signed());
        let mask = picture.color().has_alpha().then(|| {
            let alpha: Vec<u8> = picture.to_rgba8().pixels().map(|p| p.0[3]).collect();
            (self.next.bump(), deflate(&alpha))
        });
        let data = deflate(picture.to_rgb8().as_raw());
        let mut x = self.pdf.image_xobject(id, &data);
        x.filter(Filter::FlateDecode);
        x.width(w).height(h).bits_per_component(8).color_space().device_rgb();
        if let Some((mask_id, _)) = &mask {
            x.s_mask(*mask_id);
        }
        x.finish();
        if let Some((mask_id, alpha)) = &mask {
            let mut m = self.pdf.image_xobject(*mask_id, alpha);
            m.filter(Filter::FlateDecode);
            m.width(w).height(h).bits_per_component(8).color_space().device_gray();
        }
        Ok(())
    }

    fn finish(mut self, title: &str) -> Result<Vec<u8>, PdfError> {
        let fonts = std::mem::replace(
            &mut self.fonts,
            [false, true].map(|bold| FontUse {
                id: self.catalog,
                bold,
                glyphs: GlyphRemapper::new(),
                characters: BTreeMap::new(),
            }),
        );
        for f in &fonts {
            self.font(f)?;
        }
        let count = i32::try_from(self.kids.len()).unwrap_or(i32::MAX);
        self.pdf.pages(self.tree).kids(self.kids.iter().copied()).count(count);
        let mut catalog = self.pdf.catalog(self.catalog);
        catalog.pages(self.tree);
        catalog.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
        catalog.finish();
        let info = self.next.bump();
        let mut dict = self.pdf.document_info(info);
        dict.title(TextStr(title)).creator(TextStr("Plugwright"));
        dict.finish();
        Ok(self.pdf.finish())
    }

    fn font(&mut self, used: &FontUse) -> Result<(), PdfError> {
        let face = font::face(used.bold).ok_or(PdfError::Font)?;
        let subset = subsetter::subset(font::data(used.bold), 0, &used.glyphs).map_err(|_| PdfError::Font)?;
        let (cid, descriptor, cmap, file) = (self.next.bump(), self.next.bump(), self.next.bump(), self.next.bump());
        let name =
            if used.bold { b"PLUGWB+DejaVuSansCondensed-Bold".as_slice() } else { b"PLUGWR+DejaVuSansCondensed" };
        let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
        let milli = 1000.0 / f32::from(face.units_per_em());
        self.pdf
            .type0_font(used.id)
            .base_font(Name(name))
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut dict = self.pdf.cid_font(cid);
        dict.subtype(CidFontType::Type2).base_font(Name(name)).system_info(system).font_descriptor(descriptor);
        dict.cid_to_gid_map_predefined(Name(b"Identity")).default_width(0.0);
        let widths = used.glyphs.remapped_gids().map(|g| (font::advance(face, ttf_parser::GlyphId(g)) * 1000.0) as f32);
        dict.widths().consecutive(0, widths);
        dict.finish();
        let r = face.global_bounding_box();
        let bounds = [r.x_min, r.y_min, r.x_max, r.y_max].map(|v| f32::from(v) * milli);
        self.pdf
            .font_descriptor(descriptor)
            .name(Name(name))
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(PdfRect::new(bounds[0], bounds[1], bounds[2], bounds[3]))
            .italic_angle(0.0)
            .ascent(f32::from(face.ascender()) * milli)
            .descent(f32::from(face.descender()) * milli)
            .cap_height((font::CAPITAL * 1000.0) as f32)
            .stem_v(if used.bold { 140.0 } else { 80.0 })
            .font_file2(file);
        let mut map = UnicodeCmap::new(Name(b"Plugwright"), system);
        for (&glyph, &ch) in &used.characters {
            map.pair(glyph, ch);
        }
        self.pdf.cmap(cmap, &map.finish()).name(Name(b"Plugwright")).system_info(system);
        let length = i32::try_from(subset.len()).unwrap_or(i32::MAX);
        let bytes = deflate(&subset);
        let mut stream = self.pdf.stream(file, &bytes);
        stream.filter(Filter::FlateDecode).pair(Name(b"Length1"), length);
        stream.finish();
        Ok(())
    }
}

fn font_name(bold: bool) -> &'static [u8] {
    if bold { b"FB" } else { b"FR" }
}

fn picture_name(index: usize) -> String {
    format!("P{index}")
}

fn deflate(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 4)
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

fn path(c: &mut Content, p: &Path, scale: Scale) {
    if p.segments.is_empty() || (p.stroke.is_none() && p.fill.is_none()) {
        return;
    }
    if let Some(fill) = p.fill {
        let [r, g, b] = unit_rgb(fill);
        c.set_fill_rgb(r, g, b);
    }
    if let Some(stroke) = &p.stroke {
        pen(c, stroke, scale);
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

fn pen(c: &mut Content, stroke: &Stroke, scale: Scale) {
    let [r, g, b] = unit_rgb(stroke.ink);
    c.set_stroke_rgb(r, g, b);
    c.set_line_width(scale.length(stroke.width_mm));
    c.set_dash_pattern(stroke.dash_mm.iter().map(|&d| scale.length(d)), 0.0);
}
