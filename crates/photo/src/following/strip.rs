//! The strip of a picture along a line, straightened: one row for each frame, two samples a pixel across.

use super::curve::Frame;
use crate::Photo;

/// Distance of neighbouring samples across the line, pixels.
pub(super) const STEP: f64 = 0.5;

/// How samples are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sampling {
    /// Coded values, bilinear: to choose an edge as the eye does.
    Seen,
    /// Linear light, bicubic (R. Keys, IEEE Trans. ASSP 29, 1981): to place it.
    Measured,
}

/// How many times more a change of hue counts than one of brightness: where a body ends its colour changes, where its shadow
/// begins only its brightness does (J. van de Weijer, T. Gevers, A. W. M. Smeulders, "Robust photometric invariant features
/// from the color tensor", IEEE Trans. Image Processing 15, 2006, from memory).
const HUE: f32 = 3.0;

/// Brightness and two differences of colour in place of red, green and blue: axes square to each other, those of colour
/// stretched. It is linear, so that mixed light stays mixed.
fn weighed([r, g, b]: [f32; 3]) -> [f32; 3] {
    let grey = (r + g + b) / 3f32.sqrt();
    [grey, HUE * (r - g) / 2f32.sqrt(), HUE * (2.0 * b - r - g) / 6f32.sqrt()]
}

/// How large a change along a direction of weighed colours is in red, green and blue.
pub(super) fn unweighed_size([grey, p, q]: [f32; 3]) -> f32 {
    (grey * grey + (p * p + q * q) / (HUE * HUE)).sqrt()
}

/// Three weighed colours for each sample, not a number where there is no picture.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub(super) rows: usize,
    /// Samples to each side of the line.
    pub(super) reach: usize,
    values: Vec<[f32; 3]>,
}

/// Whether a place lies on the picture.
pub(super) fn is_on(picture: &Photo, [x, y]: [f64; 2]) -> bool {
    (0.0..=f64::from(picture.width)).contains(&x) && (0.0..=f64::from(picture.height)).contains(&y)
}

impl Strip {
    pub(super) fn sampled(picture: &Photo, frames: &[Frame], reach: usize, how: Sampling) -> Self {
        let light = light(how);
        let width = 2 * reach + 1;
        let mut values = Vec::with_capacity(frames.len() * width);
        for frame in frames {
            values.extend((0..width).map(|j| {
                let at = frame.across(offset(j, reach));
                weighed(match how {
                    Sampling::Seen => mixed::<2>(picture, at, &light, |f| [1.0 - f, f]),
                    Sampling::Measured => mixed::<4>(picture, at, &light, keys),
                })
            }));
        }
        Self { rows: frames.len(), reach, values }
    }

    pub(super) fn width(&self) -> usize {
        2 * self.reach + 1
    }

    fn row(&self, row: usize) -> &[[f32; 3]] {
        &self.values[row * self.width()..(row + 1) * self.width()]
    }

    /// The colours of a sample.
    pub(super) fn at(&self, row: usize, j: usize) -> [f32; 3] {
        self.values[row * self.width() + j]
    }

    /// How much the colours of a sample change together.
    pub(super) fn size(&self, row: usize, j: usize) -> f32 {
        let [a, b, c] = self.at(row, j);
        (a * a + b * b + c * c).sqrt()
    }

    /// Averaged along the line by a Gaussian of this many rows; what is no number is left out.
    pub(super) fn averaged_along(&self, sigma: f64) -> Self {
        let half = (3.0 * sigma).ceil() as usize;
        let weight: Vec<f32> = (0..=half).map(|k| (-0.5 * (k as f64 / sigma).powi(2)).exp() as f32).collect();
        let width = self.width();
        let mut values = Vec::with_capacity(self.values.len());
        let mut sums = vec![([0.0f32; 3], 0.0f32); width];
        for row in 0..self.rows {
            sums.fill(([0.0; 3], 0.0));
            for other in row.saturating_sub(half)..(row + half + 1).min(self.rows) {
                let w = weight[other.abs_diff(row)];
                for ((sum, total), v) in sums.iter_mut().zip(self.row(other)) {
                    if v[0].is_finite() {
                        *sum = [sum[0] + w * v[0], sum[1] + w * v[1], sum[2] + w * v[2]];
                        *total += w;
                    }
                }
            }
            let mean = |((sum, total), v): (&([f32; 3], f32), &[f32; 3])| {
                if v[0].is_finite() { sum.map(|s| s / total) } else { [f32::NAN; 3] }
            };
            values.extend(sums.iter().zip(self.row(row)).map(mean));
        }
        Self { values, ..*self }
    }

