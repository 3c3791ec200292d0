//! The plug's parts as drawings: formers, templates, block faces and gauges, from the plan to sheets.
//!
//! Cross planes are drawn looking aft, so starboard lies at the left; the centre plane seen from port; waterlines from above with
//! the front at the left.

mod front;

use super::NotLofted;
use super::added::Joint;
use super::parting_marks::PartingMarks;
use fit::fuselage::{FuselageShape, screw_places};
use form::Lofted;
use plug::{Block, CentreLine, CutOut, EdgeTick, Face, Former, Level, Plan, Point, Region, Side, Template};
use project::build::{PrintedOutline, Process};
use project::document::{Document, Form};
use sheets::{CardTemplate, Mark, MarkPen, Part, Task, side_by_side};

/// The plan of the first form's plug, if its stack is used.
///
/// # Errors
/// The form cannot be lofted yet.
pub fn plug_plan(document: &Document, lofted: &Lofted) -> Result<Option<Plan>, NotLofted> {
    let Some(form) = document.forms.first().filter(|_| document.build.stack.used) else { return Ok(None) };
    let skin = lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?;
    let openings = crate::plans::openings_on_plug(form, skin, &document.build, &document.airframe);
    Ok(Some(plug::plan_with(skin, &document.build, &document.airframe, &openings)))
}

/// Every part of a plan, in the order in which it is built; outside templates last.
pub fn plug_parts(document: &Document, form: &Form, plan: &Plan) -> Vec<Part> {
    plug_parts_by(document, form, plan, &Joint::default())
}

/// The same as templates that are not drawn yet: no words are set on them.
pub fn plug_templates(document: &Document, form: &Form, plan: &Plan) -> Vec<CardTemplate> {
    let (parting, joint) = (PartingMarks::of(document, form), Joint::default());
    let draw = Draughtsman { document, form, plan, joint: &joint, parting: &parting };
    side_by_side(templates(&draw))
}

/// The parts, with marks where forms meet.
pub(super) fn plug_parts_by(document: &Document, form: &Form, plan: &Plan, joint: &Joint<'_>) -> Vec<Part> {
    let parting = PartingMarks::of(document, form);
    let draw = Draughtsman { document, form, plan, joint, parting: &parting };
    side_by_side(templates(&draw).into_iter().map(drawn))
}

/// Every template to be made, in the order in which the plug is built.
fn templates<'a>(draw: &'a Draughtsman<'_>) -> Vec<Task<'a, CardTemplate>> {
    let (plan, mut all) = (draw.plan, Vec::new());
    all.extend(plan.centre.iter().map(|_| task(move || draw.centre())));
    all.extend(plan.formers.iter().map(|f| task(move || draw.former(f))));
    all.extend(plan.breadth.iter().map(|b| task(move || draw.breadth(b))));
    all.extend(plan.first_face.iter().map(|(x, half)| task(move || draw.first_face(*x, half))));
    all.extend(plan.front.iter().map(|f| task(move || draw.front_plane(f))));
    all.extend(plan.blocks.iter().filter(|b| b.side == Side::Starboard).map(|b| task(move || draw.block(b))));
    all.extend(plan.gauges.stations.iter().map(|t| task(move || draw.outside(t))));
    all.extend(plan.gauges.lines.iter().map(|t| task(move || draw.line(t))));
    all
}

/// The same template, drawn.
fn drawn(template: Task<'_, CardTemplate>) -> Task<'_, Part> {
    Box::new(|| template().part())
}

fn task<'a>(make: impl FnOnce() -> CardTemplate + Send + 'a) -> Task<'a, CardTemplate> {
    Box::new(make)
}

/// What every page of a plug's parts says: what was taken off the finished form.
pub(super) fn plug_note(document: &Document) -> String {
    match document.build.process {
        Process::OverPlug => {
            format!("plug: {:.2} mm of laminate, filler and paint taken off", document.build.coat.total())
        }
        Process::FemaleMould => "plug for a female mould: nothing taken off the finished form".to_owned(),
    }
}

struct Draughtsman<'a> {
    document: &'a Document,
    form: &'a Form,
    plan: &'a Plan,
    joint: &'a Joint<'a>,
    parting: &'a PartingMarks,
}

