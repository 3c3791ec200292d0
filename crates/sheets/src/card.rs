//! The drawing of any part that is cut from card or drawn on foam: cut lines, named marks, words where there is room.

use crate::free_space::{Banded, FreeSpace};
use crate::guides;
use crate::sheet::{Drawing, Ink, Part, Path, Rect, Stroke};
use crate::words::{Block, Line, Search, owner_lines, set_first};

/// A part as it lies on the sheet; mm, y up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CardTemplate {
    /// A short name that never changes while the part exists.
    pub id: String,
    /// The name shown on paper.
    pub title: String,
    /// A mark of few letters for the map of pages; empty to make one of the title.
    pub short: String,
    /// Closed contours that are cut: outlines, slots, holes. What an odd number of them hold is card.
    pub contours: Vec<Vec<[f64; 2]>>,
    /// Lines that are marked and not cut.
    pub marks: Vec<Mark>,
    /// What else is drawn, as it is; words keep clear of it.
    pub besides: Vec<Path>,
    /// Lines under the title: where the part stands and how it is seen.
    pub head: Vec<String>,
    /// Sentences the builder must read.
    pub notes: Vec<String>,
    /// What lies at the left and at the right, if that is not plain.
    pub sides: Option<[String; 2]>,
    /// Whether an arrow shows which way is up.
    pub up: bool,
    /// The project's name.
    pub project: String,
    /// The form's name.
    pub form: String,
}

/// A line that is marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its points.
    pub points: Vec<[f64; 2]>,
    /// How it is drawn.
    pub pen: MarkPen,
    /// What it is called, set beside it where there is room.
    pub name: String,
}

impl Mark {
    /// The line as it is drawn.
    pub(crate) fn path(&self) -> Path {
        Path::polyline(&self.points, self.pen.stroke())
    }
}

/// How a mark is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkPen {
    /// The centre plane, or the thrust line.
    Centre,
    /// A height.
    Level,
    /// The breadth line.
    Breadth,
    /// A station.
    Station,
    /// Something that lies behind or elsewhere.
    Hidden,
    /// A place that asks for work, such as an edge to be bevelled.
    Heavy,
}

impl MarkPen {
    fn stroke(self) -> Stroke {
        match self {
            Self::Centre => guides::centre_pen(),
            Self::Level => guides::level_pen(),
            Self::Breadth => guides::breadth_pen(),
            Self::Station => guides::station_pen(),
            Self::Hidden => Stroke::dashed(0.18, Ink::DARK, &[1.5, 1.2]),
            Self::Heavy => Stroke::solid(0.6, Ink::MID),
        }
    }
}

/// Distance kept between words and lines, mm.
const CLEAR: f64 = 1.0;
/// Sizes of the words, from the largest tried to the smallest.
const SCALES: [f64; 4] = [1.0, 0.8, 0.65, 0.5];
/// A card narrower or lower than this is small, mm.
const SMALL: f64 = 60.0;
/// Width of a column of notes where the card is cut up by lines, mm.
const NARROW: f64 = 27.0;

impl CardTemplate {
    /// The part, drawn. Words that find no room on it stand below it.
    #[must_use]
    pub fn part(&self) -> Part {
        let mut bounds = Rect::NOTHING;
        self.contours.iter().flatten().for_each(|&p| bounds.include(p));
        let mut d = Drawing::default();
        // What is broad goes under the cut lines: it runs along them, and they are what the knife follows.
        let (broad, fine): (Vec<&Mark>, Vec<&Mark>) = self.marks.iter().partition(|m| m.pen == MarkPen::Heavy);
        let draw = |d: &mut Drawing, mark: &Mark| d.push(mark.path());
        broad.iter().for_each(|mark| draw(&mut d, mark));
        for contour in &self.contours {
            d.push(Path::polygon(contour, Some(guides::cut_pen()), None));
        }
        fine.iter().for_each(|mark| draw(&mut d, mark));
        self.besides.iter().for_each(|path| d.push(path.clone()));
        self.marks.iter().flat_map(|m| &m.points).for_each(|&p| bounds.include(p));
        if !bounds.is_empty() {
            self.words(&mut d, &bounds);
        }
        let mut part = Part::new(self.id.clone(), self.title.clone(), d);
        if !self.short.is_empty() {
            part.short.clone_from(&self.short);
        }
        part
    }

