//! Parts as they stand on a sheet, read from the PDF by lopdf, which did not write it.
//!
//! A part's cut lines come first on the sheet, then its marks and words; so where cut lines begin anew, so does the next part.

use super::flat::Point;
use lopdf::content::{Content, Operation};
use lopdf::{Document, Encoding, Object, ObjectId};
use std::collections::BTreeMap;

/// One point in millimetres.
const POINT: f64 = 25.4 / 72.0;
/// The pen of a line that is cut, mm.
const CUT_PEN: f64 = 0.25;

/// A line that is marked and not cut.
#[derive(Clone, Debug)]
pub(crate) struct Mark {
    pub(crate) points: Vec<Point>,
    /// Lengths of dashes and gaps in turn, mm.
    pub(crate) dashes: Vec<f64>,
}

/// A part as it was drawn, turned back if it was laid on its side; mm, y up.
#[derive(Clone, Debug, Default)]
pub(crate) struct Part {
    pub(crate) contours: Vec<Vec<Point>>,
    pub(crate) marks: Vec<Mark>,
    /// All its words, one blank between two.
    pub(crate) words: String,
}

/// How the words begin behind which a page has no more parts.
const FURNITURE: &str = "100 mm: print";

enum Item {
    Cut(Vec<Point>),
    Mark(Mark),
    /// The words, and whether they run upward.
    Words(String, bool),
}

/// How many pages there are, and the parts on them.
pub(crate) fn read(bytes: &[u8]) -> (usize, Vec<Part>) {
    let pdf = Document::load_mem(bytes).unwrap();
    let pages = pdf.get_pages();
    (pages.len(), pages.values().flat_map(|page| parts(&items(&pdf, *page))).collect())
}

fn parts(items: &[Item]) -> Vec<Part> {
    let mut all: Vec<(Part, Vec<(String, bool)>)> = Vec::new();
    let mut cutting = false;
    for item in items {
        if matches!(item, Item::Words(text, _) if text.starts_with(FURNITURE)) {
            break;
        }
        let begins = matches!(item, Item::Cut(_)) && !cutting;
        cutting = matches!(item, Item::Cut(_));
        if begins {
            all.push(Default::default());
        }
        // What comes ahead of the first cut line belongs to no part.
        let Some((part, words)) = all.last_mut() else { continue };
        match item {
            Item::Cut(points) => part.contours.push(points.clone()),
            Item::Mark(mark) => part.marks.push(mark.clone()),
            Item::Words(text, upward) => words.push((text.clone(), *upward)),
        }
    }
    all.into_iter().map(|(part, words)| finished(part, &words)).collect()
}

fn finished(mut part: Part, words: &[(String, bool)]) -> Part {
    if is_turned(&part, words) {
        let marks = part.marks.iter_mut().map(|m| &mut m.points);
        part.contours.iter_mut().chain(marks).flatten().for_each(|p| *p = [p[1], -p[0]]);
    }
    part.words = words.iter().map(|w| w.0.trim()).collect::<Vec<_>>().join(" ");
    part
}

/// Dashes of the datum waterline, mm.
const LEVEL: [f64; 2] = [12.0, 2.0];

impl Part {
    /// The datum waterline, which runs across a part.
    pub(crate) fn level(&self) -> Option<&Mark> {
        let level = |m: &&Mark| m.dashes.len() == 2 && (0..2).all(|k| (m.dashes[k] - LEVEL[k]).abs() < 0.01);
        self.marks.iter().find(level)
    }
}

/// Whether a part was laid on its side: the word at its arrow or, without one, its datum waterline or its stations' lines tell.
fn is_turned(part: &Part, words: &[(String, bool)]) -> bool {
    let runs_up = |m: &Mark| (m.points[1][1] - m.points[0][1]).abs() > (m.points[1][0] - m.points[0][0]).abs();
    let up = || words.iter().find(|(text, _)| text == "UP" || text.starts_with("drawn with its")).map(|w| w.1);
    let station = || part.marks.iter().find(|m| m.points.len() == 2 && m.dashes.is_empty()).map(|m| !runs_up(m));
    up().or_else(|| part.level().map(runs_up)).or_else(station).unwrap_or(false)
}

/// The state of the pen that the items need.
#[derive(Clone, Default)]
struct Pen {
    width: f64,
    dashes: Vec<f64>,
    black: bool,
}

fn items(pdf: &Document, page: ObjectId) -> Vec<Item> {
    let content = Content::decode(&pdf.get_page_content(page)).unwrap();
    let fonts = pdf.get_page_fonts(page).unwrap();
    let fonts: BTreeMap<&[u8], Encoding<'_>> =
        fonts.iter().map(|(name, font)| (name.as_slice(), font.get_font_encoding(pdf).unwrap())).collect();
    let (mut out, mut pen, mut open): (Vec<Item>, Pen, Vec<Vec<Point>>) = Default::default();
    let (mut font, mut upward): (Vec<u8>, bool) = Default::default();
    for operation in &content.operations {
        let at = |k: usize| number(&operation.operands[k]);
        let point = || [at(0) * POINT, at(1) * POINT];
        match operation.operator.as_str() {
            "m" => open.push(vec![point()]),
            "l" => open.last_mut().unwrap().push(point()),
            "w" => pen.width = at(0) * POINT,
            "RG" => pen.black = (0..3).all(|k| at(k) == 0.0),
            "d" => pen.dashes = dashes(operation),
            "S" | "B" => out.extend(std::mem::take(&mut open).into_iter().map(|points| stroked(points, &pen))),
            "f" | "n" => open.clear(),
            "Tf" => font = operation.operands[0].as_name().unwrap().to_vec(),
            "Tm" => upward = at(1).abs() > 0.5,
            "Tj" => {
                let codes = operation.operands[0].as_str().unwrap();
                out.push(Item::Words(Document::decode_text(&fonts[font.as_slice()], codes).unwrap(), upward));
            }
            "cm" => panic!("a transform"),
            _ => {}
        }
    }
    out
}

fn stroked(points: Vec<Point>, pen: &Pen) -> Item {
    let cut = pen.black && pen.dashes.is_empty() && (pen.width - CUT_PEN).abs() < 0.005 && points.len() > 2;
    if cut { Item::Cut(points) } else { Item::Mark(Mark { points, dashes: pen.dashes.clone() }) }
}

fn dashes(operation: &Operation) -> Vec<f64> {
    operation.operands[0].as_array().unwrap().iter().map(|d| number(d) * POINT).collect()
}

fn number(object: &Object) -> f64 {
    match object {
        Object::Integer(i) => *i as f64,
        Object::Real(r) => f64::from(*r),
        other => panic!("{other:?} is no number"),
    }
}
