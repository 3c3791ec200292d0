//! The one sheet type: drawings, parts and finished pages, all in millimetres with y up.

use std::ops::Range;
use std::sync::Arc;

use crate::font;

/// An ink colour, red, green and blue from 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink(pub [u8; 3]);

impl Ink {
    /// Black, for everything that is cut or measured.
    pub const BLACK: Self = Self([0, 0, 0]);
    /// Dark grey, for notes and marks.
    pub const DARK: Self = Self([70, 70, 70]);
    /// Mid grey, for guide lines that must not be cut.
    pub const MID: Self = Self([130, 130, 130]);
    /// Light grey, for fills behind small drawings.
    pub const LIGHT: Self = Self([232, 232, 232]);
    /// White, for the paper under a label.
    pub const WHITE: Self = Self([255, 255, 255]);
}

/// An upright rectangle, mm. Empty when `min` exceeds `max`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Lower left corner.
    pub min: [f64; 2],
    /// Upper right corner.
    pub max: [f64; 2],
}

impl Rect {
    /// The rectangle that holds nothing; growing it by a point gives that point.
    pub const NOTHING: Self = Self { min: [f64::INFINITY; 2], max: [f64::NEG_INFINITY; 2] };

    /// From the lower left corner and a size.
    #[must_use]
    pub fn at(min: [f64; 2], size: [f64; 2]) -> Self {
        Self { min, max: [min[0] + size[0], min[1] + size[1]] }
    }

    /// Width and height; zero when empty.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        [(self.max[0] - self.min[0]).max(0.0), (self.max[1] - self.min[1]).max(0.0)]
    }

    /// Whether it holds no point.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.min[0] > self.max[0] || self.min[1] > self.max[1]
    }

    /// The middle.
    #[must_use]
    pub fn centre(&self) -> [f64; 2] {
        [(self.min[0] + self.max[0]) / 2.0, (self.min[1] + self.max[1]) / 2.0]
    }

    /// Grows to hold `p`.
    pub fn include(&mut self, p: [f64; 2]) {
        for (k, &v) in p.iter().enumerate() {
            self.min[k] = self.min[k].min(v);
            self.max[k] = self.max[k].max(v);
        }
    }

    /// The smallest rectangle that holds both.
    #[must_use]
    pub fn union(mut self, other: &Self) -> Self {
        if !other.is_empty() {
            self.include(other.min);
            self.include(other.max);
        }
        self
    }

    /// What both hold.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Self {
        Self {
            min: [self.min[0].max(other.min[0]), self.min[1].max(other.min[1])],
            max: [self.max[0].min(other.max[0]), self.max[1].min(other.max[1])],
        }
    }

    /// Grown (or shrunk, if negative) by `by` on every side.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        Self { min: [self.min[0] - by, self.min[1] - by], max: [self.max[0] + by, self.max[1] + by] }
    }

    /// Whether the two share more than an edge of width `tolerance`, mm.
    #[must_use]
    pub fn overlaps(&self, other: &Self, tolerance: f64) -> bool {
        (0..2).all(|k| self.min[k] + tolerance < other.max[k] && other.min[k] + tolerance < self.max[k])
    }

    /// Whether `other` lies inside, within `tolerance`, mm.
    #[must_use]
    pub fn holds(&self, other: &Self, tolerance: f64) -> bool {
        (0..2).all(|k| other.min[k] >= self.min[k] - tolerance && other.max[k] <= self.max[k] + tolerance)
    }

    /// The four corners, counter-clockwise from the lower left.
    #[must_use]
    pub fn corners(&self) -> [[f64; 2]; 4] {
        [self.min, [self.max[0], self.min[1]], self.max, [self.min[0], self.max[1]]]
    }
}

/// A plane map `x' = a x + c y + e`, `y' = b x + d y + f`, held as `[a, b, c, d, e, f]` (the order PDF uses).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Affine(pub [f64; 6]);

