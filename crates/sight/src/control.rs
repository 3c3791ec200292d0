//! The solved form as a document can hold it: control sections of two superelliptic arcs, or of points where a section departs
//! from them, and points of breadth line and breadth height. Plain data; crown and keel stay as they are.

use crate::shape::{Frame, Shape};
use crate::solution::{SectionNumbers, Solution};
use std::f64::consts::PI;

/// One control section and the points of the two lines at its station.
#[derive(Clone, Debug, PartialEq)]
pub struct Control {
    /// mm aft of the datum.
    pub station: f64,
    /// Breadth, breadth height and the exponents of the arcs above and below the breadth.
    pub numbers: SectionNumbers,
    /// What the section is drawn by.
    pub outline: ControlOutline,
}

/// How a control section is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum ControlOutline {
    /// By one superelliptic arc above and one below the breadth, with the exponents of the numbers.
    Arcs,
    /// By smooth points (u, v) in shares of the half box each lies in, from below the crown to above the keel, without crown,
    /// breadth and keel themselves: u = half-breadth / breadth, v from 1 at the crown over 0 at the breadth to -1 at the keel.
    Points {
        /// Between crown and breadth, from the crown.
        above: Vec<[f64; 2]>,
        /// Between breadth and keel, from the breadth.
        below: Vec<[f64; 2]>,
    },
}

/// Most stations that are asked for, whatever the tolerance.
const MOST: usize = 33;
/// Fewest: with four, a cubic follows each line at all.
const FEWEST: usize = 4;
/// Looks between two neighbours.
const LOOKS: usize = 4;
/// Points of each half of a section that is drawn by points.
const POINTS: usize = 7;

impl Solution {
    /// The form at these stations; those where it has no section are left out.
    ///
    /// A section that departs from superelliptic arcs by more than `tolerance` mm, which it can only where the prior lets it, is
    /// drawn by points.
    pub fn controls(&self, stations: &[f64], tolerance: f64) -> Vec<Control> {
        let shape = self.shape();
        let of = |x: &f64| {
            let frame = shape.frame(*x)?;
            Some(Control { station: *x, numbers: SectionNumbers::from(&frame), outline: outline(&frame, tolerance) })
        };
        stations.iter().filter_map(of).collect()
    }

    /// The fewest evenly spaced stations, both ends among them, between which cubics through the numbers follow the solved form
    /// within `tolerance` mm, by breadth, breadth height, and each half's place at 45 degrees, which stands for its shape; at
    /// most 33.
    pub fn control_stations(&self, tolerance: f64) -> Vec<f64> {
        let (low, high) = self.task.model.range();
        let even =
            |count: usize| (0..count).map(|i| low + (high - low) * i as f64 / (count - 1) as f64).collect::<Vec<f64>>();
        let shape = self.shape();
        let count = (FEWEST..MOST).find(|count| follows(&shape, &even(*count), tolerance)).unwrap_or(MOST);
        even(count)
    }
}

fn outline(frame: &Frame, tolerance: f64) -> ControlOutline {
    let plain = frame.superelliptic();
    let angle = |i: usize| PI * (i as f64 + 1.0) / (2.0 * (POINTS as f64 + 1.0));
    let all: Vec<f64> = (0..2 * POINTS + 1).map(angle).collect();
    let apart = |a: &f64| (frame.place(*a).point - plain.place(*a).point).norm();
    if all.iter().map(apart).fold(0.0, f64::max) <= tolerance {
        return ControlOutline::Arcs;
    }
    let unit = |a: &f64| {
        let point = frame.place(*a).point;
        let up = point.z - frame.middle.0;
        [point.y / frame.breadth.0, up / frame.heights[usize::from(up < 0.0)].0]
    };
    let points = |angles: &[f64]| angles.iter().map(unit).collect();
    ControlOutline::Points { above: points(&all[..POINTS]), below: points(&all[POINTS + 1..]) }
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

/// Half-breadth, breadth height, and the half-breadths at 45 degrees above and below, which stand for the exponents.
fn lengths(frame: &Frame) -> [f64; 4] {
    let corner = |angle: f64| frame.place(angle).point.y;
    [frame.breadth.0, frame.middle.0, corner(0.25 * PI), corner(0.75 * PI)]
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
