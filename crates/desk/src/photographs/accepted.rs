//! The solved form put into the document: one step that can be undone.
//!
//! Sections that the builder has shaped keep their points and knuckles: each point moves along its ray from the middle by as
//! much as the photographs make the section fuller or leaner there. A quarter of one arc becomes a superelliptic arc, or gets
//! points where no superelliptic arc follows it. Sections pinned to measured points stay, and so does what they lock.

use super::quarter::UnitQuarter;
use geometry::loft::Loft;
use project::document::{ArcKind, ControlSection, Form, LineName, LinePoint, LinePointKind, PointRole, SectionShape};
use project::document::{UnitPoint, UnitSection};
use project::edit::{Edit, locked_by};
use sight::Solution;
use sight::shape::Frame;
use sight::sketch::Function;
use std::f64::consts::{FRAC_PI_2, PI};

/// How a control section took up what was solved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenUp {
    /// It is new, of two arcs or with points.
    Added,
    /// Its points moved; knuckles stay knuckles.
    Moved,
    /// Its quarters are superelliptic arcs.
    Superelliptic,
    /// A quarter needed points, as no superelliptic arc follows it.
    WithPoints,
    /// It is pinned to measured points and stays.
    Pinned,
}

impl TakenUp {
    /// In a few words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Moved => "its points moved",
            Self::Superelliptic => "superelliptic arcs",
            Self::WithPoints => "with points, as no superelliptic arc follows it",
            Self::Pinned => "pinned to measured points: it stays",
        }
    }
}

/// What accepting means.
#[derive(Clone, Debug)]
pub(super) struct Acceptance {
    pub(super) edit: Edit,
    pub(super) sections: Vec<(f64, TakenUp)>,
}

/// What the step is called.
const LABEL: &str = "Solve sections from photographs";
/// Control sections are wanted so far apart, as a share of the length: what is solved bends over 0.35 of it.
const PITCH: f64 = 0.125;
/// A quarter farther than this from any superelliptic arc gets points, mm.
const DEPARTS: f64 = 0.3;
/// Points of the two lines lie no farther apart than this share of the length.
const WIDEST_GAP: f64 = 0.15;
/// A section that grows or shrinks by less than this share stays as it is drawn.
const UNCHANGED: f64 = 1e-5;
/// Places on a quarter at which two forms are compared.
const LOOKS: usize = 90;

pub(super) fn acceptance(form: &Form, drawn: &Loft, solution: &Solution) -> Acceptance {
    let mut edits = Vec::new();
    for (line, function) in [(LineName::BreadthHeight, Function::BreadthHeight), (LineName::Breadth, Function::Breadth)]
    {
        if solution.task().model.functions().contains(&function) {
            line_edits(form, line, function, solution, &mut edits);
        }
    }
    let mut sections = Vec::new();
    for (index, section) in form.sections.iter().enumerate() {
        let SectionShape::Shaped(unit) = &section.shape else {
            sections.push((section.station, TakenUp::Pinned));
            continue;
        };
        let Some((with, how)) = reshaped(unit, section.station, drawn, solution) else { continue };
        let with = ControlSection { station: section.station, shape: SectionShape::Shaped(with) };
        edits.push(Edit::ReplaceSection { form: 0, section: index, with });
        sections.push((section.station, how));
    }
    for station in further_stations(form, solution) {
        let Some(unit) = as_drawn(drawn, station) else { continue };
        let Some((unit, _)) = reshaped(&unit, station, drawn, solution) else { continue };
        edits
            .push(Edit::AddSection { form: 0, section: ControlSection { station, shape: SectionShape::Shaped(unit) } });
        sections.push((station, TakenUp::Added));
    }
    sections.sort_by(|a, b| a.0.total_cmp(&b.0));
    Acceptance { edit: Edit::Together { label: LABEL.into(), edits }, sections }
}

/// Moves the points of a line by what was solved, and adds points where they stand far apart.
fn line_edits(form: &Form, line: LineName, function: Function, solution: &Solution, edits: &mut Vec<Edit>) {
    let shape = solution.shape();
    let (low, high) = solution.task().model.range();
    let points = &form.lines.get(line).points;
    let off = |x: f64| shape.deviation(function, x).0;
    for (point, p) in points.iter().enumerate() {
        let inside = p.x > low && p.x < high;
        if inside && locked_by(form, line, p.x).is_none() {
            edits.push(Edit::MoveLinePoint { form: 0, line, point, x: p.x, value: p.value + off(p.x) });
        }
    }
    for pair in points.windows(2) {
        let count = ((pair[1].x - pair[0].x) / (WIDEST_GAP * (high - low))).ceil().max(1.0) as usize;
        for i in 1..count {
            let x = pair[0].x + (pair[1].x - pair[0].x) * i as f64 / count as f64;
            let Some(frame) = shape.frame(x) else { continue };
            let value = if function == Function::Breadth { frame.breadth.0 } else { frame.middle.0 };
            let point = LinePoint { x, value, kind: LinePointKind::Smooth };
            edits.push(Edit::AddLinePoint { form: 0, line, point });
        }
    }
}

