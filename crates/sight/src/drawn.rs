//! What the drawn form has beside its nearest superellipses, a knuckle or a flat side: a swelling along the rays that stays
//! with it through a solve, so that the solve looks for deviations from the form itself and not from its superellipses.
//!
//! ```text
//!   1 + ε(x, ψ),   ε = Σ_k c_k(x) sin 2kψ,   ψ the angle from crown or keel to the breadth
//! ```
//!
//! A sine series over the quarter, which leaves the marks where they are; its coefficients go from station to station by cubics
//! with the slopes of neighbouring differences (Catmull and Rom 1974, from memory).

use crate::departure::Swell;
use std::f64::consts::{FRAC_PI_2, PI};

/// Terms of the series: a corner of 20 degrees is followed within half a hundredth of the radius.
pub(crate) const TERMS: usize = 12;
/// Angles over a quarter at which the form is read: midpoints, over which the series is orthogonal.
const ANGLES: usize = 48;
/// Stations at which it is read.
const STATIONS: usize = 41;

/// The drawn form's departure from its superellipses.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    low: f64,
    step: f64,
    /// Station by station, above and below the breadth.
    terms: Vec<[[f64; TERMS]; 2]>,
}

/// The series of a half section at one station, each term with its slope in x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Series(pub(crate) [(f64, f64); TERMS]);

impl Series {
    /// Adds it to a swelling at an angle from the crown over starboard.
    pub(crate) fn add(&self, angle: f64, swell: &mut Swell) {
        let turn = angle.rem_euclid(PI);
        let (psi, sign) = if turn <= FRAC_PI_2 { (turn, 1.0) } else { (PI - turn, -1.0) };
        let (s, c) = (2.0 * psi).sin_cos();
        // sin and cos of 2kψ, by the angle sum.
        let (mut sk, mut ck) = (s, c);
        for (k, (value, slope)) in self.0.iter().enumerate() {
            swell.size += value * sk;
            swell.by_angle += sign * value * 2.0 * (k + 1) as f64 * ck;
            swell.by_x += slope * sk;
            (sk, ck) = (sk * c + ck * s, ck * c - sk * s);
        }
    }
}

impl Drawn {
    /// Reads a form over a range of stations. `swell` gives, for a station and an angle from crown or keel to the breadth in
    /// radians, how many times as long the drawn radius is as that of the superellipse of the sketch, above and below the
    /// breadth, in unit coordinates; `None` where the form has no section, which counts as its neighbour.
    pub fn read((low, high): (f64, f64), swell: impl Fn(f64, &[f64]) -> Option<[Vec<f64>; 2]>) -> Self {
        let step = (high - low) / (STATIONS - 1) as f64;
        let angles: Vec<f64> = (0..ANGLES).map(|i| FRAC_PI_2 * (i as f64 + 0.5) / ANGLES as f64).collect();
        let at = |i: usize| Some(swell(low + step * i as f64, &angles)?.map(|half| series(&angles, &half)));
        let read: Vec<Option<[[f64; TERMS]; 2]>> = (0..STATIONS).map(at).collect();
        let nearest = |i: usize| {
            let there = (0..STATIONS).filter(|j| read[*j].is_some()).min_by_key(|j| j.abs_diff(i));
            there.and_then(|j| read[j]).unwrap_or([[0.0; TERMS]; 2])
        };
        Self { low, step, terms: (0..STATIONS).map(nearest).collect() }
    }

    /// How far the form departs from its superellipses where it does so most, a share of the radius: root mean square over a
    /// quarter.
    pub fn size(&self) -> f64 {
        // The mean square of each sine is a half.
        let mean_square = |terms: &[f64; TERMS]| 0.5 * terms.iter().map(|c| c * c).sum::<f64>();
        self.terms.iter().flatten().map(mean_square).fold(0.0, f64::max).sqrt()
    }

