//! Cloth: what it bears, what a draped net says of it, and what is cut.

pub mod develop;
mod gaps;
pub mod judge;
pub mod pattern;
pub mod plies;
pub mod search;
pub mod slits;

pub use gaps::Gap;
pub use judge::{Judgement, Wrinkle, judge};
pub use pattern::{Notch, Outline, Pattern, RollCut, pattern};
pub use plies::{DrapedPly, drape_plies, staggered_seam};
pub use search::{Found, cure, search};
pub use slits::{Cut, Mended, Piece, mend};

/// A balanced cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloth {
    /// Shear at which its yarns jam and it begins to wrinkle, degrees. Measure it: draw a square along the yarns and pull it over a
    /// corner until folds rise.
    pub locking_deg: f64,
    /// Width off the roll between the selvedges, mm.
    pub width: f64,
}

/// Share of the locking angle from which a place deserves a look.
pub const WATCH: f64 = 0.8;

/// How yarns cross.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weave {
    /// Over one, under one.
    Plain,
    /// Over two, under two.
    Twill,
    /// Over many, under one.
    Satin,
}

impl Weave {
    /// A careful locking angle to begin with, degrees: common practice, no source. The cloth at hand may lock 10° sooner or later.
    pub fn usual_locking_deg(self) -> f64 {
        match self {
            Self::Plain => 40.0,
            Self::Twill => 45.0,
            Self::Satin => 50.0,
        }
    }
}
