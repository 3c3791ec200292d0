//! What a net tells: shear, covered area, where the cloth locks.
//!
//! The shear of a cell is the angle by which its links have left the right angle. With d and e the vectors between the middles of
//! opposite links it is asin(d e / |d| |e|), for links of one length 90° - 2 atan(D / E) of the diagonals D and E; positive where
//! the diagonal away from 0 along rising numbers has grown.

use super::net::{Net, Node, Number};
use super::surface::between;
use form::space::{Vector, dot, length, sub};
use std::collections::BTreeMap;

/// What keeps a net from going on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// Two links do not meet: the cloth before is sheared until its yarns lie side by side.
    Shut,
    /// One of the two yarns through the start finds no way on that is straight.
    YarnEnds,
    /// The yarns that would cross there run off the surface first, or wind round it, further than they are followed.
    OutOfReach,
}

/// A cell of a net.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Number of its least corner.
    pub number: Number,
    /// Its middle, mm.
    pub middle: Vector,
    /// Signed shear, degrees.
    pub shear_deg: f64,
    /// Share of it that lies on the part.
    pub on_part: f64,
    /// Share of it that lies within the cut line.
    pub of_cloth: f64,
    /// The surface's area over the cell's, whose sides are chords: an arc that turns by t is longer than its chord by t² / 24 of it.
    pub arched: f64,
}

impl Cell {
    /// Whether most of it lies on the part, so that its shear counts there.
    pub fn counts(&self) -> bool {
        self.on_part >= 0.5
    }
}

impl Net {
    /// All cells with four nodes.
    pub fn cells(&self) -> impl Iterator<Item = Cell> {
        self.nodes().filter_map(|(number, _)| Some(cell(number, self.corners(number)?)))
    }

    /// Area under the cloth, mm²: of every cell the square of its side times the cosine of its shear, by the share of it
    /// that lies on the part. Goes to the part's own area as the cell shrinks, where the net covers it.
    pub fn covered_area(&self) -> f64 {
        let square = self.cell() * self.cell();
        self.cells().map(|c| square * c.on_part * c.shear_deg.to_radians().cos()).sum()
    }

    /// Cells on the part that are not there though a corner of theirs is, in cells: where the net is shut, or its yarns ran out.
    pub fn missed(&self) -> f64 {
        self.missed_where(|_| true)
    }

    /// The same, of cells that are asked for by their number.
    pub(crate) fn missed_where(&self, asked: impl Fn(Number) -> bool) -> f64 {
        self.missing_shares(asked).values().sum()
    }

    /// Those cells, each once, in order.
    pub(crate) fn missing(&self, asked: impl Fn(Number) -> bool) -> Vec<Number> {
        self.missing_shares(asked).into_keys().collect()
    }

    /// Those cells, each with the share of it that counts as missed: a quarter for every corner on the part.
    pub(crate) fn missing_shares(&self, asked: impl Fn(Number) -> bool) -> BTreeMap<Number, f64> {
        let mut shares = BTreeMap::new();
        for number in self.inside().flat_map(around) {
            if asked(number) && self.corners(number).is_none() {
                *shares.entry(number).or_insert(0.0) += 0.25;
            }
        }
        shares
    }

    /// The last crossing on the part before a cell that is missing, and what keeps the net from going on there.
    pub(crate) fn stopped(&self, [i, j]: Number) -> Option<(Vector, Stop)> {
        let mut corners = [[i, j], [i + 1, j], [i, j + 1], [i + 1, j + 1]];
        corners.sort_by_key(|[a, b]| a.abs() + b.abs());
        let last = corners.iter().find_map(|n| self.node(*n).filter(|node| node.margin.part < 0.0))?;
        let lacking = corners.into_iter().find(|n| self.node(*n).is_none())?;
        let why = match lacking {
            n if self.is_far(n) || !self.is_known(n) => Stop::OutOfReach,
            [0, _] | [_, 0] => Stop::YarnEnds,
            _ => Stop::Shut,
        };
        Some((last.p, why))
    }

    /// Nodes on the part.
    fn inside(&self) -> impl Iterator<Item = Number> {
        self.nodes().filter(|(_, node)| node.margin.part < 0.0).map(|(number, _)| number)
    }

    /// Greatest difference between the distance of two linked nodes and the cell, mm.
    pub fn worst_link(&self) -> f64 {
        let miss = |a: &Node, number: Number| self.node(number).map(|b| (length(sub(b.p, a.p)) - self.cell()).abs());
        let both = |([i, j], a): (Number, &Node)| [miss(a, [i + 1, j]), miss(a, [i, j + 1])];
        self.nodes().flat_map(both).flatten().fold(0.0, f64::max)
    }
}

/// The four cells round a node.
fn around([i, j]: Number) -> [Number; 4] {
    [[i, j], [i - 1, j], [i, j - 1], [i - 1, j - 1]]
}

fn cell(number: Number, corners: [&Node; 4]) -> Cell {
    let [a, b, c, d] = corners.map(|n| n.p);
    Cell {
        number,
        middle: between(between(a, c, 0.5), between(b, d, 0.5), 0.5),
        shear_deg: shear(length(sub(c, a)), length(sub(d, b))),
        on_part: share_inside(corners.map(|n| n.margin.part)),
        of_cloth: share_inside(corners.map(|n| n.margin.cloth)),
        arched: arched(corners),
    }
}

/// The surface's area over that of a cell, by the turns of its normal along the cell's sides.
fn arched([a, b, c, d]: [&Node; 4]) -> f64 {
    let turned = |from: &Node, to: &Node| {
        let change = sub(to.normal(), from.normal());
        dot(change, change)
    };
    1.0 + (turned(a, b) + turned(d, c) + turned(a, d) + turned(b, c)) / 48.0
}

/// Share of a unit square in which a quantity given at its corners, linear along its edges, is not positive.
pub(super) fn share_inside(corners: [f64; 4]) -> f64 {
    if corners.iter().all(|d| *d <= 0.0) {
        return 1.0;
    }
    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let mut inside: Vec<[f64; 2]> = Vec::new();
    for k in 0..4 {
        let (next, d, e) = ((k + 1) % 4, corners[k], corners[(k + 1) % 4]);
        if d <= 0.0 {
            inside.push(SQUARE[k]);
        }
        if (d <= 0.0) != (e <= 0.0) {
            let share = d / (d - e);
            inside.push([0, 1].map(|c| SQUARE[k][c] + share * (SQUARE[next][c] - SQUARE[k][c])));
        }
    }
    let twice = |k: usize| {
        let (a, b) = (inside[k], inside[(k + 1) % inside.len()]);
        a[0] * b[1] - a[1] * b[0]
    };
    0.5 * (0..inside.len()).map(twice).sum::<f64>()
}

/// Shear of a cell with equal sides by its diagonals, degrees.
pub(crate) fn shear(along: f64, across: f64) -> f64 {
    90.0 - 2.0 * across.atan2(along).to_degrees()
}

/// Shear between two links that leave a node, degrees.
pub fn shear_between(warp: Vector, weft: Vector) -> f64 {
    (dot(warp, weft) / (length(warp) * length(weft))).clamp(-1.0, 1.0).asin().to_degrees()
}
