//! A small composer of pages: headings, paragraphs, lists, tables and figures, from the top of a page downward.

use sheets::font::{ASCENT, DESCENT, text_width};
use sheets::{
    Affine, Anchor, Drawing, Ink, Item, Page, Path, Picture, PictureFormat, Placed, Rect, SheetSet, Stroke, Text,
};
use std::sync::Arc;

/// Paper left free at the left, mm: wide enough to be punched.
const LEFT: f64 = 22.0;
/// At the right and at the top, mm.
const EDGE: f64 = 16.0;
/// At the foot, mm; the foot line stands in it.
const FOOT: f64 = 20.0;
/// Distance between baselines, in ems.
const LEADING: f64 = 1.32;
/// Size of running text, mm.
const BODY: f64 = 3.4;

/// Pages while they are being filled.
pub(super) struct Composer {
    size: [f64; 2],
    title: String,
    pages: Vec<Page>,
    /// Height of what was set last on the page that is open, mm from the foot of the paper.
    level: f64,
    chapter: String,
}

impl Composer {
    /// Pages of a size, mm; `title` stands in the foot line.
    pub(super) fn new(size: [f64; 2], title: &str) -> Self {
        Self { size, title: title.to_owned(), pages: Vec::new(), level: 0.0, chapter: String::new() }
    }

    /// Width between the margins, mm.
    pub(super) fn width(&self) -> f64 {
        self.size[0] - LEFT - EDGE
    }

    /// Height between the margins, mm.
    pub(super) fn height(&self) -> f64 {
        self.size[1] - EDGE - FOOT
    }

    /// A chapter, on a new page.
    pub(super) fn chapter(&mut self, title: &str) {
        title.clone_into(&mut self.chapter);
        self.open_page();
        self.line(title, 6.4, true, LEFT);
        let at = self.level - 2.0;
        self.push(Path::line([LEFT, at], [LEFT + self.width(), at], Stroke::solid(0.4, Ink::DARK)));
        self.level -= 6.0;
    }

    /// A heading, kept with what follows.
    pub(super) fn heading(&mut self, title: &str) {
        self.heading_of(title, 18.0);
    }

    /// A heading of something that is so many millimetres high.
    pub(super) fn heading_of(&mut self, title: &str, height: f64) {
        self.need((height + 8.0).min(self.height()));
        self.level -= 2.5;
        self.wrapped(title, 4.2, true, LEFT);
        self.level -= 1.6;
    }

    /// The large title of the cover.
    pub(super) fn title(&mut self, words: &str, size_mm: f64) {
        self.wrapped(words, size_mm, true, LEFT);
        self.level -= 0.4 * size_mm;
    }

    /// A paragraph.
    pub(super) fn text(&mut self, words: &str) {
        self.wrapped(words, BODY, false, LEFT);
        self.level -= 2.0;
    }

    /// A paragraph in bold, for what must not be missed.
    pub(super) fn loud(&mut self, words: &str) {
        self.wrapped(words, BODY, true, LEFT);
        self.level -= 2.0;
    }

    /// A line in bold, kept with so many millimetres of what follows.
    pub(super) fn lead(&mut self, words: &str, room: f64) {
        self.need(room + line_height(BODY));
        self.wrapped(words, BODY, true, LEFT);
    }

    /// Paragraphs with a mark before each: a number, a letter or a dash.
    pub(super) fn list<M: AsRef<str>, W: AsRef<str>>(&mut self, entries: impl IntoIterator<Item = (M, W)>) {
        let indent = 8.0;
        for (mark, words) in entries {
            let lines = broken(words.as_ref(), BODY, false, self.width() - indent);
            self.need(line_height(BODY) * lines.len().min(4) as f64);
            self.push(Text::new(mark.as_ref(), [LEFT, self.level - ascent(BODY)], BODY).bold());
            for line in lines {
                self.line(&line, BODY, false, LEFT + indent);
            }
            self.level -= 1.2;
        }
        self.level -= 1.5;
    }

    /// Words under a figure.
    pub(super) fn caption(&mut self, words: &str) {
        self.wrapped(words, 2.8, false, LEFT);
        self.level -= 4.0;
    }