impl Affine {
    /// Changes nothing.
    pub const IDENTITY: Self = Self([1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);

    /// A shift.
    #[must_use]
    pub fn shift(by: [f64; 2]) -> Self {
        Self([1.0, 0.0, 0.0, 1.0, by[0], by[1]])
    }

    /// A scale along each axis.
    #[must_use]
    pub fn scale(by: [f64; 2]) -> Self {
        Self([by[0], 0.0, 0.0, by[1], 0.0, 0.0])
    }

    /// A quarter turn counter-clockwise about the origin.
    #[must_use]
    pub fn quarter_turn() -> Self {
        Self([0.0, 1.0, -1.0, 0.0, 0.0, 0.0])
    }

    /// The map that does `self` first and `next` afterwards.
    #[must_use]
    pub fn then(&self, next: &Self) -> Self {
        let [a, b, c, d, e, f] = self.0;
        let n = next.0;
        let row = |x: f64, y: f64| [n[0] * x + n[2] * y, n[1] * x + n[3] * y];
        let (u, v, w) = (row(a, b), row(c, d), row(e, f));
        Self([u[0], u[1], v[0], v[1], w[0] + n[4], w[1] + n[5]])
    }

    /// Where a point goes.
    #[must_use]
    pub fn apply(&self, p: [f64; 2]) -> [f64; 2] {
        let [a, b, c, d, e, f] = self.0;
        [a * p[0] + c * p[1] + e, b * p[0] + d * p[1] + f]
    }

    /// The upright rectangle around the image of `r`.
    #[must_use]
    pub fn apply_rect(&self, r: &Rect) -> Rect {
        let mut out = Rect::NOTHING;
        if !r.is_empty() {
            r.corners().iter().for_each(|&p| out.include(self.apply(p)));
        }
        out
    }

    /// The direction of the image of the x axis, degrees counter-clockwise.
    #[must_use]
    pub fn turn_deg(&self) -> f64 {
        self.0[1].atan2(self.0[0]).to_degrees()
    }

    /// Square root of the change of area: by how much a round thing grows.
    #[must_use]
    pub fn mean_scale(&self) -> f64 {
        let [a, b, c, d, ..] = self.0;
        (a * d - b * c).abs().sqrt()
    }
}

/// What a line is for, where a machine follows it. Paper shows no difference.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Purpose {
    /// To be seen: drawn, engraved or scored, never cut through.
    #[default]
    Mark,
    /// To be cut along.
    Cut,
}

/// How a line is drawn. Ends are butt (a line is as long as its points say), joins round.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Pen width, mm. It is not scaled by print correction or placement.
    pub width_mm: f64,
    /// The ink.
    pub ink: Ink,
    /// Lengths of dashes and gaps in turn, mm; empty for a full line.
    pub dash_mm: Vec<f64>,
    /// What the line is for.
    pub purpose: Purpose,
}

impl Stroke {
    /// The line that parts are cut along.
    #[must_use]
    pub fn cut() -> Self {
        Self { purpose: Purpose::Cut, ..Self::solid(0.25, Ink::BLACK) }
    }

    /// A full line.
    #[must_use]
    pub fn solid(width_mm: f64, ink: Ink) -> Self {
        Self { width_mm, ink, dash_mm: Vec::new(), purpose: Purpose::Mark }
    }

    /// A line of dashes.
    #[must_use]
    pub fn dashed(width_mm: f64, ink: Ink, dash_mm: &[f64]) -> Self {
        Self { width_mm, ink, dash_mm: dash_mm.to_vec(), purpose: Purpose::Mark }
    }
}

/// One step of a path, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Lift the pen and go to a point.
    Move([f64; 2]),
    /// A straight line to a point.
    Line([f64; 2]),
    /// A cubic Bézier curve: two control points, then the end.
    Cubic([f64; 2], [f64; 2], [f64; 2]),
    /// Back to the last `Move` with a straight line.
    Close,
}

/// Lines and curves with a pen, a fill, or both.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// The steps; the first is a [`Segment::Move`].
    pub segments: Vec<Segment>,
    /// The pen, if it is drawn.
    pub stroke: Option<Stroke>,
    /// The fill (non-zero winding), if it is filled; painted under the stroke.
    pub fill: Option<Ink>,
}

impl Path {
    /// An open polyline.
    #[must_use]
    pub fn polyline(points: &[[f64; 2]], stroke: Stroke) -> Self {
        Self { segments: polyline_segments(points), stroke: Some(stroke), fill: None }
    }

    /// A closed polygon.
    #[must_use]
    pub fn polygon(points: &[[f64; 2]], stroke: Option<Stroke>, fill: Option<Ink>) -> Self {
        let mut segments = polyline_segments(points);
        if !segments.is_empty() {
            segments.push(Segment::Close);
        }
        Self { segments, stroke, fill }
    }

    /// A straight line.
    #[must_use]
    pub fn line(from: [f64; 2], to: [f64; 2], stroke: Stroke) -> Self {
        Self::polyline(&[from, to], stroke)
    }

    /// A rectangle.
    #[must_use]
    pub fn rect(r: &Rect, stroke: Option<Stroke>, fill: Option<Ink>) -> Self {
        Self::polygon(&r.corners(), stroke, fill)
    }

