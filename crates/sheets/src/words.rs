//! Blocks of words: measured, wrapped, and set level or upright.

use crate::font;
use crate::free_space::FreeSpace;
use crate::sheet::{Affine, Drawing, Rect, Text};
use std::borrow::Borrow;

/// Distance between baselines, in ems.
const LEADING: f64 = 1.28;

/// One line of a block.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub(crate) text: String,
    pub(crate) size_mm: f64,
    pub(crate) bold: bool,
}

impl Line {
    pub(crate) fn new(text: impl Into<String>, size_mm: f64) -> Self {
        Self { text: text.into(), size_mm, bold: false }
    }

    pub(crate) fn bold(text: impl Into<String>, size_mm: f64) -> Self {
        Self { text: text.into(), size_mm, bold: true }
    }

    fn width(&self) -> f64 {
        font::text_width(&self.text, self.size_mm, self.bold)
    }
}

/// Lines under each other, flush left.
#[derive(Clone, Debug, Default)]
pub(crate) struct Block {
    pub(crate) lines: Vec<Line>,
}

impl Block {
    pub(crate) fn new(lines: Vec<Line>) -> Self {
        Self { lines }
    }

    /// The same with every line broken at words so that none is wider than `width_mm` (a longer word stays whole).
    pub(crate) fn wrapped(&self, width_mm: f64) -> Self {
        Self { lines: self.lines.iter().flat_map(|l| wrap(l, width_mm)).collect() }
    }

    /// The same in another size.
    pub(crate) fn scaled(&self, by: f64) -> Self {
        let lines = self.lines.iter().map(|l| Line { size_mm: l.size_mm * by, ..l.clone() }).collect();
        Self { lines }
    }

    /// Width and height when level, mm.
    pub(crate) fn size(&self) -> [f64; 2] {
        let width = self.lines.iter().map(Line::width).fold(0.0, f64::max);
        let leading: f64 = self.lines.iter().skip(1).map(|l| l.size_mm * LEADING).sum();
        let first = self.lines.first().map_or(0.0, |l| l.size_mm * font::ASCENT);
        let last = self.lines.last().map_or(0.0, |l| l.size_mm * font::DESCENT);
        [width, first + leading + last]
    }

    /// Sets the lines in a box with its lower left corner at `at`; upright ones read from below.
    pub(crate) fn set(&self, d: &mut Drawing, at: [f64; 2], upright: bool) {
        let [_, height] = self.size();
        let from = d.items.len();
        let map = if upright {
            Affine::quarter_turn().then(&Affine::shift([at[0] + height, at[1]]))
        } else {
            Affine::shift(at)
        };
        let mut level = height;
        for (k, line) in self.lines.iter().enumerate() {
            level -= line.size_mm * if k == 0 { font::ASCENT } else { LEADING };
            let mut text = Text::new(line.text.clone(), map.apply([0.0, level]), line.size_mm);
            text.turn_deg = if upright { 90.0 } else { 0.0 };
            text.bold = line.bold;
            d.push(text);
        }
        d.keep_together(from);
    }
}

/// Whose template it is: the project, and under it the form.
pub(crate) fn owner_lines(project: &str, form: &str, size_mm: f64) -> Vec<Line> {
    let filled = |s: &&str| !s.trim().is_empty();
    let project = Some(project).filter(filled).map(|s| Line::bold(s, size_mm));
    project.into_iter().chain(Some(form).filter(filled).map(|s| Line::new(s, size_mm))).collect()
}

fn wrap(line: &Line, width_mm: f64) -> Vec<Line> {
    let ems = |from: f64, text: &str| text.chars().fold(from, |sum, c| sum + font::width_of(c, line.bold));
    let mut out: Vec<Line> = Vec::new();
    // Of the last line, in ems.
    let mut width = 0.0;
    for word in line.text.split_whitespace() {
        if let Some(last) = out.last_mut() {
            let longer = ems(ems(width, " "), word);
            if longer * line.size_mm <= width_mm {
                last.text.push(' ');
                last.text.push_str(word);
                width = longer;
                continue;
            }
        }
        width = ems(0.0, word);
        out.push(Line { text: word.to_owned(), size_mm: line.size_mm, bold: line.bold });
    }
    out
}

/// Where words may go and where they should.
pub(crate) struct Search<'a> {
    /// They stay inside this rectangle.
    pub(crate) area: Rect,
    /// Their middle should be near here.
    pub(crate) prefer: [f64; 2],
    /// Distance kept from everything, mm.
    pub(crate) clear: f64,
    /// Their middle must satisfy this.
    pub(crate) inside: &'a dyn Fn([f64; 2]) -> bool,
}

/// Sets the first of `blocks` that finds room, level or, if `may_stand`, upright, and keeps that room. Whether one did. Those after
/// it are never asked for.
pub(crate) fn set_first<B: Borrow<Block>>(
    d: &mut Drawing,
    free: &mut FreeSpace,
    search: &Search<'_>,
    blocks: impl IntoIterator<Item = B>,
    may_stand: bool,
) -> bool {
    for block in blocks {
        let block = block.borrow();
        let [w, h] = block.size();
        for upright in [false, true] {
            if upright && !may_stand {
                continue;
            }
            let size = if upright { [h, w] } else { [w, h] };
            if let Some(at) = free.find(&search.area, size, search.clear, search.prefer, search.inside) {
                block.set(d, at, upright);
                free.take(Rect::at(at, size).grown(search.clear / 2.0));
                return true;
            }
        }
    }
    false
}

/// A length for paper: one decimal, two where one would lose something.
pub(crate) fn millimetres(value: f64) -> String {
    let tenths = format!("{value:.1}");
    let hundredths = format!("{value:.2}");
    // "-0.0" is plain zero.
    let text = if hundredths.ends_with('0') { tenths } else { hundredths };
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        "0.0".to_owned()
    } else {
        text.replace('-', "−")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_as_a_builder_writes_them() {
        assert_eq!(millimetres(126.0), "126.0");
        assert_eq!(millimetres(126.25), "126.25");
        assert_eq!(millimetres(-0.001), "0.0");
        assert_eq!(millimetres(-31.5), "−31.5");
    }

    #[test]
    fn wrapped_lines_keep_every_word_and_the_width() {
        let text = "finished outside: no laminate, no card thickness taken off";
        let block = Block::new(vec![Line::new(text, 3.0)]).wrapped(40.0);
        assert!(block.lines.len() > 1 && block.lines.iter().all(|l| l.width() <= 40.0));
        let words: Vec<&str> = block.lines.iter().flat_map(|l| l.text.split_whitespace()).collect();
        assert_eq!(words.join(" "), text);
    }
}
