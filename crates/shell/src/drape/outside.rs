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
use super::net::Start;
use super::patch::{Patch, Read};
use super::stretch::Body;
use super::surface::{At, Jet, Margin, Surface};
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

/// How far past its cut line the net goes on, mm.
const OVERRUN: f64 = 40.0;

/// The outside of a form.
#[derive(Clone, Debug)]
pub struct Outside {
    pub(super) patches: Arc<Vec<Patch>>,
    pub(super) first_lines: Vec<f64>,
    pub(super) second_lines: Vec<f64>,
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
    /// round which cloth has no edges to meet.
    pub fn seam_opposite(&self, at: At, overlap: f64) -> Option<Seam> {
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
        let k = (0..200).find(|k| miss(step(*k)) <= 0.0 && miss(step(k + 1)) >= 0.0)?;
        let (mut a, mut b) = (step(k), step(k + 1));
        while b - a > 1e-9 {
            let middle = 0.5 * (a + b);
            if miss(middle) <= 0.0 { a = middle } else { b = middle }
        }
        Some([0.5 * (a + b), v])
    }

    /// The seam.
    pub fn seam(&self) -> Option<Seam> {
        self.seam
    }

    /// First and last value of the first parameter.
    pub fn ends(&self) -> [f64; 2] {
        [0.0, self.first_lines[self.first_lines.len() - 1]]
    }

    /// Value of the second parameter at the keel; once round is twice that.
    pub fn keel(&self) -> f64 {
        self.runs
    }

    /// Area of the part that is to be covered, mm², within about a thousandth: what is trimmed off counts not, nor do allowances.
    pub fn part_area(&self) -> f64 {
        const FINE: usize = 6;
        let mut sum = 0.0;
        for s in self.first_lines.windows(2) {
            for v in self.second_lines.windows(2) {
                let step = [s[1] - s[0], v[1] - v[0]].map(|d| d / FINE as f64);
                for k in 0..FINE * FINE {
                    let at = [s[0] + step[0] * ((k / FINE) as f64 + 0.5), v[0] + step[1] * ((k % FINE) as f64 + 0.5)];
                    for at in [at, [at[0], 2.0 * self.runs - at[1]]] {
                        let jet = self.jet(self.sheet(at), at);
                        let inside = self.end_margin(at, &jet).part <= 0.0;
                        sum += if inside { length(cross(jet.by[0], jet.by[1])) * step[0] * step[1] } else { 0.0 };
                    }
                }
            }
        }
        sum
    }

    /// Place and derivatives read from the patches, with straight continuation beyond `first` and `second`, the limits of a sheet.
    fn read(&self, at: At, first: [f64; 2], second: [f64; 2]) -> Jet {
        let held = [at[0].clamp(first[0], first[1]), at[1].clamp(second[0], second[1])];
        let over = [at[0] - held[0], at[1] - held[1]];
        let port = second[0] >= self.runs;
        let v = if port { 2.0 * self.runs - held[1] } else { held[1] };
        let (i, s) = cell_of(&self.first_lines, held[0]);
        let (j, t) = cell_of(&self.second_lines, v);
        let local = [2.0 * s.0 - 1.0, 2.0 * t.0 - 1.0];
        let scale = [2.0 / s.1, 2.0 / t.1];
        let patch = &self.patches[i * (self.second_lines.len() - 1) + j];
        let Read { mut p, by } = patch.read(local);
        let mut by = [times(by[0], scale[0]), times(by[1], scale[1])];
        if port {
            p[1] = -p[1];
            by = [[by[0][0], -by[0][1], by[0][2]], [-by[1][0], by[1][1], -by[1][2]]];
        }
        if over == [0.0, 0.0] {
            return Jet { p, by };
        }
        let mut mixed = times(patch.mixed(local), scale[0] * scale[1]);
        if port {
            mixed = [-mixed[0], mixed[1], -mixed[2]];
        }
        let p = add(p, add(add(times(by[0], over[0]), times(by[1], over[1])), times(mixed, over[0] * over[1])));
        Jet { p, by: [add(by[0], times(mixed, over[1])), add(by[1], times(mixed, over[0]))] }
    }

