//! Control shapes: the half sections the loft runs through, in unit coordinates, with the marks that correspond.
//!
//! ```text
//!      v
//!    1 +--crown mark
//!      |   '''''-.
//!      |          '\
//!    0 |            | breadth mark (1, 0)
//!      |           /
//!      |      knuckle
//!   -1 +--keel mark
//!      0            1  u
//! ```
//!
//! u = y / breadth. Above the breadth v = (z - breadth height) / (crown - breadth height), below it v =
//! (z - breadth height) / (breadth height - keel). The two halves, crown to breadth and breadth to keel, are chains of
//! their own; a half that has no height at its station gives none.

use crate::chain::Chain;
use std::sync::Arc as Shared;

/// Which half of a half section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Half {
    /// Crown to breadth.
    Upper,
    /// Breadth to keel.
    Lower,
}

/// A knuckle's place on a half.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnuckleMark {
    /// Its number, the same in every section it runs through.
    pub number: u32,
    /// Length from the start of the half.
    pub s: f64,
}

/// One half of a control shape.
#[derive(Clone, Debug)]
pub struct HalfChain {
    /// The curve.
    pub chain: Shared<Chain>,
    /// Knuckles on it, by rising length. A knuckle at the breadth stands in both halves.
    pub knuckles: Vec<KnuckleMark>,
}

/// A control section as the loft sees it.
#[derive(Clone, Debug)]
pub struct ControlShape {
    /// Distance aft of the datum, mm.
    pub station: f64,
    /// Crown to breadth.
    pub upper: Option<HalfChain>,
    /// Breadth to keel.
    pub lower: Option<HalfChain>,
}

impl ControlShape {
    /// That half.
    pub fn half(&self, half: Half) -> Option<&HalfChain> {
        match half {
            Half::Upper => self.upper.as_ref(),
            Half::Lower => self.lower.as_ref(),
        }
    }
}

/// Divides arcs that run from crown to keel at the breadth mark, and finds the knuckles' lengths.
///
/// `breadth` and the knuckles' places are boundaries between arcs: boundary i lies before arc i.
pub(crate) fn halves(arcs: &[crate::arc::Arc], breadth: usize, knuckles: &[(u32, usize)]) -> (HalfChain, HalfChain) {
    let half = |range: std::ops::RangeInclusive<usize>| {
        let (from, to) = (*range.start(), *range.end());
        let chain = Chain::new(arcs[from..to].to_vec());
        let inside = knuckles.iter().filter(|(_, at)| range.contains(at));
        let marks = inside.map(|&(number, at)| KnuckleMark { number, s: chain.length_to(at - from) }).collect();
        HalfChain { chain: Shared::new(chain), knuckles: marks }
    };
    (half(0..=breadth), half(breadth..=arcs.len()))
}