    /// A figure drawn in the paper's millimetres, in the middle of the column. It starts a new page if it finds no room, and is
    /// made smaller only if it is larger than a page.
    pub(super) fn figure(&mut self, drawing: &Drawing) {
        let b = drawing.bounds();
        if b.is_empty() {
            return;
        }
        let [w, h] = b.size();
        let k = (self.width() / w.max(1e-9)).min((self.height() - 20.0) / h.max(1e-9)).min(1.0);
        // Room for a caption as well.
        self.need(k * h + 9.0);
        let left = LEFT + (self.width() - k * w) / 2.0;
        self.level -= k * h;
        let map = Affine::shift([-b.min[0], -b.min[1]]).then(&Affine::scale([k, k]));
        let map = map.then(&Affine::shift([left, self.level]));
        drawing.items.iter().for_each(|i| self.push(i.mapped(&map)));
        self.level -= 3.0;
    }

    /// A picture (PNG) as wide as the column, or as high as `most` mm if that is less.
    pub(super) fn picture(&mut self, png: &[u8], pixels: [u32; 2], most: f64) {
        let [w, h] = pixels.map(f64::from);
        let k = (self.width() / w).min(most / h);
        let mut drawing = Drawing::default();
        let placement = Affine::scale([k * w, k * h]);
        drawing.push(Picture { bytes: Arc::from(png), format: PictureFormat::Png, placement });
        self.figure(&drawing);
    }

    /// A table; its head is repeated where it runs over a page.
    pub(super) fn table(&mut self, table: &Table) {
        let set = table.set(self.width());
        if set.rows.is_empty() {
            return;
        }
        let head = set.head_height();
        self.need(head + set.rows.iter().take(2).map(|r| set.row_height(r)).sum::<f64>());
        self.head(&set);
        for row in &set.rows {
            if self.need(set.row_height(row)) {
                self.head(&set);
            }
            self.row(&set, row, false);
        }
        self.level -= 4.0;
    }

    fn head(&mut self, set: &SetTable) {
        if let Some(head) = &set.head {
            self.row(set, head, true);
            self.rule(set, 0.3, Ink::DARK);
        }
    }

    fn row(&mut self, set: &SetTable, cells: &[Vec<String>], bold: bool) {
        let top = self.level;
        for ((cell, &(left, width)), align) in cells.iter().zip(&set.columns).zip(&set.align) {
            for (k, words) in cell.iter().enumerate() {
                let level = top - set.pad() - ascent(set.size) - k as f64 * line_height(set.size);
                let (x, anchor) = match align {
                    Align::Left => (left, Anchor::Start),
                    Align::Right => (left + width, Anchor::End),
                };
                let mut text = Text::new(words.as_str(), [LEFT + x, level], set.size).anchored(anchor);
                text.bold = bold;
                if !words.is_empty() {
                    self.push(text);
                }
            }
        }
        self.level = top - set.row_height(cells);
        if !bold {
            self.rule(set, 0.1, Ink::MID);
        }
    }

    fn rule(&mut self, set: &SetTable, width: f64, ink: Ink) {
        let y = self.level;
        self.push(Path::line([LEFT, y], [LEFT + set.width(), y], Stroke::solid(width, ink)));
    }

    /// The pages with their foot lines.
    pub(super) fn finish(mut self) -> SheetSet {
        let count = self.pages.len();
        let size = 2.6;
        for (k, page) in self.pages.iter_mut().enumerate() {
            let right = page.width_mm - EDGE;
            let number = Text::new(format!("{} / {count}", k + 1), [right, 10.0], size).anchored(Anchor::End);
            let room = right - LEFT - number.width() - 6.0;
            let words = format!("{} · {}", self.title, page.name);
            let words = Text::new(sheets::font::fitted(&words, size, false, room), [LEFT, 10.0], size).ink(Ink::DARK);
            for item in [Item::from(words), Item::from(number)] {
                page.items.push(Placed { item, clip: None });
            }
        }
        SheetSet { title: self.title, pages: self.pages }
    }

