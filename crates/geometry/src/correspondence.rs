//! Which places of the control shapes belong together.
//!
//! Corresponding points lie at equal marks, and between two marks at equal fractions of the girth as measured in (u, v).
//! The marks of a half are its two ends and the knuckles that run through it. A control shape without a knuckle that
//! others have gets a silent mark where the nearest shape that has it would put it, so that a knuckle may fade out.

use crate::chain::{Chain, Place};
use crate::control::{ControlShape, Half, HalfChain};
use std::sync::Arc as Shared;

/// The stretch of one control shape between two marks.
#[derive(Clone, Debug)]
pub(crate) struct Stretch {
    chain: Shared<Chain>,
    s0: f64,
    s1: f64,
}

impl Stretch {
    /// The place at a fraction of the stretch, its tangent by the fraction.
    pub(crate) fn at(&self, fraction: f64) -> Place {
        let length = self.s1 - self.s0;
        let place = self.chain.at(self.s0 + fraction * length, self.s0, self.s1);
        Place { p: place.p, tangent: place.tangent.map(|d| d * length) }
    }

    /// Fractions at which the stretch is only piecewise smooth, and whether its curvature may jump there.
    pub(crate) fn breaks(&self) -> impl Iterator<Item = (f64, bool)> + '_ {
        let length = self.s1 - self.s0;
        self.chain.breaks(self.s0, self.s1).map(move |(s, jumps)| ((s - self.s0) / length, jumps))
    }
}

/// A knuckle that could not be used as a mark, because its order along the section differs from station to station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnuckleOutOfOrder {
    /// Its number.
    pub number: u32,
    /// A station where it lies on one side of the breadth or of another knuckle.
    pub here: f64,
    /// A station where it lies on the other.
    pub there: f64,
}

/// The marks of one half, in order from its start, and the stretches between them, by mark and by control shape.
#[derive(Clone, Debug, Default)]
pub(crate) struct Marked {
    /// Knuckle numbers between the two ends.
    pub(crate) knuckles: Vec<u32>,
    /// Stations of the control shapes that have this half.
    pub(crate) stations: Vec<f64>,
    /// `runs[r][j]`: run r of control shape j.
    pub(crate) runs: Vec<Vec<Stretch>>,
    pub(crate) out_of_order: Vec<KnuckleOutOfOrder>,
}

pub(crate) fn mark(controls: &[ControlShape], half: Half) -> Marked {
    let there: Vec<(f64, &HalfChain)> = controls.iter().filter_map(|c| Some((c.station, c.half(half)?))).collect();
    let mut out_of_order = Vec::new();
    let numbers = inner_numbers(controls, half, &mut out_of_order);
    let order = common_order(&there, numbers, &mut out_of_order);
    let rows: Vec<Vec<f64>> = (0..there.len()).map(|j| lengths(&there, j, &order)).collect();
    let run = |r: usize| -> Vec<Stretch> {
        let stretch = |j: usize| Stretch { chain: there[j].1.chain.clone(), s0: rows[j][r], s1: rows[j][r + 1] };
        (0..there.len()).map(stretch).collect()
    };
    let runs = if there.is_empty() { Vec::new() } else { (0..=order.len()).map(run).collect() };
    Marked { knuckles: order, stations: there.iter().map(|t| t.0).collect(), runs, out_of_order }
}

/// Where the knuckle lies on this half, if it does: (length, whether it lies at the half's breadth end).
fn position(shape: &ControlShape, half: Half, number: u32) -> Option<(f64, bool)> {
    let chain = shape.half(half)?;
    let s = chain.knuckles.iter().find(|k| k.number == number)?.s;
    let breadth = if half == Half::Upper { chain.chain.length() } else { 0.0 };
    Some((s, (s - breadth).abs() < 1e-9))
}

