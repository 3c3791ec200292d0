//! A form begun from what lies on the bench and what is traced from the side: the first four lines and end sections, as one step.
//!
//! ```text
//!   ring                                      fuselage end
//!    |.-----''''' crown, read on the centre plane '''''|
//!    |- - - - - - breadth height, in proportion - - - -|     breadth: in proportion to the depth, from ring to fuselage
//!    |'-----..... keel, read on the centre plane .....|
//! ```
//!
//! What no photograph of the side shows, breadth and its height, goes from end to end in proportion to the depth between crown
//! and keel: a start from which a solve finds them.

mod failure;

pub use failure::BeginFailure;

use super::fair::{FairEnd, FairFit, master_line};
use super::lines::{LinePlace, LineReading, read_line};
use form::shaft::{ring, ring_edge};
use geometry::faired::{FairError, Outcome};
use geometry::line::Line;
use project::airframe::{FuselageEnd, Pin};
use project::document::{
    ControlSection, Document, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, MasterLines, PictureView,
    SectionShape,
};
use project::edit::Edit;
use project::fuselage::{FINE, points};
use project::measured::master_values;
use project::photograph::Traced;
use project::promise::MAX_STATIONS;
use project::starter::{ELLIPSE_RHO, two_conics};
use std::sync::Arc;

/// A form begun. Nothing of the document has changed yet.
#[derive(Clone, Debug)]
pub struct Begun {
    /// Begins the form as one step.
    pub edit: Edit,
    /// The document after that step.
    pub after: Document,
    /// Crown and keel as they were read, to be shown beside what was made of them.
    pub read: [LineReading; 2],
    /// How the faired crown and keel follow what was read.
    pub fits: [FairFit; 2],
    /// What each end is.
    pub ends: [EndKind; 2],
    /// What does not keep the tolerance, and what was not traced and is a guess, in words.
    pub notes: Vec<String>,
}

/// What an end of a begun form is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EndKind {
    /// A circle where the ring's rear face ends.
    Ring,
    /// The fuselage's end, to which the section there is pinned.
    Fuselage,
    /// A point where crown and keel meet.
    Point,
}

/// An end of the form.
#[derive(Clone, Copy, Debug)]
struct End {
    kind: EndKind,
    x: f64,
    crown: f64,
    keel: f64,
    breadth: f64,
    middle: f64,
}

impl End {
    /// A point is blunt.
    fn line_end(&self) -> LineEnd {
        if self.kind == EndKind::Point { LineEnd::Upright } else { LineEnd::Free }
    }
}

/// Crown and keel meet where they end nearer to each other than this share of their greatest distance.
const MEET: f64 = 0.2;
/// A line that is not traced over more than this share of the length before an end is told.
const UNTRACED: f64 = 0.1;
/// A line that misses what was traced by more than this share of the length has gone astray.
const ASTRAY: f64 = 0.02;
/// No form is shorter, mm.
const SHORTEST: f64 = 1.0;
/// Stations of a begun form, mm.
const PITCH: f64 = 30.0;

/// Begins the first form of a document: crown and keel from what is traced in its pictures of the side, faired within
/// `tolerance` mm; its ends from ring and fuselage end, or points; breadth and breadth height in proportion.
///
/// # Errors
/// What is missing, with what to do next.
pub fn begin_form(document: &Document, tolerance: f64) -> Result<Begun, BeginFailure> {
    let form = document.forms.first().ok_or(BeginFailure::NoForm)?;
    if LineName::ALL.iter().any(|name| !form.lines.get(*name).points.is_empty()) || !form.sections.is_empty() {
        return Err(BeginFailure::Drawn { form: form.name.clone() });
    }
    let places = traced(document)?;
    let known = [front(document), rear(document)];
    let [crown, keel] = divided(&places, known)?;
    let ends = ends(known, [&crown, &keel])?;
    let read = [(LineName::Crown, crown), (LineName::Keel, keel)].map(|(line, points)| LineReading { line, points });
    let (lines, fits) = lines(&read, &ends, tolerance)?;
    let edit = edit(document, form, lines, &ends);
    let after = edit.apply(document)?;
    let notes = read.iter().zip(&fits).flat_map(|(read, fit)| notes(read, fit, &ends)).collect();
    Ok(Begun { edit, after, read, fits, ends: ends.map(|e| e.kind), notes })
}

/// Every point of every outline in the pictures of the side, on the centre plane.
fn traced(document: &Document) -> Result<Vec<LinePlace>, BeginFailure> {
    let mut sides = document.pictures.iter().filter(|p| p.view == PictureView::Side).peekable();
    if sides.peek().is_none() {
        return Err(BeginFailure::NoSide);
    }
    let mut out = Vec::new();
    for picture in sides {
        let outlines = picture.photograph.traces.iter().filter(|t| t.of == Traced::Outline);
        for trace in outlines {
            // On the centre plane crown and keel are read alike.
            let read = read_line(document, picture, &trace.points, LineName::Crown)
                .map_err(|why| BeginFailure::Unread { picture: picture.name.clone(), why })?;
            out.extend(read.points);
        }
    }
    out.sort_by(|a, b| a.x.total_cmp(&b.x));
    if out.is_empty() { Err(BeginFailure::NothingTraced) } else { Ok(out) }
}