impl Draughtsman<'_> {
    fn template(&self, id: String, title: String, contours: Vec<Vec<Point>>) -> CardTemplate {
        let (project, form) = (self.document.name.clone(), self.form.name.clone());
        CardTemplate { id, title, contours, project, form, ..CardTemplate::default() }
    }

    fn former(&self, former: &Former) -> CardTemplate {
        let title = format!("Former {}", former.number);
        let mut t = self.template(format!("former-{}", former.number), title, looking_aft(&former.part));
        t.head = vec![
            format!("front face at {:.1} mm, rear face at {:.1} mm", former.front, former.rear),
            "looking aft: this is the front face".to_owned(),
        ];
        // Halves part when they are cut out, so each has the number.
        let number = if former.in_halves { format!("{} ", former.number) } else { String::new() };
        t.sides = Some(["STARBOARD", "PORT"].map(|side| format!("{number}{side}")));
        t.up = true;
        t.notes = self.former_notes(former);
        t.marks = self.former_marks(former);
        t
    }

    fn former_notes(&self, former: &Former) -> Vec<String> {
        let formers = &self.document.build.formers;
        let outline = match formers.outline {
            PrintedOutline::Smaller => "the smaller of both faces' outlines",
            PrintedOutline::Front => "the front face's outline",
            PrintedOutline::Rear => "the rear face's outline",
        };
        let mut notes = vec![format!("{outline}, {:.1} mm inside the foam", formers.inset), plug_note(self.document)];
        if former.in_halves {
            notes.push("two halves, butted on the centre template".to_owned());
        }
        notes.extend(steepest(former).map(|b| {
            let toward = if b.smaller == Face::Front { "front" } else { "rear" };
            format!("grey edge: bevel up to {:.0}°, the {toward} face the smaller", b.angle_deg)
        }));
        notes.extend(duct_note(&former.cut_outs));
        notes.extend(self.joint.sunk_notes());
        notes
    }

    fn former_marks(&self, former: &Former) -> Vec<Mark> {
        let mut marks = Vec::new();
        // Between halves there is no centre line: their straight edges stand beside it.
        if !former.in_halves {
            let spans = former.part.spans(0, 0.0).into_iter();
            marks.extend(spans.map(|s| mark(vec![[0.0, s.0], [0.0, s.1]], MarkPen::Centre, "centre line")));
        }
        let name = if widest(former).abs() > SAME_LEVEL { "datum waterline" } else { "datum waterline, breadth" };
        let level = |[a, b]: [f64; 2]| mark(vec![[-a, 0.0], [-b, 0.0]], MarkPen::Level, name);
        marks.extend(self.level_runs(former, 0.0).into_iter().map(level));
        marks.extend(self.breadth_marks(former));
        if let Some(shaft) = &self.plan.shaft {
            let [y, z] = shaft.at(former.middle());
            if former.outline.contains([y, z]) {
                marks.extend(cross([-y, z], if former.shaft.is_some() { shaft.radius } else { 0.0 }, "thrust line"));
            }
        }
        marks.extend(self.screws(former));
        for joint in self.joint.on_station(former.middle()) {
            let runs = joint.runs(|p| former.outline.contains(p)).into_iter();
            marks.extend(runs.map(|points| joint.drawn(points.into_iter().map(|[y, z]| [-y, z]).collect())));
        }
        marks.extend(tick_marks(&former.ticks, true));
        let outline: Vec<Point> = former.outline.pieces.iter().flatten().next().cloned().unwrap_or_default();
        marks.extend(self.parting.on_station(former.middle(), &outline));
        for (name, outline) in super::keep_out_marks::outlines(&self.document.airframe, former.middle()) {
            marks.extend(runs_on(&former.outline, &outline).map(|points| mark(points, MarkPen::Hidden, &name)));
        }
        for b in &former.bevels {
            let stretch = between(&former.front_face, b.from, b.to);
            let mirrored = stretch.iter().map(|p| [-p[0], p[1]]).collect();
            marks.push(mark(stretch, MarkPen::Heavy, ""));
            marks.push(mark(mirrored, MarkPen::Heavy, ""));
        }
        marks
    }

    /// The screws' places all round, on the rearmost former only: they stand in the lap behind it.
    fn screws(&self, former: &Former) -> Vec<Mark> {
        let Some(end) = &self.document.airframe.fuselage else { return Vec::new() };
        let (Some(screws), Some(shape)) = (&end.screws, FuselageShape::of(end)) else { return Vec::new() };
        if self.plan.formers.last() != Some(former) {
            return Vec::new();
        }
        let outline: Vec<Point> = former.outline.pieces.iter().flatten().next().cloned().unwrap_or_default();
        let middle = former.outline.bounds().map_or(0.0, |(low, high)| 0.5 * (low[1] + high[1]));
        let tick = |(i, p): (usize, &[f64; 3])| {
            let from = [0.0, middle];
            let length = p[1].hypot(p[2] - middle);
            let way = [p[1] / length, (p[2] - middle) / length];
            let r = form::front::farthest(&outline, from, way)?;
            let at = |r: f64| [-(from[0] + r * way[0]), from[1] + r * way[1]];
            Some(mark(vec![at(r), at(r - TICK)], MarkPen::Station, &format!("screw {}", i + 1)))
        };
        screw_places(end, &shape, screws).iter().enumerate().filter_map(tick).collect()
    }

    /// Where a former is card at a height. Halves are drawn as they stand, so a line runs on over the template between them.
    fn level_runs(&self, former: &Former, height: f64) -> Vec<[f64; 2]> {
        let between = if former.in_halves { MOST_BETWEEN * self.plan.card } else { 0.0 };
        joined_halves(&former.part, height, between)
    }

    /// The height at which the front face is widest.
    fn breadth_marks(&self, former: &Former) -> Vec<Mark> {
        let height = widest(former);
        if height.abs() <= SAME_LEVEL {
            return Vec::new();
        }
        let line = |[a, b]: [f64; 2]| mark(vec![[-a, height], [-b, height]], MarkPen::Breadth, "breadth");
        self.level_runs(former, height).into_iter().map(line).collect()
    }

    fn centre(&self) -> CardTemplate {
        let part = self.plan.centre.as_ref().map(|c| &c.part);
        let contours = part.map(contours).unwrap_or_default();
        let mut t = self.template("centre".to_owned(), "Centre template".to_owned(), contours);
        t.head = vec!["seen from port".to_owned()];
        t.sides = Some(["FRONT".to_owned(), "REAR".to_owned()]);
        t.up = true;
        t.notes =
            vec![format!("{:.1} mm inside the foam", self.document.build.formers.inset), plug_note(self.document)];
        let Some(part) = part else { return t };
        for f in &self.plan.formers {
            let name = format!("{} · {:.1}", f.number, f.front);
            let uprights = part.spans(0, f.middle());
            t.marks.extend(
                uprights.iter().map(|s| mark(vec![[f.middle(), s.0], [f.middle(), s.1]], MarkPen::Station, &name)),
            );
        }
        t.marks.extend(
            chords(part, 1, 0.0).map(|[a, b]| mark(vec![[a, 0.0], [b, 0.0]], MarkPen::Level, "datum waterline")),
        );
        if let Some(centre) = &self.plan.centre {
            t.marks.extend(tick_marks(&centre.ticks, false));
            t.notes.extend(duct_note(&centre.cut_outs));
        }
        for joint in self.joint.on_centre() {
            t.marks.extend(joint.runs(|p| part.contains(p)).into_iter().map(|points| joint.drawn(points)));
        }
        t.notes.extend(self.joint.sunk_notes());
        t.marks.extend(self.parting.on_centre(|p| part.contains(p)));
        t.notes.extend(self.parting.note());
        let range = self.plan.centre.as_ref().map(|c| c.range);
        if let (Some(shaft), Some((from, to))) = (&self.plan.shaft, range) {
            let to = to.min(shaft.rear);
            if to > from {
                let line = vec![[from, shaft.at(from)[1]], [to, shaft.at(to)[1]]];
                t.marks.push(mark(line, MarkPen::Centre, "thrust line"));
            }
        }
        t
    }

    fn breadth(&self, half: &plug::BreadthHalf) -> CardTemplate {
        let side = if half.side == Template::BreadthPort { Side::Port } else { Side::Starboard };
        let title = format!("Breadth template, {}", side.label());
        let mut t = self.template(format!("breadth-{}", side.label()), title, contours(&half.part));
        t.head = vec![format!("waterline {:.1} mm, seen from above", half.height)];
        t.sides = Some(["FRONT".to_owned(), "REAR".to_owned()]);
        t.notes = vec![
            "straight edge against the centre template; slide in from the side".to_owned(),
            plug_note(self.document),
        ];
        let name = |f: &Former| format!("{}", f.number);
        for f in self.plan.formers.iter() {
            let across = half.part.spans(0, f.middle());
            t.marks.extend(
                across.iter().map(|s| mark(vec![[f.middle(), s.0], [f.middle(), s.1]], MarkPen::Station, &name(f))),
            );
        }
        t.marks.extend(tick_marks(&half.ticks, false));
        t.marks.extend(self.parting.on_height(half.height, side == Side::Starboard));
        t.notes.extend(duct_note(&half.cut_outs));
        t
    }

    fn first_face(&self, station: f64, half: &[Point]) -> CardTemplate {
        let port = half.iter().rev().map(|p| [-p[0], p[1]]);
        let outline = half.iter().copied().chain(port).collect();
        let mut t = self.template("first-face".to_owned(), "First face, on the foam".to_owned(), vec![outline]);
        t.short = "face".to_owned();
        t.head = vec!["draw it on the foam".to_owned(), format!("station {station:.1} mm, looking aft")];
        t.sides = Some(["STARBOARD".to_owned(), "PORT".to_owned()]);
        t.up = true;
        t.notes = vec!["no card here: the foremost face is foam alone".to_owned(), plug_note(self.document)];
        if let Some(note) = self.wedge_note(station) {
            t.notes.push(note);
            t.marks = self.clock_marks();
        }
        t
    }

    /// The starboard block of a bay; its port twin is the same, turned over.
    fn block(&self, block: &Block) -> CardTemplate {
        let twin = block.name.replacen('S', "P", 1);
        let [w, h] = block.size;
        let (low, high) = (block.corner, [block.corner[0] + w, block.corner[1] + h]);
        let outline = Region::rectangle(low, high);
        let id = format!("block-{}", block.name.to_lowercase().replace(' ', "-"));
        let mut t = self.template(id, format!("Blocks {} and {twin}", block.name), looking_aft(&outline));
        t.short.clone_from(&block.name);
        t.head = vec![format!("{w:.0} × {h:.0} mm from a board of {:.1} mm", block.thickness())];
        t.up = true;
        t.notes = vec![
            format!("stations {:.1} to {:.1} mm, looking aft", block.stations.0, block.stations.1),
            "turn over for port; the cut lines hold the sanding allowance".to_owned(),
        ];
        if let Some(note) = self.wedge_note(block.stations.0) {
            t.notes.push(note);
            // This is the starboard block, drawn at the left.
            t.marks.extend(self.clock_marks().into_iter().filter(|m| m.points.iter().all(|p| p[0] < HALF_A_CARD)));
        }
        if block.level == Level::Whole {
            t.sides = Some(["OUTSIDE".to_owned(), "CENTRE".to_owned()]);
        }
        let radius = 0.5 * self.document.build.formers.dowel_diameter;
        t.marks.extend(block.dowels.iter().map(|p| circle([-p[0], p[1]], radius, MarkPen::Station, "dowel")));
        for (ducts, face) in block.ducts.iter().zip(["front", "rear"]) {
            for duct in ducts {
                let name = format!("duct of {}, {face} face", duct.name);
                t.marks.extend(looking_aft(&duct.region).into_iter().map(|c| mark(closed(c), MarkPen::Heavy, &name)));
            }
        }
        if block.ducts.iter().any(|d| !d.is_empty()) {
            t.notes.push(
                "grey: a duct passes here; bore it before the block is glued in, or line it up by the formers"
                    .to_owned(),
            );
        }
        for (face, pen, name) in
            [(&block.front_face, MarkPen::Breadth, "front face"), (&block.rear_face, MarkPen::Hidden, "rear face")]
        {
            t.marks.extend(looking_aft(face).into_iter().map(|points| mark(closed(points), pen, name)));
        }
        t
    }

    fn outside(&self, gauge: &plug::OutsideTemplate) -> CardTemplate {
        let title = format!("Outside {:.1} mm, {}", gauge.station, gauge.side.label());
        let id = format!("outside-{:.1}-{}", gauge.station, gauge.side.label());
        let mut t = self.template(id, title, looking_aft(&gauge.part));
        t.short = format!("{:.0}{}", gauge.station, if gauge.side == Side::Port { "P" } else { "S" });
        t.head = vec!["looking aft".to_owned()];
        t.up = true;
        t.notes =
            vec!["sand until it touches all along; its foot stands on the bench".to_owned(), plug_note(self.document)];
        t.marks = chords(&gauge.part, 1, 0.0)
            .map(|[a, b]| mark(vec![[-a, 0.0], [-b, 0.0]], MarkPen::Level, "datum waterline"))
            .collect();
        t.marks.extend(tick_marks(&gauge.ticks, true));
        t
    }

    fn line(&self, gauge: &plug::LineTemplate) -> CardTemplate {
        let name = gauge.line.label();
        let mut t =
            self.template(format!("outside-{name}"), format!("Outside of the {name} line"), contours(&gauge.part));
        t.short = name.to_owned();
        t.head = vec!["seen from port".to_owned()];
        t.sides = Some(["FRONT".to_owned(), "REAR".to_owned()]);
        let stands = if gauge.line == CentreLine::Keel {
            "stands on its straight edge"
        } else {
            "stands when the plug lies on its back"
        };
        t.notes = vec![stands.to_owned(), plug_note(self.document)];
        for f in &self.plan.formers {
            let spans = gauge.part.spans(0, f.front);
            let name = f.number.to_string();
            t.marks.extend(spans.iter().map(|s| mark(vec![[f.front, s.0], [f.front, s.1]], MarkPen::Station, &name)));
        }
        t.marks.extend(tick_marks(&gauge.ticks, false));
        t
    }
}