    /// A circle of four cubic arcs, true within 3e-4 of its radius.
    #[must_use]
    pub fn circle(c: [f64; 2], radius: f64, stroke: Option<Stroke>, fill: Option<Ink>) -> Self {
        // The usual handle length 4/3 tan(π/8) for a quarter circle; largest radial error 2.7e-4.
        let k = radius * 4.0 / 3.0 * (std::f64::consts::PI / 8.0).tan();
        let p = |x: f64, y: f64| [c[0] + x, c[1] + y];
        let r = radius;
        let segments = vec![
            Segment::Move(p(r, 0.0)),
            Segment::Cubic(p(r, k), p(k, r), p(0.0, r)),
            Segment::Cubic(p(-k, r), p(-r, k), p(-r, 0.0)),
            Segment::Cubic(p(-r, -k), p(-k, -r), p(0.0, -r)),
            Segment::Cubic(p(k, -r), p(r, -k), p(r, 0.0)),
            Segment::Close,
        ];
        Self { segments, stroke, fill }
    }

    /// Every point that bounds the path: corners, and control points of curves (a curve lies in their hull).
    pub fn points(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        self.segments
            .iter()
            .flat_map(|s| match *s {
                Segment::Move(p) | Segment::Line(p) => [Some(p), None, None],
                Segment::Cubic(a, b, p) => [Some(a), Some(b), Some(p)],
                Segment::Close => [None; 3],
            })
            .flatten()
    }
}

fn polyline_segments(points: &[[f64; 2]]) -> Vec<Segment> {
    points.iter().enumerate().map(|(k, &p)| if k == 0 { Segment::Move(p) } else { Segment::Line(p) }).collect()
}

/// Which end of a text sits at its point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// The text begins there.
    #[default]
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// One line of text in the bundled font.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says; one line.
    pub text: String,
    /// A point on the baseline, mm.
    pub at: [f64; 2],
    /// Font size (the em), mm; capitals are 0.73 of it.
    pub size_mm: f64,
    /// Turn about `at`, degrees counter-clockwise.
    pub turn_deg: f64,
    /// Which end sits at `at`.
    pub anchor: Anchor,
    /// The bold face.
    pub bold: bool,
    /// The ink.
    pub ink: Ink,
}

impl Text {
    /// Level black text that begins at `at`.
    #[must_use]
    pub fn new(text: impl Into<String>, at: [f64; 2], size_mm: f64) -> Self {
        Self { text: text.into(), at, size_mm, turn_deg: 0.0, anchor: Anchor::Start, bold: false, ink: Ink::BLACK }
    }

    /// The same with another anchor.
    #[must_use]
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// The same turned, degrees counter-clockwise.
    #[must_use]
    pub fn turned(mut self, turn_deg: f64) -> Self {
        self.turn_deg = turn_deg;
        self
    }

    /// The same in bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The same in another ink.
    #[must_use]
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }

    /// Its advance width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        font::text_width(&self.text, self.size_mm, self.bold)
    }

    /// Where the pen starts: the left end of the baseline, mm.
    #[must_use]
    pub fn origin(&self) -> [f64; 2] {
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => self.width() / 2.0,
            Anchor::End => self.width(),
        };
        let (s, c) = self.turn_deg.to_radians().sin_cos();
        [self.at[0] - back * c, self.at[1] - back * s]
    }

    /// The upright rectangle around it, from descender to ascender.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let (s, c) = self.turn_deg.to_radians().sin_cos();
        let o = self.origin();
        let map = Affine([c, s, -s, c, o[0], o[1]]);
        map.apply_rect(&Rect {
            min: [0.0, -font::DESCENT * self.size_mm],
            max: [self.width(), font::ASCENT * self.size_mm],
        })
    }
}

/// What the bytes of a picture are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureFormat {
    /// A baseline or progressive JPEG file; the PDF carries its bytes unchanged.
    Jpeg,
    /// A PNG file.
    Png,
}

/// A picture file placed on the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The file's bytes.
    pub bytes: Arc<[u8]>,
    /// What they are.
    pub format: PictureFormat,
    /// Takes the unit square to the drawing: (0, 0) is the picture's lower left corner, (1, 1) its upper right one, as the
    /// pixels are stored (an orientation note of a camera is the caller's to fold in here).
    pub placement: Affine,
}

/// One thing on a drawing or page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// Lines, curves, fills.
    Path(Path),
    /// Text.
    Text(Text),
    /// A picture.
    Picture(Picture),
}