    /// Limits of a sheet; of one that runs on past an open end, those of the surface.
    fn limits(&self, sheet: usize) -> [[f64; 2]; 2] {
        let (across, round) = ((sheet - 2) / self.around(), (sheet - 2) % self.around());
        let [low, high] = self.ends();
        let from = if across == 0 { low } else { self.creases[across - 1] };
        let to = self.creases.get(across).copied().unwrap_or(high);
        [[from, to], [round as f64, round as f64 + 1.0]]
    }

    fn around(&self) -> usize {
        2 * self.runs as usize
    }

    /// The second parameter once round, and how often it has gone round.
    fn wound(&self, v: f64) -> (f64, f64) {
        let turns = (v / (2.0 * self.runs)).floor();
        ((v - turns * 2.0 * self.runs).clamp(0.0, 2.0 * self.runs), turns)
    }

    fn in_cap(&self, s: f64) -> Option<usize> {
        if s < self.caps[0] {
            Some(0)
        } else if s > self.caps[1] {
            Some(1)
        } else {
            None
        }
    }

    /// Clock angle of a second parameter, in half turns.
    fn angle(&self, v: f64) -> f64 {
        let (v, turns) = self.wound(v);
        let port = v > self.runs;
        let v = if port { 2.0 * self.runs - v } else { v };
        let k = (v as usize).min(self.angles.len() - 2);
        let a = self.angles[k] + (v - k as f64) * (self.angles[k + 1] - self.angles[k]);
        2.0 * turns + if port { 2.0 - a } else { a }
    }

    fn second_of(&self, angle: f64) -> f64 {
        let turns = (0.5 * angle).floor();
        let a = angle - 2.0 * turns;
        let (port, a) = if a > 1.0 { (true, 2.0 - a) } else { (false, a) };
        let k = (self.angles.partition_point(|x| *x <= a).max(1) - 1).min(self.angles.len() - 2);
        let v = k as f64 + (a - self.angles[k]) / (self.angles[k + 1] - self.angles[k]);
        turns * 2.0 * self.runs + if port { 2.0 * self.runs - v } else { v }
    }

    fn end_margin(&self, [s, _]: At, jet: &Jet) -> Margin {
        let [low, high] = self.ends();
        let speed = length(jet.by[0]);
        let mut out = Margin { part: f64::NEG_INFINITY, cloth: f64::NEG_INFINITY };
        let mut beyond = |by: f64, allowance: f64| {
            out = Margin { part: out.part.max(by), cloth: out.cloth.max(by - allowance) };
        };
        if let End::Open(allowance) = self.cover.front {
            let trimmed = self.cover.trim.map_or(f64::NEG_INFINITY, |plane| plane.ahead(jet.p));
            if self.caps[0] < low {
                beyond(((low - s) * speed).max(trimmed), allowance);
            } else {
                beyond(trimmed, allowance);
            }
        }
        match self.cover.rear {
            End::Open(allowance) if self.caps[1] > high => beyond((s - high) * speed, allowance),
            End::Open(_) | End::Closed => (),
        }
        out
    }
}

impl Surface for Outside {
    fn sheet(&self, [s, v]: At) -> usize {
        self.in_cap(s).unwrap_or_else(|| {
            let round = (self.wound(v).0 as usize).min(self.around() - 1);
            2 + self.creases.partition_point(|c| *c <= s) * self.around() + round
        })
    }

    fn jet(&self, sheet: usize, [s, v]: At) -> Jet {
        let (wound, turns) = self.wound(v);
        if sheet < 2 {
            let round = (wound as usize).min(self.around() - 1) as f64;
            return self.read([s, wound], self.ends(), [round, round + 1.0]);
        }
        let [first, second] = self.limits(sheet);
        let v = nearest_turn(v - turns * 2.0 * self.runs, second, 2.0 * self.runs);
        self.read([s, v], first, second)
    }

