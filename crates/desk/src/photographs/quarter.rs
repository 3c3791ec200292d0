//! A quarter of a section in unit coordinates, by its radius over the angle from the centre plane, and the superelliptic quarter
//! that goes best with it.

use geometry::section::Section;
use std::f64::consts::FRAC_PI_2;

/// Angles at which quarters are compared.
const LOOKS: usize = 24;
/// Chord error of the sections that are read, mm.
const CHORD: f64 = 0.005;
/// A half box thinner than this, mm, has no shape.
const THIN: f64 = 0.05;
/// Exponents that are sought.
const EXPONENTS: (f64, f64) = (1.02, 15.0);

/// A quarter: its points (u, v) from the centre plane to the breadth, both counted positive.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct UnitQuarter(Vec<[f64; 2]>);

impl UnitQuarter {
    /// The quarters above and below the breadth; `None` where the section has no breadth or a half no height.
    pub(super) fn of(section: &Section<'_>) -> Option<[Self; 2]> {
        let (breadth, middle) = (section.breadth(), section.breadth_height());
        let heights = [section.crown() - middle, middle - section.keel()];
        if !(breadth > THIN && heights.iter().all(|h| *h > THIN)) {
            return None;
        }
        let points = section.polyline(CHORD);
        let split = points.iter().position(|p| p[1] <= middle)?;
        let above = points[..split].iter().map(|p| [p[0] / breadth, (p[1] - middle) / heights[0]]);
        let below = points[split..].iter().rev().map(|p| [p[0] / breadth, (middle - p[1]) / heights[1]]);
        let closed = |inner: Vec<[f64; 2]>| Self(inner.into_iter().chain([[1.0, 0.0]]).collect());
        Some([closed(above.collect()), closed(below.collect())])
    }

    /// Through places (u, v) from the centre plane to the breadth.
    pub(super) fn through(points: Vec<[f64; 2]>) -> Self {
        Self(points)
    }

    /// The radius at an angle from the centre plane.
    pub(super) fn radius(&self, angle: f64) -> f64 {
        let (sin, cos) = angle.sin_cos();
        // The chord that the ray at this angle crosses.
        let side = |p: &[f64; 2]| p[0] * cos - p[1] * sin;
        let crossing = self.0.windows(2).find(|w| side(&w[0]) <= 0.0 && side(&w[1]) >= 0.0);
        let Some([a, b]) = crossing.map(|w| [w[0], w[1]]) else { return 1.0 };
        let (from, to) = (side(&a), side(&b));
        let t = if to > from { -from / (to - from) } else { 0.0 };
        (a[0] + t * (b[0] - a[0])).hypot(a[1] + t * (b[1] - a[1]))
    }

    /// The exponent of the superelliptic quarter nearest to it: least squares of the radii's logarithms by golden section (the
    /// radius rises with the exponent at every angle, so there is one minimum).
    pub(super) fn exponent(&self) -> f64 {
        let radii: Vec<(f64, f64)> = angles().map(|a| (a, self.radius(a).ln())).collect();
        let misfit = |n: f64| radii.iter().map(|(a, r)| (r - superelliptic(*a, n).ln()).powi(2)).sum::<f64>();
        let golden = 0.5 * (5_f64.sqrt() - 1.0);
        let (mut low, mut high) = (EXPONENTS.0.ln(), EXPONENTS.1.ln());
        for _ in 0..60 {
            let (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if misfit(a.exp()) < misfit(b.exp()) { high = b } else { low = a }
        }
        (0.5 * (low + high)).exp()
    }

    /// How far it lies from the superelliptic quarter of an exponent at most, as a share of the radius.
    pub(super) fn departure(&self, exponent: f64) -> f64 {
        angles().map(|a| (self.radius(a) / superelliptic(a, exponent) - 1.0).abs()).fold(0.0, f64::max)
    }
}

fn angles() -> impl Iterator<Item = f64> {
    (0..LOOKS).map(|i| FRAC_PI_2 * (i as f64 + 0.5) / LOOKS as f64)
}

/// The radius of uⁿ + vⁿ = 1.
pub(super) fn superelliptic(angle: f64, exponent: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    (sin.powf(exponent) + cos.powf(exponent)).powf(-1.0 / exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quarter(exponent: f64) -> UnitQuarter {
        let place = |i: usize| {
            let angle = FRAC_PI_2 * i as f64 / 400.0;
            let r = superelliptic(angle, exponent);
            [r * angle.sin(), r * angle.cos()]
        };
        UnitQuarter::through((0..=400).map(place).collect())
    }

    #[test]
    fn a_superelliptic_quarter_gives_its_own_exponent() {
        for exponent in [1.5, 2.0, 2.6, 4.0] {
            let quarter = quarter(exponent);
            assert!((quarter.exponent() - exponent).abs() < 1e-3, "{exponent}: {}", quarter.exponent());
            assert!(quarter.departure(exponent) < 1e-4);
        }
    }

    /// On the diagonal a superellipse has u = v = 2^(-1/n).
    #[test]
    fn the_radius_on_the_diagonal_is_the_closed_form() {
        let r = quarter(3.0).radius(0.5 * FRAC_PI_2);
        assert!((r - 2_f64.sqrt() * 0.5_f64.powf(1.0 / 3.0)).abs() < 1e-5);
    }
}