    fn words(&self, d: &mut Drawing, bounds: &Rect) {
        let card = Card(self.contours.iter().map(|c| Banded::new(c)).collect());
        let mut free = FreeSpace::default();
        free.add_drawing(d, bounds);
        let inside = |p: [f64; 2]| card.holds(p);
        let [w, h] = bounds.size();
        let c = bounds.centre();
        let near = |x: f64, z: f64| Search {
            area: *bounds,
            prefer: [c[0] + x * w, c[1] + z * h],
            clear: CLEAR,
            inside: &inside,
        };
        // Names belong beside their marks, while all else goes where there is room; but on a small card the title must not be crowded
        // out, as what stands below is cut away.
        let small = w.min(h) < SMALL;
        if !small {
            self.name_marks(d, &mut free, bounds, &card);
        }
        let mut below = self.title(d, &mut free, &near(0.2, 0.2), w);
        if small {
            self.name_marks(d, &mut free, bounds, &card);
        }
        if self.up && !up(d, &mut free, &near(-0.2, 0.2)) {
            below.push(Line::new("drawn with its upper edge up", 2.2));
        }
        self.name_sides(d, &mut free, bounds, &inside, &mut below);
        let mut notes = owner_lines(&self.project, &self.form, 2.6);
        notes.extend(self.notes.iter().map(|n| Line::new(n.as_str(), 2.6)));
        let widths = [0.9 * w, 0.45 * w, 0.3 * w, NARROW];
        if !set_first(d, &mut free, &near(0.2, -0.2), sizes(&notes, &SCALES[..3], &widths), false) {
            below.extend(Block::new(notes).scaled(0.85).lines);
        }
        if !below.is_empty() {
            let block = Block::new(below).wrapped(w.max(66.0));
            let size = block.size();
            block.set(d, [c[0] - size[0] / 2.0, bounds.min[1] - 1.5 - size[1]], false);
        }
    }

    /// Title and what stands under it; at least the title itself is set on the card wherever there is any room, as what stands below
    /// is cut away. Gives the lines that found none.
    fn title(&self, d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>, width: f64) -> Vec<Line> {
        let mut head = vec![Line::bold(self.title.clone(), 5.0)];
        head.extend(self.head.iter().map(|t| Line::new(t.as_str(), 3.0)));
        let whole = sizes(&head, &SCALES[..3], &[f64::INFINITY]);
        let widths = [0.6 * width, 0.4 * width];
        let wrapped = sizes(&head, &SCALES[1..], &widths);
        if set_first(d, free, search, whole.chain(wrapped), false) {
            return Vec::new();
        }
        let widths = [f64::INFINITY, 0.4 * width];
        let alone = sizes(&head[..1], &[1.0, 0.8, 0.65, 0.5, 0.4], &widths);
        let mut below = vec![Line::bold(self.title.clone(), 3.2)];
        if set_first(d, free, search, alone, true) {
            below.clear();
        } else {
            let short = Part::new("", self.title.clone(), Drawing::default()).short;
            set_first(d, free, search, sizes(&[Line::bold(short, 3.2)], &[1.0, 0.7], &[f64::INFINITY]), true);
        }
        below.extend(self.head.iter().map(|t| Line::new(t.as_str(), 2.4)));
        below
    }

    /// Names the marks, the longest first; of several with the same name only one.
    fn name_marks(&self, d: &mut Drawing, free: &mut FreeSpace, bounds: &Rect, card: &Card) {
        let length = |m: &Mark| m.points.windows(2).map(|s| (s[1][0] - s[0][0]).hypot(s[1][1] - s[0][1])).sum::<f64>();
        let mut marks: Vec<&Mark> = self.marks.iter().filter(|m| !m.name.is_empty()).collect();
        marks.sort_by(|a, b| length(b).total_cmp(&length(a)));
        let mut named: Vec<&str> = Vec::new();
        for mark in marks {
            if !named.contains(&mark.name.as_str()) && card.name_mark(d, free, bounds, mark) {
                named.push(&mark.name);
            }
        }
    }