    fn moved(&self, at: At, by: [f64; 2]) -> At {
        let Some(end) = self.in_cap(at[0]) else { return [at[0] + by[0], at[1] + by[1]] };
        let pole = self.ends()[end];
        let (r, inward) = ((at[0] - pole).abs(), if end == 0 { 1.0 } else { -1.0 });
        let angle = self.angle(at[1]);
        let turned = (std::f64::consts::PI * (self.angle(at[1] + by[1]) - angle)).clamp(-1e3, 1e3);
        let (out, across) = (r + inward * by[0], r * turned);
        let swung = across.atan2(out) / std::f64::consts::PI;
        [pole + inward * out.hypot(across), self.second_of(angle + swung)]
    }

    fn leaves(&self, sheet: usize, from: At, to: At) -> Option<(f64, usize)> {
        if sheet < 2 {
            return None;
        }
        let [first, second] = self.limits(sheet);
        let period = 2.0 * self.runs;
        let at = nearest_turn(from[1], second, period);
        let there = at + to[1] - from[1];
        let (across, round) = ((sheet - 2) / self.around(), (sheet - 2) % self.around());
        let share = |a: f64, b: f64, edge: f64| ((edge - a) / (b - a)).clamp(0.0, 1.0);
        let (low, high) = (first[0].max(self.caps[0]), first[1].min(self.caps[1]));
        let of = |across: usize, round: usize| 2 + across * self.around() + round;
        let mut best: Option<(f64, usize)> = None;
        let mut at_edge = |found: f64, sheet: usize| {
            if best.is_none_or(|b| found < b.0) {
                best = Some((found, sheet));
            }
        };
        let slack = 1e-12 * (1.0 + period);
        if to[0] < low - slack && (self.caps[0] >= first[0] || across > 0) {
            let next = if self.caps[0] >= first[0] { 0 } else { of(across - 1, round) };
            at_edge(share(from[0], to[0], low), next);
        }
        if to[0] > high + slack && (self.caps[1] <= first[1] || across < self.creases.len()) {
            let next = if self.caps[1] <= first[1] { 1 } else { of(across + 1, round) };
            at_edge(share(from[0], to[0], high), next);
        }
        if there < second[0] - slack {
            at_edge(share(at, there, second[0]), of(across, (round + self.around() - 1) % self.around()));
        }
        if there > second[1] + slack {
            at_edge(share(at, there, second[1]), of(across, (round + 1) % self.around()));
        }
        best
    }

    fn margin(&self, at: At, jet: &Jet) -> Margin {
        let mut out = self.end_margin(at, jet);
        if let Some(Seam { round, overlap }) = self.seam {
            let beyond = ((at[1] - round).max(round - 2.0 * self.runs - at[1])) * length(jet.by[1]);
            out = Margin { part: out.part.max(beyond), cloth: out.cloth.max(beyond - overlap) };
        }
        out
    }

    fn overrun(&self) -> f64 {
        OVERRUN
    }
}

/// A second parameter moved by whole turns to where it is nearest to a sheet.
fn nearest_turn(v: f64, [from, to]: [f64; 2], period: f64) -> f64 {
    v - period * ((v - 0.5 * (from + to)) / period).round()
}

/// The interval that holds a value, the share of it, and its length.
fn cell_of(lines: &[f64], at: f64) -> (usize, (f64, f64)) {
    let k = lines.partition_point(|line| *line <= at).clamp(1, lines.len() - 1) - 1;
    let long = lines[k + 1] - lines[k];
    (k, ((at - lines[k]) / long, long))
}

/// Where an end is a sharp point and something is taken off, the body begins where it is thick enough for that.
fn blunt_range(loft: &Loft, taken_off: f64) -> Option<(f64, f64)> {
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
