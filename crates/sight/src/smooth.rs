//! Smooth random functions of the station: a Gaussian process with a squared exponential kernel, seen through its knots.
//!
//! ```text
//!   k(x, x') = exp(-(x - x')² / 2 l²),  d(x) = sd · Σ_j φ_j(x) z_j,  z_j independent with deviation 1
//! ```
//!
//! Where an end section is given, the process is conditioned on being zero there. Rasmussen and Williams, *Gaussian
//! Processes for Machine Learning*, 2006, equations 2.16 and 2.19 for the conditioning and 2.31 for the kernel.

use nalgebra::{Cholesky, DMatrix, DVector};

/// Added to the kernel's diagonal, as knots closer than the correlation length make it nearly singular.
const JITTER: f64 = 1e-9;

/// A direction with less than this share of its length left beside the others is one of them.
const SQUARE: f64 = 1e-6;

/// The functions φ_j of one range.
#[derive(Clone, Debug)]
pub(crate) struct Smooth {
    knots: Vec<f64>,
    length: f64,
    /// From the unknowns z to the kernels' weights.
    weights: DMatrix<f64>,
}

impl Smooth {
    #[cfg(test)]
    pub(crate) fn new(range: (f64, f64), reach: f64, count: usize, held: [bool; 2]) -> Option<Self> {
        Self::holding(range, reach, count, held, &[])
    }

    /// `count` knots evenly over the range; `reach` is the correlation length in mm; `held` says whether the process is zero
    /// at the front and at the rear, `given` at which stations between. `None` if the kernel has no root, as with a reach of many
    /// ranges.
    pub(crate) fn holding(range: (f64, f64), reach: f64, count: usize, held: [bool; 2], given: &[f64]) -> Option<Self> {
        let last = count.checked_sub(1).filter(|&last| last > 0)?;
        let step = (range.1 - range.0) / last as f64;
        let knots: Vec<f64> = (0..count).map(|i| range.0 + step * i as f64).collect();
        let kernel = |a: f64, b: f64| (-0.5 * ((a - b) / reach).powi(2)).exp();
        let all = DMatrix::from_fn(count, count, |i, j| kernel(knots[i], knots[j]) + if i == j { JITTER } else { 0.0 });
        let is_held = |i: usize| (i == 0 && held[0]) || (i == last && held[1]);
        let (fixed, free): (Vec<usize>, Vec<usize>) = (0..count).partition(|&i| is_held(i));
        let root = conditioned(&all, &fixed, &free)?;
        let mut values = DMatrix::zeros(count, free.len());
        free.iter().enumerate().for_each(|(row, &i)| values.set_row(i, &root.row(row)));
        let weights = Cholesky::new(all)?.solve(&values);
        let free = Self { knots, length: reach, weights };
        Some(if given.is_empty() { free } else { free.zero_at(given) })
    }

    /// The process conditioned on being zero at stations: the unknowns that would move it there are taken out. What is left of
    /// them are the directions square to the rows φ(station), found by turning those rows into axes.
    fn zero_at(self, stations: &[f64]) -> Self {
        let count = self.count();
        let mut axes: Vec<DVector<f64>> = Vec::new();
        let mut held = 0;
        let rows = stations.iter().map(|x| DVector::from_vec(self.at(*x)));
        let units = (0..count).map(|i| DVector::from_fn(count, |row, _| if row == i { 1.0 } else { 0.0 }));
        for (number, candidate) in rows.chain(units).enumerate() {
            let size = candidate.norm();
            // Twice, so that what is left is square to the others to the last digit.
            let cleared = (0..2).fold(candidate, |v, _| axes.iter().fold(v, |v, axis| &v - axis * axis.dot(&v)));
            if size > 0.0 && cleared.norm() > SQUARE * size && axes.len() < count {
                held += usize::from(number < stations.len());
                axes.push(cleared.normalize());
            }
        }
        let free = DMatrix::from_fn(count, axes.len() - held, |row, i| axes[held + i][row]);
        Self { weights: &self.weights * free, ..self }
    }

    /// How many unknowns one function has.
    pub(crate) fn count(&self) -> usize {
        self.weights.ncols()
    }

    /// The kernels' weights of the function with these unknowns.
    pub(crate) fn weights(&self, unknowns: &[f64]) -> DVector<f64> {
        &self.weights * DVector::from_column_slice(unknowns)
    }

