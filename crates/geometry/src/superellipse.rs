//! Superelliptic (Lamé) quarter arcs: |X|^n + |Y|^n = 1 between two axes.
//!
//! Run through by the polar angle, X = r sin φ, Y = r cos φ, r = (sin^n φ + cos^n φ)^(-1/n), which keeps the speed finite and
//! away from zero at both ends for every exponent above 1 (the usual cos^(2/n) does not).

use crate::spline::Jet;
use std::f64::consts::FRAC_PI_2;

/// Least exponent that is accepted: the straight edge.
pub const LEAST_EXPONENT: f64 = 1.0;
/// Greatest exponent that is accepted: nearly the box.
pub const GREATEST_EXPONENT: f64 = 20.0;

/// A quarter from `origin + ey` (where it runs along `ex`) to `origin + ex` (where it runs along `-ey`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SuperellipticArc {
    /// Where the two axes meet.
    pub origin: [f64; 2],
    /// From the origin to the end.
    pub ex: [f64; 2],
    /// From the origin to the start.
    pub ey: [f64; 2],
    /// Exponent: 1 straight, 2 elliptic, larger is fuller.
    pub exponent: f64,
}

impl SuperellipticArc {
    /// The quarter in the box of `a` and `b`: level at `a` and upright at `b`, or the other way round.
    pub fn in_box(a: [f64; 2], b: [f64; 2], level_at_start: bool, exponent: f64) -> Self {
        let exponent = exponent.clamp(LEAST_EXPONENT, GREATEST_EXPONENT);
        let origin = if level_at_start { [a[0], b[1]] } else { [b[0], a[1]] };
        let from_origin = |p: [f64; 2]| [p[0] - origin[0], p[1] - origin[1]];
        Self { origin, ex: from_origin(b), ey: from_origin(a), exponent }
    }

    /// Position and derivatives, `t` from 0 to 1.
    pub fn jet(&self, t: f64) -> Jet<2> {
        let ([x, y], [dx, dy], [ex, ey]) = unit_quarter(t, self.exponent);
        let map = |x: f64, y: f64| std::array::from_fn(|k| self.ex[k] * x + self.ey[k] * y);
        let p = map(x, y);
        Jet { p: [p[0] + self.origin[0], p[1] + self.origin[1]], d1: map(dx, dy), d2: map(ex, ey) }
    }
}

/// (X, Y) on the unit quarter with first and second derivative by t.
fn unit_quarter(t: f64, n: f64) -> ([f64; 2], [f64; 2], [f64; 2]) {
    // Held off the axes by a hair, where sin^(n-2) has no value for exponents below 2.
    let phi = (FRAC_PI_2 * t).clamp(1e-12, FRAC_PI_2 - 1e-12);
    let (s, c) = phi.sin_cos();
    let (sn, cn) = (s.powf(n), c.powf(n));
    let (ratio_s, ratio_c) = (sn / s, cn / c);
    let g = sn + cn;
    let dg = n * (ratio_s * c - ratio_c * s);
    let eg = n * ((n - 1.0) * (sn / (s * s) * c * c + cn / (c * c) * s * s) - sn - cn);
    let r = g.powf(-1.0 / n);
    let dr = -r * dg / (n * g);
    let er = -(dr * dg + r * eg) / (n * g) + r * dg * dg / (n * g * g);
    let k = FRAC_PI_2;
    (
        if t <= 0.0 {
            [0.0, 1.0]
        } else if t >= 1.0 {
            [1.0, 0.0]
        } else {
            [r * s, r * c]
        },
        [k * (dr * s + r * c), k * (dr * c - r * s)],
        [k * k * (er * s + 2.0 * dr * c - r * s), k * k * (er * c - 2.0 * dr * s - r * c)],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_match_differences_and_points_lie_on_the_curve() {
        for n in [1.3, 2.0, 2.6, 4.0, 9.0] {
            let arc = SuperellipticArc::in_box([0.0, 50.0], [60.0, 0.0], true, n);
            for i in 1..20 {
                let t = f64::from(i) / 20.0;
                let j = arc.jet(t);
                let on = (j.p[0] / 60.0).powf(n) + (j.p[1] / 50.0).powf(n);
                assert!((on - 1.0).abs() < 1e-12);
                let h = 1e-5;
                let (a, b) = (arc.jet(t - h), arc.jet(t + h));
                for k in 0..2 {
                    let scale = 1.0 + j.d2[k].abs();
                    assert!(((b.p[k] - a.p[k]) / (2.0 * h) - j.d1[k]).abs() < 1e-4 * scale);
                    assert!(((b.d1[k] - a.d1[k]) / (2.0 * h) - j.d2[k]).abs() < 1e-3 * scale);
                }
            }
        }
    }
}