/// Marks that reach no further across the centre plane than this still belong to one side, mm.
const HALF_A_CARD: f64 = 2.0;
/// Levels nearer together than this are drawn as one, mm.
const SAME_LEVEL: f64 = 0.2;

/// The height at which a former's front face is widest.
fn widest(former: &Former) -> f64 {
    former.front_face.iter().max_by(|a, b| a[0].total_cmp(&b[0])).map_or(0.0, |p| p[1])
}

/// Halves of a former stand no further apart than this, in thicknesses of card: the template's and the play beside it.
const MOST_BETWEEN: f64 = 1.5;

/// The stretches of material at a height; two that a gap about the centre plane of at most `between` mm parts count as one.
fn joined_halves(part: &Region, height: f64, between: f64) -> Vec<[f64; 2]> {
    let mut runs: Vec<[f64; 2]> = Vec::new();
    for [from, to] in chords(part, 1, height) {
        match runs.last_mut() {
            Some([_, end]) if *end < 0.0 && from > 0.0 && from - *end <= between => *end = to,
            _ => runs.push([from, to]),
        }
    }
    runs
}

/// Length of a tick, and of the arms of a cross, mm.
const TICK: f64 = 5.0;

/// A cross about a place as it is drawn, its arms outside a hole of this radius, so that they stay when that is cut out.
fn cross(at: Point, hole: f64, name: &str) -> Vec<Mark> {
    let arm = |[x, y]: Point, name: &str| {
        let end = |r: f64| [at[0] + r * x, at[1] + r * y];
        mark(vec![end(hole), end(hole + TICK)], MarkPen::Centre, name)
    };
    [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]]
        .into_iter()
        .zip([name, "", "", ""])
        .map(|(w, n)| arm(w, n))
        .collect()
}

