//! The whole outside of a form as one surface to drape on: both halves joined, less the coat, with its ends.
//!
//! ```text
//!   first parameter, along                     second parameter, round: one for every run between two marks
//!   0     1            2          3
//!   |face | stretch    | stretch  |   overrun        crown 0 -> starboard -> keel R -> port -> crown 2R
//!   o-----+------------+----------+- - - -
//! ```
//!
//! The loft is read once, at the points of polynomial patches that follow it within [`Outside::off`]; from then on only the
//! patches are read. Past an open end the surface runs on straight along its end tangents, at a rounded edge that is along the
//! face. A closed end is a point, or a flat face drawn to its middle; there the parameters are those of a pole.

use super::bands::{Band, Bands};
use super::build::built;
use super::lines::Lines;
use super::net::Start;
use super::patch::Patch;
use super::portion::Portion;
use super::shear::share_inside;
use super::stretch::Body;
use super::surface::{At, Surface};
use crate::release::Parting;
use form::shaft::RingTrim;
use form::space::{Vector, add, cross, length, times, unit};
use geometry::loft::Loft;
use std::sync::Arc;

/// What happens at an end of the form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// The shell is open there; cloth hangs over by this trim allowance, mm.
    Open(f64),
    /// The shell is closed over the end. An end that runs into a point always is.
    Closed,
}

/// A line from front to rear along which the cloth's two edges meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seam {
    /// Second parameter of the line.
    pub round: f64,
    /// How far either edge runs over the line, mm.
    pub overlap: f64,
}

/// What of an outside is to be covered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// The front end.
    pub front: End,
    /// The rear end.
    pub rear: End,
    /// What lies ahead of this plane is cut off; the front's allowance then counts from it.
    pub trim: Option<RingTrim>,
}

impl Default for Cover {
    fn default() -> Self {
        Self { front: End::Open(10.0), rear: End::Open(10.0), trim: None }
    }
}

/// Why an outside cannot be draped.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OutsideError {
    /// Nothing is left of the form once its coat is off.
    #[error("nothing is left of the form to drape on once {0} mm are taken off; make the coat thinner")]
    Nothing(f64),
}

/// The outside of a form.
#[derive(Clone, Debug)]
pub struct Outside {
    pub(super) patches: Arc<Vec<Patch>>,
    pub(super) first_lines: Arc<Lines>,
    pub(super) second_lines: Arc<Lines>,
    /// Runs of one half, as a number.
    pub(super) runs: f64,
    /// Clock angle of every edge between runs, in half turns from the crown to the keel.
    pub(super) angles: Vec<f64>,
    /// Values of the first parameter at which the surface has a crease across.
    pub(super) creases: Vec<f64>,
    /// Where the polar caps of closed ends begin; beyond the ends where there is none.
    pub(super) caps: [f64; 2],
    pub(super) cover: Cover,
    pub(super) off: f64,
    pub(super) seam: Option<Seam>,
    pub(super) portion: Option<Portion>,
    /// How far past its cut line a net goes on at first, mm.
    pub(super) overrun: f64,
    /// Longest yarn to one side where it closes on itself, mm.
    pub(super) longest: f64,
}

impl Outside {
    /// The outside of a loft less `taken_off` mm along its normal (see `form::PlugSurface`; 0 for the finished skin).
    ///
    /// # Errors
    /// Nothing is left of the form.
    pub fn new(loft: &Loft, taken_off: f64, cover: &Cover) -> Result<Self, OutsideError> {
        let nothing = OutsideError::Nothing(taken_off);
        let range = blunt_range(loft, taken_off).ok_or(nothing)?;
        let body = Body::new(loft, taken_off, range).ok_or(nothing)?;
        let closed = [cover.front, cover.rear].map(|end| end == End::Closed);
        let bands = Bands::new(&body, closed).ok_or(nothing)?;
        built(&bands, cover).ok_or(nothing)
    }

    /// Greatest distance, mm, by which the patches miss the surface at the places where both were compared: two in every patch.
    /// Creases that lie across, once the coat is off, and what a coat thicker than the local radius folds, are not compared.
    pub fn off(&self) -> f64 {
        self.off
    }

    /// The same outside with the seam along which the cloth ends on both sides; without one the net winds on.
    #[must_use]
    pub fn with_seam(mut self, seam: Option<Seam>) -> Self {
        self.seam = seam;
        self
    }

    /// The line half a turn from a start, where the edges of cloth laid down there would meet; `None` for a start at a closed end,
    /// round which cloth has no edges to meet, and for a half that does not go round.
    pub fn seam_opposite(&self, at: At, overlap: f64) -> Option<Seam> {
        if self.portion.is_some_and(|half| !matches!(half.parting, Parting::Across(_))) {
            return None;
        }
        let beside_pole = self.in_cap(at[0]).is_some_and(|end| (at[0] - self.ends()[end]).abs() < 1e-3);
        (!beside_pole).then(|| Seam { round: self.second_of(self.angle(at[1]) + 1.0), overlap })
    }

    /// A start with the warp at an angle from the way forward, positive towards starboard on the crown, degrees.
    pub fn start(&self, at: At, angle_deg: f64) -> Start {
        let jet = self.jet(self.sheet(at), at);
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let forward = times(unit(jet.by[0]), -1.0);
        Start { at, warp: add(times(forward, cos), times(cross(forward, jet.normal()), sin)) }
    }

