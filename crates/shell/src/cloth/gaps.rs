//! Where a net does not come to, and what keeps it from there.

use crate::drape::{Net, Number, Stop};
use form::space::Vector;
use std::collections::BTreeMap;

/// A patch of cloth that is not there where it should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The last crossing on the part before it, mm, seen from the start.
    pub at: Vector,
    /// What keeps the net from going on there.
    pub why: Stop,
    /// Its area as far as crossings beside it tell, mm²: no less than that is missed.
    pub area: f64,
}

/// The gaps of a net among the cells that are asked for, the largest first.
pub(super) fn gaps(net: &Net, asked: impl Fn(Number) -> bool) -> Vec<Gap> {
    let mut left: BTreeMap<Number, f64> = net.missing_shares(asked);
    let mut out = Vec::new();
    while let Some((number, share)) = left.pop_first() {
        let (mut cells, mut open) = (0.0, vec![(number, share)]);
        let mut first = number;
        while let Some((number, share)) = open.pop() {
            cells += share;
            first = std::cmp::min_by_key(first, number, |n| from_start(*n));
            open.extend(beside(number).into_iter().filter_map(|n| left.remove_entry(&n)));
        }
        let Some((at, why)) = net.stopped(first) else { continue };
        out.push(Gap { at, why, area: cells * net.cell() * net.cell() });
    }
    sorted(out)
}

/// The largest first.
pub(super) fn sorted(mut gaps: Vec<Gap>) -> Vec<Gap> {
    gaps.sort_by(|a, b| b.area.total_cmp(&a.area));
    gaps
}

/// Steps from the start to the middle of a cell, doubled.
fn from_start([i, j]: Number) -> i32 {
    (2 * i + 1).abs() + (2 * j + 1).abs()
}

fn beside([i, j]: Number) -> [Number; 8] {
    [[1, 0], [1, 1], [0, 1], [-1, 1], [-1, 0], [-1, -1], [0, -1], [1, -1]].map(|[a, b]| [i + a, j + b])
}