    /// A side's name stands on that side, or below the part.
    fn name_sides(
        &self,
        d: &mut Drawing,
        free: &mut FreeSpace,
        bounds: &Rect,
        inside: &dyn Fn([f64; 2]) -> bool,
        below: &mut Vec<Line>,
    ) {
        let Some([left, right]) = &self.sides else { return };
        let c = bounds.centre();
        let mut area = [*bounds; 2];
        area[0].max[0] = c[0];
        area[1].min[0] = c[0];
        // Well out on their sides, away from the middle that other words want.
        let prefer = [-1.0, 1.0].map(|side| [c[0] + side * 0.3 * bounds.size()[0], c[1]]);
        let set = [left, right].into_iter().zip(area).zip(prefer).map(|((name, area), prefer)| {
            let blocks = [2.8, 2.2, 1.8].map(|s| Block::new(vec![Line::bold(name.as_str(), s)]));
            let search = Search { area, prefer, clear: CLEAR, inside };
            set_first(d, free, &search, blocks, true)
        });
        // Both are tried, whatever becomes of the first.
        if set.filter(|found| !found).count() > 0 {
            below.push(Line::new(format!("{left} at the left, {right} at the right"), 2.2));
        }
    }
}

/// The contours, to be asked about many places.
struct Card(Vec<Banded>);

impl Card {
    /// Whether there is card at a place.
    fn holds(&self, p: [f64; 2]) -> bool {
        self.0.iter().filter(|c| c.holds(p)).count() % 2 == 1
    }

    /// Names a mark beside it, on the card if there is room, else outside it but never in a hole; where there is none, not at all.
    /// Whether it was named.
    fn name_mark(&self, d: &mut Drawing, free: &mut FreeSpace, bounds: &Rect, mark: &Mark) -> bool {
        let mut own = Rect::NOTHING;
        mark.points.iter().for_each(|&p| own.include(p));
        let upright = own.size()[1] > own.size()[0];
        let outside = |p: [f64; 2]| !self.0.iter().any(|c| c.holds(p));
        let on_card = |p: [f64; 2]| self.holds(p);
        let places: [&dyn Fn([f64; 2]) -> bool; 2] = [&on_card, &outside];
        for (size, inside) in [(2.2, places[0]), (1.7, places[0]), (2.2, places[1]), (1.7, places[1])] {
            let block = Block::new(vec![Line::new(mark.name.as_str(), size)]);
            for area in beside(mark, &own, block.size()[0]) {
                let search = Search { area: area.intersection(bounds), prefer: area.centre(), clear: 0.5, inside };
                if set_first(d, free, &search, std::slice::from_ref(&block), upright) {
                    return true;
                }
            }
        }
        false
    }
}

/// A block in the sizes given and, in each, wrapped at the widths given.
fn sizes(lines: &[Line], scales: &[f64], widths: &[f64]) -> impl Iterator<Item = Block> {
    let block = Block::new(lines.to_vec());
    let each = scales.iter().flat_map(|&s| widths.iter().map(move |&w| (s, w)));
    each.map(move |(s, w)| block.scaled(s).wrapped(w))
}

fn up(d: &mut Drawing, free: &mut FreeSpace, search: &Search<'_>) -> bool {
    for scale in SCALES {
        let word = Block::new(vec![Line::bold("UP", 3.2 * scale)]);
        let [w, h] = word.size();
        let size = [4.0 * scale + w, 12.0 * scale];
        if let Some(at) = free.find(&search.area, size, search.clear, search.prefer, search.inside) {
            let from = d.items.len();
            let x = at[0] + 1.5 * scale;
            guides::arrow(d, [x, at[1]], [x, at[1] + size[1]], 3.0 * scale);
            word.set(d, [at[0] + 4.0 * scale, at[1] + (size[1] - h) / 2.0], false);
            d.keep_together(from);
            free.take(Rect::at(at, size).grown(0.5));
            return true;
        }
    }
    false
}

