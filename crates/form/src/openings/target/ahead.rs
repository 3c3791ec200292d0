//! Lines of sight along the body.

use super::{SkinPlace, Target, side_of};
use crate::seen::Spot;
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::section::SurfacePlace;

/// Rows of the grid over the length, besides the places where the body is only piecewise smooth.
const ROWS: usize = 40;
const MOST_STEPS: usize = 30;
/// How near Newton's method must come, mm.
const CLOSE: f64 = 1e-10;
/// A line of sight that misses the grid's chords by less than this share of the length may still meet the surface.
const NEAR: f64 = 0.01;

/// How the station runs with a parameter from 0 to 1: with its square where the body stands upright in front.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ease {
    low: f64,
    length: f64,
    upright: bool,
}

impl Ease {
    fn new(loft: &Loft) -> Self {
        let (low, high) = loft.x_range();
        let lines = loft.lines();
        let upright = [&lines.crown, &lines.keel, &lines.breadth].iter().any(|line| line.is_upright(true));
        Self { low, length: high - low, upright }
    }

    fn x(&self, s: f64) -> f64 {
        self.low + self.length * if self.upright { s * s } else { s }
    }

    fn slope(&self, s: f64) -> f64 {
        self.length * if self.upright { 2.0 * s } else { 1.0 }
    }

    fn s(&self, x: f64) -> f64 {
        let share = ((x - self.low) / self.length).clamp(0.0, 1.0);
        if self.upright { share.sqrt() } else { share }
    }
}

/// The half surface as it is seen from ahead, coarsely.
#[derive(Debug)]
pub(super) struct Grid {
    ease: Ease,
    rows: Vec<(f64, Vec<[f64; 2]>)>,
}

/// Where Newton's method stands.
#[derive(Clone, Copy, Debug)]
struct At {
    s: f64,
    half: Half,
    run: usize,
    fraction: f64,
}