/// A circle as it is drawn.
fn circle(at: Point, radius: f64, pen: MarkPen, name: &str) -> Mark {
    let points = (0..=48).map(|i| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 48.0).sin_cos();
        [at[0] + radius * sin, at[1] + radius * cos]
    });
    mark(points.collect(), pen, name)
}

fn mark(points: Vec<Point>, pen: MarkPen, name: &str) -> Mark {
    Mark { points, pen, name: name.to_owned() }
}

/// Ticks where edges of openings cross a card; those of a cross plane as they are seen looking aft.
pub(super) fn tick_marks(ticks: &[EdgeTick], looking_aft: bool) -> impl Iterator<Item = Mark> + use<'_> {
    let side = if looking_aft { -1.0 } else { 1.0 };
    ticks.iter().map(move |tick| {
        let line = tick.line.map(|p| [side * p[0], p[1]]);
        mark(line.to_vec(), MarkPen::Heavy, &format!("edge of {}", tick.name))
    })
}

/// Which openings have their edges marked on a card.
pub(super) fn tick_note(ticks: &[EdgeTick]) -> Option<String> {
    let mut names: Vec<&str> = ticks.iter().map(|t| t.name.as_str()).collect();
    names.dedup();
    (!names.is_empty()).then(|| format!("grey ticks: edge of {}", names.join(", ")))
}

