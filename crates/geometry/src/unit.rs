//! The unit form: the control shapes interpolated along the body, without any master line.
//!
//! It depends on the control sections alone, so that it is made once and shared while lines are being dragged.

use crate::control::{ControlShape, Half};
use crate::correspondence::{KnuckleOutOfOrder, Marked, Stretch, breadth_knuckle, mark};
use crate::loft::Lengthwise;
use crate::quadrature::gauss5;
use crate::spline::{EndRule, slopes_open};
use crate::strands::Strands;
use crate::weave::Weaves;
use std::sync::Arc;

/// The control shapes of a body, interpolated along it.
#[derive(Clone, Debug)]
pub struct UnitForm {
    pub(crate) halves: [HalfLoft; 2],
    breadth_knuckle: Option<u32>,
    pub(crate) weaves: Weaves,
    pub(crate) strands: Strands,
}

impl UnitForm {
    /// Interpolates the control shapes (by rising station). Shapes without halves, such as a point's, give nothing.
    pub fn new(controls: &[ControlShape], lengthwise: Lengthwise) -> Arc<Self> {
        let halves = [Half::Upper, Half::Lower].map(|h| HalfLoft::new(mark(controls, h), h, lengthwise));
        Arc::new(Self {
            halves,
            breadth_knuckle: breadth_knuckle(controls),
            weaves: Weaves::default(),
            strands: Strands::default(),
        })
    }

    /// Whether there is any shape at all.
    pub fn is_empty(&self) -> bool {
        self.halves.iter().all(|h| h.runs.is_empty())
    }

    /// Knuckles that could not be used as marks.
    pub fn knuckles_out_of_order(&self) -> impl Iterator<Item = &KnuckleOutOfOrder> {
        self.halves.iter().flat_map(|h| &h.out_of_order)
    }

    /// The knuckle that runs through the breadth mark of every section that has it, if there is one.
    pub(crate) fn breadth_knuckle(&self) -> Option<u32> {
        self.breadth_knuckle
    }

    /// A copy with bays that may be held back further ([`HalfLoft::hold`]).
    pub(crate) fn to_limit(&self) -> Self {
        Self { strands: self.strands.of_a_limited_form(), ..self.clone() }
    }
}

