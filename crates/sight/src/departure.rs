//! What no superellipse has: a half section swollen or shrunk along its rays.
//!
//! ```text
//!   (X, Y) -> (X, Y) (1 + ε),   ε = slant(x) g1 + corners(x) g2,   s = sin 2ψ, ψ the angle from crown or keel
//!   g1 = s sin 4ψ / 0.7698,     g2 = s² (1 - 6/5 s²) / 0.2083
//! ```
//!
//! Both are 0 and level at crown, breadth and keel, where a section keeps its mark and its tangent; both have the greatest
//! value 1; and both are square to s², which is what an exponent does to first order.

use crate::drawn::Series;
use std::f64::consts::{FRAC_PI_2, PI};

/// Greatest value of s sin 4ψ: 4 / (3 √3).
const SLANT: f64 = 0.769_800_358_919_501;
/// Greatest value of s² (1 - 6/5 s²): 5 / 24.
const CORNERS: f64 = 5.0 / 24.0;

/// The departure of a half section, each mode with its slope in x, beside what the drawn form has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Departure {
    pub(crate) modes: [(f64, f64); 2],
    pub(crate) drawn: Option<Series>,
}

/// How a half section is swollen along one ray.
pub(crate) struct Swell {
    /// 1 is as the superellipse.
    pub(crate) size: f64,
    pub(crate) by_angle: f64,
    pub(crate) by_x: f64,
}

impl Departure {
    pub(crate) const NONE: Self = Self { modes: [(0.0, 0.0); 2], drawn: None };

    pub(crate) fn is_none(&self) -> bool {
        self.drawn.is_none() && self.modes.iter().all(|m| m.0 == 0.0)
    }

    pub(crate) fn at(&self, angle: f64) -> Swell {
        let mut out = Swell { size: 1.0, by_angle: 0.0, by_x: 0.0 };
        if let Some(drawn) = &self.drawn {
            drawn.add(angle, &mut out);
        }
        if self.modes.iter().all(|m| *m == (0.0, 0.0)) {
            return out;
        }
        for ((size, slope), (value, by_angle)) in self.modes.iter().zip(swell(angle)) {
            out.size += size * value;
            out.by_angle += size * by_angle;
            out.by_x += slope * value;
        }
        out
    }
}

/// Both modes at an angle from the crown over starboard: value and derivative.
pub(crate) fn swell(angle: f64) -> [(f64, f64); 2] {
    // Folded to the angle from the crown or the keel, with the sign of the way it runs.
    let turn = angle.rem_euclid(PI);
    let (psi, sign) = if turn <= FRAC_PI_2 { (turn, 1.0) } else { (PI - turn, -1.0) };
    let (s, c) = (2.0 * psi).sin_cos();
    // sin 4ψ = 2 s c.
    let slant = 2.0 * s * s * c;
    let by_slant = 2.0 * (4.0 * s * c * c - 2.0 * s * s * s);
    let corners = s * s * (1.0 - 1.2 * s * s);
    let by_corners = 4.0 * s * c * (1.0 - 2.4 * s * s);
    [(slant / SLANT, sign * by_slant / SLANT), (corners / CORNERS, sign * by_corners / CORNERS)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn modes_are_level_at_the_marks_and_reach_one() {
        for mark in [0.0, FRAC_PI_2, PI, 1.5 * PI] {
            for (value, by_angle) in swell(mark + 1e-9) {
                assert!(value.abs() < 1e-12 && by_angle.abs() < 1e-6);
            }
        }
        for mode in 0..2 {
            let greatest = (0..4000).map(|i| swell(f64::from(i) * PI / 8000.0)[mode].0).fold(0.0, f64::max);
            assert!((greatest - 1.0).abs() < 1e-5, "{mode}: {greatest}");
        }
    }

    #[test]
    fn modes_are_square_to_each_other_and_to_what_an_exponent_does() {
        let mut products = [0.0; 3];
        for i in 0..1000 {
            let psi = (f64::from(i) + 0.5) * FRAC_PI_2 / 1000.0;
            let [(slant, _), (corners, _)] = swell(psi);
            let fuller = (2.0 * psi).sin().powi(2);
            [slant * corners, slant * fuller, corners * fuller].iter().enumerate().for_each(|(k, v)| products[k] += v);
        }
        assert!(products.iter().all(|p| p.abs() < 1e-9), "{products:?}");
    }

    #[test]
    fn derivatives_match_differences() {
        for i in 0..50 {
            let angle = 0.07 + f64::from(i) * 0.123;
            let h = 1e-6;
            for mode in 0..2 {
                let difference = (swell(angle + h)[mode].0 - swell(angle - h)[mode].0) / (2.0 * h);
                assert!((difference - swell(angle)[mode].1).abs() < 1e-6);
            }
        }
    }
}