    /// Differentiated across the line by a Gaussian of this many pixels, per pixel.
    pub(super) fn differentiated_across(&self, sigma: f64) -> Self {
        let half = margin(sigma);
        let bell = |k: usize| k as f64 * (-0.5 * (k as f64 * STEP / sigma).powi(2)).exp();
        let ramp: f64 = (1..=half).map(|k| 2.0 * bell(k) * k as f64 * STEP).sum();
        let weight: Vec<f32> = (0..=half).map(|k| (bell(k) / ramp) as f32).collect();
        let width = self.width();
        let mut values = vec![[f32::NAN; 3]; self.values.len()];
        for row in 0..self.rows {
            let (from, to) =
                (&self.values[row * width..(row + 1) * width], &mut values[row * width..(row + 1) * width]);
            for j in half..width.saturating_sub(half) {
                let mut sum = [0.0f32; 3];
                for (k, w) in weight.iter().enumerate().skip(1) {
                    let (a, b) = (from[j + k], from[j - k]);
                    sum = [sum[0] + w * (a[0] - b[0]), sum[1] + w * (a[1] - b[1]), sum[2] + w * (a[2] - b[2])];
                }
                to[j] = sum;
            }
        }
        Self { values, ..*self }
    }
}

/// How many samples differentiation needs to each side.
pub(super) fn margin(sigma: f64) -> usize {
    (3.5 * sigma / STEP).ceil() as usize
}

/// Samples that reach this many pixels.
pub(super) fn samples(px: f64) -> usize {
    (px / STEP).ceil() as usize
}

/// How far across the line a sample lies, pixels.
pub(super) fn offset(j: usize, reach: usize) -> f64 {
    (j as f64 - reach as f64) * STEP
}

/// What a coded value stands for, 0 to 1 (sRGB, IEC 61966-2-1).
fn light(how: Sampling) -> [f32; 256] {
    std::array::from_fn(|code| {
        let v = code as f32 / 255.0;
        match how {
            Sampling::Seen => v,
            Sampling::Measured if v <= 0.04045 => v / 12.92,
            Sampling::Measured => ((v + 0.055) / 1.055).powf(2.4),
        }
    })
}

fn keys(f: f32) -> [f32; 4] {
    let g = 1.0 - f;
    [-0.5 * f * g * g, 1.0 + f * f * (1.5 * f - 2.5), 1.0 + g * g * (1.5 * g - 2.5), -0.5 * g * f * f]
}

/// The picture between the middles of its pixels; beyond those of its border the border is continued.
fn mixed<const N: usize>(
    picture: &Photo,
    [x, y]: [f64; 2],
    light: &[f32; 256],
    weights: impl Fn(f32) -> [f32; N],
) -> [f32; 3] {
    if !is_on(picture, [x, y]) {
        return [f32::NAN; 3];
    }
    let (u, v) = (x - 0.5, y - 0.5);
    let (left, top) = (u.floor(), v.floor());
    let (wx, wy) = (weights((u - left) as f32), weights((v - top) as f32));
    let first = 1 - N as i32 / 2;
    let inside = |floor: f64, k: usize, size: u32| (floor as i32 + first + k as i32).clamp(0, size as i32 - 1) as usize;
    let columns: [usize; N] = std::array::from_fn(|k| 4 * inside(left, k, picture.width));
    let stride = 4 * picture.width as usize;
    let mut sum = [0.0f32; 3];
    for (k, wy) in wy.iter().enumerate() {
        let from = stride * inside(top, k, picture.height);
        let Some(row) = picture.rgba.get(from..from + stride) else { return [f32::NAN; 3] };
        let mut mix = [0.0f32; 3];
        for (&column, wx) in columns.iter().zip(&wx) {
            let Some(&[r, g, b, opacity]) = row.get(column..).and_then(<[u8]>::first_chunk) else {
                return [f32::NAN; 3];
            };
            if opacity < 128 {
                return [f32::NAN; 3];
            }
            let (r, g, b) = (light[usize::from(r)], light[usize::from(g)], light[usize::from(b)]);
            mix = [mix[0] + wx * r, mix[1] + wx * g, mix[2] + wx * b];
        }
        sum = [sum[0] + wy * mix[0], sum[1] + wy * mix[1], sum[2] + wy * mix[2]];
    }
    sum
}
