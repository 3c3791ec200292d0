//! Flat patterns of cloth at 1:1 as parts of the sheets.
//!
//! Drawn as the cloth lies before the builder: over a plug as seen from outside, into a mould as seen from inside; so the printed side
//! is always up. The warp runs to the right.

use super::NotLofted;
use crate::reckoned::Reckoned;
use crate::shell::cloth::{ClothFailure, ClothPlan, NamedNotch, PlyPlan, lay_of};
use form::Lofted;
use project::build::Process;
use project::document::{Document, Form};
use project::laminate::Extent;
use sheets::{Anchor, CardTemplate, Ink, Item, Mark, MarkPen, Part, Path, Purpose, Rect, Stroke, Text};
use std::sync::Arc;

type Point = [f64; 2];

/// Whether the laminate has a ply that is cut by a pattern; one that is only taken for granted has no template.
pub(super) fn has_cloth(document: &Document) -> bool {
    document.shell.laminate.plies.iter().any(|ply| ply.extent == Extent::Whole)
}

/// The cloth of a document's form; `None` where there is none to be cut, or no cloth can be laid: why not is told where cloth is
/// planned.
///
/// # Errors
/// The form cannot be lofted yet.
pub(super) fn plan(
    document: &Document,
    form: usize,
    lofted: &Arc<Lofted>,
    known: &Reckoned,
) -> Result<Option<Arc<ClothPlan>>, NotLofted> {
    if !has_cloth(document) {
        return Ok(None);
    }
    match known.cloth(document, form, lofted, &mut |_| true) {
        Ok(plan) => Ok(plan),
        Err(ClothFailure::NotLofted(why)) => Err(why),
        Err(_) => Ok(None),
    }
}

/// A part for every ply of a plan.
pub(super) fn parts(document: &Document, form: &Form, plan: &ClothPlan) -> Vec<Part> {
    plan.plies.iter().map(|ply| Draughtsman { document, form, plan, ply }.part()).collect()
}

struct Draughtsman<'a> {
    document: &'a Document,
    form: &'a Form,
    plan: &'a ClothPlan,
    ply: &'a PlyPlan,
}

/// Length of a notch, mm.
const NOTCH: f64 = 6.0;
/// Size of a notch's number, mm.
const NUMBER: f64 = 3.0;
/// Half an arm of the start cross, mm.
const ARM: f64 = 12.0;
/// Half the length of the grain arrow, mm.
const GRAIN: f64 = 40.0;

