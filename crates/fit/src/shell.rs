//! The shell as a surface that is searched: the finished skin, its wall, and the plane that trims its front.
//!
//! A least is sought from a grid over the whole skin, both sides, by a compass search from the local minima of the grid, the
//! best first. A distance changes by no more than the way one goes, so a start is left out once its value less the size of
//! its cell cannot be less than what was found. The search ends at steps of 1e-4 mm, which leaves the least within 0.05 mm
//! and, as tests on closed forms show, far closer.

use crate::outline::Outline;
use crate::space::{Vector, length, sub};
use crate::thrust::RingTrim;
use geometry::control::Half;
use geometry::loft::Loft;

/// Stations of the grid.
const STATIONS: usize = 64;
/// Places on every run between two marks.
const PER_RUN: usize = 12;
/// Most local minima from which a search starts.
const STARTS: usize = 24;
/// The compass search ends at this step, mm.
const STEP_END: f64 = 1e-4;
/// Most steps of a search.
const MOST_STEPS: usize = 400;
/// Chord error of outlines, mm.
const FINE: f64 = 0.01;

/// A shell to be searched.
#[derive(Clone, Debug)]
pub struct Shell<'a> {
    loft: &'a Loft,
    /// Thickness of the shell along the normal, mm.
    pub wall: f64,
    trim: Option<RingTrim>,
    runs: Vec<(Half, usize)>,
    stations: Vec<f64>,
    /// Rows of starboard places, one row for each station.
    grid: Vec<Vec<Vector>>,
    outlines: Vec<Outline>,
}

/// A place on the skin by its parameters: station, run and fraction as one number, and the side.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Spot {
    x: f64,
    along: f64,
    side: f64,
}

/// A least found on the skin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Least {
    /// The value.
    pub value: f64,
    /// The place on the finished skin.
    pub at: [f64; 3],
}

impl<'a> Shell<'a> {
    /// The shell of a finished skin; what lies ahead of the trim plane is cut off.
    pub fn new(loft: &'a Loft, wall: f64, trim: Option<RingTrim>) -> Self {
        let runs = loft.section(loft.x_range().0).map(|s| s.runs().collect()).unwrap_or_default();
        let stations = stations(loft.x_range());
        let mut shell = Self { loft, wall, trim, runs, stations, grid: Vec::new(), outlines: Vec::new() };
        for i in 0..shell.stations.len() {
            let x = shell.stations[i];
            let last = shell.runs.len() * PER_RUN;
            shell.grid.push((0..=last).map(|j| shell.place(shell.grid_spot(x, j, 1.0))).collect());
            shell.outlines.extend(shell.outline(x));
        }
        shell
    }

    /// The finished skin.
    pub fn loft(&self) -> &Loft {
        self.loft
    }

    /// The plane that trims the front.
    pub fn trim(&self) -> Option<RingTrim> {
        self.trim
    }

    /// The outlines of the finished skin at the stations of the grid, with their stations.
    pub fn outlines(&self) -> impl Iterator<Item = (f64, &Outline)> {
        self.stations.iter().copied().zip(&self.outlines)
    }

    /// The outline of the finished skin at a station; `None` beyond the ends.
    pub fn outline(&self, x: f64) -> Option<Outline> {
        let section = self.loft.section(x)?;
        Outline::new(section.outline(&self.loft.weave(FINE)))
    }

    /// Whether a place lies ahead of the trim plane.
    pub fn is_cut_off(&self, p: [f64; 3]) -> bool {
        self.trim.is_some_and(|t| t.ahead(p) > 0.0)
    }

    fn grid_spot(&self, x: f64, j: usize, side: f64) -> Spot {
        Spot { x, along: j as f64 / PER_RUN as f64, side }
    }

    fn place(&self, spot: Spot) -> Vector {
        let along = spot.along.clamp(0.0, self.runs.len() as f64);
        let index = (along.floor() as usize).min(self.runs.len().saturating_sub(1));
        let (Some(&(half, run)), Some(section)) = (self.runs.get(index), self.loft.section(spot.x)) else {
            return [f64::NAN; 3];
        };
        let [y, z] = section.at(half, run, (along - index as f64).clamp(0.0, 1.0)).p;
        [spot.x, spot.side * y, z]
    }

