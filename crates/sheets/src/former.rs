//! The template of one former, drawn looking aft.
//!
//! Looking aft from the nose, the pilot's right hand (starboard) is at the viewer's left, so starboard is drawn at the left.

use crate::card::Mark;
use crate::free_space::{Banded, FreeSpace};
use crate::guides;
use crate::sheet::{Drawing, Ink, Part, Path, Rect, Stroke};
use crate::words::{Block, Line, Search, millimetres, set_first};

/// What is known of a former; all in mm, y to starboard, z up.
#[derive(Clone, Debug, PartialEq)]
pub struct FormerTemplate {
    /// The station's number, as the builder counts.
    pub number: usize,
    /// The station's distance aft of the datum plane.
    pub station_mm: f64,
    /// The half section as [y, z] from crown to keel, flattened as finely as it shall be cut (0.01 mm).
    pub half_section: Vec<[f64; 2]>,
    /// Where the section is widest: its height.
    pub breadth_height: f64,
    /// And its half-breadth.
    pub half_breadth: f64,
    /// Height of the datum waterline.
    pub datum_z: f64,
    /// Knuckles as [y, z] on the half section.
    pub knuckles: Vec<[f64; 2]>,
    /// Lines that are marked besides, as they are drawn: starboard at the left. Their names belong in the notes.
    pub marks: Vec<Mark>,
    /// Sentences the builder must read, such as what was taken off the outline.
    pub notes: Vec<String>,
    /// The project's name.
    pub project: String,
    /// The form's name.
    pub form: String,
}

/// Distance kept between words and lines, mm.
const CLEAR_MM: f64 = 1.0;
/// Sizes of the words, from the largest tried to the smallest.
const SCALES: [f64; 5] = [1.0, 0.85, 0.75, 0.65, 0.55];

impl FormerTemplate {
    /// The former as a part: cut line, guides and words. Words that find no room inside stand below the outline.
    #[must_use]
    pub fn part(&self) -> Part {
        let outline = self.outline();
        let mut bounds = Rect::NOTHING;
        outline.iter().for_each(|&p| bounds.include(p));
        let title = format!("Former {}", self.number);
        let mut d = Drawing::default();
        d.push(Path::polygon(&outline, Some(guides::cut_pen()), None));
        if !bounds.is_empty() {
            let level = guides::reference_level(&outline, &bounds, self.datum_z);
            self.guides(&mut d, &outline, level);
            self.words(&mut d, &outline, &bounds, level, &title);
        }
        Part::new(format!("former-{}", self.number), title, d)
    }

    /// Both halves as one polygon: starboard from crown to keel, then port back up.
    fn outline(&self) -> Vec<[f64; 2]> {
        let half: Vec<[f64; 2]> =
            self.half_section.iter().copied().filter(|p| p[0].is_finite() && p[1].is_finite()).collect();
        let starboard = half.iter().map(|p| [-p[0], p[1]]);
        // A point on the centre plane is its own mirror and comes once.
        let port = half.iter().rev().filter(|p| p[0] > 1e-9).copied();
        starboard.chain(port).collect()
    }

    fn guides(&self, d: &mut Drawing, outline: &[[f64; 2]], level: f64) {
        if let (Some(crown), Some(keel)) = (self.half_section.first(), self.half_section.last()) {
            d.push(Path::line([0.0, keel[1]], [0.0, crown[1]], guides::centre_pen()));
        }
        let apart = (level - self.breadth_height).abs() > 0.2;
        if apart {
            let (b, z) = (self.half_breadth, self.breadth_height);
            d.push(Path::line([-b, z], [b, z], guides::breadth_pen()));
        }
        guides::draw_level(d, outline, level);
        self.marks.iter().for_each(|mark| d.push(mark.path()));
        for k in &self.knuckles {
            for side in [-1.0, 1.0] {
                let at = [side * k[0], k[1]];
                let to = [-at[0], self.breadth_height - at[1]];
                let length = to[0].hypot(to[1]).max(1e-9);
                let tick = (self.half_breadth * 0.2).min(4.0) / length;
                let end = [at[0] + to[0] * tick, at[1] + to[1] * tick];
                d.push(Path::line(at, end, Stroke::solid(0.18, Ink::BLACK)));
            }
        }
    }