/// Knuckles that lie inside this half at some station and never inside the other.
fn inner_numbers(controls: &[ControlShape], half: Half, out: &mut Vec<KnuckleOutOfOrder>) -> Vec<u32> {
    let other = if half == Half::Upper { Half::Lower } else { Half::Upper };
    let mut numbers: Vec<u32> = Vec::new();
    for c in controls {
        for k in c.half(half).map_or(&[][..], |h| &h.knuckles) {
            let inside = position(c, half, k.number).is_some_and(|p| !p.1);
            if inside && !numbers.contains(&k.number) {
                numbers.push(k.number);
            }
        }
    }
    let inside = |h: Half, n: u32| controls.iter().find(|c| position(c, h, n).is_some_and(|p| !p.1));
    numbers.retain(|&n| match (inside(other, n), inside(half, n)) {
        (Some(there), Some(here)) => {
            if half == Half::Upper {
                out.push(KnuckleOutOfOrder { number: n, here: here.station, there: there.station });
            }
            false
        }
        _ => true,
    });
    numbers
}

/// A knuckle that runs through the breadth wherever it is: it needs no mark of its own.
pub(crate) fn breadth_knuckle(controls: &[ControlShape]) -> Option<u32> {
    let halves = [Half::Upper, Half::Lower];
    let numbers = controls.iter().flat_map(|c| halves.into_iter().filter_map(|h| c.half(h))).flat_map(|h| &h.knuckles);
    let inside = |n: u32| {
        controls
            .iter()
            .any(|c| halves.into_iter().any(|h| position(c, h, n).is_some_and(|(_, at_breadth)| !at_breadth)))
    };
    numbers.map(|k| k.number).find(|&n| !inside(n))
}

/// The numbers in an order that every shape agrees with; those that would contradict it are left out.
fn common_order(there: &[(f64, &HalfChain)], numbers: Vec<u32>, out: &mut Vec<KnuckleOutOfOrder>) -> Vec<u32> {
    let at = |h: &HalfChain, n: u32| h.knuckles.iter().find(|k| k.number == n).map(|k| k.s);
    let mut order: Vec<u32> = Vec::new();
    for n in numbers {
        // How many of the knuckles already in order lie ahead of n, as the first shape with both of them has it.
        let lies_after = |m: u32| there.iter().find_map(|(_, h)| Some(at(h, n)? > at(h, m)?)).unwrap_or(false);
        let place = order.iter().take_while(|&&m| lies_after(m)).count();
        let mut with = order.clone();
        with.insert(place, n);
        let contradiction = there.iter().find(|(_, h)| {
            let s: Vec<f64> = with.iter().filter_map(|&m| at(h, m)).collect();
            s.windows(2).any(|w| w[1] < w[0])
        });
        match contradiction {
            Some((x, _)) => out.push(KnuckleOutOfOrder { number: n, here: there[0].0, there: *x }),
            None => order = with,
        }
    }
    order
}

/// Lengths of all marks of shape j: start, knuckles in order (silent ones filled in), end.
fn lengths(there: &[(f64, &HalfChain)], j: usize, order: &[u32]) -> Vec<f64> {
    let own = |h: &HalfChain, n: u32| h.knuckles.iter().find(|k| k.number == n).map(|k| k.s);
    let (x, shape) = there[j];
    let mut marks: Vec<Option<f64>> = order.iter().map(|&n| own(shape, n)).collect();
    for i in 0..order.len() {
        if marks[i].is_some() {
            continue;
        }
        let donors = there.iter().filter(|(_, h)| own(h, order[i]).is_some());
        let nearest = donors.min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()));
        let fraction =
            nearest.map_or(0.5, |(_, h)| own(h, order[i]).unwrap_or(0.0) / h.chain.length().max(f64::MIN_POSITIVE));
        let low = marks[..i].iter().rev().find_map(|m| *m).unwrap_or(0.0);
        let high = marks[i + 1..].iter().find_map(|m| *m).unwrap_or_else(|| shape.chain.length());
        marks[i] = Some((fraction * shape.chain.length()).clamp(low, high));
    }
    std::iter::once(0.0).chain(marks.into_iter().flatten()).chain([shape.chain.length()]).collect()
}
