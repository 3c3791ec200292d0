//! Values along a line made smooth: local parabolas, deaf to single outliers (W. S. Cleveland, "Robust locally weighted
//! regression and smoothing scatterplots", J. American Statistical Association 74, 1979).

use super::measure::median;

/// `values` smoothed by parabolas over `half` values to each side, each value counting as its weight says.
pub(super) fn smoothed(values: &[f64], weights: &[f64], half: usize) -> Vec<f64> {
    let mut trust = weights.to_vec();
    let mut smooth = local_parabolas(values, &trust, half);
    for _ in 0..2 {
        let mut off: Vec<f64> = values.iter().zip(&smooth).map(|(v, s)| (v - s).abs()).collect();
        let sizes = off.clone();
        let scale = 6.0 * median(&mut off).unwrap_or(0.0).max(0.05);
        for ((t, w), size) in trust.iter_mut().zip(weights).zip(&sizes) {
            let share = (size / scale).min(1.0);
            *t = w * (1.0 - share * share).powi(2) + 1e-9;
        }
        smooth = local_parabolas(values, &trust, half);
    }
    smooth
}

fn local_parabolas(values: &[f64], weights: &[f64], half: usize) -> Vec<f64> {
    (0..values.len()).map(|i| local_parabola(values, weights, half, i)).collect()
}

/// The parabola's value at `i`, from the normal equations of 1, t, t²; the mean where they are singular.
fn local_parabola(values: &[f64], weights: &[f64], half: usize, i: usize) -> f64 {
    let (mut m, mut r) = ([0.0; 5], [0.0; 3]);
    for k in i.saturating_sub(half)..(i + half + 1).min(values.len()) {
        let t = (k as f64 - i as f64) / (half as f64 + 1.0);
        let w = weights[k] * (1.0 - t.abs().powi(3)).powi(3);
        let mut power = w;
        for (n, slot) in m.iter_mut().enumerate() {
            *slot += power;
            if n < 3 {
                r[n] += power * values[k];
            }
            power *= t;
        }
    }
    let minor = [m[2] * m[4] - m[3] * m[3], m[1] * m[4] - m[2] * m[3], m[1] * m[3] - m[2] * m[2]];
    let whole = m[0] * minor[0] - m[1] * minor[1] + m[2] * minor[2];
    if whole.abs() < 1e-9 * m[0].powi(3) || m[0] <= 0.0 {
        return if m[0] > 0.0 { r[0] / m[0] } else { values[i] };
    }
    (r[0] * minor[0] - r[1] * minor[1] + r[2] * minor[2]) / whole
}
