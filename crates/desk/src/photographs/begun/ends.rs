//! The ends of a form that is begun, and which traced points are its crown and which its keel.

use super::BeginFailure;
use super::tip::tip;
use crate::photographs::lines::LinePlace;
use form::shaft::{ring, ring_edge};
use project::airframe::FuselageEnd;
use project::document::{Document, LineEnd};
use project::fuselage::{FINE, points};
use project::measured::master_values;

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
pub(super) struct End {
    pub(super) kind: EndKind,
    pub(super) x: f64,
    pub(super) crown: f64,
    pub(super) keel: f64,
    pub(super) breadth: f64,
    pub(super) middle: f64,
    /// Both lines are upright here.
    pub(super) round: bool,
}

impl End {
    pub(super) fn line_end(&self) -> LineEnd {
        if self.round { LineEnd::Upright } else { LineEnd::Free }
    }

    /// As [`End::line_end`], with a sharp point taken for a round one and a round one for a sharp one.
    pub(super) fn other_line_end(&self) -> LineEnd {
        if self.kind == EndKind::Point && !self.round { LineEnd::Upright } else { LineEnd::Free }
    }
}

/// No form is shorter, mm.
const SHORTEST: f64 = 1.0;
/// Where an end is not known, the middle between all that is traced within this share of the length from it is taken first.
const OUTERMOST: f64 = 0.01;

/// The ends of the form, and the places of crown and keel by rising station.
///
/// # Errors
/// An end is not known, a line is missing, or the ends lie the wrong way round.
pub(super) fn ends_and_lines(
    document: &Document,
    places: &[LinePlace],
) -> Result<([End; 2], [Vec<LinePlace>; 2]), BeginFailure> {
    let known = [front(document), rear(document)];
    let marks = [
        known[0].map_or_else(|| outermost(places, true), mark),
        known[1].map_or_else(|| outermost(places, false), mark),
    ];
    let first = ends(known, &divided(places, marks)?)?;
    // Once more from tip to tip: what lies next to a tip then falls to the right line.
    let lines = divided(places, first.map(mark))?;
    Ok((ends(known, &lines)?, lines))
}

/// The middle between crown and keel.
fn mark(end: End) -> [f64; 2] {
    [end.x, 0.5 * (end.crown + end.keel)]
}

fn outermost(places: &[LinePlace], front: bool) -> [f64; 2] {
    let (first, last) = (places[0].x, places[places.len() - 1].x);
    let reach = OUTERMOST * (last - first);
    let near = places.iter().filter(|p| if front { p.x <= first + reach } else { p.x >= last - reach });
    let (low, high) =
        near.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.value), high.max(p.value)));
    [if front { first } else { last }, 0.5 * (low + high)]
}

/// A circle of the ring's size where its rear face lies wholly ahead.
fn front(document: &Document) -> Option<End> {
    let ring = ring(document.airframe.thrust.as_ref()?);
    let radius = 0.5 * ring.diameter;
    let x = ring_edge(&ring, RING_PLACES).iter().map(|p| p[0]).reduce(f64::max)?;
    let middle = ring.rear.point[2];
    let [crown, keel] = [middle + radius, middle - radius];
    let end = End { kind: EndKind::Ring, x, crown, keel, breadth: radius, middle, round: false };
    (radius > 0.0).then_some(end)
}

/// Places of the ring's edge that are looked at.
const RING_PLACES: u32 = 360;

/// Proud of the fuselage's end by the step that its lap needs.
fn rear(document: &Document) -> Option<End> {
    let end = document.airframe.fuselage.as_ref()?;
    let values = master_values(&points(&end.section, FINE, proud(document, end))?);
    let (breadth, middle) = (values.breadth?, values.breadth_height?);
    let (crown, keel) = (values.crown, values.keel);
    Some(End { kind: EndKind::Fuselage, x: end.station, crown, keel, breadth, middle, round: false })
}

pub(super) fn proud(document: &Document, end: &FuselageEnd) -> f64 {
    fit::fuselage::lap_step(end, fit::wall(&document.build))
}

/// What lies above the middle of the form, and what below.
fn divided(places: &[LinePlace], [a, b]: [[f64; 2]; 2]) -> Result<[Vec<LinePlace>; 2], BeginFailure> {
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
fn ends(known: [Option<End>; 2], lines: &[Vec<LinePlace>; 2]) -> Result<[End; 2], BeginFailure> {
    let value = |p: &LinePlace| p.value;
    let top = lines[0].iter().map(value).fold(f64::NEG_INFINITY, f64::max);
    let depth = top - lines[1].iter().map(value).fold(f64::INFINITY, f64::min);
    let point = |front: bool| {
        let found = tip([&lines[0], &lines[1]], front, depth).ok_or(BeginFailure::OpenEnd { front })?;
        let (x, z) = (found.x, found.z);
        Ok::<_, BeginFailure>(End {
            kind: EndKind::Point,
            x,
            crown: z,
            keel: z,
            breadth: 0.0,
            middle: z,
            round: found.round,
        })
    };
    let front = known[0].map_or_else(|| point(true), Ok)?;
    let rear = known[1].map_or_else(|| point(false), Ok)?;
    let turned = BeginFailure::Turned { front: front.x, rear: rear.x };
    if front.x + SHORTEST < rear.x { Ok([front, rear]) } else { Err(turned) }
}