    /// The place at a station and a share of a turn from the crown to starboard, found along and across in turn, within 1e-6 mm of
    /// the station; `None` where the part does not reach the station.
    pub fn at_station(&self, x: f64, turn: f64) -> Option<At> {
        let v = self.second_of(2.0 * turn);
        let [low, high] = self.ends();
        let miss = |s: f64| self.place([s, v])[0] - x;
        let step = |k: u32| low + (high - low) * f64::from(k) / 200.0;
        let k = (0..200).find(|k| miss(step(*k)) <= CLOSE && miss(step(k + 1)) >= -CLOSE)?;
        let (mut a, mut b) = (step(k), step(k + 1));
        while b - a > 1e-9 {
            let middle = 0.5 * (a + b);
            if miss(middle) <= 0.0 { a = middle } else { b = middle }
        }
        Some([0.5 * (a + b), v])
    }

    /// The share of a turn from the crown to starboard at which a place lies, from 0 to 1.
    pub fn turn(&self, at: At) -> f64 {
        (0.5 * self.angle(at[1])).rem_euclid(1.0)
    }

    /// The seam.
    pub fn seam(&self) -> Option<Seam> {
        self.seam
    }

    /// First and last value of the first parameter.
    pub fn ends(&self) -> [f64; 2] {
        [0.0, self.first_lines.last()]
    }

    /// Value of the second parameter at the keel; once round is twice that.
    pub fn keel(&self) -> f64 {
        self.runs
    }

    /// Area of the part that is to be covered, mm², within about a thousandth: what is trimmed off counts not, nor do allowances; of a half
    /// its own.
    pub fn part_area(&self) -> f64 {
        let cut = self.portion.is_some() || self.cover.trim.is_some();
        let mut sum = 0.0;
        for s in self.first_lines.windows() {
            for v in self.second_lines.windows() {
                let step = [s[1] - s[0], v[1] - v[0]].map(|d| d / FINE as f64);
                for port in [false, true] {
                    let at = |i: f64, j: f64| {
                        let round = v[0] + step[1] * j;
                        [s[0] + step[0] * i, if port { 2.0 * self.runs - round } else { round }]
                    };
                    let inside = if cut { self.shares_inside(&at) } else { [[1.0; FINE]; FINE] };
                    for (i, row) in inside.iter().enumerate() {
                        for (j, share) in row.iter().enumerate().filter(|(_, share)| **share > 0.0) {
                            let at = at(i as f64 + 0.5, j as f64 + 0.5);
                            let jet = self.jet(self.sheet(at), at);
                            sum += share * length(cross(jet.by[0], jet.by[1])) * step[0] * step[1];
                        }
                    }
                }
            }
        }
        sum
    }

    /// What share of each cell of a grid lies on the part, by the margins at its corners.
    fn shares_inside(&self, at: &impl Fn(f64, f64) -> At) -> [[f64; FINE]; FINE] {
        let margin = |i: usize, j: usize| {
            let at = at(i as f64, j as f64);
            self.end_margin(at, &self.jet(self.sheet(at), at)).part.clamp(-FAR, FAR)
        };
        let margins: [[f64; FINE + 1]; FINE + 1] = std::array::from_fn(|i| std::array::from_fn(|j| margin(i, j)));
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                share_inside([margins[i][j], margins[i + 1][j], margins[i + 1][j + 1], margins[i][j + 1]])
            })
        })
    }
}

/// Cells along a side of a patch by which areas are summed up.
const FINE: usize = 6;
/// Margins are held to this, mm: beyond it they only tell a side.
const FAR: f64 = 1e6;

/// A station this near to an end is the end's, mm.
const CLOSE: f64 = 1e-6;

/// Where an end is a sharp point and something is taken off, the body begins where it is thick enough for that.
pub(super) fn blunt_range(loft: &Loft, taken_off: f64) -> Option<(f64, f64)> {
    let (low, high) = loft.x_range();
    let lines = loft.lines();
    let sharp = |x: f64, front: bool| {
        let size = |x: f64| lines.breadth.at(x).value.min(0.5 * (lines.crown.at(x).value - lines.keel.at(x).value));
        let upright = lines.crown.is_upright(front) && lines.breadth.is_upright(front);
        let enough = if upright { 0.0 } else { 3.0 * taken_off.abs() };
        (size(x).abs() < enough).then(|| {
            let toward = if front { high } else { low };
            let at = |k: u32| x + (toward - x) * f64::from(k) / 200.0;
            (1..200).map(at).find(|x| size(*x) >= enough)
        })
    };
    let from = sharp(low, true).unwrap_or(Some(low))?;
    let to = sharp(high, false).unwrap_or(Some(high))?;
    (to > from).then_some((from, to))
}

/// Whether a band is part of the body.
pub(super) fn is_body(band: Band) -> bool {
    matches!(band, Band::Body(_))
}

impl Outside {
    /// Derivative of the place by the second parameter, mm.
    pub(crate) fn by_round(&self, at: At) -> Vector {
        self.jet(self.sheet(at), at).by[1]
    }

    /// The place at these parameters, mm.
    pub fn place(&self, at: At) -> Vector {
        self.jet(self.sheet(at), at).p
    }
}