    /// The kernels at a station.
    pub(crate) fn kernels(&self, x: f64) -> impl Iterator<Item = Kernel> + '_ {
        self.knots.iter().map(move |knot| {
            let u = (x - knot) / self.length;
            let value = (-0.5 * u * u).exp();
            Kernel { value, slope: -value * u / self.length }
        })
    }

    /// φ_j at a station.
    pub(crate) fn at(&self, x: f64) -> Vec<f64> {
        let mut out = vec![0.0; self.count()];
        for (i, kernel) in self.kernels(x).enumerate() {
            out.iter_mut().enumerate().for_each(|(j, v)| *v += kernel.value * self.weights[(i, j)]);
        }
        out
    }
}

/// One kernel at a station.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Kernel {
    pub(crate) value: f64,
    pub(crate) slope: f64,
}

/// Root of the covariance at the free knots, the held ones being known to be zero.
fn conditioned(all: &DMatrix<f64>, fixed: &[usize], free: &[usize]) -> Option<DMatrix<f64>> {
    let part =
        |rows: &[usize], cols: &[usize]| DMatrix::from_fn(rows.len(), cols.len(), |i, j| all[(rows[i], cols[j])]);
    let mut covariance = part(free, free);
    if !fixed.is_empty() {
        let across = part(fixed, free);
        covariance -= across.transpose() * Cholesky::new(part(fixed, fixed))?.solve(&across);
    }
    Some(Cholesky::new(covariance)?.unpack())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The covariance of the conditioned process in closed form for two held ends: k(x,x') - k(x)ᵀ K⁻¹ k(x') with the 2 x 2
    /// inverse written out.
    #[test]
    fn covariance_is_that_of_the_conditioned_process() {
        let smooth = Smooth::new((0.0, 1.0), 0.35, 9, [true, true]).unwrap();
        let k = |d: f64| (-0.5 * (d / 0.35_f64).powi(2)).exp();
        let e = k(1.0);
        let closed = |x: f64, y: f64| {
            let (a, b, c, d) = (k(x), k(1.0 - x), k(y), k(1.0 - y));
            k(x - y) - (a * c + b * d - e * (a * d + b * c)) / (1.0 - e * e)
        };
        for (x, y) in [(0.5, 0.5), (0.3, 0.8), (0.06, 0.06), (0.45, 0.1), (0.93, 0.93)] {
            let (a, b) = (smooth.at(x), smooth.at(y));
            let seen: f64 = a.iter().zip(&b).map(|(a, b)| a * b).sum();
            assert!((seen - closed(x, y)).abs() < 2e-4, "{x} {y}: {seen} {}", closed(x, y));
        }
        assert!(smooth.at(0.0).iter().chain(&smooth.at(1.0)).all(|v| v.abs() < 1e-6));
    }

    /// Held at a station, the covariance is that of the process conditioned there too: c(x, y) - c(x, g) c(g, y) / c(g, g).
    #[test]
    fn a_station_that_is_given_stays_and_its_neighbours_know() {
        let plain = Smooth::new((0.0, 1.0), 0.35, 9, [true, true]).unwrap();
        let held = Smooth::holding((0.0, 1.0), 0.35, 9, [true, true], &[0.4]).unwrap();
        assert_eq!(held.count(), plain.count() - 1);
        let c = |s: &Smooth, x: f64, y: f64| s.at(x).iter().zip(s.at(y)).map(|(a, b)| a * b).sum::<f64>();
        assert!(held.at(0.4).iter().all(|v| v.abs() < 1e-9));
        for (x, y) in [(0.2, 0.2), (0.3, 0.6), (0.8, 0.8), (0.45, 0.45)] {
            let wanted = c(&plain, x, y) - c(&plain, x, 0.4) * c(&plain, 0.4, y) / c(&plain, 0.4, 0.4);
            assert!((c(&held, x, y) - wanted).abs() < 1e-9);
        }
    }

    #[test]
    fn slopes_match_differences() {
        let smooth = Smooth::new((10.0, 90.0), 30.0, 9, [true, false]).unwrap();
        assert_eq!(smooth.count(), 8);
        let h = 1e-5;
        for x in [12.0, 40.0, 88.0] {
            let (a, b) = (smooth.kernels(x - h), smooth.kernels(x + h));
            for ((a, b), k) in a.zip(b).zip(smooth.kernels(x)) {
                assert!(((b.value - a.value) / (2.0 * h) - k.slope).abs() < 1e-8);
            }
        }
    }
}
