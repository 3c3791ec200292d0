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

mod ends;
mod failure;
mod tip;

pub use ends::EndKind;
use ends::{End, ends_and_lines, proud};
pub use failure::BeginFailure;

use super::fair::{FairEnd, FairFit, master_line};
use super::lines::{LinePlace, LineReading, read_line};
use geometry::faired::{FairError, Outcome};
use geometry::line::Line;
use project::airframe::{FuselageEnd, Pin};
use project::document::{
    ControlSection, Document, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, MasterLines, PictureView,
    SectionShape,
};
use project::edit::Edit;
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

/// A line that is not traced over more than this share of the length before an end is told.
const UNTRACED: f64 = 0.1;
/// A line that misses what was traced by more than this share of the length has gone astray.
const ASTRAY: f64 = 0.02;
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
    let (ends, [crown, keel]) = ends_and_lines(document, &places)?;
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

fn lines(
    read: &[LineReading; 2],
    ends: &[End; 2],
    tolerance: f64,
) -> Result<(MasterLines, [FairFit; 2]), BeginFailure> {
    let line = |reading: &LineReading, value: fn(&End) -> f64| {
        let unfair = |why| BeginFailure::Unfair { line: reading.line, why };
        let fair = |kind: fn(&End) -> LineEnd| {
            let of = |e: &End| FairEnd { fixed: Some([e.x, value(e)]), end: kind(e) };
            master_line(reading, [of(&ends[0]), of(&ends[1])], Vec::new(), tolerance).map_err(unfair)
        };
        let mut found = fair(End::line_end)?;
        if found.1.outcome != Outcome::Holds {
            // Few points at a tip tell round from sharp badly, and one line may be the one, the other the other.
            let other = fair(End::other_line_end)?;
            found = if other.1.worst < found.1.worst { other } else { found };
        }
        let (line, fit) = found;
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
