//! Templates that are wrapped round the finished shell to mark openings and cut them by.

use super::flat::{Flat, Misfit, ground};
use crate::reckoned::Reckoned;
use form::Lofted;
use form::meeting::mirrored;
use form::openings::{Hole, Target};
use form::shaft::RingTrim;
use form::space::Vector;
use geometry::mesh::Mesh;
use plug::{Point, Region};
use project::document::Document;
use project::opening::{Opening, Seen};
use sheets::{CardTemplate, Mark, MarkPen, Part};
use std::sync::Arc;

/// Card around the opening, mm.
const MARGIN: f64 = 15.0;
/// How closely edges are followed, mm.
const CLOSE: f64 = 0.02;
/// A misfit above this is worth slits in the margin, mm.
const SLITS_FROM: f64 = 0.5;
/// Lines of one family on a template at most.
const MOST_LINES: f64 = 7.0;
/// Pitches of these lines, mm.
const PITCHES: [f64; 6] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
/// Length of an arm of the cross in the middle, mm.
const ARM: f64 = 4.0;

/// What the templates of one opening follow from.
#[derive(Clone, Debug)]
pub(crate) struct TrimSource {
    lofted: Arc<Lofted>,
    trim: Option<RingTrim>,
    opening: Arc<Opening>,
    /// Its number in the form.
    index: usize,
    project: String,
    form: String,
}

impl PartialEq for TrimSource {
    fn eq(&self, other: &Self) -> bool {
        let opening = Arc::ptr_eq(&self.opening, &other.opening) || self.opening == other.opening;
        Arc::ptr_eq(&self.lofted, &other.lofted)
            && opening
            && (self.trim, self.index) == (other.trim, other.index)
            && (&self.project, &self.form) == (&other.project, &other.form)
    }
}

impl TrimSource {
    /// Those of all openings of a form; none for a form without a surface.
    pub(crate) fn all(document: &Document, form: usize, lofted: &Arc<Lofted>) -> Vec<Self> {
        let Some(own) = document.forms.get(form) else { return Vec::new() };
        let Some(target) = Target::of(document, form, lofted) else { return Vec::new() };
        let source = |(index, opening): (usize, &Arc<Opening>)| Self {
            lofted: Arc::clone(lofted),
            trim: target.trim().copied(),
            opening: Arc::clone(opening),
            index,
            project: document.name.clone(),
            form: own.name.clone(),
        };
        own.openings.iter().enumerate().map(source).collect()
    }

    /// A template for the opening, if its edge lies on the surface as a whole, its mirror image too.
    pub(crate) fn parts(&self, known: &Reckoned) -> Vec<Part> {
        let made = known.trims.made_now(self, || self.templates(known).iter().map(CardTemplate::part).collect());
        Arc::unwrap_or_clone(made)
    }

    fn templates(&self, known: &Reckoned) -> Vec<CardTemplate> {
        let Some(skin) = self.lofted.whole_skin() else { return Vec::new() };
        let target = Target::new(skin.loft(), self.trim);
        let sides: &[bool] = if self.opening.mirrored { &[false, true] } else { &[false] };
        let cut = |mirrored: &bool| Hole::cut(&target, self.index, &self.opening, *mirrored, CLOSE).ok();
        let holes: Vec<Hole> = sides.iter().filter_map(cut).collect();
        let mesh = ground(&self.lofted, self.trim, known);
        let draw = Draughtsman { of: self, target: &target, mesh: &mesh };
        let mut last: Option<Flat> = None;
        let mut made = Vec::new();
        for hole in &holes {
            let own = last.take().filter(|flat| hole.mirrored && draw.has_twin(flat));
            let Some(flat) = own.map(|flat| flat.mirrored()).or_else(|| draw.flat(hole)) else { continue };
            made.push(draw.template(hole, &flat));
            last = Some(flat);
        }
        made
    }
}