    fn open_page(&mut self) {
        self.pages.push(Page {
            width_mm: self.size[0],
            height_mm: self.size[1],
            name: self.chapter.clone(),
            items: Vec::new(),
        });
        self.level = self.size[1] - EDGE;
    }

    /// Starts a new page unless so much room is left; whether it did.
    fn need(&mut self, height: f64) -> bool {
        let new = self.pages.is_empty() || self.level - height < FOOT;
        if new {
            self.open_page();
        }
        new
    }

    fn wrapped(&mut self, words: &str, size_mm: f64, bold: bool, left: f64) {
        let width = self.width() + LEFT - left;
        for line in broken(words, size_mm, bold, width) {
            self.line(&line, size_mm, bold, left);
        }
    }

    fn line(&mut self, words: &str, size_mm: f64, bold: bool, left: f64) {
        self.need(line_height(size_mm));
        let mut text = Text::new(words, [left, self.level - ascent(size_mm)], size_mm);
        text.bold = bold;
        self.push(text);
        self.level -= line_height(size_mm);
    }

    fn push(&mut self, item: impl Into<Item>) {
        if let Some(page) = self.pages.last_mut() {
            page.items.push(Placed { item: item.into(), clip: None });
        }
    }
}

/// On which side of its column a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Right,
}

/// A table as it is asked for.
pub(super) struct Table {
    columns: Vec<(String, Align)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// With these columns; no head is set if all titles are empty.
    pub(super) fn new(columns: &[(&str, Align)]) -> Self {
        Self { columns: columns.iter().map(|(t, a)| ((*t).to_owned(), *a)).collect(), rows: Vec::new() }
    }

    /// One more row.
    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Broken into lines for a width: columns get what they need; where that is too much, the widest ones share what is left.
    fn set(&self, width: f64) -> SetTable {
        let size = 2.9;
        let gap = 4.0;
        let need: Vec<f64> = (0..self.columns.len()).map(|c| self.needed(c, size)).collect();
        let room = width - gap * need.len().saturating_sub(1) as f64;
        let limit = shared_limit(&need, room);
        let widths: Vec<f64> = need.iter().map(|n| n.min(limit)).collect();
        let spare = ((room - widths.iter().sum::<f64>()) / widths.len().max(1) as f64).clamp(0.0, 5.0);
        let mut left = 0.0;
        let columns: Vec<(f64, f64)> = widths
            .iter()
            .map(|w| {
                let at = left;
                left += w + spare + gap;
                (at, w + spare)
            })
            .collect();
        let cells = |row: &[String], bold: bool| -> Vec<Vec<String>> {
            row.iter().zip(&columns).map(|(words, (_, w))| broken(words, size, bold, *w + 1e-6)).collect()
        };
        let titles: Vec<String> = self.columns.iter().map(|c| c.0.clone()).collect();
        let head = titles.iter().any(|t| !t.is_empty()).then(|| cells(&titles, true));
        let rows = self.rows.iter().map(|r| cells(r, false)).collect();
        SetTable { size, align: self.columns.iter().map(|c| c.1).collect(), columns, head, rows }
    }

    /// Width of a column without breaking; its title may be broken at words.
    fn needed(&self, column: usize, size: f64) -> f64 {
        let title = self.columns[column].0.split_whitespace().map(|w| text_width(w, size, true));
        let cells = self.rows.iter().filter_map(|r| r.get(column)).map(|c| text_width(c, size, false));
        title.chain(cells).fold(2.0, f64::max)
    }
}

/// The limit to columns at which they fill the room; none if they need less.
fn shared_limit(need: &[f64], room: f64) -> f64 {
    let mut rising = need.to_vec();
    rising.sort_by(f64::total_cmp);
    let mut left = room;
    for (k, width) in rising.iter().enumerate() {
        let share = left / (rising.len() - k) as f64;
        if *width > share {
            return share.max(4.0);
        }
        left -= width;
    }
    f64::INFINITY
}

/// A table broken into lines.
struct SetTable {
    size: f64,
    align: Vec<Align>,
    /// Left edge and width of each column, mm from the table's left.
    columns: Vec<(f64, f64)>,
    head: Option<Vec<Vec<String>>>,
    rows: Vec<Vec<Vec<String>>>,
}

