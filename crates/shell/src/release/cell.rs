//! A cell of the plug's surface: read at nine places, and between them by the quadratics through these.
//!
//! Over a cell of some millimetres on a smooth piece of a form those quadratics follow places and normals within thousandths, so that a
//! boundary is followed into a cell as far as is wanted without reading the loft again.

use super::survey::Spot;
use form::space::{Vector, cross, dot, length, sub, times};

/// What is read of the skin at a place.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sample {
    pub(crate) spot: Spot,
    /// Derivatives of the skin's place by the two variables.
    pub(crate) by: [Vector; 2],
}

/// A cell.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    /// At shares 0, 1/2 and 1 along, and at the same across for each.
    spots: [Spot; 9],
    /// Area of the skin by both shares, at the same places, mm².
    elements: [f64; 9],
    /// Its area under the coat, mm².
    pub(crate) area: f64,
    /// That by the area of the skin.
    pub(crate) shrinks: f64,
    /// Row from the front and column once round, for neighbours.
    pub(crate) at: [usize; 2],
}

/// Shares of a cell: from and to along it, from and to across it.
pub(crate) type Window = [[f64; 2]; 2];

/// All of it.
pub(crate) const WHOLE: Window = [[0.0, 1.0]; 2];
/// Simpson's weights.
const SIMPSON: [f64; 3] = [1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0];

impl Cell {
    /// Of nine samples, with the changes of the two variables over the cell and the coat over the plug; `flat` for a face, under which
    /// a coat is not taken off.
    pub(crate) fn new(samples: &[Sample; 9], size: [f64; 2], depth: f64, flat: bool, at: [usize; 2]) -> Self {
        let elements = samples.map(|s| length(cross(s.by[0], s.by[1])) * size[0] * size[1]);
        let shrinks = if flat || depth == 0.0 { 1.0 } else { shrinks(samples, size, depth) };
        let weighted = elements.iter().enumerate().map(|(k, e)| SIMPSON[k / 3] * SIMPSON[k % 3] * e);
        let area: f64 = weighted.sum();
        Self { spots: samples.map(|s| s.spot), elements, area: area * shrinks, shrinks, at }
    }

    pub(crate) fn mirrored(&self, column: usize) -> Self {
        Self { spots: self.spots.map(|s| s.mirrored()), at: [self.at[0], column], ..*self }
    }

    /// Its corners, in turn around it.
    pub(crate) fn corners(&self) -> [Spot; 4] {
        [0, 6, 8, 2].map(|k| self.spots[k])
    }

    /// Its middle.
    pub(crate) fn middle(&self) -> &Spot {
        &self.spots[4]
    }

    /// The place at a share along and across.
    pub(crate) fn spot(&self, share: [f64; 2]) -> Spot {
        let weights = weights(share);
        let mut out = Spot::default();
        for (w, s) in weights.iter().zip(&self.spots) {
            for k in 0..3 {
                out.p[k] += w * s.p[k];
                out.n[k] += w * s.n[k];
            }
            out.station += w * s.station;
            out.round += w * s.round;
        }
        out
    }

    /// Area of the skin in a window, mm²: two Gauss places each way.
    pub(crate) fn area_of(&self, [along, across]: &Window) -> f64 {
        let at = |[a, b]: [f64; 2], k: usize| 0.5 * (a + b) + 0.5 * (b - a) * [-1.0, 1.0][k] / 3f64.sqrt();
        let element = |k: usize| {
            let weights = weights([at(*along, k / 2), at(*across, k % 2)]);
            weights.iter().zip(&self.elements).map(|(w, e)| w * e).sum::<f64>()
        };
        0.25 * (0..4).map(element).sum::<f64>() * (along[1] - along[0]) * (across[1] - across[0])
    }
}

/// Corners of a window, in turn around it.
pub(crate) fn corners_of([[a, b], [c, d]]: &Window) -> [[f64; 2]; 4] {
    [[*a, *c], [*b, *c], [*b, *d], [*a, *d]]
}

/// One of the four quarters of a window.
pub(crate) fn quarter(window: &Window, k: usize) -> Window {
    let half = |[from, to]: [f64; 2], second: bool| {
        let middle = 0.5 * (from + to);
        if second { [middle, to] } else { [from, middle] }
    };
    [half(window[0], k & 1 == 1), half(window[1], k & 2 == 2)]
}

/// The quadratics of Lagrange through 0, 1/2 and 1, both ways.
fn weights([s, t]: [f64; 2]) -> [f64; 9] {
    let of = |x: f64| [(2.0 * x - 1.0) * (x - 1.0), 4.0 * x * (1.0 - x), x * (2.0 * x - 1.0)];
    let (a, b) = (of(s), of(t));
    std::array::from_fn(|k| a[k / 3] * b[k % 3])
}

/// Area under the coat by area of the skin, at the middle.
fn shrinks(samples: &[Sample; 9], size: [f64; 2], depth: f64) -> f64 {
    let change = |from: usize, to: usize, by: f64| times(sub(samples[to].spot.n, samples[from].spot.n), 1.0 / by);
    let (n, [by_w, by_f]) = (samples[4].spot.n, samples[4].by);
    let under = |by: Vector, change: Vector| sub(by, times(change, depth));
    let there = cross(under(by_w, change(1, 7, size[0])), under(by_f, change(3, 5, size[1])));
    let here = length(cross(by_w, by_f));
    if here > 0.0 { (dot(there, n) / here).max(0.0) } else { 1.0 }
}