/// Where a mark's name may stand: about a straight mark, nearest its middle; on a curve beside several of its places in turn.
fn beside(mark: &Mark, own: &Rect, width: f64) -> Vec<Rect> {
    let count = mark.points.len();
    if count <= 2 {
        let short = own.size()[0].max(own.size()[1]) < width;
        return vec![own.grown(if short { width + 1.0 } else { 4.0 })];
    }
    let about = |eighth: usize| {
        let [x, y] = mark.points[(count - 1) * eighth / 8];
        let reach = 0.5 * width + 3.0;
        Rect { min: [x - reach, y - reach], max: [x + reach, y + reach] }
    };
    [1, 3, 5, 7, 2, 4, 6, 0].map(about).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::Item;

    #[test]
    fn a_broad_mark_leaves_the_cut_line_that_it_runs_along_in_sight() {
        let square = vec![[0.0, 0.0], [60.0, 0.0], [60.0, 60.0], [0.0, 60.0]];
        let mark = |pen| Mark { points: square[..2].to_vec(), pen, name: String::new() };
        let plate = CardTemplate {
            id: "plate".to_owned(),
            title: "Plate 1".to_owned(),
            contours: vec![square.clone()],
            marks: vec![mark(MarkPen::Station), mark(MarkPen::Heavy)],
            ..CardTemplate::default()
        };
        let widths: Vec<f64> = plate.part().drawing.items.iter().take(3).filter_map(pen_width).collect();
        assert_eq!(widths, [MarkPen::Heavy.stroke(), guides::cut_pen(), MarkPen::Station.stroke()].map(|s| s.width_mm));
    }

    #[test]
    fn no_word_lies_on_what_is_drawn_besides() {
        let square = vec![[0.0, 0.0], [90.0, 0.0], [90.0, 90.0], [0.0, 90.0]];
        let arrow = Path::line([5.0, 63.0], [85.0, 63.0], Stroke::solid(0.5, Ink::BLACK));
        let plate = |besides| {
            let title = "Plate 1".to_owned();
            let head = vec!["head".to_owned()];
            CardTemplate { title, head, contours: vec![square.clone()], besides, ..CardTemplate::default() }.part()
        };
        let crossed = |part: &Part| {
            let over = |b: Rect| b.min[1] < 63.0 && b.max[1] > 63.0;
            part.drawing.items.iter().any(|i| matches!(i, Item::Text(_)) && over(i.bounds()))
        };
        assert!(crossed(&plate(Vec::new())) && !crossed(&plate(vec![arrow])));
    }

    fn pen_width(item: &Item) -> Option<f64> {
        if let Item::Path(p) = item { p.stroke.as_ref().map(|s| s.width_mm) } else { None }
    }

    #[test]
    fn cut_lines_are_drawn_as_given_and_words_stay_on_the_card_or_below_it() {
        let plate = |size: f64| CardTemplate {
            id: "plate".to_owned(),
            title: "Plate 1".to_owned(),
            contours: vec![vec![[0.0, 0.0], [size, 0.0], [size, size], [0.0, size]]],
            notes: vec!["a note".to_owned()],
            up: true,
            sides: Some(["STARBOARD".to_owned(), "PORT".to_owned()]),
            ..CardTemplate::default()
        };
        let large = plate(120.0).part();
        assert_eq!(large.bounds, Rect::at([0.0; 2], [120.0, 120.0]));
        let small = plate(6.0).part();
        assert!(small.bounds.min[1] < -5.0);
        let texts = |p: &Part| p.drawing.items.iter().filter(|i| matches!(i, Item::Text(_))).count();
        assert!(texts(&large) >= 5 && texts(&small) >= 4);
    }
}
