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

/// The polynomial: `[power of the first parameter][power of the second]`, both from -1 to 1.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Patch {
    coefficients: [[Vector; POINTS]; POINTS],
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
        let mut coefficients = half;
        for i in 0..POINTS {
            for j in 0..POINTS {
                half[i][j] = [0, 1, 2].map(|c| (0..POINTS).map(|k| basis[i][k] * values[k][j][c]).sum());
            }
        }
        for i in 0..POINTS {
            for j in 0..POINTS {
                coefficients[i][j] = [0, 1, 2].map(|c| (0..POINTS).map(|k| basis[j][k] * half[i][k][c]).sum());
            }
        }
        Self { coefficients }
    }

    pub(crate) fn read(&self, [s, t]: [f64; 2]) -> Read {
        let mut read = Read::default();
        for row in self.coefficients.iter().rev() {
            let (mut value, mut slope) = (row[POINTS - 1], [0.0; 3]);
            for coefficient in row[..POINTS - 1].iter().rev() {
                for c in 0..3 {
                    slope[c] = slope[c] * t + value[c];
                    value[c] = value[c] * t + coefficient[c];
                }
            }
            for c in 0..3 {
                read.by[0][c] = read.by[0][c] * s + read.p[c];
                read.p[c] = read.p[c] * s + value[c];
                read.by[1][c] = read.by[1][c] * s + slope[c];
            }
        }
        read
    }

    /// The mixed second derivative.
    pub(crate) fn mixed(&self, [s, t]: [f64; 2]) -> Vector {
        let (mut by_t, mut by_both) = ([0.0; 3], [0.0; 3]);
        for row in self.coefficients.iter().rev() {
            for c in 0..3 {
                let slope = (1..POINTS).rev().fold(0.0, |sum, j| sum * t + j as f64 * row[j][c]);
                by_both[c] = by_both[c] * s + by_t[c];
                by_t[c] = by_t[c] * s + slope;
            }
        }
        by_both
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