struct Draughtsman<'a> {
    of: &'a TrimSource,
    target: &'a Target<'a>,
    mesh: &'a Mesh,
}

/// Which way is up on the template, and what lies at its left and right.
fn aligned(seen: Seen) -> (Vector, [&'static str; 2]) {
    match seen {
        Seen::Ahead => ([0.0, 0.0, 1.0], ["STARBOARD", "PORT"]),
        Seen::Starboard => ([0.0, 0.0, 1.0], ["REAR", "FRONT"]),
        Seen::Port => ([0.0, 0.0, 1.0], ["FRONT", "REAR"]),
        Seen::Above => ([-1.0, 0.0, 0.0], ["PORT", "STARBOARD"]),
        Seen::Below => ([-1.0, 0.0, 0.0], ["STARBOARD", "PORT"]),
    }
}

impl Draughtsman<'_> {
    /// The surface around it; `None` where the edge does not lie on the surface as a whole: findings say why.
    fn flat(&self, hole: &Hole) -> Option<Flat> {
        let line: Vec<Vector> = hole.whole()?.places.iter().map(|p| p.place.point).collect();
        let (up, _) = aligned(hole.seen);
        let ends = self.target.loft().x_range();
        let on_face = |p: Vector| {
            let trimmed = self.target.trim().is_some_and(|trim| trim.ahead(p).abs() < 1e-6);
            trimmed || (p[0] - ends.0).abs() < 1e-9 || (p[0] - ends.1).abs() < 1e-9
        };
        Flat::of(self.mesh, &line, (hole.seen.sight(), up), MARGIN, on_face).ok()
    }

    /// Whether the surface around it is the same on the other side: the ring's plane may lean to one side and cuts neither.
    fn has_twin(&self, flat: &Flat) -> bool {
        let clear = |trim: &RingTrim, p: Vector| trim.ahead(p) < -1e-3 && trim.ahead(mirrored(p)) < -1e-3;
        self.target.trim().is_none_or(|trim| flat.all(|p| clear(trim, p)))
    }

    fn template(&self, hole: &Hole, flat: &Flat) -> CardTemplate {
        let (_, sides) = aligned(hole.seen);
        let edge = flat.opening();
        let card = edge.grown(MARGIN).intersection(&flat.region());
        let opening = &self.of.opening;
        let side = side(hole).filter(|_| opening.mirrored);
        let side = side.map_or_else(String::new, |s| format!(", {s}"));
        let title = format!("Trim {}: {}{side}", hole.opening + 1, opening.name);
        let mut contours: Vec<Vec<Point>> = card.pieces.iter().flatten().cloned().collect();
        contours.extend(edge.pieces.into_iter().flatten());
        let mut marks = place_lines(hole.seen, flat, &card);
        marks.extend(cross());
        let upward = matches!(hole.seen, Seen::Ahead | Seen::Starboard | Seen::Port);
        if !upward {
            marks.extend(forward(&flat.edge()));
        }
        CardTemplate {
            id: format!("opening-{}{}", hole.opening + 1, if hole.mirrored { "-mirrored" } else { "" }),
            title,
            short: format!("O{}{}", hole.opening + 1, if hole.mirrored { "m" } else { "" }),
            contours,
            marks,
            head: vec!["trim template, this side OUTSIDE, on the finished shell".to_owned()],
            notes: notes(flat),
            sides: Some(sides.map(str::to_owned)),
            up: upward,
            project: self.of.project.clone(),
            form: self.of.form.clone(),
            ..CardTemplate::default()
        }
    }
}

