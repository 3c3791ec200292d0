//! The solved form as a document can hold it: control sections of two superelliptic arcs, and points of breadth line and breadth
//! height. Plain data; crown and keel stay as they are.

use crate::shape::{Frame, Shape};
use crate::solution::{SectionNumbers, Solution};

/// One control section and the points of the two lines at its station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Control {
    /// mm aft of the datum.
    pub station: f64,
    /// Breadth, breadth height and the exponents of the arcs above and below the breadth.
    pub numbers: SectionNumbers,
}

/// Most stations that are asked for, whatever the tolerance.
const MOST: usize = 33;
/// Fewest: with three, a cubic follows each line at all.
const FEWEST: usize = 4;
/// Looks between two neighbours.
const LOOKS: usize = 4;

impl Solution {
    /// The form at these stations; those where it has no section are left out.
    pub fn controls(&self, stations: &[f64]) -> Vec<Control> {
        let shape = self.shape();
        let of = |x: &f64| shape.frame(*x).map(|f| Control { station: *x, numbers: SectionNumbers::from(&f) });
        stations.iter().filter_map(of).collect()
    }

    /// The fewest evenly spaced stations, both ends among them, between which cubics through the numbers follow the solved form
    /// within `tolerance` mm, by breadth, breadth height and the corner of the exponents; at most 33.
    pub fn control_stations(&self, tolerance: f64) -> Vec<f64> {
        let (low, high) = self.task.model.range();
        let even = |count: usize| -> Vec<f64> {
            (0..count).map(|i| low + (high - low) * i as f64 / (count - 1) as f64).collect()
        };
        let shape = self.shape();
        let count = (FEWEST..MOST).find(|count| follows(&shape, &even(*count), tolerance)).unwrap_or(MOST);
        even(count)
    }
}

fn follows(shape: &Shape<'_>, stations: &[f64], tolerance: f64) -> bool {
    let frames: Vec<[f64; 4]> = stations.iter().filter_map(|x| shape.frame(*x)).map(|f| lengths(&f)).collect();
    if frames.len() < stations.len() {
        return false;
    }
    let (low, high) = (stations[0], stations[stations.len() - 1]);
    let looks = (stations.len() - 1) * LOOKS;
    (0..looks).all(|i| {
        let x = low + (high - low) * (i as f64 + 0.5) / looks as f64;
        let here = shape.frame(x).map(|f| lengths(&f));
        let cubic = through_four(stations, &frames, x);
        here.is_some_and(|here| here.iter().zip(&cubic).all(|(a, b)| (a - b).abs() < tolerance))
    })
}

/// Half-breadth, breadth height, and the half-breadths at 45 degrees of the half boxes, which stand for the exponents.
fn lengths(frame: &Frame) -> [f64; 4] {
    let corner = |n: f64| frame.breadth.0 * 0.5_f64.powf(1.0 / n);
    [frame.breadth.0, frame.middle.0, corner(frame.exponents[0].0), corner(frame.exponents[1].0)]
}

/// The cubic through the four stations nearest to x (Lagrange).
fn through_four(stations: &[f64], values: &[[f64; 4]], x: f64) -> [f64; 4] {
    let after = stations.partition_point(|s| *s < x);
    let first = after.saturating_sub(2).min(stations.len() - 4);
    let mut out = [0.0; 4];
    for i in first..first + 4 {
        let others = (first..first + 4).filter(|j| *j != i);
        let share: f64 = others.map(|j| (x - stations[j]) / (stations[i] - stations[j])).product();
        out.iter_mut().zip(&values[i]).for_each(|(o, v)| *o += share * v);
    }
    out
}