impl Target<'_> {
    fn grid(&self) -> &Grid {
        self.grid.get_or_init(|| {
            let ease = Ease::new(self.loft);
            let mut all: Vec<f64> = (0..=ROWS).map(|i| i as f64 / ROWS as f64).collect();
            all.extend(self.loft.x_breaks().into_iter().map(|x| ease.s(x)));
            all.sort_by(f64::total_cmp);
            all.dedup_by(|b, a| *b - *a < 1e-4);
            let row = |s: f64| {
                let section = self.loft.section(ease.x(s))?;
                Some((s, self.columns.iter().map(|c| section.at(c.half, c.run, c.fraction).p).collect()))
            };
            Grid { ease, rows: all.into_iter().filter_map(row).collect() }
        })
    }

    /// The first meeting of a line of sight from ahead.
    pub(super) fn meet_ahead(&self, view: [f64; 2]) -> Option<SkinPlace> {
        let [y, z] = view;
        let (low, high) = self.loft.x_range();
        let trimmed = self.trim.map(|trim| trim.station(view)).filter(|x| *x > low);
        let from = trimmed.unwrap_or(low);
        if from > high {
            return None;
        }
        if (trimmed.is_some() || !self.is_pointed()) && self.holds_untrimmed([from, y, z]) {
            return Some(self.front(view, [from, y, z], trimmed.is_some()));
        }
        let at = self.first_ahead([y.abs(), z], from)?;
        let x = self.grid().ease.x(at.s);
        let spot = Spot { x, half: at.half, run: at.run, fraction: at.fraction, side: side_of(y) };
        let mut place = self.at(spot, view)?;
        // It lies on the line of sight within what Newton's method allows.
        (place.point[1], place.point[2]) = (y, z);
        Some(place)
    }

    fn first_ahead(&self, p: [f64; 2], from: f64) -> Option<At> {
        let grid = self.grid();
        let least = grid.ease.s(from);
        let mut nearest: Option<(f64, At)> = None;
        for (i, pair) in grid.rows.windows(2).enumerate() {
            let [(s, front), (t, rear)] = pair else { continue };
            if *t < least {
                continue;
            }
            for (k, columns) in self.columns.windows(2).enumerate() {
                let [a, b] = columns else { continue };
                if a.run != b.run || a.half != b.half {
                    continue;
                }
                let corners = [front[k], front[k + 1], rear[k + 1], rear[k]];
                let far = beyond_box(p, &corners);
                if far > NEAR * grid.ease.length {
                    continue;
                }
                let at = At { s: 0.5 * (s + t), half: a.half, run: a.run, fraction: 0.5 * (a.fraction + b.fraction) };
                if holds(&corners, p) {
                    let found = self.newton(p, at, least).or_else(|| self.by_rows(p, i, least));
                    if found.is_some() {
                        return found;
                    }
                } else if nearest.is_none_or(|n| far < n.0) {
                    nearest = Some((far, at));
                }
            }
        }
        self.newton(p, nearest?.1, least)
    }

    /// Where a line of sight enters the body between two rows, by halving; then Newton's method from there.
    fn by_rows(&self, p: [f64; 2], row: usize, least: f64) -> Option<At> {
        let grid = self.grid();
        let holds = |s: f64| self.holds_untrimmed([grid.ease.x(s), p[0], p[1]]);
        let s = |i: usize| grid.rows.get(i).map(|r| r.0);
        let (mut low, mut high) = (s(row.saturating_sub(1))?.max(least), s(row + 2).or(s(row + 1))?);
        if holds(low) || !holds(high) {
            return None;
        }
        while high - low > 1e-9 {
            let middle = 0.5 * (low + high);
            if holds(middle) { high = middle } else { low = middle }
        }
        let section = self.loft.section(grid.ease.x(high))?;
        let off = |c: &super::Column| {
            let q = section.at(c.half, c.run, c.fraction).p;
            (q[0] - p[0]).hypot(q[1] - p[1])
        };
        let near = self.columns.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let at = At { s: high, half: near.half, run: near.run, fraction: near.fraction.clamp(0.05, 0.95) };
        self.newton(p, at, least)
    }

    /// Newton's method for both parameters; `None` where it comes to no place that faces ahead.
    fn newton(&self, p: [f64; 2], start: At, least: f64) -> Option<At> {
        let ease = self.grid().ease;
        let mut at = start;
        for _ in 0..MOST_STEPS {
            let section = self.loft.section(ease.x(at.s))?;
            let place = section.at(at.half, at.run, at.fraction);
            let miss = [p[0] - place.p[0], p[1] - place.p[1]];
            if miss[0].hypot(miss[1]) < CLOSE {
                return (at.s >= least - 1e-9 && faces_ahead(&place)).then_some(at);
            }
            let (f, s) = (place.by_fraction, place.by_x.map(|c| c * ease.slope(at.s)));
            let turn = f[0] * s[1] - f[1] * s[0];
            let step = [(miss[0] * s[1] - miss[1] * s[0]) / turn, (f[0] * miss[1] - f[1] * miss[0]) / turn];
            if !(step[0].is_finite() && step[1].is_finite()) {
                return None;
            }
            at.s = (at.s + step[1].clamp(-0.1, 0.1)).clamp(1e-12, 1.0);
            self.step_round(&mut at, step[0].clamp(-0.4, 0.4));
        }
        None
    }

    /// Moves a fraction, from run to run.
    fn step_round(&self, at: &mut At, by: f64) {
        let next = at.fraction + by;
        at.fraction = next.clamp(0.0, 1.0);
        let over = next - at.fraction;
        if over == 0.0 {
            return;
        }
        let mut runs = self.columns.iter().map(|c| (c.half, c.run)).collect::<Vec<_>>();
        runs.dedup();
        let here = runs.iter().position(|r| *r == (at.half, at.run)).unwrap_or(0);
        let there = if over > 0.0 { Some(here + 1) } else { here.checked_sub(1) };
        if let Some(&(half, run)) = there.and_then(|i| runs.get(i)) {
            (at.half, at.run) = (half, run);
            at.fraction = if over > 0.0 { over.min(0.5) } else { 1.0 + over.max(-0.5) };
        }
    }
}

/// Whether the outward normal points ahead: n = (1, yx, zx) × (0, yf, zf).
fn faces_ahead(place: &SurfacePlace) -> bool {
    let ([yf, zf], [yx, zx]) = (place.by_fraction, place.by_x);
    zf * yx - yf * zx < 0.0
}

/// How far a place lies outside the box round four corners.
fn beyond_box(p: [f64; 2], corners: &[[f64; 2]; 4]) -> f64 {
    let beyond = |k: usize| {
        let low = corners.iter().map(|c| c[k]).fold(f64::INFINITY, f64::min);
        let high = corners.iter().map(|c| c[k]).fold(f64::NEG_INFINITY, f64::max);
        (low - p[k]).max(p[k] - high).max(0.0)
    };
    beyond(0).hypot(beyond(1))
}

fn holds(corners: &[[f64; 2]; 4], p: [f64; 2]) -> bool {
    let mut inside = false;
    for (i, b) in corners.iter().enumerate() {
        let a = corners[(i + 3) % 4];
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) {
            inside = !inside;
        }
    }
    inside
}
