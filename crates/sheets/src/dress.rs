//! What every page carries besides parts: the two measured lines and the foot line.

use crate::font;
use crate::layout::PageSetup;
use crate::sheet::{Ink, Page, Path, Placed, Stroke, Text};

/// Paper kept free of parts at the left and the foot for the measured lines, mm. The lines themselves lie within the last
/// 2.3 mm of it, so that they are printed even where a printer leaves 6.35 mm blank; only their labels come nearer the edge.
pub(crate) const BAND_MM: f64 = 9.5;
/// The least side of paper, mm: a measured line with its ends in the margins.
pub(crate) const LEAST_PAPER_MM: f64 = 130.0;

/// From the parts to the measured line, mm.
const LINE_MM: f64 = 1.3;
/// From the measured line to its label, mm.
const LABEL_MM: f64 = 0.9;
const LABEL_SIZE_MM: f64 = 2.2;
const FOOT_SIZE_MM: f64 = 2.3;
/// Half the height of the end marks, mm.
const END_MARK_MM: f64 = 1.0;
const PEN_MM: f64 = 0.2;

/// What stands beside each measured line.
pub const MEASURED_LABEL: &str = "100 mm: print at 100 %, measure both lines";

/// Adds the measured lines and the foot line to a page.
pub(crate) fn furnish(page: &mut Page, setup: &PageSetup, names: &str, number: usize, total: usize) {
    measured_lines(page, setup);
    foot(page, setup, names, number, total);
    side_notes(page, setup);
}

/// A line of 100 mm along each axis, from the outer edge of one end mark to that of the other. Where two axes differ below,
/// `p(along, across)` makes the page's point.
fn measured_lines(page: &mut Page, setup: &PageSetup) {
    let k = setup.correction();
    let edge = setup.wide_margin();
    let across = edge - LINE_MM;
    for (axis, &scale) in k.iter().enumerate() {
        let p = |along: f64, off: f64| if axis == 0 { [along, off] } else { [off, along] };
        let (from, to) = (edge, edge + 100.0 * scale);
        let pen = || Stroke::solid(PEN_MM, Ink::BLACK);
        add(page, Path::line(p(from, across), p(to, across), pen()));
        for end in [from + PEN_MM / 2.0, to - PEN_MM / 2.0] {
            add(page, Path::line(p(end, across - END_MARK_MM), p(end, across + END_MARK_MM), pen()));
        }
        let middle = (from + to) / 2.0;
        let off = across - LABEL_MM - if axis == 0 { font::CAPITAL * LABEL_SIZE_MM } else { 0.0 };
        let label = Text::new(MEASURED_LABEL, p(middle, off), LABEL_SIZE_MM)
            .anchored(crate::sheet::Anchor::Middle)
            .turned(if axis == 0 { 0.0 } else { 90.0 });
        add(page, label);
    }
}

fn foot(page: &mut Page, setup: &PageSetup, names: &str, number: usize, total: usize) {
    let k = setup.correction();
    let edge = setup.wide_margin();
    let left = edge + 100.0 * k[0] + 6.0;
    let width = page.width_mm - setup.margin_mm.max(5.0) - left;
    let project = if setup.project.is_empty() { String::new() } else { format!("{} · ", setup.project) };
    let mut first = format!("{project}page {number} of {total}");
    if k != [1.0, 1.0] {
        first += &format!(" · corrected × {:.4} across, × {:.4} up", k[0], k[1]);
    }
    let top = edge - 2.0;
    for (line, bold, down) in [(first.as_str(), true, 0.0), (names, false, 2.7)] {
        let text = font::fitted(line, FOOT_SIZE_MM, bold, width);
        let mut text = Text::new(text, [left, top - down], FOOT_SIZE_MM);
        text.bold = bold;
        add(page, text);
    }
}

/// The notes every page must carry, up the left margin above the measured line.
fn side_notes(page: &mut Page, setup: &PageSetup) {
    let edge = setup.wide_margin();
    let from = edge + 100.0 * setup.correction()[1] + 6.0;
    let room = page.height_mm - setup.margin_mm.max(5.0) - from;
    let notes = font::fitted(&setup.notes.join(" · "), FOOT_SIZE_MM, false, room);
    if !notes.is_empty() {
        add(page, Text::new(notes, [edge - LINE_MM - LABEL_MM, from], FOOT_SIZE_MM).turned(90.0));
    }
}

fn add(page: &mut Page, item: impl Into<crate::sheet::Item>) {
    page.items.push(Placed { item: item.into(), clip: None });
}