impl Draughtsman<'_> {
    /// A place of the flat pattern as it is printed.
    fn printed(&self, p: Point) -> Point {
        if self.plan.mirrored() { [p[0], -p[1]] } else { p }
    }

    fn outline(&self, outline: &shell::cloth::Outline) -> Vec<Point> {
        outline.flat.iter().map(|p| self.printed(*p)).collect()
    }

    fn part(&self) -> Part {
        let mark = self.ply.ply.mark();
        let pattern = &self.ply.pattern;
        let template = CardTemplate {
            id: format!("cloth-{mark}"),
            title: format!("Cloth, ply {}", self.ply.ply.name()),
            short: format!("C{mark}"),
            contours: pattern.outlines.iter().map(|o| self.outline(o)).collect(),
            marks: self.marks(),
            besides: self.grain(),
            head: vec![self.fabric(), self.start()],
            notes: self.notes(),
            sides: None,
            up: false,
            project: self.document.name.clone(),
            form: self.form.name.clone(),
        };
        let mut part = template.part();
        // Beside the marks that they belong to, where they are clear: a notch without its number is still told by its neighbours.
        for text in self.numbers() {
            if is_clear(&part, &text) {
                part.drawing.push(text);
            }
        }
        let word = [[-GRAIN, ARM + 5.5], [0.0, ARM + 5.5], [-GRAIN, ARM - 0.5], [0.0, ARM - 0.5]]
            .map(|at| Text::new("warp, along the selvedge", at, NUMBER));
        // On a small piece with slits there may be no room: the notes say it too.
        if let Some(word) = word.into_iter().find(|word| is_clear(&part, word)) {
            part.drawing.push(word);
        }
        part.bounds = part.bounds.union(&part.drawing.bounds());
        part
    }

    fn fabric(&self) -> String {
        let fabric = &self.ply.ply.fabric;
        format!("{}, {:.0} g/m²", fabric.name, fabric.areal_weight)
    }

    fn start(&self) -> String {
        format!(
            "cross at station {}, warp {:.0}° from the way forward",
            lay_of(self.ply.start),
            self.ply.ply.lies_at() + 0.0
        )
    }

    fn notes(&self) -> Vec<String> {
        let side = match self.plan.process {
            Process::OverPlug => "printed side up: the other side goes against the plug",
            Process::FemaleMould => "printed side up: the other side goes against the mould",
        };
        let mut notes = vec![
            side.to_owned(),
            "cut at the outer line; trim at the dashed line once cured; numbers are stations, S starboard, P port"
                .to_owned(),
            "the arrow is the warp: lay it along the selvedge; nobody stretches cloth along its yarns".to_owned(),
        ];
        for (k, slit) in self.ply.slits.iter().enumerate() {
            let how = if slit.lap < 0.0 {
                let [long, wide] = slit.gore.unwrap_or_default();
                format!(
                    "set in a gore, a triangle {long:.0} mm long and {wide:.0} mm wide at the edge with its overlap"
                )
            } else {
                format!("lap the cut edge over the other, {:.0} mm at the edge", slit.overlap)
            };
            notes.push(format!("slit {}: {:.0} mm long; {how}", k + 1, slit.length));
        }
        if !self.ply.lies_down() {
            notes.push("this ply folds even so: see the book".to_owned());
        }
        notes
    }

    fn marks(&self) -> Vec<Mark> {
        let mark = |points: Vec<Point>, pen: MarkPen, name: &str| Mark { points, pen, name: name.to_owned() };
        let pattern = &self.ply.pattern;
        let closed = |outline: &shell::cloth::Outline| {
            let mut points = self.outline(outline);
            points.extend(points.first().copied());
            points
        };
        let trim = pattern.trim.iter().map(|o| mark(closed(o), MarkPen::Hidden, "trim, and seam"));
        let cross = [([ARM, 0.0], "start"), ([0.0, ARM], "")]
            .map(|([x, y], name)| mark(vec![[-x, -y], [x, y]], MarkPen::Station, name));
        let slits = self.cuts().enumerate().flat_map(|(k, cut)| {
            let [tip, mouth] = cut.line;
            let slit = mark(vec![tip, mouth], MarkPen::Station, &format!("slit {}", k + 1));
            let lap = cut.lap.map(|line| mark(line.to_vec(), MarkPen::Level, &format!("lap {}", k + 1)));
            std::iter::once(slit).chain(lap)
        });
        trim.chain(cross).chain(slits).chain(self.notches()).collect()
    }

    /// The slits, and how far the other edge comes over each.
    fn cuts(&self) -> impl Iterator<Item = DrawnCut> {
        let cuts = &self.ply.cloth().cuts;
        cuts.iter().zip(&self.ply.pattern.slits).zip(&self.ply.slits).map(|((cut, line), slit)| {
            let line = line.map(|p| self.printed(p));
            let away = self.printed(cut.side.map(|k| -f64::from(k) * slit.overlap));
            let lap = (slit.overlap > 0.0).then(|| line.map(|p| [p[0] + away[0], p[1] + away[1]]));
            DrawnCut { line, lap }
        })
    }

    /// Ticks inward from the edge.
    fn notches(&self) -> Vec<Mark> {
        let tick = |n: &NamedNotch| {
            let (at, end) = (n.at, [n.at[0] - n.along[1] * NOTCH, n.at[1] + n.along[0] * NOTCH]);
            Mark { points: vec![self.printed(at), self.printed(end)], pen: MarkPen::Station, name: String::new() }
        };
        self.ply.notches.iter().map(tick).collect()
    }

    fn numbers(&self) -> Vec<Text> {
        let number = |n: &NamedNotch| {
            let inward = NOTCH + 0.8 * NUMBER;
            let [x, y] = self.printed([n.at[0] - n.along[1] * inward, n.at[1] + n.along[0] * inward]);
            Text::new(n.label(), [x, y - 0.36 * NUMBER], NUMBER).anchored(Anchor::Middle)
        };
        self.ply.notches.iter().map(number).collect()
    }

    /// The grain arrow beside the start cross.
    fn grain(&self) -> Vec<Path> {
        let (y, pen) = (ARM + 4.0, || Stroke::solid(0.5, Ink::BLACK));
        let head = 5.0;
        vec![
            Path::line([-GRAIN, y], [GRAIN, y], pen()),
            Path::polyline(&[[GRAIN - head, y - 0.4 * head], [GRAIN, y], [GRAIN - head, y + 0.4 * head]], pen()),
        ]
    }
}

/// Whether a text lies on no other words and no cut line of a part.
fn is_clear(part: &Part, text: &Text) -> bool {
    let bounds = text.bounds();
    part.drawing.items.iter().all(|item| match item {
        Item::Text(other) => !other.bounds().overlaps(&bounds, 0.0),
        Item::Path(path) => !path.stroke.as_ref().is_some_and(|s| s.purpose == Purpose::Cut) || !enters(path, &bounds),
        _ => true,
    })
}

/// Whether a path comes into a rectangle; it is walked in steps finer than letters are.
fn enters(path: &Path, r: &Rect) -> bool {
    let points: Vec<Point> = path.points().collect();
    let inside = |p: Point| (0..2).all(|k| p[k] > r.min[k] && p[k] < r.max[k]);
    points.iter().zip(points.iter().cycle().skip(1)).any(|(a, b)| {
        let steps = ((b[0] - a[0]).hypot(b[1] - a[1]) / 0.1).ceil().max(1.0);
        let at = |share: f64| [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
        (0..=steps as usize).any(|i| inside(at(i as f64 / steps)))
    })
}

struct DrawnCut {
    line: [Point; 2],
    lap: Option<[Point; 2]>,
}
