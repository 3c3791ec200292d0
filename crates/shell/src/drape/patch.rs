//! A piece of a surface as a polynomial of degree five in each parameter.
//!
//! It runs through values at six by six Chebyshev points, edges included, so that neighbours which share the values of an edge
//! meet without a gap.

use form::space::Vector;
use std::f64::consts::PI;

/// Points of a patch along each parameter.
pub(crate) const POINTS: usize = 6;

/// Chebyshev points of the second kind, rising from -1 to 1.
pub(crate) fn points() -> [f64; POINTS] {
    std::array::from_fn(|k| -(PI * k as f64 / (POINTS - 1) as f64).cos())
}

/// Coefficients of 1, t, t², ... of the polynomials that are 1 at one of the points and 0 at the others: `[power][point]`.
pub(crate) fn basis() -> [[f64; POINTS]; POINTS] {
    let points = points();
    let mut out = [[0.0; POINTS]; POINTS];
    for k in 0..POINTS {
        let mut product = [0.0; POINTS];
        product[0] = 1.0;
        for (other, &t) in points.iter().enumerate().filter(|(other, _)| *other != k) {
            let scale = 1.0 / (points[k] - points[other]);
            for power in (0..POINTS).rev() {
                let lower = if power > 0 { product[power - 1] } else { 0.0 };
                product[power] = scale * (lower - t * product[power]);
            }
        }
        (0..POINTS).for_each(|power| out[power][k] = product[power]);
    }
    out
}

/// The polynomial in two parameters from -1 to 1: `[power of the second][coordinate][power of the first]`, so that Horner's rule in the
/// second runs over all powers of the first side by side.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Patch {
    coefficients: [[[f64; POINTS]; 3]; POINTS],
}

/// Value and derivatives at a place of a patch.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Read {
    pub(crate) p: Vector,
    pub(crate) by: [Vector; 2],
}

impl Patch {
    /// The patch through values `[first][second]` at the points.
    pub(crate) fn through(values: &[[Vector; POINTS]; POINTS], basis: &[[f64; POINTS]; POINTS]) -> Self {
        let mut half = [[[0.0; 3]; POINTS]; POINTS];
        let mut coefficients = [[[0.0; POINTS]; 3]; POINTS];
        for i in 0..POINTS {
            for j in 0..POINTS {
                half[i][j] = [0, 1, 2].map(|c| (0..POINTS).map(|k| basis[i][k] * values[k][j][c]).sum());
            }
        }
        for (j, by_second) in coefficients.iter_mut().enumerate() {
            for (c, by_first) in by_second.iter_mut().enumerate() {
                for (i, coefficient) in by_first.iter_mut().enumerate() {
                    *coefficient = (0..POINTS).map(|k| basis[j][k] * half[i][k][c]).sum();
                }
            }
        }
        Self { coefficients }
    }

    #[inline]
    pub(crate) fn read(&self, [s, t]: [f64; 2]) -> Read {
        let mut read = Read::default();
        let [lower @ .., last] = &self.coefficients;
        for c in 0..3 {
            let (mut value, mut slope) = (last[c], [0.0; POINTS]);
            for row in lower.iter().rev() {
                for i in 0..POINTS {
                    slope[i] = slope[i] * t + value[i];
                    value[i] = value[i] * t + row[c][i];
                }
            }
            for i in (0..POINTS).rev() {
                read.by[0][c] = read.by[0][c] * s + read.p[c];
                read.p[c] = read.p[c] * s + value[i];
                read.by[1][c] = read.by[1][c] * s + slope[i];
            }
        }
        read
    }

    /// The mixed second derivative.
    pub(crate) fn mixed(&self, [s, t]: [f64; 2]) -> Vector {
        [0, 1, 2].map(|c| {
            let slope =
                |i: usize| (1..POINTS).rev().fold(0.0, |sum, j| sum * t + j as f64 * self.coefficients[j][c][i]);
            (1..POINTS).rev().fold(0.0, |sum, i| sum * s + i as f64 * slope(i))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_patch_reads_a_polynomial_of_its_degree_exactly_with_all_derivatives() {
        let value = |s: f64, t: f64| [s.powi(5) * t.powi(3) - t, s * t.powi(5) + 2.0 * s * s, 1.0 + s.powi(4) * t];
        let at = points();
        let patch = Patch::through(&std::array::from_fn(|i| std::array::from_fn(|j| value(at[i], at[j]))), &basis());
        let (s, t) = (0.37, -0.81);
        let read = patch.read([s, t]);
        let by_s = [5.0 * s.powi(4) * t.powi(3), t.powi(5) + 4.0 * s, 4.0 * s.powi(3) * t];
        let by_t = [3.0 * s.powi(5) * t * t - 1.0, 5.0 * s * t.powi(4), s.powi(4)];
        let mixed = [15.0 * s.powi(4) * t * t, 5.0 * t.powi(4), 4.0 * s.powi(3)];
        for c in 0..3 {
            assert!((read.p[c] - value(s, t)[c]).abs() < 1e-13);
            assert!((read.by[0][c] - by_s[c]).abs() < 1e-12 && (read.by[1][c] - by_t[c]).abs() < 1e-12);
            assert!((patch.mixed([s, t])[c] - mixed[c]).abs() < 1e-12);
        }
    }
}
