//! The loft: unit shapes carried along the body by the master lines.
//!
//! At a place of the half section (a run between two marks, and a fraction of it) the unit coordinates (u, v) of all
//! control shapes are interpolated along x by a cubic spline with not-a-knot ends; at a station the half section is then
//! y = breadth u, z = breadth height + v (crown - breadth height) above and v (breadth height - keel) below. Ahead of the
//! first and behind the last control shape the unit shape stays. At a control shape's station the section is that shape,
//! exactly. Where the cubic would leave the range of its two neighbours by more than [`OVERSHOOT`] mm, the bay is
//! limited: the slopes at its two ends are held to the range in which a cubic is monotone (Fritsch & Carlson, SIAM J.
//! Numer. Anal. 17, 1980), which leaves it smooth in slope.

use crate::control::{ControlShape, Half};
use crate::correspondence::{KnuckleOutOfOrder, Marked, Stretch, breadth_knuckle, mark};
use crate::line::Line;
use crate::quadrature::gauss5;
use crate::section::Section;
use crate::spline::{EndRule, slopes_open};
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
    halves: [HalfLoft; 2],
    breadth_knuckle: Option<u32>,
}

/// One half of the loft.
#[derive(Clone, Debug)]
pub(crate) struct HalfLoft {
    pub(crate) half: Half,
    stations: Vec<f64>,
    runs: Vec<Vec<Stretch>>,
    knuckles: Vec<u32>,
    lengthwise: Lengthwise,
    limited: Vec<LimitedBay>,
    limited_bay: Vec<bool>,
    out_of_order: Vec<KnuckleOutOfOrder>,
    /// Quadrature nodes of all runs.
    pub(crate) grid: Vec<Node>,
}

/// A quadrature node of a run.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// Share of the run's fraction that the node stands for.
    pub(crate) weight: f64,
    pub(crate) strand: Strand,
}

/// Everything the loft needs at one fixed place of the half section: (u, v, du/df, dv/df) of every control shape, and
/// their slopes along x.
#[derive(Clone, Debug, Default)]
pub(crate) struct Strand {
    values: Vec<[f64; 4]>,
    slopes: Vec<[f64; 4]>,
}

/// Unit coordinates at one place and station.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct UnitPlace {
    pub(crate) uv: [f64; 2],
    /// By the fraction of the run.
    pub(crate) by_fraction: [f64; 2],
    /// By x.
    pub(crate) by_x: [f64; 2],
}

/// The bay of control shapes at a station with the values of the four Hermite polynomials there, and their slopes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bay {
    index: usize,
    next: usize,
    basis: [f64; 4],
    slope: [f64; 4],
}

impl Loft {
    /// Lofts the control shapes (by rising station) along the master lines.
    ///
    /// # Errors
    /// No control shape has a shape at all, or the lines have no stretch of x in common.
    pub fn new(lines: Lines, controls: &[ControlShape], lengthwise: Lengthwise) -> Result<Self, LoftError> {
        let low = lines.all().iter().map(|l| l.range().0).fold(f64::NEG_INFINITY, f64::max);
        let high = lines.all().iter().map(|l| l.range().1).fold(f64::INFINITY, f64::min);
        if !(high - low > 1e-9) {
            return Err(LoftError::NoLength);
        }
        let halves = [Half::Upper, Half::Lower].map(|h| HalfLoft::new(mark(controls, h), h, lengthwise));
        if halves.iter().all(|h| h.runs.is_empty()) {
            return Err(LoftError::NoControl);
        }
        let mut loft = Self { lines, range: (low, high), halves, breadth_knuckle: breadth_knuckle(controls) };
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
        self.halves.iter().flat_map(|h| &h.limited)
    }

    /// Knuckles that could not be used as marks.
    pub fn knuckles_out_of_order(&self) -> impl Iterator<Item = &KnuckleOutOfOrder> {
        self.halves.iter().flat_map(|h| &h.out_of_order)
    }

    /// The knuckle that runs through the breadth mark of every section that has it, if there is one.
    pub(crate) fn breadth_knuckle(&self) -> Option<u32> {
        self.breadth_knuckle
    }

