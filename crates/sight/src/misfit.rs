//! Whether the form can follow what was traced at all, and how much less the traced points are worth if it cannot.
//!
//! With the right form, residuals are noise: their reduced chi-square is 1 and neighbours know nothing of each other. A form
//! outside the model leaves waves in them. Then the points count with their noise widened by reduced chi-square and by
//! (1 + ρ) / (1 - ρ), as n points with correlation ρ between neighbours are worth no more than n (1 - ρ) / (1 + ρ)
//! independent ones (Bayley and Hammersley 1946, for a first-order process). And no section counts as known better than the
//! form follows what was traced: what the residuals hold beside noise is added to the band.

use crate::look::{Look, Scene};
use crate::state::State;
use crate::traced::Memory;
use nalgebra::{Cholesky, DVector, Dyn};

/// How one photograph's outline, or its seams, are followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The photograph, counted from 0.
    pub photograph: usize,
    /// The outline; otherwise all seams.
    pub outline: bool,
    /// Points that count.
    pub points: usize,
    /// Share of the unknowns that these points determine.
    pub determined: f64,
    /// Root mean square of the residuals, px.
    pub rms_px: f64,
    /// Sum of squared residuals by the stated closeness, divided by points less determined unknowns; 1 is noise alone.
    pub chi_square: f64,
    /// Above this, chi-square is more than noise in 99 of 100 cases.
    pub chi_square_allowed: f64,
    /// Correlation of neighbouring residuals; near 0 is noise alone.
    pub correlation: f64,
    /// Above this, the correlation is more than noise in 99 of 100 cases.
    pub correlation_allowed: f64,
    /// By which factor the closeness was widened; 1 where residuals are noise.
    pub widened: f64,
}

impl Fit {
    /// Whether the residuals show more than noise.
    pub fn is_strained(&self) -> bool {
        self.widened > 1.0
    }

    /// What the residuals hold beside noise, px; 0 where they are noise.
    pub fn misfit_px(&self) -> f64 {
        if self.is_strained() { self.rms_px * (1.0 - 1.0 / self.chi_square).max(0.0).sqrt() } else { 0.0 }
    }
}

/// The normal quantile of 99 %.
const QUANTILE_99: f64 = 2.326;
/// No correlation counts as more than this: a longer wave is one that the form's unknowns would have taken.
const MOST_CORRELATED: f64 = 0.9;

pub(crate) fn fits(
    scene: &Scene<'_>,
    state: &State,
    look: &Look,
    memory: &[Memory],
    root: &Cholesky<f64, Dyn>,
) -> Vec<Fit> {
    (0..scene.groups.len()).filter_map(|group| fit(scene, state, look, memory, root, group)).collect()
}

fn fit(
    scene: &Scene<'_>,
    state: &State,
    look: &Look,
    memory: &[Memory],
    root: &Cholesky<f64, Dyn>,
    number: usize,
) -> Option<Fit> {
    let group = scene.groups[number];
    let all = scene.points.iter().zip(&look.contacts).zip(memory);
    let mut residuals = Vec::new();
    let mut determined = 0.0;
    for ((point, contact), _) in all.filter(|((p, _), m)| p.group == number && !m.left_out) {
        let contact = contact.as_ref()?;
        let row = DVector::from_vec(scene.row(state, point.photograph, contact)?) / group.used;
        determined += row.dot(&root.solve(&row));
        residuals.push((point.trace, contact.residual / group.stated));
    }
    let points = residuals.len();
    if points == 0 {
        return None;
    }
    // Determined unknowns never take all points: each keeps at least a tenth of its residual.
    let free = (points as f64 - determined).max(0.1 * points as f64);
    let sum: f64 = residuals.iter().map(|(_, r)| r * r).sum();
    let chi_square = sum / free;
    let neighbours: Vec<(f64, f64)> =
        residuals.windows(2).filter(|w| w[0].0 == w[1].0).map(|w| (w[0].1, w[1].1)).collect();
    let correlation = if sum > 0.0 && !neighbours.is_empty() {
        neighbours.iter().map(|(a, b)| a * b).sum::<f64>() / sum * points as f64 / neighbours.len() as f64
    } else {
        0.0
    };
    let correlation_allowed = QUANTILE_99 / (neighbours.len().max(1) as f64).sqrt();
    let chi_square_allowed = chi_square_quantile(free) / free;
    let rms_px = (sum / points as f64).sqrt() * group.stated;
    let mut fit = Fit {
        photograph: group.photograph,
        outline: group.outline,
        points,
        determined,
        rms_px,
        chi_square,
        chi_square_allowed,
        correlation,
        correlation_allowed,
        widened: 1.0,
    };
    fit.widened = widening(&fit);
    Some(fit)
}

/// Factor by which the stated closeness is to be widened.
fn widening(fit: &Fit) -> f64 {
    let waves = fit.correlation > fit.correlation_allowed;
    let large = fit.chi_square > fit.chi_square_allowed;
    if !waves && !large {
        return 1.0;
    }
    let rho = if waves { fit.correlation.min(MOST_CORRELATED) } else { 0.0 };
    (fit.chi_square * (1.0 + rho) / (1.0 - rho)).max(1.0).sqrt()
}

/// 99 % quantile of chi-square with `free` degrees of freedom (Wilson and Hilferty 1931).
fn chi_square_quantile(free: f64) -> f64 {
    let c = 2.0 / (9.0 * free);
    free * (1.0 - c + QUANTILE_99 * c.sqrt()).powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of chi-square at 0.99: 10 -> 23.209, 30 -> 50.892, 60 -> 88.379 (from memory of the printed tables).
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (free, table) in [(10.0, 23.209), (30.0, 50.892), (60.0, 88.379)] {
            assert!((chi_square_quantile(free) / table - 1.0).abs() < 2e-3);
        }
    }
}
