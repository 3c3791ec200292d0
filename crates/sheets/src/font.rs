//! The bundled font: widths for layout and PDF, outlines for PNG.

use std::sync::OnceLock;

use ttf_parser::Face;

/// Height of the tallest letters above the baseline, in ems (of the bundled font, accents on capitals excepted).
pub const ASCENT: f64 = 0.76;
/// Depth of the deepest letters below the baseline, in ems.
pub const DESCENT: f64 = 0.24;
/// Height of capitals, in ems.
pub const CAPITAL: f64 = 0.73;

/// The regular face's file.
pub(crate) const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansCondensed.ttf");
/// The bold face's file.
pub(crate) const BOLD: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansCondensed-Bold.ttf");

/// The file of a face.
pub(crate) fn data(bold: bool) -> &'static [u8] {
    if bold { BOLD } else { REGULAR }
}

/// The parsed face, or `None` if the bundled file is damaged (then writers report it).
pub(crate) fn face(bold: bool) -> Option<&'static Face<'static>> {
    static FACES: [OnceLock<Option<Face<'static>>>; 2] = [OnceLock::new(), OnceLock::new()];
    FACES[usize::from(bold)].get_or_init(|| Face::parse(data(bold), 0).ok()).as_ref()
}

/// The glyph for a character; a character the font lacks gives glyph 0, the empty box, a control character a space.
pub(crate) fn glyph(face: &Face<'_>, c: char) -> ttf_parser::GlyphId {
    face.glyph_index(if c.is_control() { ' ' } else { c }).unwrap_or_default()
}

/// Advance width of one glyph in ems.
pub(crate) fn advance(face: &Face<'_>, glyph: ttf_parser::GlyphId) -> f64 {
    f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) / f64::from(face.units_per_em())
}

/// Characters whose widths are looked up once and kept: those of the Latin alphabets.
const KEPT: usize = 0x250;

/// Advance width of a character in ems; 0 if the bundled file is damaged.
pub(crate) fn width_of(c: char, bold: bool) -> f64 {
    static WIDTHS: [OnceLock<Vec<f64>>; 2] = [OnceLock::new(), OnceLock::new()];
    let looked_up = |c: char| face(bold).map_or(0.0, |f| advance(f, glyph(f, c)));
    let all = || (0..KEPT).map(|code| char::from_u32(code as u32).map_or(0.0, looked_up)).collect();
    let kept = WIDTHS[usize::from(bold)].get_or_init(all);
    kept.get(c as usize).copied().unwrap_or_else(|| looked_up(c))
}

/// Width of a line of text, mm, for a font size (em) in mm; without kerning, as every writer sets it.
#[must_use]
pub fn text_width(text: &str, size_mm: f64, bold: bool) -> f64 {
    text.chars().map(|c| width_of(c, bold)).sum::<f64>() * size_mm
}

/// The text, shortened with an ellipsis until it is at most `width_mm` wide.
#[must_use]
pub fn fitted(text: &str, size_mm: f64, bold: bool, width_mm: f64) -> String {
    if text_width(text, size_mm, bold) <= width_mm {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if text_width(&shorter, size_mm, bold) <= width_mm {
            return shorter;
        }
    }
    String::new()
}
