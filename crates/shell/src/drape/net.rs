//! A pin-jointed net on a surface.
//!
//! A balanced weave is taken for a net of yarns that do not stretch and turn freely where they cross. Two yarns that cross at a
//! right angle lie straight (`geodesic`); then every further node is the meeting of two links with the surface: a place of
//! the surface whose straight distance from both neighbours is one cell. (C. Mack and H. M. Taylor, "The fitting of woven cloth
//! to surfaces", J. Textile Inst. 47, 1956; B. P. Van West, R. B. Pipes and M. Keefe, J. Textile Inst. 81, 1990.)
//!
//! ```text
//!      j                 N is sought: |N - A| = |N - B| = cell, N on the surface
//!      |   A-----N
//!      |   |     |       links are straight chords of the surface, not arcs on it
//!      |   O-----B
//!      +----------- i
//! ```

use super::geodesic::YarnEnd;
use super::lay::{Arm, Laying};
use super::surface::{At, Jet, Margin, Surface};
use form::space::{Vector, cross, times, unit};

/// Where cloth is first laid down, and how it lies there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// The place.
    pub at: At,
    /// A direction in space; the warp follows its part in the tangent plane, and the weft lies to the left of it, seen from
    /// outside.
    pub warp: Vector,
}

/// A crossing of two yarns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Parameters of the surface.
    pub at: At,
    /// The place, mm.
    pub p: Vector,
    /// How far out it lies.
    pub margin: Margin,
    /// Along the outward normal.
    out: Vector,
}

/// Number of a node along warp and weft, from the start.
pub type Number = [i32; 2];

/// A draped net.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Net {
    cell: f64,
    first: Number,
    size: [usize; 2],
    /// What is at every place, row by row: nothing known, no node, none as it is out of reach, or the node whose index is less by
    /// [`HELD`].
    places: Vec<u32>,
    nodes: Vec<Node>,
}

/// Why there is no net.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum DrapeError {
    /// The cell is not a length.
    #[error("a cell of {0} mm is no length; give it 1 to 20 mm")]
    Cell(f64),
    /// The start is off the surface, or the direction square to it.
    #[error(
        "the cloth cannot start there: move the start onto the form, or turn the warp so that it lies along the surface"
    )]
    Start,
    /// More crossings than can be kept.
    #[error("cells of {0} mm are too fine for a form of this size; give it larger ones, or leave the cell to the form")]
    TooFine(f64),
}

const OPEN: u32 = 0;
const NONE: u32 = 1;
const FAR: u32 = 2;
const HELD: u32 = 3;
/// Most places of a net, and most nodes.
const MOST_PLACES: usize = 4_000_000;
const MOST_NODES: usize = 400_000;

impl Net {
    /// Drapes a net of square cells of `cell` mm: links keep that length to 1e-9 mm.
    ///
    /// Nodes of which the surface does not let two links meet, or that lie out of reach, are not there, nor are those that
    /// would build on them.
    ///
    /// A corner of the cloth that lies on the bias can only be built from places outside the cut line. So the net goes on past it where
    /// something within builds on that, by no more than [`Surface::most_overrun`]. Where that is not enough, the yarns that cross the cut
    /// line there run straight on over it by one link, as a free edge lies, and what is within builds on those.
    ///
    /// # Errors
    /// A cell that is no length, or too fine for the form; a start that is out of reach, or a warp square to the surface.
    pub fn drape(surface: &impl Surface, start: &Start, cell: f64) -> Result<Self, DrapeError> {
        if !(cell.is_finite() && cell > 0.0) {
            return Err(DrapeError::Cell(cell));
        }
        let warp = YarnEnd::new(surface, start.at, start.warp).ok_or(DrapeError::Start)?;
        if surface.margin(warp.at, &warp.jet).cloth > 0.0 {
            return Err(DrapeError::Start);
        }
        let weft = YarnEnd { along: warp.left(), ..warp };
        let back = |y: &YarnEnd| YarnEnd { along: times(y.along, -1.0), ..*y };
        let ends = [warp, weft, back(&warp), back(&weft)];
        let start = Node::new(surface, warp.at, &warp.jet);
        let arms = ends.map(|end| Arm::new(surface, Some(end), cell));
        Self::between(surface, cell, &start, arms).ok_or(DrapeError::TooFine(cell))
    }

    /// The net between four half yarns: ahead, left, behind, right. `None` if it has too many.
    pub(crate) fn between(surface: &impl Surface, cell: f64, start: &Node, arms: [Arm; 4]) -> Option<Self> {
        Laying::new(surface, cell, start, arms)?.laid()
    }