/// A circle of the ring's size where its rear face lies wholly ahead.
fn front(document: &Document) -> Option<End> {
    let ring = ring(document.airframe.thrust.as_ref()?);
    let radius = 0.5 * ring.diameter;
    let x = ring_edge(&ring, RING_PLACES).iter().map(|p| p[0]).reduce(f64::max)?;
    let middle = ring.rear.point[2];
    let end = End { kind: EndKind::Ring, x, crown: middle + radius, keel: middle - radius, breadth: radius, middle };
    (radius > 0.0).then_some(end)
}

/// Places of the ring's edge that are looked at.
const RING_PLACES: u32 = 360;

/// Proud of the fuselage's end by the step that its lap needs.
fn rear(document: &Document) -> Option<End> {
    let end = document.airframe.fuselage.as_ref()?;
    let values = master_values(&points(&end.section, FINE, proud(document, end))?);
    let (breadth, middle) = (values.breadth?, values.breadth_height?);
    Some(End { kind: EndKind::Fuselage, x: end.station, crown: values.crown, keel: values.keel, breadth, middle })
}

fn proud(document: &Document, end: &FuselageEnd) -> f64 {
    fit::fuselage::lap_step(end, fit::wall(&document.build))
}

/// What lies above the middle of the form, and what below.
fn divided(places: &[LinePlace], known: [Option<End>; 2]) -> Result<[Vec<LinePlace>; 2], BeginFailure> {
    let (first, last) = (places[0], places[places.len() - 1]);
    let at =
        |end: Option<End>, place: LinePlace| end.map_or([place.x, place.value], |e| [e.x, 0.5 * (e.crown + e.keel)]);
    let (a, b) = (at(known[0], first), at(known[1], last));
    let middle = |x: f64| a[1] + (b[1] - a[1]) * ((x - a[0]) / (b[0] - a[0])).clamp(0.0, 1.0);
    let (above, below): (Vec<_>, Vec<_>) = places.iter().partition(|p| p.value > middle(p.x));
    for (part, upper) in [(&above, true), (&below, false)] {
        if part.len() < 2 {
            return Err(BeginFailure::Missing { upper });
        }
    }
    Ok([above, below])
}

/// The ends that are known, and points where crown and keel meet.
fn ends(known: [Option<End>; 2], lines: [&Vec<LinePlace>; 2]) -> Result<[End; 2], BeginFailure> {
    let value = |p: &LinePlace| p.value;
    let top = lines[0].iter().map(value).fold(f64::NEG_INFINITY, f64::max);
    let depth = top - lines[1].iter().map(value).fold(f64::INFINITY, f64::min);
    let end = |front: bool| {
        let tip = |line: &Vec<LinePlace>| line[if front { 0 } else { line.len() - 1 }];
        let (a, b) = (tip(lines[0]), tip(lines[1]));
        let meets = (a.x - b.x).hypot(a.value - b.value) < MEET * depth;
        let x = if front { a.x.min(b.x) } else { a.x.max(b.x) };
        let z = 0.5 * (a.value + b.value);
        let point = End { kind: EndKind::Point, x, crown: z, keel: z, breadth: 0.0, middle: z };
        meets.then_some(point).ok_or(BeginFailure::OpenEnd { front })
    };
    let front = known[0].map_or_else(|| end(true), Ok)?;
    let rear = known[1].map_or_else(|| end(false), Ok)?;
    let turned = BeginFailure::Turned { front: front.x, rear: rear.x };
    if front.x + SHORTEST < rear.x { Ok([front, rear]) } else { Err(turned) }
}

fn lines(
    read: &[LineReading; 2],
    ends: &[End; 2],
    tolerance: f64,
) -> Result<(MasterLines, [FairFit; 2]), BeginFailure> {
    let line = |reading: &LineReading, value: fn(&End) -> f64| {
        let fair_end = |e: &End| FairEnd { fixed: Some([e.x, value(e)]), end: e.line_end() };
        let unfair = |why| BeginFailure::Unfair { line: reading.line, why };
        let (line, fit) =
            master_line(reading, [fair_end(&ends[0]), fair_end(&ends[1])], Vec::new(), tolerance).map_err(unfair)?;
        let curve = form::line(&line).map_err(|_| unfair(FairError::TooFew))?;
        if fit.worst > ASTRAY * (ends[1].x - ends[0].x) {
            return Err(BeginFailure::Astray { line: reading.line, mm: fit.worst });
        }
        Ok::<_, BeginFailure>((line, fit, curve))
    };
    let (crown, crown_fit, upper) = line(&read[0], |e| e.crown)?;
    let (keel, keel_fit, lower) = line(&read[1], |e| e.keel)?;
    let mut stations: Vec<f64> = crown.points.iter().chain(&keel.points).map(|p| p.x).collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup_by(|b, a| *b - *a < 0.02 * (ends[1].x - ends[0].x));
    let last = stations.len() - 1;
    (stations[0], stations[last]) = (ends[0].x, ends[1].x);
    let [breadth, middle] = in_proportion(&stations, [&upper, &lower], ends)?;
    let [crown, keel, breadth, breadth_height] = [crown, keel, breadth, middle].map(Arc::new);
    Ok((MasterLines { crown, keel, breadth, breadth_height }, [crown_fit, keel_fit]))
}