impl SetTable {
    fn pad(&self) -> f64 {
        0.35 * self.size
    }

    fn row_height(&self, row: &[Vec<String>]) -> f64 {
        let lines = row.iter().map(Vec::len).max().unwrap_or(1).max(1);
        line_height(self.size) * lines as f64 + self.pad()
    }

    fn head_height(&self) -> f64 {
        self.head.as_ref().map_or(0.0, |h| self.row_height(h))
    }

    fn width(&self) -> f64 {
        self.columns.last().map_or(0.0, |(at, w)| at + w)
    }
}

fn ascent(size_mm: f64) -> f64 {
    ASCENT * size_mm
}

fn line_height(size_mm: f64) -> f64 {
    (LEADING * size_mm).max((ASCENT + DESCENT) * size_mm)
}

/// Words broken into lines no wider than `width`; a word that is wider by itself is broken where it must be.
pub(super) fn broken(words: &str, size_mm: f64, bold: bool, width: f64) -> Vec<String> {
    let fits = |text: &str| text_width(text, size_mm, bold) <= width;
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if fits(&longer) {
                *last = longer;
                continue;
            }
        }
        lines.push(String::new());
        for c in word.chars() {
            let Some(last) = lines.last_mut() else { continue };
            last.push(c);
            if !fits(last) && last.chars().count() > 1 {
                last.pop();
                lines.push(c.to_string());
            }
        }
    }
    if lines.is_empty() { vec![String::new()] } else { lines }
}

/// A text that keeps clear of those that are there already: the first of the places that is free, or none.
pub(super) fn label(drawing: &mut Drawing, texts: impl IntoIterator<Item = Text>) -> bool {
    let taken: Vec<Rect> = drawing.items.iter().filter(|i| matches!(i, Item::Text(_))).map(Item::bounds).collect();
    let free = |t: &Text| !taken.iter().any(|r| r.overlaps(&t.bounds(), -0.2));
    match texts.into_iter().find(free) {
        Some(text) => {
            drawing.push(text);
            true
        }
        None => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_column_and_no_letter_is_lost() {
        for width in [12.0, 40.0, 160.0] {
            let words =
                "A builder with only the book and the templates builds the plug, donaudampfschifffahrtsmodell and all.";
            let lines = broken(words, 3.4, false, width);
            assert!(lines.iter().all(|l| text_width(l, 3.4, false) <= width), "{lines:?}");
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(words));
        }
    }

    #[test]
    fn columns_share_the_room_and_a_long_table_repeats_its_head() {
        let mut composer = Composer::new([210.0, 297.0], "Test");
        composer.chapter("Chapter");
        let mut table = Table::new(&[("Number", Align::Right), ("What is said", Align::Left)]);
        for k in 0..120 {
            table.row([k.to_string(), "a sentence that is much longer than a column of this page is wide ".repeat(3)]);
        }
        composer.table(&table);
        let set = composer.finish();
        assert!(set.pages.len() > 3);
        for page in &set.pages {
            let texts: Vec<&Text> =
                page.items.iter().filter_map(|p| if let Item::Text(t) = &p.item { Some(t) } else { None }).collect();
            assert!(texts.iter().any(|t| t.text == "Number"), "the head stands on every page");
            let paper = Rect::at([0.0; 2], [page.width_mm, page.height_mm]).grown(-9.0);
            assert!(texts.iter().all(|t| paper.holds(&t.bounds(), 0.0)));
        }
    }

    #[test]
    fn a_label_without_room_is_left_out() {
        let mut d = Drawing::default();
        assert!(label(&mut d, [Text::new("one", [0.0, 0.0], 3.0)]));
        assert!(!label(&mut d, [Text::new("two", [1.0, 1.0], 3.0)]));
        assert!(label(&mut d, [Text::new("two", [1.0, 1.0], 3.0), Text::new("two", [0.0, 4.0], 3.0)]));
        assert_eq!(d.items.len(), 2);
    }
}