    /// A net without nodes, for yarns of so many links ahead, left, behind and right; `None` if it has more places than can be kept.
    pub(super) fn empty(cell: f64, arms: [usize; 4]) -> Option<Self> {
        let first = [-(arms[2] as i32), -(arms[3] as i32)];
        let size = [arms[0] + arms[2] + 1, arms[1] + arms[3] + 1];
        let places = size[0].checked_mul(size[1]).filter(|places| *places <= MOST_PLACES)?;
        Some(Self { cell, first, size, places: vec![OPEN; places], nodes: Vec::new() })
    }

    /// Makes room for yarns of so many links; whether there is that room.
    pub(super) fn widen(&mut self, arms: [usize; 4]) -> bool {
        let Some(mut wider) = Self::empty(self.cell, arms) else { return false };
        for (row, j) in self.places.chunks(self.size[0].max(1)).zip(self.first[1]..) {
            let at = wider.index([self.first[0], j]);
            if let Some(to) = at.and_then(|at| wider.places.get_mut(at..at + row.len())) {
                to.copy_from_slice(row);
            }
        }
        (self.first, self.size, self.places) = (wider.first, wider.size, wider.places);
        true
    }

    /// Length of a link, mm.
    pub fn cell(&self) -> f64 {
        self.cell
    }

    /// Least and greatest number of a node in either direction.
    pub fn range(&self) -> [(i32, i32); 2] {
        [0, 1].map(|k| (self.first[k], self.first[k] + self.size[k] as i32 - 1))
    }

    /// The node of that number.
    pub fn node(&self, number: Number) -> Option<&Node> {
        self.held(*self.places.get(self.index(number)?)?)
    }

    /// All nodes with their numbers.
    pub fn nodes(&self) -> impl Iterator<Item = (Number, &Node)> {
        let wide = self.size[0].max(1);
        let number = move |k: usize| [self.first[0] + (k % wide) as i32, self.first[1] + (k / wide) as i32];
        self.places.iter().enumerate().filter_map(move |(k, place)| Some((number(k), self.held(*place)?)))
    }

    /// The four nodes of the cell whose least corner has that number, in order round it.
    pub fn corners(&self, [i, j]: Number) -> Option<[&Node; 4]> {
        Some([self.node([i, j])?, self.node([i + 1, j])?, self.node([i + 1, j + 1])?, self.node([i, j + 1])?])
    }

    pub(super) fn index(&self, number: Number) -> Option<usize> {
        let k = [0, 1].map(|k| number[k] - self.first[k]);
        let inside = |k: i32, size: usize| k >= 0 && (k as usize) < size;
        (inside(k[0], self.size[0]) && inside(k[1], self.size[1])).then(|| k[0] as usize + self.size[0] * k[1] as usize)
    }

    #[inline]
    fn held(&self, place: u32) -> Option<&Node> {
        self.nodes.get(place.checked_sub(HELD)? as usize)
    }

    /// Whether nothing is known of a place yet; not of one outside.
    #[inline]
    pub(super) fn is_open(&self, number: Number) -> bool {
        self.index(number).is_some_and(|index| self.places[index] == OPEN)
    }

    /// Whether it is known what is at a place.
    #[inline]
    pub(super) fn is_known(&self, number: Number) -> bool {
        self.index(number).is_some_and(|index| self.places[index] != OPEN)
    }

    /// Whether there is no node at a place as that is out of reach.
    pub(super) fn is_far(&self, number: Number) -> bool {
        self.index(number).is_some_and(|index| self.places[index] == FAR)
    }

    /// Sets down that a place is out of reach.
    pub(super) fn set_far(&mut self, number: Number) {
        if let Some(index) = self.index(number) {
            self.places[index] = FAR;
        }
    }

    /// Sets down what is at a place, and whether there was room for it.
    pub(super) fn set(&mut self, number: Number, node: Option<Node>) -> bool {
        let Some(index) = self.index(number) else { return true };
        self.places[index] = match node {
            Some(_) if self.nodes.len() >= MOST_NODES => return false,
            Some(node) => {
                self.nodes.push(node);
                HELD + (self.nodes.len() - 1) as u32
            }
            None => NONE,
        };
        true
    }
}

impl Node {
    pub(crate) fn normal(&self) -> Vector {
        unit(self.out)
    }

    pub(crate) fn new(surface: &impl Surface, at: At, jet: &Jet) -> Self {
        Self { at, p: jet.p, margin: surface.margin(at, jet), out: cross(jet.by[0], jet.by[1]) }
    }
}
