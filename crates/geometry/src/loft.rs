//! The loft: unit shapes carried along the body by the master lines.
//!
//! At a place of the half section (a run between two marks, and a fraction of it) the unit coordinates (u, v) of all
//! control shapes are interpolated along x by a cubic spline with not-a-knot ends; at a station the half section is then
//! y = breadth u, z = breadth height + v (crown - breadth height) above and v (breadth height - keel) below. Ahead of the
//! first and behind the last control shape the unit shape stays. At a control shape's station the section is that shape,
//! exactly. Where the cubic would leave the range of its two neighbours by more than [`OVERSHOOT`] mm, the bay is
//! limited: the slopes at its two ends are drawn towards the range in which a cubic is monotone (Fritsch & Carlson, SIAM J.
//! Numer. Anal. 17, 1980) by as much as brings the overshoot down to the allowance. That leaves the body smooth in slope.

use crate::control::{ControlShape, Half};
use crate::correspondence::KnuckleOutOfOrder;
use crate::line::Line;
use crate::section::{Section, SurfacePlace};
use crate::unit::{HalfLoft, Strand, UnitForm, UnitPlace};
use std::sync::Arc;
use thiserror::Error;

/// How far, in mm, the unit shape may leave the range of its two neighbours before a bay is limited.
pub const OVERSHOOT: f64 = 0.05;

/// The four master lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Lines {
    /// Upper edge of the centre plane outline.
    pub crown: Line,
    /// Lower edge.
    pub keel: Line,
    /// Greatest half-breadth.
    pub breadth: Line,
    /// Its height.
    pub breadth_height: Line,
}

impl Lines {
    fn all(&self) -> [&Line; 4] {
        [&self.crown, &self.keel, &self.breadth, &self.breadth_height]
    }
}

/// How the unit shape runs between control shapes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lengthwise {
    /// Curvature-continuous.
    #[default]
    Fair,
    /// Straight.
    Straight,
}

/// Most steps of holding back; a bay wholly held back cannot overshoot, so far fewer are needed.
const MOST_LIMITS: usize = 200;

/// Why there is no loft.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum LoftError {
    /// The master lines have no stretch of x in common.
    #[error("the four master lines have no stretch in common")]
    NoLength,
    /// There is no control shape.
    #[error("the form has no control section yet")]
    NoControl,
}

/// A bay between control shapes that had to be limited.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitedBay {
    /// Which half.
    pub half: Half,
    /// Stations of the bay, mm.
    pub bay: (f64, f64),
    /// By how much the cubic would have left the range of its neighbours, mm.
    pub excess: f64,
}

/// A lofted half body.
#[derive(Clone, Debug)]
pub struct Loft {
    lines: Lines,
    range: (f64, f64),
    unit: Arc<UnitForm>,
    limited: Vec<LimitedBay>,
}

impl Loft {
    /// Lofts the control shapes (by rising station) along the master lines.
    ///
    /// # Errors
    /// No control shape has a shape at all, or the lines have no stretch of x in common.
    pub fn new(lines: Lines, controls: &[ControlShape], lengthwise: Lengthwise) -> Result<Self, LoftError> {
        Self::along(lines, UnitForm::new(controls, lengthwise))
    }

    /// Carries a unit form along the master lines.
    ///
    /// # Errors
    /// As [`Loft::new`].
    pub fn along(lines: Lines, unit: Arc<UnitForm>) -> Result<Self, LoftError> {
        let low = lines.all().iter().map(|l| l.range().0).fold(f64::NEG_INFINITY, f64::max);
        let high = lines.all().iter().map(|l| l.range().1).fold(f64::INFINITY, f64::min);
        if high - low <= 1e-9 {
            return Err(LoftError::NoLength);
        }
        if unit.is_empty() {
            return Err(LoftError::NoControl);
        }
        let mut loft = Self { lines, range: (low, high), unit, limited: Vec::new() };
        loft.limit();
        Ok(loft)
    }

    /// First and last end, mm aft of the datum.
    pub fn x_range(&self) -> (f64, f64) {
        self.range
    }

    /// The master lines.
    pub fn lines(&self) -> &Lines {
        &self.lines
    }

    /// Bays between control shapes that were limited.
    pub fn limited_bays(&self) -> impl Iterator<Item = &LimitedBay> {
        self.limited.iter()
    }

    /// Knuckles that could not be used as marks.
    pub fn knuckles_out_of_order(&self) -> impl Iterator<Item = &KnuckleOutOfOrder> {
        self.unit.knuckles_out_of_order()
    }

    /// The unit form that is carried along, with the bays limited that had to be.
    pub fn unit(&self) -> &Arc<UnitForm> {
        &self.unit
    }