    /// The section at a station; `None` outside the form (beyond an end by more than a millionth of a millimetre).
    pub fn section(&self, x: f64) -> Option<Section<'_>> {
        let slack = 1e-6;
        (x >= self.range.0 - slack && x <= self.range.1 + slack)
            .then(|| Section::new(self, x.clamp(self.range.0, self.range.1)))
    }

    pub(crate) fn halves(&self) -> &[HalfLoft; 2] {
        &self.halves
    }

    /// x at which the body is only piecewise smooth: ends, points of the lines, control stations.
    pub(crate) fn x_breaks(&self) -> Vec<f64> {
        let lines = self.lines.all();
        let stations = self.halves.iter().flat_map(|h| h.stations.iter().copied());
        let mut all: Vec<f64> = lines.iter().flat_map(|l| l.breaks()).chain(stations).collect();
        all.retain(|x| *x > self.range.0 && *x < self.range.1);
        all.extend([self.range.0, self.range.1]);
        all.sort_by(f64::total_cmp);
        let length = self.range.1 - self.range.0;
        all.dedup_by(|b, a| *b - *a < 1e-9 * length);
        all
    }

    /// Finds the bays that overshoot, limits them, and looks again until none is left.
    fn limit(&mut self) {
        for k in 0..2 {
            while let Some(found) = self.worst_overshoot(k) {
                let half = &mut self.halves[k];
                half.limited_bay[found.0] = true;
                half.limited.push(found.1);
                half.remake_grid();
            }
        }
    }

    /// The bay not yet limited in which a node leaves the range of its neighbours furthest, if beyond the allowance.
    fn worst_overshoot(&self, k: usize) -> Option<(usize, LimitedBay)> {
        let half = &self.halves[k];
        if half.lengthwise == Lengthwise::Straight {
            return None;
        }
        let bays = 0..half.stations.len().saturating_sub(1);
        let excess = |j: usize| {
            let scale = self.box_scale(half.half, half.stations[j], half.stations[j + 1]);
            half.grid
                .iter()
                .map(|n| n.strand.overshoot(j, half.stations[j + 1] - half.stations[j], scale))
                .fold(0.0, f64::max)
        };
        let open = bays.filter(|&j| !half.limited_bay[j]).map(|j| (j, excess(j)));
        let worst = open.max_by(|a, b| a.1.total_cmp(&b.1))?;
        (worst.1 > OVERSHOOT).then(|| {
            let bay = (half.stations[worst.0], half.stations[worst.0 + 1]);
            (worst.0, LimitedBay { half: half.half, bay, excess: worst.1 })
        })
    }

    /// Greatest breadth and height of the half box over a bay (ends, quarter points and middle).
    fn box_scale(&self, half: Half, from: f64, to: f64) -> [f64; 2] {
        let mut scale = [0.0_f64; 2];
        for i in 0..=4 {
            let frame = self.frame(from + (to - from) * 0.25 * f64::from(i));
            scale[0] = scale[0].max(frame.breadth.0.abs());
            scale[1] = scale[1].max(frame.height(half).0.abs());
        }
        scale
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
}

impl HalfLoft {
    fn new(marked: Marked, half: Half, lengthwise: Lengthwise) -> Self {
        let bays = marked.stations.len().saturating_sub(1);
        let mut loft = Self {
            half,
            stations: marked.stations,
            runs: marked.runs,
            knuckles: marked.knuckles,
            lengthwise,
            limited: Vec::new(),
            limited_bay: vec![false; bays],
            out_of_order: marked.out_of_order,
            grid: Vec::new(),
        };
        loft.remake_grid();
        loft
    }

    /// How many runs between marks; at least one, for a half without any control shape is a straight edge.
    pub(crate) fn run_count(&self) -> usize {
        self.runs.len().max(1)
    }

    /// Numbers of the knuckles between the runs.
    pub(crate) fn knuckles(&self) -> &[u32] {
        &self.knuckles
    }

    /// Fractions at which any control shape's stretch of a run is only piecewise smooth, with 0 and 1; at most
    /// [`MOST_BREAKS`], so that many measured sections of many points do not multiply.
    pub(crate) fn run_breaks(&self, run: usize) -> Vec<f64> {
        let inner = self.runs.get(run).into_iter().flatten().flat_map(Stretch::breaks);
        let mut all: Vec<f64> = inner.chain([0.0, 1.0]).collect();
        all.sort_by(f64::total_cmp);
        let count = all.len();
        let least = if count > MOST_BREAKS { 1.0 / MOST_BREAKS as f64 } else { 1e-7 };
        thinned(&all, least)
    }

    fn remake_grid(&mut self) {
        let mut grid = Vec::new();
        for run in 0..self.run_count() {
            for w in self.run_breaks(run).windows(2) {
                let h = w[1] - w[0];
                let node =
                    |&(t, weight): &(f64, f64)| Node { weight: weight * h, strand: self.strand(run, w[0] + t * h) };
                grid.extend(gauss5().nodes.iter().map(node));
            }
        }
        self.grid = grid;
    }

    /// The strand at a fraction of a run.
    pub(crate) fn strand(&self, run: usize, fraction: f64) -> Strand {
        let Some(stretches) = self.runs.get(run) else {
            return Strand::straight_edge(self.half, fraction);
        };
        let values: Vec<[f64; 4]> = stretches
            .iter()
            .map(|s| {
                let place = s.at(fraction);
                [place.p[0], place.p[1], place.tangent[0], place.tangent[1]]
            })
            .collect();
        let slopes = self.slopes(&values);
        Strand { values, slopes }
    }

