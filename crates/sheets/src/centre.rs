//! The centre template (side outline with every station) and the small picture of the whole set.

use crate::card::Mark;
use crate::free_space::{Banded, FreeSpace};
use crate::guides;
use crate::sheet::{Affine, Anchor, Drawing, Ink, Part, Path, Rect, Stroke, Text};
use crate::words::{Block, Line, Search, millimetres};

/// A station's mark on the centre template, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CentreStation {
    /// The station's number, as the builder counts.
    pub number: usize,
    /// Its distance aft of the datum plane.
    pub x_mm: f64,
    /// The height of the keel there.
    pub low_mm: f64,
    /// The height of the crown there.
    pub high_mm: f64,
}

/// What is known of the centre template; all in mm, x aft, z up.
#[derive(Clone, Debug, PartialEq)]
pub struct CentreTemplate {
    /// The crown as [x, z] from front to rear, flattened as finely as it shall be cut (0.01 mm).
    pub crown: Vec<[f64; 2]>,
    /// The keel likewise. Where crown and keel end apart, a straight line closes the outline.
    pub keel: Vec<[f64; 2]>,
    /// The stations.
    pub stations: Vec<CentreStation>,
    /// Height of the datum waterline.
    pub datum_z: f64,
    /// Lines that are marked besides, [x, z]. Their names belong in the notes.
    pub marks: Vec<Mark>,
    /// Sentences the builder must read.
    pub notes: Vec<String>,
    /// The project's name.
    pub project: String,
    /// The form's name.
    pub form: String,
}

/// Points nearer together than this are left out of the small picture, mm.
const COARSE_MM: f64 = 0.1;
/// Distance kept between words and lines, mm.
const CLEAR_MM: f64 = 1.0;
/// Sizes of the words, from the largest tried to the smallest.
const SCALES: [f64; 5] = [1.0, 0.85, 0.75, 0.65, 0.5];

impl CentreTemplate {
    /// The centre template as a part, seen from port, so the front is at the left. Words that find no room inside stand below
    /// the outline.
    #[must_use]
    pub fn part(&self) -> Part {
        let outline = self.outline();
        let mut bounds = Rect::NOTHING;
        outline.iter().for_each(|&p| bounds.include(p));
        let mut d = Drawing::default();
        d.push(Path::polygon(&outline, Some(guides::cut_pen()), None));
        if !bounds.is_empty() {
            let level = guides::reference_level(&outline, &bounds, self.datum_z);
            guides::draw_level(&mut d, &outline, level);
            self.marks.iter().for_each(|mark| d.push(mark.path()));
            let mut free = FreeSpace::default();
            free.add_drawing(&d, &bounds);
            self.draw_stations(&mut d, &mut free, &bounds, level);
            self.words(&mut d, &mut free, &outline, &bounds, level);
        }
        Part::new("centre", "Centre template", d)
    }

    fn outline(&self) -> Vec<[f64; 2]> {
        let mut points: Vec<[f64; 2]> = self.crown.iter().chain(self.keel.iter().rev()).copied().collect();
        points.retain(|p| p[0].is_finite() && p[1].is_finite());
        points.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9);
        points
    }

    fn draw_stations(&self, d: &mut Drawing, free: &mut FreeSpace, bounds: &Rect, level: f64) {
        for (k, s) in self.stations.iter().enumerate() {
            d.push(Path::line([s.x_mm, s.low_mm], [s.x_mm, s.high_mm], guides::station_pen()));
            let before = if k == 0 { bounds.min[0] } else { self.stations[k - 1].x_mm };
            let after = self.stations.get(k + 1).map_or(bounds.max[0], |n| n.x_mm);
            if let Some(text) = station_label(s, [s.x_mm - before, after - s.x_mm], level) {
                free.take(text.bounds().grown(0.3));
                d.push(text);
                d.keep_together(d.items.len() - 1);
            }
        }
    }

    fn words(&self, d: &mut Drawing, free: &mut FreeSpace, outline: &[[f64; 2]], bounds: &Rect, level: f64) {
        let outline = Banded::new(outline);
        let inside = |p: [f64; 2]| outline.holds(p);
        let c = bounds.centre();
        let [w, h] = bounds.size();
        let near = |x: f64, z: f64| Search { area: *bounds, prefer: [x, z], clear: CLEAR_MM, inside: &inside };
        let mut outside = Block::default();
        let mut lines = vec![Line::bold("Centre template", 6.0)];
        let owner: Vec<&str> =
            [self.project.as_str(), self.form.as_str()].into_iter().filter(|s| !s.is_empty()).collect();
        if !owner.is_empty() {
            lines.push(Line::bold(owner.join(" · "), 3.2));
        }
        lines.push(Line::new("seen from port, front at the left", 3.0));
        lines.extend(self.notes.iter().map(|n| Line::new(n.as_str(), 3.0)));
        let block = Block::new(lines);
        let widths = [0.6 * w, 0.4 * w];
        if !set_on_white(d, free, &near(c[0] + 0.1 * w, bounds.max[1] - 0.3 * h), &block, &widths) {
            outside.lines.extend(block.scaled(0.7).lines);
        }
        if !front_arrow(d, free, &near(bounds.min[0] + 0.12 * w, level - 0.12 * h)) {
            outside.lines.push(Line::new("← FRONT", 2.4));
        }
        let name = Block::new(vec![Line::new(guides::level_name(level, self.datum_z), 2.2)]);
        set_on_white(d, free, &near(c[0] + 0.25 * w, level + 2.2), &name, &[f64::INFINITY]);
        if !outside.lines.is_empty() {
            let block = outside.wrapped(w.max(60.0));
            let [bw, bh] = block.size();
            block.set(d, [c[0] - bw / 2.0, bounds.min[1] - 1.5 - bh], false);
        }
    }
}

