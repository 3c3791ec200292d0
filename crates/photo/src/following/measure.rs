//! One row of a strip: where its edge lies between the samples, how strong and how sure it is.

use super::strip::{STEP, Strip, offset, unweighed_size};

/// An edge in one row of a strip that has been differentiated.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measure {
    /// Across the line, pixels.
    pub(super) offset: f64,
    /// Change of the light across the edge.
    pub(super) strength: f64,
    pub(super) signal_to_noise: f64,
    /// Standard deviation of the offset, pixels.
    pub(super) deviation: f64,
    /// Square of the width of the blurred edge as it was seen through the filter, px².
    pub(super) width_squared: f64,
}

/// A derivative that rounding to 8 bits alone makes (1/255/√12 through the filters at a scale of 1 px), and a little more.
const LEAST_NOISE: f64 = 3e-4;
/// What sampling and 8 bits leave on the cleanest edge, pixels (found on drawn shapes).
const LEAST_DEVIATION: f64 = 0.01;
/// How many samples a chosen path may lie off the peak, as it is stiff.
const CLIMB: usize = 3;
/// The noise is taken from the row itself and from those so far to each side, which share little with it after averaging.
const NOISE_ROWS: usize = 4;

impl Strip {
    /// The edge of `row` near sample `j`, for a derivative at `scale` pixels; `None` where there is no picture or no peak.
    pub(super) fn measure(&self, row: usize, j: usize, scale: f64) -> Option<Measure> {
        let colour = self.colour_of_change(row, j)?;
        let along = |k: usize| f64::from(project(self.at(row, k), colour));
        let peak = self.climbed(j, &along)?;
        let [a, b, c] = [along(peak - 1), along(peak), along(peak + 1)];
        // A blurred step's derivative is a Gaussian, whose logarithm is a parabola.
        let [la, lb, lc] = [a, b, c].map(|p| p.max(1e-3 * b).ln());
        let bend = (la - 2.0 * lb + lc) / (STEP * STEP);
        if bend.is_nan() || bend >= -1e-6 {
            return None;
        }
        let at = offset(peak, self.reach) - 0.5 * (lc - la) / (STEP * bend);
        let width_squared = -1.0 / bend;
        let noise = self.noise(row, at, width_squared.sqrt(), colour).max(LEAST_NOISE);
        // White noise through the derivative of a Gaussian has a slope √1.5 / scale times itself (from the integrals of g'²
        // and g''²); the peak moves by slope / bend of the response.
        let deviation = (noise * 1.5f64.sqrt() / scale / (b * -bend)).hypot(LEAST_DEVIATION);
        let strength = b * (std::f64::consts::TAU * width_squared).sqrt() * f64::from(unweighed_size(colour));
        Some(Measure { offset: at, strength, signal_to_noise: b / noise, deviation, width_squared })
    }

    /// The direction, among colours, of the change at a sample and its neighbours.
    fn colour_of_change(&self, row: usize, j: usize) -> Option<[f32; 3]> {
        if j < 1 || j + 1 >= self.width() {
            return None;
        }
        let [a, b, c] = [self.at(row, j - 1), self.at(row, j), self.at(row, j + 1)];
        let sum = [0, 1, 2].map(|k| a[k] + b[k] + c[k]);
        let size = sum.iter().map(|s| s * s).sum::<f32>().sqrt();
        (size > 0.0).then(|| sum.map(|s| s / size))
    }

    fn climbed(&self, mut j: usize, along: &impl Fn(usize) -> f64) -> Option<usize> {
        for _ in 0..=CLIMB {
            if j < 1 || j + 1 >= self.width() {
                return None;
            }
            let (here, left, right) = (along(j), along(j - 1), along(j + 1));
            if left.is_nan() || right.is_nan() {
                return None;
            }
            match (left > here, right > here) {
                (false, false) => return (here > 0.0).then_some(j),
                (true, false) => j -= 1,
                (false, true) => j += 1,
                (true, true) => j = if left > right { j - 1 } else { j + 1 },
            }
        }
        None
    }

    /// Deviation of the derivative beside the edge, in the colours in which the edge changes: the median of its size, which
    /// other edges nearby hardly move. Texture counts as noise.
    fn noise(&self, row: usize, at: f64, width: f64, colour: [f32; 3]) -> f64 {
        let clear = (2.5 * width).min(5.0);
        let beside: Vec<usize> = (0..self.width()).filter(|&j| (offset(j, self.reach) - at).abs() > clear).collect();
        let rows = [row.saturating_sub(NOISE_ROWS), row, (row + NOISE_ROWS).min(self.rows - 1)];
        let all = rows.into_iter().flat_map(|r| beside.iter().map(move |&j| project(self.at(r, j), colour).abs()));
        let mut sizes: Vec<f32> = all.filter(|s| s.is_finite()).collect();
        // A normal deviate's size has its median at 0.6745.
        median(&mut sizes).map_or(0.0, |m| f64::from(m) / 0.6745)
    }

    /// Whether another edge of `row`, about as strong after `weight` (by offset), lies apart from sample `j` and within
    /// `half` samples of the line.
    pub(super) fn has_rival(&self, row: usize, j: usize, half: usize, weight: impl Fn(f64) -> f32) -> bool {
        let size = |k: usize| self.size(row, k) * weight(offset(k, self.reach));
        let own = (j.saturating_sub(2)..(j + 3).min(self.width())).map(size).fold(0.0, f32::max);
        let window = self.reach.saturating_sub(half).max(1)..(self.reach + half + 1).min(self.width() - 1);
        window.filter(|k| k.abs_diff(j) as f64 * STEP >= APART).any(|k| {
            let here = size(k);
            here > RIVAL * own && here >= size(k - 1) && here >= size(k + 1)
        })
    }
}

/// Edges closer than this are one, pixels.
const APART: f64 = 2.5;
/// A rival has at least this share of the chosen edge's strength.
const RIVAL: f32 = 0.7;

fn project(v: [f32; 3], on: [f32; 3]) -> f32 {
    v[0] * on[0] + v[1] * on[1] + v[2] * on[2]
}

pub(super) fn median<T: Copy + PartialOrd>(values: &mut [T]) -> Option<T> {
    if values.is_empty() {
        return None;
    }
    let middle = values.len() / 2;
    let order = |a: &T, b: &T| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal);
    Some(*values.select_nth_unstable_by(middle, order).1)
}