/// The lines that tell where a template belongs: stations, heights, and distances from the centre plane, two families of them.
pub(in crate::output) fn place_lines(seen: Seen, flat: &Flat, card: &Region) -> Vec<Mark> {
    let station = |v: f64| format!("station {}", whole(v));
    let height = |v: f64| if v == 0.0 { "datum waterline".to_owned() } else { format!("waterline {}", signed(v)) };
    let beside = |v: f64| match v {
        0.0 => "centre plane".to_owned(),
        v if v > 0.0 => format!("{} starboard", whole(v)),
        v => format!("{} port", whole(-v)),
    };
    let mut marks = Vec::new();
    let mut add = |axis: usize, pen: MarkPen, name: &dyn Fn(f64) -> String| {
        for level in levels(flat.range(|p| p[axis])) {
            let pen = if axis == 1 && level == 0.0 { MarkPen::Centre } else { pen };
            for line in flat.lines(|p| p[axis], level) {
                let runs = runs_within(card, &line);
                marks.extend(runs.map(|points| Mark { points, pen, name: name(level) }));
            }
        }
    };
    let axes = seen.axes();
    if axes.contains(&0) {
        add(0, MarkPen::Station, &station);
    }
    if axes.contains(&2) {
        add(2, MarkPen::Level, &height);
    }
    if axes.contains(&1) {
        add(1, MarkPen::Level, &beside);
    }
    marks
}

/// On which side of the centre plane a hole lies.
fn side(hole: &Hole) -> Option<&'static str> {
    let y = hole.centre?.point[1];
    Some(if y >= 0.0 { "starboard" } else { "port" })
}

/// Round values within a range, not more than a few.
fn levels((low, high): (f64, f64)) -> Vec<f64> {
    let pitch = PITCHES.into_iter().find(|p| (high - low) / p <= MOST_LINES).unwrap_or(500.0);
    // Adding 0 makes a minus before zero go.
    ((low / pitch).ceil() as i64..=(high / pitch).floor() as i64).map(|i| i as f64 * pitch + 0.0).collect()
}

fn whole(v: f64) -> String {
    format!("{v:.0}")
}

fn signed(v: f64) -> String {
    if v < 0.0 { format!("\u{2212}{:.0}", -v) } else { format!("+{v:.0}") }
}

/// The stretches of a line that lie on a card or in its opening, looked at every few tenths of a millimetre.
fn runs_within(card: &Region, line: &[Point]) -> impl Iterator<Item = Vec<Point>> {
    const STEP: f64 = 0.4;
    let mut fine: Vec<Point> = Vec::new();
    for w in line.windows(2) {
        let count = ((w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]) / STEP).ceil().max(1.0);
        fine.extend((0..count as usize).map(|i| [0, 1].map(|k| w[0][k] + (w[1][k] - w[0][k]) * i as f64 / count)));
    }
    fine.extend(line.last());
    let on: Vec<Option<Point>> = fine.into_iter().map(|p| card.contains(p).then_some(p)).collect();
    let runs: Vec<Vec<Point>> = on.split(Option::is_none).map(|run| run.iter().flatten().copied().collect()).collect();
    runs.into_iter().filter(|run| run.len() > 4)
}

/// The cross in the middle of the opening.
fn cross() -> [Mark; 2] {
    [[1.0, 0.0], [0.0, 1.0]].map(|[x, y]: [f64; 2]| Mark {
        points: vec![[-ARM * x, -ARM * y], [ARM * x, ARM * y]],
        pen: MarkPen::Centre,
        name: String::new(),
    })
}

/// An arrow towards the front, in the opening above its middle.
fn forward(edge: &[Point]) -> Vec<Mark> {
    let top = edge.iter().map(|p| p[1]).fold(0.0, f64::max);
    let (from, to) = (0.35 * top, 0.85 * top);
    let head = 0.3 * (to - from);
    let line = |points: Vec<Point>, name: &str| Mark { points, pen: MarkPen::Heavy, name: name.to_owned() };
    vec![
        line(vec![[0.0, from], [0.0, to]], "FORWARD"),
        line(vec![[-0.5 * head, to - head], [0.0, to], [0.5 * head, to - head]], ""),
    ]
}