/// Which ducts a card is cut out for.
fn duct_note(cut_outs: &[CutOut]) -> Option<String> {
    let mut names: Vec<&str> = cut_outs.iter().map(|c| c.name.as_str()).collect();
    names.dedup();
    (!names.is_empty()).then(|| format!("cut out for the duct of {}", names.join(", ")))
}

/// A contour as a line that ends where it began.
fn closed(mut points: Vec<Point>) -> Vec<Point> {
    points.extend(points.first().copied());
    points
}

fn contours(region: &Region) -> Vec<Vec<Point>> {
    region.pieces.iter().flatten().cloned().collect()
}

/// A region of a cross plane as it is seen looking aft.
fn looking_aft(region: &Region) -> Vec<Vec<Point>> {
    contours(&region.mirrored())
}

/// The stretches of material along a line, as pairs.
fn chords(region: &Region, held: usize, at: f64) -> impl Iterator<Item = [f64; 2]> + use<> {
    region.spans(held, at).into_iter().map(|s| [s.0, s.1])
}

fn steepest(former: &Former) -> Option<&plug::Bevel> {
    former.bevels.iter().max_by(|a, b| a.angle_deg.total_cmp(&b.angle_deg))
}

/// The points of an outline from one of them to another.
fn between(outline: &[Point], from: Point, to: Point) -> Vec<Point> {
    let first = outline.iter().position(|p| *p == from).unwrap_or(0);
    let last = outline.iter().position(|p| *p == to).unwrap_or(first);
    outline[first..=last.max(first)].to_vec()
}

