//! The finished form, met by lines of sight.
//!
//! A line of sight from the side, from above or below stays in one cross plane, so its meeting is a root along the section there; the
//! outermost root is the first meeting. One from ahead follows the body: the cell of a coarse grid that it enters first gives the
//! start of Newton's method in both parameters of the surface. Either way the place lies on the true surface, within 1e-9 mm of the
//! line of sight. Where the form ends flat in front, or the ring's plane trims it, the line may meet that face instead.

mod across;
mod ahead;

use crate::seen::{Spot, SurfaceNode};
use crate::shaft::RingTrim;
use crate::skin::Lofted;
use crate::space::{Vector, dot, length, sub, times};
use ahead::Grid;
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::oblique::ObliquePlane;
use geometry::section::Section;
use project::document::Document;
use project::opening::Seen;
use project::photograph::Side;
use std::sync::OnceLock;

/// What of the form a place lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sheet {
    /// The lofted surface.
    Skin(Spot),
    /// The flat front: that of the form, or the plane on which the ring trims it.
    Front,
}

/// A place where a line of sight first meets the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkinPlace {
    /// Where the view shows it.
    pub view: [f64; 2],
    /// Where it is, mm.
    pub point: Vector,
    /// Outward unit normal.
    pub normal: Vector,
    /// What it lies on.
    pub on: Sheet,
}

impl SkinPlace {
    /// The same place on the surface moved inward by `t` mm, such as the plug's.
    pub fn moved_in(&self, t: f64) -> Vector {
        sub(self.point, times(self.normal, t))
    }

    /// The spot of the lofted surface; `None` on the flat front.
    pub fn spot(&self) -> Option<Spot> {
        match self.on {
            Sheet::Skin(spot) => Some(spot),
            Sheet::Front => None,
        }
    }
}

/// A place of the half section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub(super) half: Half,
    pub(super) run: usize,
    pub(super) fraction: f64,
}

/// A form to be met.
#[derive(Debug)]
pub struct Target<'a> {
    loft: &'a Loft,
    trim: Option<RingTrim>,
    columns: Vec<Column>,
    grid: OnceLock<Grid>,
}

/// Chords that each run between two marks is looked at by: a run that turns back more often than that can hide a meeting.
const STEPS: usize = 10;
/// An end smaller than this, mm, is a point.
const POINT: f64 = 1e-6;
/// At an end the slopes are those of what runs on beyond it: normals are read this share of the length inside.
const INSIDE: f64 = 1e-7;

impl<'a> Target<'a> {
    /// The surface of a loft; what lies ahead of `trim` is cut off.
    pub fn new(loft: &'a Loft, trim: Option<RingTrim>) -> Self {
        let columns = loft.section(loft.x_range().0).map(|s| columns(&s)).unwrap_or_default();
        Self { loft, trim, columns, grid: OnceLock::new() }
    }

    /// Form number `index` of a document, the first one trimmed by its ring; `None` while its surface cannot be lofted or is torn.
    pub fn of(document: &Document, index: usize, lofted: &'a Lofted) -> Option<Self> {
        let thrust = document.airframe.thrust.as_ref().filter(|line| index == 0 && line.spinner.diameter > 0.0);
        let trim = thrust.map(|line| crate::shaft::ring(line).rear);
        Some(Self::new(lofted.whole_skin()?.loft(), trim))
    }