    fn slopes(&self, values: &[[f64; 4]]) -> Vec<[f64; 4]> {
        let mut slopes = vec![[0.0; 4]; values.len()];
        if self.lengthwise == Lengthwise::Straight || values.len() < 2 {
            return slopes;
        }
        for k in 0..4 {
            let column: Vec<f64> = values.iter().map(|v| v[k]).collect();
            let solved = slopes_open(&self.stations, &column, EndRule::NotAKnot, EndRule::NotAKnot);
            slopes.iter_mut().zip(solved).for_each(|(slot, m)| slot[k] = m);
        }
        for j in (0..self.limited_bay.len()).filter(|&j| self.limited_bay[j]) {
            let h = self.stations[j + 1] - self.stations[j];
            for k in 0..2 {
                let chord = (values[j + 1][k] - values[j][k]) / h;
                let chord_by_fraction = (values[j + 1][k + 2] - values[j][k + 2]) / h;
                for slot in &mut slopes[j..=j + 1] {
                    (slot[k], slot[k + 2]) = monotone(slot[k], slot[k + 2], chord, chord_by_fraction);
                }
            }
        }
        slopes
    }

    /// The bay at a station.
    pub(crate) fn bay(&self, x: f64) -> Bay {
        let n = self.stations.len();
        let held = |i: usize| Bay { index: i, next: i, basis: [1.0, 0.0, 0.0, 0.0], slope: [0.0; 4] };
        if n < 2 || x <= self.stations[0] {
            return held(0);
        }
        if x >= self.stations[n - 1] {
            return held(n - 1);
        }
        let i = self.stations.partition_point(|s| *s <= x).clamp(1, n - 1) - 1;
        let h = self.stations[i + 1] - self.stations[i];
        let s = (x - self.stations[i]) / h;
        if self.lengthwise == Lengthwise::Straight {
            return Bay { index: i, next: i + 1, basis: [1.0 - s, 0.0, s, 0.0], slope: [-1.0 / h, 0.0, 1.0 / h, 0.0] };
        }
        let r = 1.0 - s;
        Bay {
            index: i,
            next: i + 1,
            basis: [(1.0 + 2.0 * s) * r * r, h * s * r * r, s * s * (3.0 - 2.0 * s), -h * s * s * r],
            slope: [-6.0 * s * r / h, r * (1.0 - 3.0 * s), 6.0 * s * r / h, s * (3.0 * s - 2.0)],
        }
    }
}

/// Most places at which a run is divided for quadrature.
const MOST_BREAKS: usize = 160;

/// `sorted` without those that lie less than `least` after the one kept before; first and last stay.
fn thinned(sorted: &[f64], least: f64) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::with_capacity(sorted.len());
    let last = sorted[sorted.len() - 1];
    for &t in sorted {
        if out.last().is_none_or(|before| t - before >= least) && last - t >= least {
            out.push(t);
        }
    }
    out.push(last);
    out
}

/// A slope held to the range in which a Hermite cubic over the chord is monotone: between 0 and three times the chord.
fn monotone(slope: f64, slope_by_fraction: f64, chord: f64, chord_by_fraction: f64) -> (f64, f64) {
    if slope * chord <= 0.0 {
        (0.0, 0.0)
    } else if slope.abs() > 3.0 * chord.abs() {
        (3.0 * chord, 3.0 * chord_by_fraction)
    } else {
        (slope, slope_by_fraction)
    }
}

impl Strand {
    /// A half that no control shape describes has no height anywhere: a straight edge.
    fn straight_edge(half: Half, fraction: f64) -> Self {
        let value = match half {
            Half::Upper => [fraction, 1.0 - fraction, 1.0, -1.0],
            Half::Lower => [1.0 - fraction, -fraction, -1.0, -1.0],
        };
        Self { values: vec![value], slopes: vec![[0.0; 4]] }
    }

    pub(crate) fn at(&self, bay: &Bay) -> UnitPlace {
        let (v0, v1) = (&self.values[bay.index], &self.values[bay.next]);
        let (m0, m1) = (&self.slopes[bay.index], &self.slopes[bay.next]);
        let mix = |k: usize, c: &[f64; 4]| c[0] * v0[k] + c[1] * m0[k] + c[2] * v1[k] + c[3] * m1[k];
        UnitPlace {
            uv: [mix(0, &bay.basis), mix(1, &bay.basis)],
            by_fraction: [mix(2, &bay.basis), mix(3, &bay.basis)],
            by_x: [mix(0, &bay.slope), mix(1, &bay.slope)],
        }
    }

    /// How far u and v leave the range of the two control shapes of bay `j` (of length `h`), in mm by `scale`.
    fn overshoot(&self, j: usize, h: f64, scale: [f64; 2]) -> f64 {
        let mut worst = 0.0_f64;
        for (k, scale) in scale.into_iter().enumerate() {
            let (a, b) = (self.values[j][k], self.values[j + 1][k]);
            let (ma, mb) = (self.slopes[j][k] * h, self.slopes[j + 1][k] * h);
            let (c2, c3) = (3.0 * (b - a) - 2.0 * ma - mb, 2.0 * (a - b) + ma + mb);
            for s in crate::arc::quadratic_roots(3.0 * c3, 2.0 * c2, ma).into_iter().flatten() {
                if s > 0.0 && s < 1.0 {
                    let value = a + s * (ma + s * (c2 + s * c3));
                    worst = worst.max((value - a.max(b)).max(a.min(b) - value) * scale);
                }
            }
        }
        worst
    }
}