/// Number and distance up along a station's line, at its left or, if there is more room, at its right (`bays` are the distances
/// to what stands there); below the reference level, above it, or across it; the number alone if nothing more fits.
fn station_label(s: &CentreStation, bays: [f64; 2], level: f64) -> Option<Text> {
    const LARGEST_MM: f64 = 3.0;
    const SMALLEST_MM: f64 = 1.2;
    const FROM_LINE_MM: f64 = 0.8;
    let left = bays[0] >= bays[1] || 0.7 * bays[0] >= LARGEST_MM;
    let size = (0.7 * bays[usize::from(!left)]).min(LARGEST_MM);
    if size < SMALLEST_MM {
        return None;
    }
    let (low, high) = (s.low_mm + 2.5, s.high_mm - 1.5);
    let spans = [[low, high.min(level - 0.8)], [low.max(level + 0.8), high], [low, high]];
    let number = s.number.to_string();
    let full = format!("{number}  ·  {} mm", millimetres(s.x_mm));
    let fit = |text: &String| {
        let width = crate::font::text_width(text, size, true);
        spans.iter().find(|[from, to]| to - from >= width).map(|[from, _]| (text.clone(), *from))
    };
    let (text, from) = [&full, &number].into_iter().find_map(fit)?;
    // Turned to read upwards, the letters' feet are at the right.
    let x = if left { s.x_mm - FROM_LINE_MM } else { s.x_mm + FROM_LINE_MM + crate::font::CAPITAL * size };
    Some(Text::new(text, [x, from], size).turned(90.0).bold())
}

/// Sets a block over the station lines, on white paper; a station's line may be broken by words, the outline may not.
fn set_on_white(d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>, block: &Block, widths: &[f64]) -> bool {
    for scale in SCALES {
        for &width in widths {
            let block = block.scaled(scale).wrapped(width);
            let size = block.size();
            if let Some(at) = free.find(&search.area, size, search.clear, search.prefer, search.inside) {
                let r = Rect::at(at, size);
                let from = d.items.len();
                d.push(Path::rect(&r.grown(0.5), None, Some(Ink::WHITE)));
                block.set(d, at, false);
                d.keep_together(from);
                free.take(r.grown(0.5));
                return true;
            }
        }
    }
    false
}

fn front_arrow(d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>) -> bool {
    for scale in SCALES {
        let word = Text::new("FRONT", [0.0; 2], 3.2 * scale).bold();
        let size = [10.0 * scale + word.width(), 3.2 * scale];
        if let Some(at) = free.find(&search.area, size, search.clear, search.prefer, search.inside) {
            let r = Rect::at(at, size);
            let from = d.items.len();
            d.push(Path::rect(&r.grown(0.4), None, Some(Ink::WHITE)));
            let z = r.centre()[1];
            guides::arrow(d, [at[0] + 9.0 * scale, z], [at[0], z], 3.0 * scale);
            d.push(Text { at: [at[0] + 10.0 * scale, z - 1.15 * scale], ..word });
            d.keep_together(from);
            free.take(r.grown(0.4));
            return true;
        }
    }
    false
}