fn notes(flat: &Flat) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some([x, y, z]) = flat.on_surface([0.0, 0.0]) {
        let beside = match y {
            y if y.abs() < 0.05 => "on the centre plane".to_owned(),
            y if y > 0.0 => format!("{y:.1} mm to starboard"),
            y => format!("{:.1} mm to port", -y),
        };
        let level = if z >= 0.0 { "above" } else { "below" };
        notes.push(format!("cross: station {x:.1} mm, {beside}, {:.1} mm {level} the datum", z.abs()));
    }
    let misfit = flat.misfit();
    notes.push(format!(
        "greatest error: {:.2} mm from cross to edge, {:.2} mm in the edge's whole length",
        misfit.across,
        misfit.round.abs()
    ));
    if needs_slits(&misfit) {
        notes.push("the surface bends both ways: slit the margin from outside until it lies flat".to_owned());
    }
    notes
}

fn needs_slits(misfit: &Misfit) -> bool {
    misfit.across.max(misfit.round.abs()) > SLITS_FROM
}

#[cfg(test)]
mod tests {
    use super::super::tests::{document, outlet};
    use super::*;
    use form::openings::holes;
    use project::opening::Outline;

    fn templates(document: &Document, lofted: &Arc<Lofted>) -> Vec<CardTemplate> {
        let known = Reckoned::default();
        TrimSource::all(document, 0, lofted).iter().flat_map(|of| of.templates(&known)).collect()
    }

    /// Both sides of a mirrored opening have a template, mirror images of each other, and the hole in it is as large as the hole in
    /// the surface: its exact area is an integral over the outline.
    #[test]
    fn a_mirrored_opening_has_two_templates_of_its_own_area() {
        let (document, lofted) = document(vec![outlet(true)]);
        let lofted = Arc::new(lofted);
        let both = templates(&document, &lofted);
        assert_eq!(both.len(), 2);
        assert_eq!(both.iter().map(|t| t.id.as_str()).collect::<Vec<_>>(), ["opening-1", "opening-1-mirrored"]);
        assert!(both[0].title.ends_with("starboard") && both[1].title.ends_with("port"));
        let target = Target::of(&document, 0, &lofted).unwrap();
        let all = holes(&target, &document.forms[0], CLOSE);
        let surface = all[0].as_ref().unwrap().areas(&target).surface;
        for t in &both {
            let hole = Region::of(t.contours.last().unwrap());
            assert!((hole.area() - surface).abs() < 0.005 * surface, "{} against {surface}", hole.area());
            let card = Region::of(&t.contours[0]);
            assert!(card.area() > hole.area() + 60.0 * 15.0);
            let stations = t.marks.iter().filter(|m| m.name.starts_with("station ")).count();
            assert!(stations >= 3 && t.notes.iter().any(|n| n.starts_with("greatest error")), "{:?}", t.notes);
        }
        let (low, high) = Region::of(both[0].contours.last().unwrap()).bounds().unwrap();
        let (low_m, high_m) = Region::of(both[1].contours.last().unwrap()).bounds().unwrap();
        assert!(
            (low[0] + high_m[0]).abs() < 0.1 && (high[0] + low_m[0]).abs() < 0.1 && (low[1] - low_m[1]).abs() < 0.1
        );
    }

    #[test]
    fn an_outline_that_runs_off_the_form_has_no_template() {
        let mut over = outlet(false);
        over.outline = Outline::Ellipse { centre: [150.0, 105.0], size: [40.0, 40.0], turn_deg: 0.0 };
        let (document, lofted) = document(vec![over]);
        assert!(templates(&document, &Arc::new(lofted)).is_empty());
    }

    #[test]
    fn levels_are_round_and_few() {
        assert_eq!(levels((-12.0, 27.0)), [-10.0, 0.0, 10.0, 20.0]);
        assert_eq!(levels((101.0, 184.0)), [120.0, 140.0, 160.0, 180.0]);
        assert_eq!((signed(-20.0), signed(20.0)), ("\u{2212}20".to_owned(), "+20".to_owned()));
    }
}