/// Breadth and breadth height: shares of the depth that go evenly from one end's to the other's.
fn in_proportion(
    stations: &[f64],
    [upper, lower]: [&Line; 2],
    ends: &[End; 2],
) -> Result<[MasterLine; 2], BeginFailure> {
    let shares = ends.map(shares);
    // A point has no share of its own.
    let shares = match shares {
        [None, None] => [[0.5, 0.5]; 2],
        [Some(s), None] | [None, Some(s)] => [s; 2],
        [Some(a), Some(b)] => [a, b],
    };
    let mut out = [Vec::new(), Vec::new()];
    for x in stations {
        let t = (x - ends[0].x) / (ends[1].x - ends[0].x);
        let (top, bottom) = (upper.at(*x).value, lower.at(*x).value);
        let depth = top - bottom;
        let at_end = ends.iter().find(|e| e.x == *x);
        if depth <= 0.0 && at_end.is_none_or(|e| e.kind != EndKind::Point) {
            return Err(BeginFailure::Crossing { x: *x });
        }
        let share = |k: usize| shares[0][k] + t * (shares[1][k] - shares[0][k]);
        let values = at_end.map_or([share(0) * depth, bottom + share(1) * depth], |e| [e.breadth, e.middle]);
        for (line, value) in out.iter_mut().zip(values) {
            line.push(LinePoint { x: *x, value, kind: LinePointKind::Smooth });
        }
    }
    let [breadth, middle] = out;
    let [front, rear] = [ends[0].line_end(), ends[1].line_end()];
    Ok([
        MasterLine { points: breadth, front, rear },
        MasterLine { points: middle, front: LineEnd::Free, rear: LineEnd::Free },
    ])
}

/// Breadth, and breadth height over the keel, as shares of the depth.
fn shares(end: End) -> Option<[f64; 2]> {
    let depth = end.crown - end.keel;
    (depth > 0.0).then(|| [end.breadth / depth, (end.middle - end.keel) / depth])
}

fn edit(document: &Document, form: &Form, lines: MasterLines, ends: &[End; 2]) -> Edit {
    let elliptic = |station| Arc::new(ControlSection { station, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) });
    let flat = ends.iter().filter(|e| e.kind == EndKind::Ring).map(|e| elliptic(e.x));
    let mut sections: Vec<_> = flat.collect();
    if ends.iter().all(|e| e.kind == EndKind::Point) {
        sections.push(elliptic(0.5 * (ends[0].x + ends[1].x)));
    }
    let stations = stations(ends[0].x, ends[1].x);
    let with = Form { lines, sections, stations, ..form.clone() };
    let mut edits = vec![Edit::ReplaceForm { form: 0, with }];
    let pinned = document.airframe.fuselage.as_ref().filter(|_| ends[1].kind == EndKind::Fuselage);
    edits.extend(pinned.map(|end| {
        let pin = Pin { form: 0, proud: proud(document, end) };
        Edit::SetFuselage(Some(FuselageEnd { pinned: Some(pin), ..end.clone() }))
    }));
    Edit::Together { label: "Begin the form from photographs".into(), edits }
}

/// At whole multiples of [`PITCH`] and at both ends.
fn stations(front: f64, rear: f64) -> Vec<f64> {
    let first = (front / PITCH).floor() as i64 + 1;
    let inner = (first..).map(|i| PITCH * i as f64).take_while(|x| *x < rear - 1.0).filter(|x| *x > front + 1.0);
    [front].into_iter().chain(inner.take(MAX_STATIONS - 2)).chain([rear]).collect()
}

fn notes(read: &LineReading, fit: &FairFit, ends: &[End; 2]) -> Vec<String> {
    let (Some(first), Some(last)) = (read.points.first(), read.points.last()) else { return Vec::new() };
    let slack = UNTRACED * (ends[1].x - ends[0].x);
    let line = read.line.label();
    let mut out = Vec::new();
    if fit.outcome != Outcome::Holds {
        out.push(format!("{line}: {}", fit.outcome.text()));
    }
    if first.x > ends[0].x + slack {
        out.push(format!(
            "{line}: nothing is traced ahead of {:.0} mm; from there to the front it is a guess.",
            first.x
        ));
    }
    if last.x < ends[1].x - slack {
        out.push(format!("{line}: nothing is traced aft of {:.0} mm; from there to the rear it is a guess.", last.x));
    }
    out
}