/// Height of the line of figures under the small picture, with the space above it, mm.
const FIGURES_MM: f64 = 4.0;
/// From one line of figures to the next, mm.
const FIGURE_ROW_MM: f64 = 2.4;
/// Least space between figures beside each other, mm.
const FIGURE_GAP_MM: f64 = 0.8;

/// A station's number under the small picture.
fn figure(s: &CentreStation, at: [f64; 2]) -> Text {
    Text::new(s.number.to_string(), at, 2.2).anchored(Anchor::Middle).ink(Ink::DARK)
}

/// In which of two lines (0 is the upper) each station's number stands at `scale` so that none touches another; `None` where
/// both are taken and the number is left out.
fn figure_rows(stations: &[CentreStation], scale: f64) -> Vec<Option<usize>> {
    let mut order: Vec<usize> = (0..stations.len()).collect();
    order.sort_by(|&a, &b| stations[a].x_mm.total_cmp(&stations[b].x_mm));
    let mut ends = [f64::NEG_INFINITY; 2];
    let mut rows = vec![None; stations.len()];
    for k in order {
        let b = figure(&stations[k], [stations[k].x_mm * scale, 0.0]).bounds();
        rows[k] = ends.iter().position(|&end| b.min[0] >= end + FIGURE_GAP_MM);
        if let Some(row) = rows[k] {
            ends[row] = b.max[0];
        }
    }
    rows
}

/// A small picture of the set that fits `size_mm`: the side outline with its stations, and beside it, on the same heights and
/// to the same scale, all half sections ([y, z] from crown to keel) as one body plan, looking aft.
#[must_use]
pub fn set_picture(centre: &CentreTemplate, half_sections: &[Vec<[f64; 2]>], size_mm: [f64; 2]) -> Drawing {
    let outline = centre.outline();
    let mut side = Rect::NOTHING;
    outline.iter().for_each(|&p| side.include(p));
    let mut body = Rect::NOTHING;
    half_sections.iter().flatten().for_each(|p| [-1.0, 1.0].iter().for_each(|s| body.include([s * p[0], p[1]])));
    if side.is_empty() {
        return Drawing::default();
    }
    let low = side.min[1].min(body.min[1]);
    let high = side.max[1].max(body.max[1]);
    let gap = if body.is_empty() { 0.0 } else { 0.08 * side.size()[0] };
    let total = [side.size()[0] + gap + body.size()[0], high - low];
    // A line of figures stands under the side outline, or two where stations lie close.
    let scale =
        |figures: f64| (size_mm[0] / total[0].max(1e-9)).min((size_mm[1] - figures).max(1.0) / total[1].max(1e-9));
    let crowded = figure_rows(&centre.stations, scale(FIGURES_MM)).iter().any(|row| *row != Some(0));
    let figures = if crowded { FIGURES_MM + FIGURE_ROW_MM } else { FIGURES_MM };
    let k = scale(figures);
    let rows = figure_rows(&centre.stations, k);
    let map = |dx: f64| Affine::shift([dx, -low]).then(&Affine::scale([k, k])).then(&Affine::shift([0.0, figures]));
    let mut d = Drawing::default();
    let to_side = map(-side.min[0]);
    let thin = || Stroke::solid(0.1, Ink::MID);
    let points = |m: &Affine, list: &[[f64; 2]]| guides::coarse(list, m, COARSE_MM);
    for (s, row) in centre.stations.iter().zip(rows) {
        let ends = points(&to_side, &[[s.x_mm, s.low_mm], [s.x_mm, s.high_mm]]);
        d.push(Path::polyline(&ends, thin()));
        if let Some(row) = row {
            let level = figures - FIGURES_MM + 0.6 - FIGURE_ROW_MM * row as f64;
            d.push(figure(s, [ends[0][0], level]));
        }
    }
    d.push(Path::polygon(&points(&to_side, &outline), Some(Stroke::solid(0.3, Ink::BLACK)), None));
    let to_body = map(side.size()[0] + gap - body.min[0]);
    for half in half_sections.iter().filter(|h| h.len() > 1) {
        let whole: Vec<[f64; 2]> = half.iter().copied().chain(half.iter().rev().map(|p| [-p[0], p[1]])).collect();
        d.push(Path::polygon(&points(&to_body, &whole), Some(Stroke::solid(0.18, Ink::BLACK)), None));
    }
    if !body.is_empty() {
        let axis = points(&to_body, &[[0.0, body.min[1]], [0.0, body.max[1]]]);
        d.push(Path::polyline(&axis, Stroke::dashed(0.1, Ink::MID, &[3.0, 1.0, 0.6, 1.0])));
    }
    d
}