/// Where control sections are wanted beside those that are there, not too near to one.
fn further_stations(form: &Form, solution: &Solution) -> Vec<f64> {
    let (low, high) = solution.task().model.range();
    let step = PITCH * (high - low);
    let free = |x: &f64| form.sections.iter().all(|s| (s.station - x).abs() >= 0.6 * step);
    let count = (1.0 / PITCH) as usize;
    (1..count).map(|i| low + step * i as f64).filter(free).collect()
}

/// The drawn section at a station: a half through which knuckles run by points, among them those knuckles, any other by one arc.
/// `None` where the form has no section.
fn as_drawn(drawn: &Loft, station: f64) -> Option<UnitSection> {
    let section = drawn.section(station)?;
    let knuckles = section.knuckles();
    let points = section.polyline(FINE);
    let (breadth, middle) = (section.breadth(), section.breadth_height());
    let split = points.iter().position(|p| p[1] <= middle)?;
    let mut unit = two_arcs();
    // From below, so that the first half's points do not move the place of the second's.
    for (half, sign) in [(1, -1.0), (0, 1.0)] {
        let height = if half == 0 { section.crown() - middle } else { middle - section.keel() };
        let mine: Vec<Knuckle> =
            knuckles.iter().copied().filter(|(_, [y, z])| (z - middle) * sign > 0.0 && *y > 0.0).collect();
        if mine.is_empty() {
            continue;
        }
        let run = if half == 0 { &points[..split] } else { &points[split..] };
        let to_unit = |[y, z]: [f64; 2], role| UnitPoint { u: y / breadth, v: (z - middle) / height, role };
        let inner = with_knuckles(run, &mine).into_iter().map(|(at, role)| to_unit(at, role)).collect::<Vec<_>>();
        unit.arcs.splice(half..=half, vec![ArcKind::Cubic; inner.len() + 1]);
        unit.points.splice(half + 1..half + 1, inner);
    }
    Some(unit)
}

/// Chord error of a section that is taken up by points, mm.
const FINE: f64 = 0.005;
/// Smooth points between two marks of a half that has knuckles.
const BETWEEN: usize = 2;

/// A knuckle's number and its place in a section.
type Knuckle = (u32, [f64; 2]);

/// Points of a run of a section between its two marks: its knuckles, and smooth ones at equal shares of the girth between.
fn with_knuckles(run: &[[f64; 2]], knuckles: &[Knuckle]) -> Vec<([f64; 2], PointRole)> {
    let distance = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let nearest = |at: [f64; 2]| (0..run.len()).min_by(|a, b| distance(run[*a], at).total_cmp(&distance(run[*b], at)));
    let mut marks: Vec<(usize, Option<Knuckle>)> =
        knuckles.iter().filter_map(|k| Some((nearest(k.1)?, Some(*k)))).collect();
    marks.extend([(0, None), (run.len().saturating_sub(1), None)]);
    marks.sort_by_key(|m| m.0);
    let mut girth = vec![0.0; run.len()];
    (1..run.len()).for_each(|i| girth[i] = girth[i - 1] + distance(run[i - 1], run[i]));
    let mut out = Vec::new();
    for pair in marks.windows(2) {
        if let Some((number, at)) = pair[0].1 {
            out.push((at, PointRole::Knuckle { number, faded: false }));
        }
        for k in 1..=BETWEEN {
            let share = k as f64 / (BETWEEN + 1) as f64;
            let wanted = girth[pair[0].0] + share * (girth[pair[1].0] - girth[pair[0].0]);
            let i = girth.partition_point(|g| *g < wanted).min(run.len() - 1);
            out.push((run[i], PointRole::Smooth));
        }
    }
    out
}

fn two_arcs() -> UnitSection {
    let point = |u, v, role| UnitPoint { u, v, role };
    UnitSection {
        points: vec![
            point(0.0, 1.0, PointRole::Crown),
            point(1.0, 0.0, PointRole::Breadth { knuckle: None }),
            point(0.0, -1.0, PointRole::Keel),
        ],
        arcs: vec![ArcKind::Superelliptic { exponent: 2.0 }; 2],
        crown_ridge: false,
        keel_ridge: false,
    }
}

/// One half of a section, above or below the breadth, and what becomes of it.
struct Reshaping {
    /// As it is drawn, in unit coordinates.
    own: UnitQuarter,
    /// The model's quarter before and after the solve.
    before: UnitQuarter,
    after: UnitQuarter,
    /// 1 above the breadth, -1 below it.
    sign: f64,
    /// The half-breadth, mm: what turns a share of the radius into mm.
    size: f64,
}

impl Reshaping {
    /// By what the photographs make the section fuller at an angle from the centre plane.
    fn swell(&self, angle: f64) -> f64 {
        self.after.radius(angle) / self.before.radius(angle)
    }