    /// The surface.
    pub fn loft(&self) -> &'a Loft {
        self.loft
    }

    /// The plane that trims the front.
    pub fn trim(&self) -> Option<&RingTrim> {
        self.trim.as_ref()
    }

    /// Where the line of sight through a place of a view first meets the form; `None` where it misses.
    pub fn meet(&self, seen: Seen, view: [f64; 2]) -> Option<SkinPlace> {
        if seen == Seen::Ahead { self.meet_ahead(view) } else { self.meet_across(seen, view) }
    }

    /// The edge of the flat front, all round from the crown to starboard: of the ring's plane where that cuts the form, else of the
    /// form's own front. `None` where it is a point. Chords stay within `tolerance` mm.
    pub fn front_edge(&self, tolerance: f64) -> Option<Vec<Vector>> {
        let (low, _) = self.loft.x_range();
        let starboard: Vec<Vector> = match self.trim {
            Some(trim) => {
                let half = |plane: &ObliquePlane| self.loft.oblique_half(plane, 0.0, [0.0, 0.0], tolerance);
                let port = half(&trim.oblique().mirrored())?.into_iter().rev().map(|[x, y, z]| [x, -y, z]);
                half(&trim.oblique())?.into_iter().chain(port).map(|p| [p[0].max(low), p[1], p[2]]).collect()
            }
            None if self.is_pointed() => return None,
            None => {
                let half = self.loft.section(low)?.polyline(tolerance);
                let port = half.iter().rev().map(|[y, z]| [low, -y, *z]);
                half.iter().map(|[y, z]| [low, *y, *z]).chain(port).collect()
            }
        };
        let mut edge = starboard;
        edge.dedup_by(|b, a| length(sub(*b, *a)) < 1e-9);
        (edge.len() > 2).then_some(edge)
    }

    /// Whether a place lies in the form, as far as it is not trimmed off.
    pub fn holds(&self, p: Vector) -> bool {
        self.trim.is_none_or(|trim| trim.ahead(p) <= 0.0) && self.holds_untrimmed(p)
    }

    pub(super) fn holds_untrimmed(&self, [x, y, z]: Vector) -> bool {
        let (low, high) = self.loft.x_range();
        if !(low..=high).contains(&x) {
            return false;
        }
        let Some(section) = self.loft.section(x) else { return false };
        let outside = |root: &across::Root| root.place.p[0] > y.abs();
        self.roots(&section, 1, z).iter().filter(|root| outside(root)).count() % 2 == 1
    }

    /// Where the form is a point in front.
    pub(super) fn is_pointed(&self) -> bool {
        self.loft.section(self.loft.x_range().0).is_none_or(|s| {
            let height = s.crown() - s.keel();
            s.breadth().abs() < POINT && height.abs() < POINT
        })
    }

    /// A spot moved by a station and a fraction: from run to run, and over the centre plane to the other side.
    pub(super) fn walked(&self, spot: Spot, aft: f64, round: f64) -> Spot {
        let (low, high) = self.loft.x_range();
        let x = (spot.x + aft).clamp(low, high);
        let next = spot.fraction + round;
        let fraction = next.clamp(0.0, 1.0);
        let over = (next - fraction).clamp(-0.5, 0.5);
        if over == 0.0 {
            return Spot { x, fraction, ..spot };
        }
        let runs = self.runs();
        let here = runs.iter().position(|r| *r == (spot.half, spot.run)).unwrap_or(0);
        let there = if over > 0.0 { Some(here + 1) } else { here.checked_sub(1) };
        match there.and_then(|i| runs.get(i)) {
            Some(&(half, run)) => Spot { x, half, run, fraction: if over > 0.0 { over } else { 1.0 + over }, ..spot },
            None => {
                let side = if spot.side == Side::Port { Side::Starboard } else { Side::Port };
                Spot { x, side, fraction: fraction - over, ..spot }
            }
        }
    }

    /// Halves and runs from crown to keel.
    pub(super) fn runs(&self) -> Vec<(Half, usize)> {
        let mut runs: Vec<_> = self.columns.iter().map(|c| (c.half, c.run)).collect();
        runs.dedup();
        runs
    }

    /// A spot as a place of the surface.
    pub(super) fn at(&self, spot: Spot, view: [f64; 2]) -> Option<SkinPlace> {
        let point = SurfaceNode::at(self.loft, spot)?.point;
        Some(SkinPlace { view, point, normal: self.normal(spot)?, on: Sheet::Skin(spot) })
    }

    pub(super) fn normal(&self, spot: Spot) -> Option<Vector> {
        let (low, high) = self.loft.x_range();
        let inside = INSIDE * (high - low);
        let x = spot.x.clamp(low + inside, high - inside);
        Some(SurfaceNode::at(self.loft, Spot { x, ..spot })?.normal)
    }

    /// A place of the ring's plane, or of the flat front, met by a line of sight.
    fn front(&self, view: [f64; 2], point: Vector, trimmed: bool) -> SkinPlace {
        let normal = self.trim.filter(|_| trimmed).map_or([-1.0, 0.0, 0.0], |trim| trim.normal);
        SkinPlace { view, point, normal, on: Sheet::Front }
    }

    /// What is met behind the ring's plane instead of a place that is cut off.
    fn behind_trim(&self, seen: Seen, place: SkinPlace) -> Option<SkinPlace> {
        let Some(trim) = self.trim.filter(|trim| trim.ahead(place.point) > 0.0) else { return Some(place) };
        let along = dot(trim.normal, seen.sight());
        if along >= 0.0 {
            return None;
        }
        let step = trim.ahead(place.point) / -along;
        let point = std::array::from_fn(|k| place.point[k] + step * seen.sight()[k]);
        self.holds_untrimmed(point).then(|| self.front(place.view, point, true))
    }
}

/// The side on which a half-breadth lies.
pub(super) fn side_of(y: f64) -> Side {
    if y < 0.0 { Side::Port } else { Side::Starboard }
}

fn columns(section: &Section<'_>) -> Vec<Column> {
    let of = |(half, run)| (0..=STEPS).map(move |i| Column { half, run, fraction: i as f64 / STEPS as f64 });
    section.runs().flat_map(of).collect()
}