    /// The series above and below the breadth at a station; beyond the ends those of the ends.
    pub(crate) fn at(&self, x: f64) -> [Series; 2] {
        let last = self.terms.len() - 1;
        let place = ((x - self.low) / self.step).clamp(0.0, last as f64);
        let bay = (place as usize).min(last - 1);
        let t = place - bay as f64;
        let inside = x > self.low && x < self.low + self.step * last as f64;
        let value = |i: usize, half: usize, k: usize| self.terms[i.min(last)][half][k];
        let slope =
            |i: usize, half: usize, k: usize| 0.5 * (value(i + 1, half, k) - value(i.saturating_sub(1), half, k));
        [0, 1].map(|half| {
            Series(std::array::from_fn(|k| {
                let (a, b) = (value(bay, half, k), value(bay + 1, half, k));
                let (m, n) = (slope(bay, half, k), slope(bay + 1, half, k));
                let (c, d) = (3.0 * (b - a) - 2.0 * m - n, 2.0 * (a - b) + m + n);
                let by_t = m + t * (2.0 * c + 3.0 * t * d);
                (a + t * (m + t * (c + t * d)), if inside { by_t / self.step } else { 0.0 })
            }))
        })
    }
}

/// Coefficients of the sine series through radii at midpoints.
fn series(angles: &[f64], radii: &[f64]) -> [f64; TERMS] {
    std::array::from_fn(|k| {
        let wave = |psi: &f64| (2.0 * (k + 1) as f64 * psi).sin();
        let sum: f64 = angles.iter().zip(radii).map(|(psi, r)| (r - 1.0) * wave(psi)).sum();
        2.0 * sum / angles.len().max(1) as f64
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A swelling that the series holds exactly comes back, and its derivatives match differences.
    #[test]
    fn what_was_read_comes_back() {
        let wanted = |x: f64, psi: f64| 1.0 + 0.03 * x / 100.0 * (2.0 * psi).sin() - 0.02 * (6.0 * psi).sin();
        let drawn = Drawn::read((0.0, 100.0), |x, angles| {
            let half: Vec<f64> = angles.iter().map(|psi| wanted(x, *psi)).collect();
            Some([half.clone(), half])
        });
        // At the rear the squares of 0.03 and 0.02, halved.
        assert!((drawn.size() - (0.5_f64 * (9e-4 + 4e-4)).sqrt()).abs() < 1e-12);
        let size = |x: f64, angle: f64| {
            let mut swell = Swell { size: 1.0, by_angle: 0.0, by_x: 0.0 };
            drawn.at(x)[usize::from(angle > FRAC_PI_2)].add(angle, &mut swell);
            swell
        };
        let h = 1e-5;
        for (x, angle) in [(12.3, 0.4), (50.0, 1.2), (77.7, 2.0), (96.0, 3.0)] {
            let psi = if angle > FRAC_PI_2 { PI - angle } else { angle };
            let here = size(x, angle);
            assert!((here.size - wanted(x, psi)).abs() < 1e-12);
            let by_angle = (size(x, angle + h).size - size(x, angle - h).size) / (2.0 * h);
            let by_x = (size(x + h, angle).size - size(x - h, angle).size) / (2.0 * h);
            assert!((here.by_angle - by_angle).abs() < 1e-8 && (here.by_x - by_x).abs() < 1e-8);
        }
    }

    /// A corner of 20 degrees amidst the quarter.
    #[test]
    fn a_corner_is_followed_within_half_a_hundredth() {
        let corner = |psi: f64| 1.0 + 0.5 * 20_f64.to_radians() * (0.25 * PI - (psi - 0.25 * PI).abs());
        let drawn = Drawn::read((0.0, 1.0), |_, angles| {
            let half: Vec<f64> = angles.iter().map(|psi| corner(*psi)).collect();
            Some([half.clone(), half])
        });
        for i in 0..=200 {
            let psi = FRAC_PI_2 * f64::from(i) / 200.0;
            let mut swell = Swell { size: 1.0, by_angle: 0.0, by_x: 0.0 };
            drawn.at(0.5)[0].add(psi, &mut swell);
            assert!((swell.size - corner(psi)).abs() < 5e-3, "{psi}: {} {}", swell.size, corner(psi));
        }
    }

    #[test]
    fn without_a_section_the_nearest_counts() {
        let drawn = Drawn::read((0.0, 1.0), |x, angles| {
            let half: Vec<f64> = angles.iter().map(|psi| 1.0 + 0.1 * (2.0 * psi).sin()).collect();
            (x > 0.4).then(|| [half.clone(), half])
        });
        assert!((drawn.at(0.0)[0].0[0].0 - 0.1).abs() < 1e-12);
    }
}