/// The stretches of a polyline that lie on a region, as they are seen looking aft.
fn runs_on(region: &Region, line: &[Point]) -> impl Iterator<Item = Vec<Point>> {
    let on: Vec<Option<Point>> = line.iter().map(|p| region.contains(*p).then_some([-p[0], p[1]])).collect();
    let runs: Vec<Vec<Point>> = on.split(Option::is_none).map(|run| run.iter().flatten().copied().collect()).collect();
    runs.into_iter().filter(|run| run.len() > 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Halves 2 mm apart, a duct through the starboard one: the line stops at the duct, and only the gap between the halves is bridged.
    #[test]
    fn a_level_line_runs_over_the_template_between_halves_and_stops_at_a_duct() {
        let whole = Region::rectangle([-40.0, -30.0], [40.0, 30.0]);
        let duct = Region::rectangle([10.0, -5.0], [22.0, 5.0]);
        let part = whole.without(&Region::rectangle([-1.0, -40.0], [1.0, 40.0])).without(&duct);
        let near = |runs: Vec<[f64; 2]>, wanted: &[[f64; 2]]| {
            let off = |(a, b): (&[f64; 2], &[f64; 2])| (a[0] - b[0]).abs().max((a[1] - b[1]).abs());
            assert!(runs.len() == wanted.len() && runs.iter().zip(wanted).all(|p| off(p) < 1e-3), "{runs:?}");
        };
        near(joined_halves(&part, 0.0, 2.25), &[[-40.0, 10.0], [22.0, 40.0]]);
        near(joined_halves(&part, 20.0, 2.25), &[[-40.0, 40.0]]);
        near(joined_halves(&part, 0.0, 1.5), &[[-40.0, -1.0], [1.0, 10.0], [22.0, 40.0]]);
        let bored = whole.without(&Region::rectangle([-4.0, -4.0], [4.0, 4.0]));
        near(joined_halves(&bored, 0.0, 2.25), &[[-40.0, -4.0], [4.0, 40.0]]);
    }
}
