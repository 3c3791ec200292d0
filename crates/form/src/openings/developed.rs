//! The surface round a hole laid flat, for a template that is wrapped round the form to trim by.
//!
//! A net of places is laid on the true surface along its own lines, every mark, corner and crease on a line of the net. Each link and
//! both diagonals of each mesh have the true length: that of a curve which leaves its ends along the chord's shadow on the tangent
//! planes there. The flat net is the one whose links miss these lengths least (least squares, by damped Gauss–Newton steps). On a
//! developable surface (plane, cylinder, cone, also bent over a crease) none is missed, so that the development is exact but for the
//! formula of the lengths, whose relative error is about 0.02 times the fourth power of half the angle that a link turns by; elsewhere the greatest stretch in the hole is
//! told. Links of the margin count a hundredth, so that it is the margin that gives. A place of the edge or of a mark is then set by its true distances from the corners of its mesh.

mod net;
mod place;
mod solve;

use super::hole::Hole;
use super::target::{Sheet, SkinPlace, Target};
use crate::space::{Vector, cross, dot, sub, unit};
use net::Net;

type Flat = [f64; 2];

/// How a hole is laid flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Flattening {
    /// On the surface moved inward by this, mm: 0 for the finished skin, what is taken off for the plug.
    pub inset: f64,
    /// Paper beyond the edge, mm along the surface.
    pub margin: f64,
    /// Stations of which the nearest is marked, mm; without one near by, the hole's own middle is.
    pub stations: Vec<f64>,
}

/// A line of the surface that places the template.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MarkKind {
    /// A station.
    Station(f64),
    /// The centre plane.
    CentrePlane,
    /// A waterline at this height.
    Height(f64),
    /// A buttock at this half-breadth, negative to port.
    HalfBreadth(f64),
}

/// A mark on the template.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What it is.
    pub kind: MarkKind,
    /// Its line, flat, mm.
    pub line: Vec<Flat>,
}

/// A hole laid flat, as it is seen from outside; x of the flat points aft at the hole's middle, y to the left of that.
#[derive(Clone, Debug, PartialEq)]
pub struct Developed {
    /// Each run of the hole's edge, mm, and whether it is closed.
    pub edges: Vec<(bool, Vec<Flat>)>,
    /// The middle: where the line of sight through the outline's centroid meets the surface. It is the origin.
    pub centre: Flat,
    /// The outline of the paper.
    pub sheet: Vec<Flat>,
    /// Lines to place it by.
    pub marks: Vec<Mark>,
    /// Greatest relative change of any length in the hole and just beside it.
    pub strain: f64,
    /// No length across the hole differs from that on the surface by more than this, mm.
    pub length_error: f64,
}

/// Why a hole cannot be laid flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotDeveloped {
    /// It does not meet the form.
    Missed,
    /// It goes over the edge of the flat front.
    OverTheRim,
    /// It goes round the form, or round its tip.
    AllRound,
    /// The net does not lie flat without folds.
    Folded,
}

impl std::fmt::Display for NotDeveloped {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Missed => "it does not meet the form",
            Self::OverTheRim => "it goes over the edge of the flat front",
            Self::AllRound => "it goes round the form or its tip",
            Self::Folded => "the surface round it does not lie flat without folds",
        })
    }
}

impl std::error::Error for NotDeveloped {}

/// Lays the surface round a hole flat.
///
/// # Errors
/// Why it cannot be.
pub fn develop(target: &Target<'_>, hole: &Hole, how: &Flattening) -> Result<Developed, NotDeveloped> {
    if hole.places().next().is_none() {
        return Err(NotDeveloped::Missed);
    }
    let on_front = hole.places().filter(|p| p.on == Sheet::Front).count();
    if on_front == hole.places().count() {
        return Ok(front(hole, how));
    }
    if on_front > 0 {
        return Err(NotDeveloped::OverTheRim);
    }
    let net = Net::new(target, hole, how)?;
    net.developed(hole, how)
}

/// A hole in the flat front is flat: x of the flat to port, y up, as the front is seen from ahead.
fn front(hole: &Hole, how: &Flattening) -> Developed {
    let normal = hole.places().next().map_or([-1.0, 0.0, 0.0], |p| p.normal);
    let up = unit(sub([0.0, 0.0, 1.0], normal.map(|c| c * normal[2])));
    let right = cross(up, normal);
    let middle = hole.centre.map_or_else(|| mean(hole.places()), |c| c.point);
    let flat = |p: Vector| [dot(sub(p, middle), right), dot(sub(p, middle), up)];
    let edges: Vec<(bool, Vec<Flat>)> =
        hole.runs.iter().map(|run| (run.closed, run.places.iter().map(|p| flat(p.place.point)).collect())).collect();
    let all = || edges.iter().flat_map(|(_, line)| line);
    let reach = |k: usize| {
        let low = all().map(|p| p[k]).fold(f64::INFINITY, f64::min) - how.margin;
        [low, all().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max) + how.margin]
    };
    let [[left, right_end], [low, high]] = [reach(0), reach(1)];
    let sheet = vec![[left, low], [right_end, low], [right_end, high], [left, high]];
    let on_centre = -flat([middle[0], 0.0, middle[2]])[0].abs();
    let centre_x = flat([middle[0], 0.0, middle[2]])[0];
    let mut marks = Vec::new();
    if centre_x > left && centre_x < right_end && on_centre.is_finite() {
        marks.push(Mark { kind: MarkKind::CentrePlane, line: vec![[centre_x, low], [centre_x, high]] });
    }
    marks.push(Mark { kind: MarkKind::Height(middle[2]), line: vec![[left, 0.0], [right_end, 0.0]] });
    Developed { edges, centre: [0.0, 0.0], sheet, marks, strain: 0.0, length_error: 0.0 }
}

fn mean<'a>(places: impl Iterator<Item = &'a SkinPlace>) -> Vector {
    let (sum, n) = places.fold(([0.0; 3], 0.0), |(s, n), p| (std::array::from_fn(|k| s[k] + p.point[k]), n + 1.0));
    sum.map(|c| c / f64::max(n, 1.0))
}

/// A place with the normal of the sheet that is meant.
#[derive(Clone, Copy, Debug, Default)]
struct Knot {
    p: Vector,
    normal: Vector,
}

/// The length along the surface between two near places of one sheet: the chord's, with what a curve adds that leaves both ends at
/// the chord's angle to the tangent plane there. Exact for arcs up to the fourth power of that angle.
fn true_length(a: Knot, b: Knot) -> f64 {
    let chord = sub(b.p, a.p);
    let d = dot(chord, chord).sqrt();
    if d <= 0.0 {
        return 0.0;
    }
    let lean = |n: Vector| (dot(chord, n) / d).clamp(-1.0, 1.0).asin();
    let (m, n) = (lean(a.normal), lean(b.normal));
    let square = 0.5 * (m * m + n * n);
    d * (1.0 + (2.0 * m * m - m * n + 2.0 * n * n) / 30.0 + 7.0 / 360.0 * square * square)
}