    /// The section at a station; `None` outside the form (beyond an end by more than a millionth of a millimetre).
    pub fn section(&self, x: f64) -> Option<Section<'_>> {
        let slack = 1e-6;
        (x >= self.range.0 - slack && x <= self.range.1 + slack)
            .then(|| Section::new(self, x.clamp(self.range.0, self.range.1)))
    }

    pub(crate) fn halves(&self) -> &[HalfLoft; 2] {
        &self.unit.halves
    }

    /// x at which the body is only piecewise smooth: ends, points of the lines, control stations; by rising x.
    pub fn x_breaks(&self) -> Vec<f64> {
        let stations = self.halves().iter().flat_map(|h| h.stations.iter().copied());
        self.breaks_with(stations)
    }

    /// x at which the lines are only piecewise smooth, and both ends.
    pub(crate) fn line_breaks(&self) -> Vec<f64> {
        self.breaks_with(std::iter::empty())
    }

    fn breaks_with(&self, others: impl Iterator<Item = f64>) -> Vec<f64> {
        let lines = self.lines.all();
        let mut all: Vec<f64> = lines.iter().flat_map(|l| l.breaks()).chain(others).collect();
        all.retain(|x| *x > self.range.0 && *x < self.range.1);
        all.extend([self.range.0, self.range.1]);
        all.sort_by(f64::total_cmp);
        let length = self.range.1 - self.range.0;
        all.dedup_by(|b, a| *b - *a < 1e-9 * length);
        all
    }

    /// Finds the bays that overshoot, holds each back by as little as brings it to the allowance, and looks again until none is
    /// left, as a bay's slopes are its neighbours' too. The allowance is met from both sides continuously: a bay that
    /// only just exceeds it is hardly changed.
    fn limit(&mut self) {
        let mut limited: Option<UnitForm> = None;
        for k in 0..2 {
            if self.halves()[k].lengthwise == Lengthwise::Straight {
                continue;
            }
            let half = &self.halves()[k];
            let scales: Vec<Scale> = (1..half.stations.len()).map(|j| self.box_scale(half, j - 1)).collect();
            let mut excesses: Vec<f64> =
                scales.iter().enumerate().map(|(j, scale)| excess(half, j, scale, 0.0)).collect();
            for _ in 0..MOST_LIMITS {
                let worst = excesses.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
                let Some((bay, worst)) = worst.filter(|(_, worst)| *worst > OVERSHOOT * (1.0 + 1e-3)) else { break };
                let half = &mut limited.get_or_insert_with(|| self.unit.to_limit()).halves[k];
                half.hold(bay, allowed_share(half, bay, &scales[bay]));
                // A bay's slopes are its neighbours' too, and nobody else's.
                for j in bay.saturating_sub(1)..(bay + 2).min(scales.len()) {
                    excesses[j] = excess(half, j, &scales[j], 0.0);
                }
                let bay = (half.stations[bay], half.stations[bay + 1]);
                if !self.limited.iter().any(|l| l.half == half.half && l.bay == bay) {
                    self.limited.push(LimitedBay { half: half.half, bay, excess: worst });
                }
            }
        }
        if let Some(unit) = limited {
            self.unit = Arc::new(unit);
        }
    }

    /// Breadth and height of the half box at the quarters of bay `j`.
    fn box_scale(&self, half: &HalfLoft, j: usize) -> Scale {
        let (from, to) = (half.stations[j], half.stations[j + 1]);
        [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| {
            let frame = self.frame(from + (to - from) * share);
            [frame.breadth.0.abs(), frame.height(half.half).0.abs()]
        })
    }

    /// Breadth, breadth height and the heights of the half boxes at a station, each with its slope in x; beyond the ends
    /// along the end tangents.
    pub(crate) fn frame(&self, x: f64) -> Frame {
        let [crown, keel, breadth, middle] = self.lines.all().map(|l| l.at(x));
        Frame {
            breadth: (breadth.value, breadth.slope),
            middle: (middle.value, middle.slope),
            above: (crown.value - middle.value, crown.slope - middle.slope),
            below: (middle.value - keel.value, middle.slope - keel.slope),
        }
    }
}

/// Breadth and height of the half box at the quarters of a bay, mm.
type Scale = [[f64; 2]; 5];

/// How far a node leaves the range of the control shapes at the ends of bay `j`, mm, held back by the share `by` more.
fn excess(half: &HalfLoft, j: usize, scale: &Scale, by: f64) -> f64 {
    let h = half.stations[j + 1] - half.stations[j];
    half.grid.iter().map(|n| n.strand.overshoot(j, h, scale, by)).fold(0.0, f64::max)
}

/// The share by which a bay is to be held back so that it just keeps the allowance.
fn allowed_share(half: &HalfLoft, j: usize, scale: &Scale) -> f64 {
    let h = half.stations[j + 1] - half.stations[j];
    // Holding back draws slopes towards where nothing overshoots, so that the strands that do not yet will hardly begin to.
    let beyond: Vec<&Strand> =
        half.grid.iter().map(|n| &n.strand).filter(|s| s.overshoot(j, h, scale, 0.0) > OVERSHOOT).collect();
    let share = least_share(|by| beyond.iter().any(|s| s.overshoot(j, h, scale, by) > OVERSHOOT));
    if excess(half, j, scale, share) > OVERSHOOT {
        return least_share(|by| excess(half, j, scale, by) > OVERSHOOT);
    }
    share
}

/// The least share, within 2^-24, at which it is no longer too much.
fn least_share(too_much: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..24 {
        let by = 0.5 * (low + high);
        if too_much(by) { low = by } else { high = by }
    }
    high
}

/// The half boxes at a station: (value, slope in x) each.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    pub(crate) breadth: (f64, f64),
    pub(crate) middle: (f64, f64),
    pub(crate) above: (f64, f64),
    pub(crate) below: (f64, f64),
}

impl Frame {
    pub(crate) fn height(&self, half: Half) -> (f64, f64) {
        if half == Half::Upper { self.above } else { self.below }
    }

    /// A place of the unit form carried to millimetres.
    pub(crate) fn carry(&self, half: Half, unit: &UnitPlace) -> SurfacePlace {
        let ((b, bx), (m, mx), (h, hx)) = (self.breadth, self.middle, self.height(half));
        let [u, v] = unit.uv;
        SurfacePlace {
            p: [b * u, m + h * v],
            by_fraction: [b * unit.by_fraction[0], h * unit.by_fraction[1]],
            by_x: [bx * u + b * unit.by_x[0], mx + hx * v + h * unit.by_x[1]],
        }
    }
}