    fn words(&self, d: &mut Drawing, outline: &[[f64; 2]], bounds: &Rect, level: f64, title: &str) {
        let mut free = FreeSpace::default();
        free.add_drawing(d, bounds);
        let outline = Banded::new(outline);
        let inside = |p: [f64; 2]| outline.holds(p);
        let (b, zm) = (self.half_breadth, self.breadth_height);
        let (up, down) = ((bounds.max[1] - zm).max(0.0), (zm - bounds.min[1]).max(0.0));
        let near = |x: f64, z: f64| Search { area: *bounds, prefer: [x, z], clear: CLEAR_MM, inside: &inside };
        let mut outside = Block::default();

        let head = self.head(title);
        if !set_first(d, &mut free, &near(0.42 * b, zm + 0.42 * up), sizes(&head, &[f64::INFINITY]), false) {
            outside.lines.push(Line::bold(title, 3.2));
            outside.lines.push(Line::new(format!("station {} mm · looking aft", millimetres(self.station_mm)), 2.4));
        }
        let arrow = up_arrow(d, &mut free, &near(-0.42 * b, zm + 0.42 * up), up + down);
        // A side's name must stand on that side, whatever room there is.
        let half = |x: f64| {
            let mut search = near(x, zm - 0.12 * down);
            if x < 0.0 {
                search.area.max[0] = -0.5;
            } else {
                search.area.min[0] = 0.5;
            }
            search
        };
        let starboard = side_mark(d, &mut free, &half(-0.75 * b), "STARBOARD");
        let port = side_mark(d, &mut free, &half(0.75 * b), "PORT");
        if !(arrow && starboard && port) {
            outside.lines.push(Line::new("crown up · starboard at the left, port at the right", 2.0));
        }
        let notes = self.notes_block();
        let widths = [1.5 * b, 0.85 * b, 0.6 * b];
        if !set_first(d, &mut free, &near(0.45 * b, zm - 0.45 * down), sizes(&notes, &widths), false) {
            outside.lines.extend(notes.scaled(0.8).lines);
        }
        // Names of the guide lines are welcome where there is room, and missed by nobody where there is none.
        let apart = (level - zm).abs() > 0.2;
        let datum = guides::level_name(level, self.datum_z);
        let datum = if apart { datum } else { format!("breadth line and {datum}") };
        line_name(d, &mut free, bounds, &inside, [-0.45 * b, level], &datum);
        if apart {
            line_name(d, &mut free, bounds, &inside, [-0.45 * b, zm], "breadth line");
        }
        if !outside.lines.is_empty() {
            let block = outside.wrapped((2.0 * b).max(66.0));
            let [w, h] = block.size();
            block.set(d, [-w / 2.0, bounds.min[1] - 1.5 - h], false);
        }
    }

    fn head(&self, title: &str) -> Block {
        Block::new(vec![
            Line::bold(title, 6.0),
            Line::new(format!("station {} mm", millimetres(self.station_mm)), 3.4),
            Line::new("looking aft", 3.4),
        ])
    }

    fn notes_block(&self) -> Block {
        let mut lines = crate::words::owner_lines(&self.project, &self.form, 2.8);
        lines.extend(self.notes.iter().map(|n| Line::new(n.as_str(), 2.8)));
        Block::new(lines)
    }
}

/// Names a level line just above it, near `at`.
fn line_name(
    d: &mut Drawing,
    free: &mut FreeSpace,
    bounds: &Rect,
    inside: &dyn Fn([f64; 2]) -> bool,
    at: [f64; 2],
    name: &str,
) {
    for size in [2.2, 1.8] {
        let block = Block::new(vec![Line::new(name, size)]);
        let low = at[1] + 0.4;
        let area = Rect { min: [bounds.min[0], low], max: [bounds.max[0], low + block.size()[1] + 0.1] };
        if set_first(d, free, &Search { area, prefer: at, clear: 0.35, inside }, [block], false) {
            return;
        }
    }
}

/// A block in falling sizes and, in each size, wrapped at the widths given.
fn sizes(block: &Block, widths: &[f64]) -> impl Iterator<Item = Block> {
    SCALES.iter().flat_map(move |&s| widths.iter().map(move |&w| block.scaled(s).wrapped(w)))
}

fn side_mark(d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>, word: &str) -> bool {
    set_first(d, free, search, [3.0, 2.5, 2.0].map(|s| Block::new(vec![Line::bold(word, s)])), true)
}

fn up_arrow(d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>, height: f64) -> bool {
    for scale in SCALES {
        let tall = (14.0 * scale).min(0.4 * height);
        let word = Block::new(vec![Line::bold("UP", 3.4 * scale)]);
        let [w, h] = word.size();
        let size = [4.0 * scale + w, tall.max(h)];
        if let Some(at) = free.find(&search.area, size, search.clear, search.prefer, search.inside) {
            let x = at[0] + 1.5 * scale;
            let from = d.items.len();
            guides::arrow(d, [x, at[1]], [x, at[1] + tall], 3.2 * scale);
            word.set(d, [at[0] + 4.0 * scale, at[1] + (size[1] - h) / 2.0], false);
            d.keep_together(from);
            free.take(Rect::at(at, size).grown(0.5));
            return true;
        }
    }
    false
}