    /// The least of a function of places on the finished skin, both sides, that changes by no more than the way one goes; `None` where nothing is left of it.
    pub fn least(&self, f: &impl Fn([f64; 3]) -> f64) -> Option<Least> {
        let on_shell = |p: Vector| if self.is_cut_off(p) { f64::INFINITY } else { f(p) };
        let mut starts: Vec<(f64, Spot)> = Vec::new();
        for side in [1.0, -1.0] {
            self.local_minima(side, &on_shell, &mut starts);
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<Least> = None;
        for (value, spot) in starts.into_iter().take(STARTS) {
            if best.is_some_and(|b| value - self.cell(spot) > b.value) {
                continue;
            }
            let found = self.search(value, spot, &on_shell);
            if best.is_none_or(|b| found.value < b.value) {
                best = Some(found);
            }
        }
        best
    }

    /// How far a place of the skin can lie from the nearest place of the grid around this one, mm: all of a cell's sides.
    fn cell(&self, spot: Spot) -> f64 {
        let i = self.stations.partition_point(|x| *x < spot.x).min(self.grid.len().saturating_sub(1));
        let j = (spot.along * PER_RUN as f64).round() as usize;
        let around = |k: usize, n: usize| k.saturating_sub(1)..(k + 2).min(n);
        let here = self.grid[i][j];
        let near = around(i, self.grid.len()).flat_map(|a| around(j, self.grid[i].len()).map(move |b| (a, b)));
        near.map(|(a, b)| length(sub(self.grid[a][b], here))).fold(0.0, f64::max)
    }

    fn local_minima(&self, side: f64, f: &impl Fn(Vector) -> f64, out: &mut Vec<(f64, Spot)>) {
        let mirrored = |p: &Vector| [p[0], side * p[1], p[2]];
        let values: Vec<Vec<f64>> = self.grid.iter().map(|row| row.iter().map(|p| f(mirrored(p))).collect()).collect();
        for (i, row) in values.iter().enumerate() {
            for (j, &value) in row.iter().enumerate() {
                let around = |k: usize, n: usize| k.saturating_sub(1)..(k + 2).min(n);
                let mut near = around(i, values.len()).flat_map(|a| around(j, row.len()).map(move |b| (a, b)));
                if value.is_finite() && near.all(|(a, b)| values[a][b] >= value || values[a][b].is_nan()) {
                    out.push((value, self.grid_spot(self.stations[i], j, side)));
                }
            }
        }
    }

    /// A compass search: eight ways, the step halved where none leads down. Steps are along x and along the girth, in mm.
    fn search(&self, value: f64, start: Spot, f: &impl Fn(Vector) -> f64) -> Least {
        let (low, high) = self.loft.x_range();
        let girth = self.girth_of_a_run(start.x);
        let mut step = 0.5 * ((high - low) / STATIONS as f64).max(girth / PER_RUN as f64);
        let (mut best, mut spot) = (value, start);
        for _ in 0..MOST_STEPS {
            if step < STEP_END {
                break;
            }
            let next = COMPASS.iter().map(|[dx, dg]| {
                let x = (spot.x + dx * step).clamp(low, high);
                let along = (spot.along + dg * step / girth).clamp(0.0, self.runs.len() as f64);
                let to = Spot { x, along, side: spot.side };
                (f(self.place(to)), to)
            });
            match next.filter(|n| n.0 < best).min_by(|a, b| a.0.total_cmp(&b.0)) {
                Some((value, to)) => (best, spot) = (value, to),
                None => step *= 0.5,
            }
        }
        Least { value: best, at: self.place(spot) }
    }

    /// Mean length of a run at a station, mm, for steps along the girth.
    fn girth_of_a_run(&self, x: f64) -> f64 {
        let nearest = self.outlines().min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()));
        let longest = self.outlines().map(|(_, o)| o.length()).fold(1e-3, f64::max);
        let here = nearest.map_or(longest, |(_, o)| o.length()).max(0.1 * longest);
        here / self.runs.len().max(1) as f64
    }
}

/// Stations of the grid, from end to end, closer towards the ends, where a blunt body turns.
fn stations((low, high): (f64, f64)) -> Vec<f64> {
    let share = |i: usize| i as f64 / (STATIONS - 1) as f64;
    (0..STATIONS).map(|i| low + (high - low) * 0.5 * (1.0 - (std::f64::consts::PI * share(i)).cos())).collect()
}

const D: f64 = std::f64::consts::FRAC_1_SQRT_2;
const COMPASS: [[f64; 2]; 8] = [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0], [D, D], [D, -D], [-D, D], [-D, -D]];
