//! A form's skin in two parameters.
//!
//! ```text
//!   along: 0 at the front end, 1 at the rear     round: crown 0 -> starboard -> keel R -> port -> crown 2R, for R runs between marks
//! ```
//!
//! At an end where a master line stands upright the station goes like the square of the parameter, so that a blunt tip is smooth
//! in it.

use super::placed::Placed;
use crate::seen::Spot;
use crate::space::{Vector, cross, length, times};
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::section::Section;
use project::photograph::Side;
use std::f64::consts::PI;

/// Parameters of a place: along and round.
pub(super) type At = [f64; 2];

/// A place with its derivatives by both parameters.
#[derive(Clone, Copy, Debug)]
pub(super) struct Jet {
    pub(super) p: Vector,
    pub(super) by: [Vector; 2],
}

impl Jet {
    /// Outward normal of length 1; zero where the surface has none.
    pub(super) fn normal(&self) -> Vector {
        let across = cross(self.by[0], self.by[1]);
        let size = length(across);
        if size > 0.0 && size.is_finite() { times(across, 1.0 / size) } else { [0.0; 3] }
    }
}

/// Nearer to an end than this, derivatives are read here: at the end itself they are those of what runs on beyond it.
const HAIR: f64 = 1e-4;
/// An end smaller than this, mm, is a point.
const POINT: f64 = 1e-6;

/// The skin of a form, where it is placed.
pub(super) struct Skin<'a> {
    loft: &'a Loft,
    runs: Vec<(Half, usize)>,
    range: (f64, f64),
    upright: [bool; 2],
    placed: Option<Placed>,
}

impl<'a> Skin<'a> {
    pub(super) fn new(loft: &'a Loft, placed: Option<Placed>) -> Self {
        let range = loft.x_range();
        let runs = loft.section(range.0).map(|s| s.runs().collect()).unwrap_or_default();
        let lines = loft.lines();
        let upright = [true, false]
            .map(|front| [&lines.crown, &lines.keel, &lines.breadth].into_iter().any(|line| line.is_upright(front)));
        Self { loft, runs, range, upright, placed }
    }

    /// Once round in the second parameter.
    pub(super) fn round(&self) -> f64 {
        2.0 * self.runs.len() as f64
    }

    /// Stations at which the surface is only piecewise smooth, as parameters.
    pub(super) fn breaks(&self) -> Vec<f64> {
        self.loft.x_breaks().into_iter().map(|x| self.along_of(x)).collect()
    }

    /// Whether the ends are points.
    pub(super) fn tips(&self) -> [bool; 2] {
        [self.range.0, self.range.1].map(|x| {
            self.loft.section(x).is_some_and(|s| s.breadth().abs() < POINT && (s.crown() - s.keel()).abs() < POINT)
        })
    }

    /// The station at a parameter, and its derivative.
    fn station(&self, s: f64) -> (f64, f64) {
        let (low, long) = (self.range.0, self.range.1 - self.range.0);
        let (share, slope) = match self.upright {
            [true, true] => (0.5 * (1.0 - (PI * s).cos()), 0.5 * PI * (PI * s).sin()),
            [true, false] => (s * s, 2.0 * s),
            [false, true] => (s * (2.0 - s), 2.0 * (1.0 - s)),
            [false, false] => (s, 1.0),
        };
        // Ends are hit to the last digit.
        let x = if s == 1.0 { self.range.1 } else { low + long * share };
        (x, long * slope)
    }

    fn along_of(&self, x: f64) -> f64 {
        let share = ((x - self.range.0) / (self.range.1 - self.range.0)).clamp(0.0, 1.0);
        match self.upright {
            [true, true] => (1.0 - 2.0 * share).acos() / PI,
            [true, false] => share.sqrt(),
            [false, true] => 1.0 - (1.0 - share).sqrt(),
            [false, false] => share,
        }
    }

    /// The section at a parameter.
    pub(super) fn section(&self, s: f64) -> Option<Section<'a>> {
        self.loft.section(self.station(s).0)
    }

    /// Half, run, fraction and side of a second parameter.
    fn strand(&self, v: f64) -> (Half, usize, f64, Side) {
        let round = self.round();
        let v = v.rem_euclid(round);
        let (v, side) = if v > 0.5 * round { (round - v, Side::Port) } else { (v, Side::Starboard) };
        let k = (v as usize).min(self.runs.len().saturating_sub(1));
        let (half, run) = self.runs.get(k).copied().unwrap_or((Half::Upper, 0));
        (half, run, v - k as f64, side)
    }

    /// The place on a section.
    pub(super) fn on(&self, section: &Section<'_>, v: f64) -> Vector {
        let (half, run, fraction, side) = self.strand(v);
        let [y, z] = section.at(half, run, fraction).p;
        self.put([section.x(), if side == Side::Port { -y } else { y }, z])
    }

    fn put(&self, p: Vector) -> Vector {
        self.placed.map_or(p, |placed| placed.to_first(p))
    }

    fn turn(&self, v: Vector) -> Vector {
        self.placed.map_or(v, |placed| placed.way_to_first(v))
    }

    /// The place with its derivatives; `None` where the loft has no section.
    pub(super) fn jet(&self, [s, v]: At) -> Option<Jet> {
        Some(self.row(s)?.jet(v))
    }

    /// All places of one station; `None` where the loft has no section.
    pub(super) fn row(&self, s: f64) -> Option<Row<'_, 'a>> {
        let s = s.clamp(0.0, 1.0);
        let inside = s.clamp(HAIR, 1.0 - HAIR);
        let (x, slope) = self.station(inside);
        let end = if s == inside { None } else { Some(self.section(s)?) };
        Some(Row { skin: self, slope, section: self.loft.section(x)?, end })
    }

    /// The place in the loft's own parameters.
    pub(super) fn spot(&self, [s, v]: At) -> Spot {
        let (half, run, fraction, side) = self.strand(v);
        Spot { x: self.station(s.clamp(0.0, 1.0)).0, half, run, fraction, side }
    }
}

/// The skin at one station.
pub(super) struct Row<'s, 'a> {
    skin: &'s Skin<'a>,
    /// Derivative of the station by the parameter.
    slope: f64,
    /// Where derivatives are read.
    section: Section<'a>,
    /// Beside an end, where places are read.
    end: Option<Section<'a>>,
}

impl Row<'_, '_> {
    pub(super) fn jet(&self, v: f64) -> Jet {
        let (half, run, fraction, side) = self.skin.strand(v);
        let place = self.section.at(half, run, fraction);
        let ([y, z], [fy, fz], [xy, xz]) = (place.p, place.by_fraction, place.by_x);
        let mirror = if side == Side::Port { -1.0 } else { 1.0 };
        let p = match &self.end {
            Some(end) => self.skin.on(end, v),
            None => self.skin.put([self.section.x(), mirror * y, z]),
        };
        let by_along = times([1.0, mirror * xy, xz], self.slope);
        Jet { p, by: [self.skin.turn(by_along), self.skin.turn([0.0, fy, mirror * fz])] }
    }
}
