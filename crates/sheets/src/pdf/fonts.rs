//! The two faces of the bundled font: what is used of each, and its objects in the file.

use std::collections::BTreeMap;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect as PdfRect, Ref, Str};
use subsetter::GlyphRemapper;

use super::PdfError;
use crate::font;

/// What is used of one face.
pub(super) struct FontUse {
    bold: bool,
    glyphs: GlyphRemapper,
    characters: BTreeMap<u16, char>,
}

impl FontUse {
    pub(super) fn new(bold: bool) -> Self {
        Self { bold, glyphs: GlyphRemapper::new(), characters: BTreeMap::new() }
    }

    /// The name by which pages call it.
    pub(super) fn name(&self) -> &'static [u8] {
        if self.bold { b"FB" } else { b"FR" }
    }

    /// Takes up a text's glyphs.
    pub(super) fn add(&mut self, text: &str) -> Result<(), PdfError> {
        let face = font::face(self.bold).ok_or(PdfError::Font)?;
        for ch in text.chars() {
            let new = self.glyphs.remap(font::glyph(face, ch).0);
            // Glyph 0 stands for many characters, so it is mapped back to none.
            if new != 0 {
                self.characters.entry(new).or_insert(if ch.is_control() { ' ' } else { ch });
            }
        }
        Ok(())
    }

    /// A text that was taken up, as pages write it.
    pub(super) fn codes(&self, text: &str) -> Result<Vec<u8>, PdfError> {
        let face = font::face(self.bold).ok_or(PdfError::Font)?;
        let code = |ch: char| self.glyphs.get(font::glyph(face, ch).0).unwrap_or_default().to_be_bytes();
        Ok(text.chars().flat_map(code).collect())
    }

    /// The font's file with no other glyphs.
    pub(super) fn subset(&self) -> Result<Vec<u8>, PdfError> {
        subsetter::subset(font::data(self.bold), 0, &self.glyphs).map_err(|_| PdfError::Font)
    }

    /// Writes its objects; `bytes` are its squeezed subset and the length of that before.
    pub(super) fn write(&self, pdf: &mut Pdf, next: &mut Ref, id: Ref, bytes: (&[u8], usize)) -> Result<(), PdfError> {
        let face = font::face(self.bold).ok_or(PdfError::Font)?;
        let (cid, descriptor, cmap, file) = (next.bump(), next.bump(), next.bump(), next.bump());
        let name =
            if self.bold { b"PLUGWB+DejaVuSansCondensed-Bold".as_slice() } else { b"PLUGWR+DejaVuSansCondensed" };
        let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
        let milli = 1000.0 / f32::from(face.units_per_em());
        pdf.type0_font(id)
            .base_font(Name(name))
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut dict = pdf.cid_font(cid);
        dict.subtype(CidFontType::Type2).base_font(Name(name)).system_info(system).font_descriptor(descriptor);
        dict.cid_to_gid_map_predefined(Name(b"Identity")).default_width(0.0);
        let widths = self.glyphs.remapped_gids().map(|g| (font::advance(face, ttf_parser::GlyphId(g)) * 1000.0) as f32);
        dict.widths().consecutive(0, widths);
        dict.finish();
        let r = face.global_bounding_box();
        let bounds = [r.x_min, r.y_min, r.x_max, r.y_max].map(|v| f32::from(v) * milli);
        pdf.font_descriptor(descriptor)
            .name(Name(name))
            .flags(FontFlags::NON_SYMBOLIC)
            .bbox(PdfRect::new(bounds[0], bounds[1], bounds[2], bounds[3]))
            .italic_angle(0.0)
            .ascent(f32::from(face.ascender()) * milli)
            .descent(f32::from(face.descender()) * milli)
            .cap_height((font::CAPITAL * 1000.0) as f32)
            .stem_v(if self.bold { 140.0 } else { 80.0 })
            .font_file2(file);
        let mut map = UnicodeCmap::new(Name(b"Plugwright"), system);
        for (&glyph, &ch) in &self.characters {
            map.pair(glyph, ch);
        }
        pdf.cmap(cmap, &map.finish()).name(Name(b"Plugwright")).system_info(system);
        let mut stream = pdf.stream(file, bytes.0);
        stream.filter(Filter::FlateDecode).pair(Name(b"Length1"), i32::try_from(bytes.1).unwrap_or(i32::MAX));
        stream.finish();
        Ok(())
    }
}