impl Item {
    /// The upright rectangle around it, measured to the middle of the pen.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Path(p) => {
                let mut r = Rect::NOTHING;
                p.points().for_each(|q| r.include(q));
                r
            }
            Self::Text(t) => t.bounds(),
            Self::Picture(p) => p.placement.apply_rect(&Rect { min: [0.0; 2], max: [1.0; 2] }),
        }
    }

    /// The item moved by a map. Pen widths stay; text turns with it and grows by the mean scale, and is never mirrored.
    #[must_use]
    pub fn mapped(&self, map: &Affine) -> Self {
        match self {
            Self::Path(p) => {
                let segments = p
                    .segments
                    .iter()
                    .map(|s| match *s {
                        Segment::Move(a) => Segment::Move(map.apply(a)),
                        Segment::Line(a) => Segment::Line(map.apply(a)),
                        Segment::Cubic(a, b, c) => Segment::Cubic(map.apply(a), map.apply(b), map.apply(c)),
                        Segment::Close => Segment::Close,
                    })
                    .collect();
                Self::Path(Path { segments, stroke: p.stroke.clone(), fill: p.fill })
            }
            Self::Text(t) => {
                let mut t = t.clone();
                t.at = map.apply(t.at);
                t.turn_deg += map.turn_deg();
                t.size_mm *= map.mean_scale();
                Self::Text(t)
            }
            Self::Picture(p) => Self::Picture(Picture { placement: p.placement.then(map), ..p.clone() }),
        }
    }
}

impl From<Path> for Item {
    fn from(p: Path) -> Self {
        Self::Path(p)
    }
}

impl From<Text> for Item {
    fn from(t: Text) -> Self {
        Self::Text(t)
    }
}

impl From<Picture> for Item {
    fn from(p: Picture) -> Self {
        Self::Picture(p)
    }
}

/// Items in their own millimetres, y up, painted in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The items, the first at the bottom.
    pub items: Vec<Item>,
    /// Ranges of items that are read together, such as the lines of a note: where a part is split, they are kept whole on one
    /// tile, moved if need be. Ranges do not overlap.
    pub together: Vec<Range<usize>>,
}

impl Drawing {
    /// Everything pushed since there were `from` items is read together; what was already together there joins in.
    pub fn keep_together(&mut self, from: usize) {
        self.together.retain(|r| r.start < from);
        if from < self.items.len() {
            self.together.push(from..self.items.len());
        }
    }

    /// Adds an item on top.
    pub fn push(&mut self, item: impl Into<Item>) {
        self.items.push(item.into());
    }

    /// Adds another drawing on top, moved by a map.
    pub fn push_mapped(&mut self, other: &Self, map: &Affine) {
        let base = self.items.len();
        self.together.extend(other.together.iter().map(|r| r.start + base..r.end + base));
        self.items.extend(other.items.iter().map(|i| i.mapped(map)));
    }

    /// The upright rectangle around all items, measured to the middle of the pen.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.items.iter().fold(Rect::NOTHING, |r, i| r.union(&i.bounds()))
    }

    /// The drawing as a page of its own with `margin_mm` of paper round it.
    #[must_use]
    pub fn into_page(self, name: impl Into<String>, margin_mm: f64) -> Page {
        let b = self.bounds();
        let b = if b.is_empty() { Rect { min: [0.0; 2], max: [0.0; 2] } } else { b };
        let map = Affine::shift([margin_mm - b.min[0], margin_mm - b.min[1]]);
        let size = b.size();
        Page {
            width_mm: size[0] + 2.0 * margin_mm,
            height_mm: size[1] + 2.0 * margin_mm,
            name: name.into(),
            items: self.items.iter().map(|i| Placed { item: i.mapped(&map), clip: None }).collect(),
        }
    }
}

/// One template to be printed true to size.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// A short name that never changes while the part exists, such as "former-5".
    pub id: String,
    /// The name shown on paper, such as "Former 5".
    pub title: String,
    /// A mark of few letters for the map of pages, such as "F5".
    pub short: String,
    /// What is drawn, 1:1.
    pub drawing: Drawing,
    /// The rectangle that must stay on paper, mm; it holds every item.
    pub bounds: Rect,
}

impl Part {
    /// A part bounded by what is drawn; its short mark is made of the title's initials and figures.
    #[must_use]
    pub fn new(id: impl Into<String>, title: impl Into<String>, drawing: Drawing) -> Self {
        let bounds = drawing.bounds();
        let title = title.into();
        let short = title.split_whitespace().map(initial).collect();
        Self { id: id.into(), title, short, drawing, bounds }
    }
}

/// A word's first letter, or the whole word if it begins with a figure.
fn initial(word: &str) -> String {
    let first = word.chars().next();
    match first {
        Some(c) if !c.is_numeric() => c.to_uppercase().collect(),
        _ => word.to_owned(),
    }
}

/// An item on a page, in page millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The item.
    pub item: Item,
    /// Only what lies in this upright rectangle is drawn; `None` draws all of it.
    pub clip: Option<Rect>,
}

/// A finished page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width of the paper, mm.
    pub width_mm: f64,
    /// Height of the paper, mm.
    pub height_mm: f64,
    /// What is on it, in a few words, for lists and previews.
    pub name: String,
    /// What is drawn, in order, the first at the bottom.
    pub items: Vec<Placed>,
}

/// Pages that belong together, with the words a file needs about itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetSet {
    /// The title in the file's own data.
    pub title: String,
    /// The pages in order.
    pub pages: Vec<Page>,
}