    fn changes(&self) -> bool {
        (1..LOOKS).any(|i| (self.swell(FRAC_PI_2 * i as f64 / LOOKS as f64) - 1.0).abs() > UNCHANGED)
    }

    /// The points between the two marks, the arcs, and how it was done.
    fn half(&self, points: &[UnitPoint], arcs: &[ArcKind]) -> (Vec<UnitPoint>, Vec<ArcKind>, TakenUp) {
        if !points.is_empty() {
            let moved = |p: &UnitPoint| moved(*p, self.swell(p.u.atan2(p.v.abs())));
            return (points.iter().map(moved).collect(), arcs.to_vec(), TakenUp::Moved);
        }
        let quarter = UnitQuarter::through(places(|angle| self.own.radius(angle) * self.swell(angle)));
        let exponent = quarter.exponent();
        if quarter.departure(exponent) * self.size > DEPARTS {
            return (fitted(&quarter, self.sign), vec![ArcKind::Cubic; 4], TakenUp::WithPoints);
        }
        (Vec::new(), vec![ArcKind::Superelliptic { exponent }], TakenUp::Superelliptic)
    }
}

/// Above and below the breadth; `None` where the form has no section.
fn reshapings(station: f64, drawn: &Loft, solution: &Solution) -> Option<[Reshaping; 2]> {
    let (before, after) = (solution.drawn().frame(station)?, solution.shape().frame(station)?);
    let section = drawn.section(station)?;
    let size = section.breadth();
    let ([own, own_below], [before, before_below], [after, after_below]) =
        (UnitQuarter::of(&section)?, quarters(&before), quarters(&after));
    let above = Reshaping { own, before, after, sign: 1.0, size };
    Some([above, Reshaping { own: own_below, before: before_below, after: after_below, sign: -1.0, size }])
}

/// The section made fuller or leaner as the photographs say; `None` where nothing changes or the form has no section.
fn reshaped(unit: &UnitSection, station: f64, drawn: &Loft, solution: &Solution) -> Option<(UnitSection, TakenUp)> {
    let halves = reshapings(station, drawn, solution)?;
    if !halves.iter().any(Reshaping::changes) {
        return None;
    }
    let breadth = unit.points.iter().position(|p| matches!(p.role, PointRole::Breadth { .. }))?;
    let (first, last) = (unit.points.first()?, unit.points.last()?);
    let (above, above_arcs, how) = halves[0].half(&unit.points[1..breadth], &unit.arcs[..breadth]);
    let below = &unit.points[breadth + 1..unit.points.len() - 1];
    let (below, below_arcs, how_below) = halves[1].half(below, &unit.arcs[breadth..]);
    let points = [&[*first], above.as_slice(), &[unit.points[breadth]], below.as_slice(), &[*last]].concat();
    let section = UnitSection { points, arcs: [above_arcs, below_arcs].concat(), ..unit.clone() };
    let either = |what| how == what || how_below == what;
    let taken_up = [TakenUp::Moved, TakenUp::WithPoints].into_iter().find(|what| either(*what));
    Some((section, taken_up.unwrap_or(TakenUp::Superelliptic)))
}

/// Along its ray from the middle.
fn moved(point: UnitPoint, by: f64) -> UnitPoint {
    UnitPoint { u: point.u * by, v: point.v * by, ..point }
}

/// Three points on a quarter, from the crown to the breadth or from the breadth to the keel.
fn fitted(quarter: &UnitQuarter, sign: f64) -> Vec<UnitPoint> {
    let place = |i: usize| {
        let angle = FRAC_PI_2 * i as f64 / 4.0;
        let r = quarter.radius(angle);
        UnitPoint { u: r * angle.sin(), v: sign * r * angle.cos(), role: PointRole::Smooth }
    };
    let mut points: Vec<UnitPoint> = (1..4).map(place).collect();
    if sign < 0.0 {
        points.reverse();
    }
    points
}

/// Both quarters of a solved section in unit coordinates.
fn quarters(frame: &Frame) -> [UnitQuarter; 2] {
    let place = |half: usize, i: usize| {
        let turn = FRAC_PI_2 * i as f64 / LOOKS as f64;
        let point = frame.place(if half == 0 { turn } else { PI - turn }).point;
        [point.y / frame.breadth.0, (point.z - frame.middle.0).abs() / frame.heights[half].0]
    };
    [0, 1].map(|half| UnitQuarter::through((0..=LOOKS).map(|i| place(half, i)).collect()))
}

fn places(radius: impl Fn(f64) -> f64) -> Vec<[f64; 2]> {
    let place = |i: usize| {
        let angle = FRAC_PI_2 * i as f64 / LOOKS as f64;
        let r = radius(angle);
        [r * angle.sin(), r * angle.cos()]
    };
    (0..=LOOKS).map(place).collect()
}