/// One half of the loft.
#[derive(Clone, Debug)]
pub(crate) struct HalfLoft {
    pub(crate) half: Half,
    pub(crate) stations: Vec<f64>,
    runs: Arc<Vec<Vec<Stretch>>>,
    knuckles: Vec<u32>,
    pub(crate) lengthwise: Lengthwise,
    /// For every bay, how far its end slopes are drawn to the range in which a cubic is monotone: 0 not at all, 1 wholly.
    held_back: Vec<f64>,
    out_of_order: Vec<KnuckleOutOfOrder>,
    /// Of every run, see [`HalfLoft::run_breaks`]: gathered once, for every section asks.
    breaks: Arc<Vec<Vec<f64>>>,
    /// Quadrature nodes of all runs.
    pub(crate) grid: Vec<Node>,
    /// Start and end of every run.
    pub(crate) marks: Vec<Strand>,
    /// The slopes of the strands of the grid, then of the marks, as they are where nothing is held back.
    free: Arc<Vec<Vec<[f64; 4]>>>,
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
    /// Shared by the strands of forms that differ in what is held back only.
    values: Arc<[[f64; 4]]>,
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

impl HalfLoft {
    fn new(marked: Marked, half: Half, lengthwise: Lengthwise) -> Self {
        let bays = marked.stations.len().saturating_sub(1);
        let mut loft = Self {
            half,
            stations: marked.stations,
            runs: Arc::new(marked.runs),
            knuckles: marked.knuckles,
            lengthwise,
            held_back: vec![0.0; bays],
            out_of_order: marked.out_of_order,
            breaks: Arc::default(),
            grid: Vec::new(),
            marks: Vec::new(),
            free: Arc::default(),
        };
        loft.breaks = Arc::new((0..loft.run_count()).map(|run| loft.find_breaks(run)).collect());
        loft.make_grid();
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

    /// Fractions at which a run is divided for quadrature and for polylines, with 0 and 1: every place where some control
    /// shape's curvature jumps, and of those where it only begins a new polynomial no more than [`MOST_BREAKS`] evenly
    /// thinned ones, so that many measured sections of many points do not multiply.
    pub(crate) fn run_breaks(&self, run: usize) -> &[f64] {
        self.breaks.get(run).map_or(&[0.0, 1.0], Vec::as_slice)
    }

    fn find_breaks(&self, run: usize) -> Vec<f64> {
        let inner = self.runs.get(run).into_iter().flatten().flat_map(Stretch::breaks);
        let mut all: Vec<(f64, bool)> = inner.chain([(0.0, true), (1.0, true)]).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        thinned(&all)
    }

    fn make_grid(&mut self) {
        let mut grid = Vec::new();
        for run in 0..self.run_count() {
            for w in self.run_breaks(run).windows(2) {
                let h = w[1] - w[0];
                let node = |&(t, weight): &(f64, f64)| Node {
                    weight: weight * h,
                    strand: self.free_strand(run, w[0] + t * h),
                };
                grid.extend(gauss5().nodes.iter().map(node));
            }
        }
        self.grid = grid;
        self.marks = (0..self.run_count()).flat_map(|r| [self.free_strand(r, 0.0), self.free_strand(r, 1.0)]).collect();
        self.free =
            Arc::new(self.grid.iter().map(|n| &n.strand).chain(&self.marks).map(|s| s.slopes.clone()).collect());
    }

    /// Draws the slopes of a bay further towards the monotone range: by the share `by` of what they are still beyond it.
    pub(crate) fn hold(&mut self, bay: usize, by: f64) {
        self.held_back[bay] = 1.0 - (1.0 - self.held_back[bay]) * (1.0 - by);
        let (mut grid, mut marks) = (std::mem::take(&mut self.grid), std::mem::take(&mut self.marks));
        let strands = grid.iter_mut().map(|n| &mut n.strand).chain(&mut marks);
        for (strand, free) in strands.zip(self.free.iter()) {
            for i in [bay, bay + 1] {
                strand.slopes[i] = self.held_slope(&strand.values, free, i);
            }
        }
        (self.grid, self.marks) = (grid, marks);
    }

    /// Whether some bay is held back.
    pub(crate) fn holds(&self) -> bool {
        self.held_back.iter().any(|held| *held > 0.0)
    }

    /// The strand at a fraction of a run.
    pub(crate) fn strand(&self, run: usize, fraction: f64) -> Strand {
        let free = self.free_strand(run, fraction);
        if self.holds() { self.held(&free) } else { free }
    }

    /// A strand with its slopes held back where they have to be.
    pub(crate) fn held(&self, free: &Strand) -> Strand {
        let mut out = free.clone();
        for (j, _) in self.held_back.iter().enumerate().filter(|(_, held)| **held > 0.0) {
            for i in [j, j + 1].into_iter().filter(|i| *i < free.slopes.len()) {
                out.slopes[i] = self.held_slope(&free.values, &free.slopes, i);
            }
        }
        out
    }

    /// The strand at a fraction of a run as it is where nothing is held back.
    pub(crate) fn free_strand(&self, run: usize, fraction: f64) -> Strand {
        let Some(stretches) = self.runs.get(run) else {
            return Strand::straight_edge(self.half, fraction);
        };
        let values: Arc<[[f64; 4]]> = stretches
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
        slopes
    }

    /// The slope at a station, drawn towards the monotone ranges of the bays beside it that are held back. Between two of them it takes
    /// the larger of the two changes, whichever bay comes first.
    fn held_slope(&self, values: &[[f64; 4]], free: &[[f64; 4]], i: usize) -> [f64; 4] {
        let mut change = [0.0_f64; 4];
        for j in [i.wrapping_sub(1), i] {
            let Some(&held) = self.held_back.get(j).filter(|held| **held > 0.0) else { continue };
            let h = self.stations[j + 1] - self.stations[j];
            for k in 0..2 {
                let chord = (values[j + 1][k] - values[j][k]) / h;
                let chord_by_fraction = (values[j + 1][k + 2] - values[j][k + 2]) / h;
                let (m, by_fraction) = monotone(free[i][k], free[i][k + 2], chord, chord_by_fraction);
                let own = held * (m - free[i][k]);
                if own.abs() > change[k].abs() {
                    change[k] = own;
                    change[k + 2] = held * (by_fraction - free[i][k + 2]);
                }
            }
        }
        std::array::from_fn(|k| free[i][k] + change[k])
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

/// Most evenly thinned places at which a run is divided.
const MOST_BREAKS: usize = 40;

/// Of sorted (place, whether it must stay) those that must, and of the others only what lies a whole share of the run from
/// the one kept before. Places closer than 1e-7 are one.
fn thinned(sorted: &[(f64, bool)]) -> Vec<f64> {
    let share = 1.0 / MOST_BREAKS as f64;
    let mut out: Vec<f64> = Vec::new();
    for (i, &(t, stays)) in sorted.iter().enumerate() {
        let before = out.last().map_or(f64::INFINITY, |b| t - b);
        let next_fixed = sorted[i + 1..].iter().find(|n| n.1).map_or(f64::INFINITY, |n| n.0 - t);
        if stays && before < 1e-7 {
            continue;
        }
        if stays || (before >= share && next_fixed >= 0.25 * share) {
            out.push(t);
        }
    }
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
        Self { values: Arc::new([value]), slopes: vec![[0.0; 4]] }
    }

    /// The place alone, for who asks at many stations.
    pub(crate) fn uv(&self, bay: &Bay) -> [f64; 2] {
        let (v0, v1) = (&self.values[bay.index], &self.values[bay.next]);
        let (m0, m1) = (&self.slopes[bay.index], &self.slopes[bay.next]);
        let [a, b, c, d] = bay.basis;
        [0, 1].map(|k| a * v0[k] + b * m0[k] + c * v1[k] + d * m1[k])
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

    /// How far u and v leave the range of the two control shapes of bay `j` (of length `h`), in mm, if the bay's slopes are
    /// held back by the share `by`; `scale` are the half breadth and height at the quarters of the bay.
    pub(crate) fn overshoot(&self, j: usize, h: f64, scale: &[[f64; 2]; 5], by: f64) -> f64 {
        let mut worst = 0.0_f64;
        for k in 0..2 {
            let (a, b) = (self.values[j][k], self.values[j + 1][k]);
            let chord = (b - a) / h;
            let held = |m: f64| h * (m + by * (monotone(m, 0.0, chord, 0.0).0 - m));
            let (ma, mb) = (held(self.slopes[j][k]), held(self.slopes[j + 1][k]));
            // In this range it is monotone (Fritsch & Carlson, see `loft`).
            let rise = b - a;
            if [ma, mb].iter().all(|m| m * rise >= 0.0 && m.abs() <= 3.0 * rise.abs()) {
                continue;
            }
            let (c2, c3) = (3.0 * (b - a) - 2.0 * ma - mb, 2.0 * (a - b) + ma + mb);
            for s in crate::arc::quadratic_roots(3.0 * c3, 2.0 * c2, ma).into_iter().flatten() {
                if s > 0.0 && s < 1.0 {
                    let value = a + s * (ma + s * (c2 + s * c3));
                    let scale = scale[(4.0 * s).round() as usize][k];
                    worst = worst.max((value - a.max(b)).max(a.min(b) - value) * scale);
                }
            }
        }
        worst
    }
}
