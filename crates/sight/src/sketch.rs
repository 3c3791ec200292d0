//! What is known or drawn of a form before the photographs speak.

use geometry::line::{Line, LineEnd, LinePoint, Pass};

/// The lines of a form as they stand: some known, some only the mean from which the unknown functions deviate.
///
/// x is aft, mm; every line is read over the range that all of them share.
#[derive(Clone, Debug, PartialEq)]
pub struct Sketch {
    /// Upper edge of the centre plane outline, known, z mm.
    pub crown: Line,
    /// Lower edge of the centre plane outline, known, z mm.
    pub keel: Line,
    /// Greatest half-breadth, known or the mean of what is unknown, mm.
    pub breadth: Line,
    /// Height of the greatest half-breadth, the mean, z mm.
    pub breadth_height: Line,
    /// Superelliptic exponent above the breadth, the mean; at the ends that of the end sections.
    pub above: Line,
    /// The same below the breadth.
    pub below: Line,
}

impl Sketch {
    /// The stations over which all lines run: foremost and rearmost, mm.
    pub fn range(&self) -> (f64, f64) {
        let lines = [&self.crown, &self.keel, &self.breadth, &self.breadth_height, &self.above, &self.below];
        lines.iter().map(|l| l.range()).fold((f64::NEG_INFINITY, f64::INFINITY), |a, b| (a.0.max(b.0), a.1.min(b.1)))
    }
}

/// A value that goes smoothly from one end to the other, level at both: the usual mean of an exponent between two given end
/// sections. `None` if the ends are not two finite stations in rising order.
pub fn blend(front: (f64, f64), rear: (f64, f64)) -> Option<Line> {
    let point = |(x, value): (f64, f64)| LinePoint { x, value, pass: Pass::Slope(0.0) };
    Line::new(&[point(front), point(rear)], LineEnd::Free, LineEnd::Free).ok()
}

/// How far the unknown functions may stray from the sketch: Gaussian deviations, one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Priors {
    /// Of the exponents, both together.
    pub exponent: f64,
    /// Of the exponents against each other: above gains what below loses.
    pub split: f64,
    /// Whether the halves may well be alike: then smaller deviations of the split are tried too, and what is traced says how
    /// much each counts.
    pub split_learnt: bool,
    /// Of the breadth height, mm.
    pub breadth_height: f64,
    /// Of the half-breadth, mm; 0 where the breadth line is known.
    pub breadth: f64,
    /// Of what no superellipse has: how far a section may swell or shrink between crown, breadth and keel, as a share of its
    /// half box; 0 where sections count as superelliptic. Real ones seldom are: 0.01 keeps the band honest for them, at little
    /// cost where seams are traced, and at the cost of most of what one outline alone would say.
    pub departure: f64,
    /// Whether sections may well be superelliptic: then smaller departures are tried too, down to none, and what is traced
    /// says how much each counts.
    pub departure_learnt: bool,
    /// Correlation length of all deviations, as a share of the form's length.
    pub reach: f64,
    /// Points that carry each deviation, evenly over the length with both ends.
    pub knots: usize,
    /// Whether the front and the rear section are given, so that nothing deviates there.
    pub ends_given: [bool; 2],
}

impl Priors {
    /// The usual deviations of a form whose end sections are given, for lengths at a model of this scale (full size divided by
    /// model): 0.4 in exponent, 0.25 in its split, and at full size 60 mm in breadth height and 25 mm in breadth, over 0.35 of
    /// the length. Found by trial on an invented form; no source.
    pub fn usual(model_scale: f64, breadth_known: bool) -> Self {
        Self {
            exponent: 0.4,
            split: 0.25,
            split_learnt: true,
            breadth_height: 60.0 / model_scale,
            breadth: if breadth_known { 0.0 } else { 25.0 / model_scale },
            departure: 0.0,
            departure_learnt: false,
            reach: 0.35,
            knots: 9,
            ends_given: [true, true],
        }
    }

    /// The deviation of a function.
    pub fn of(&self, function: Function) -> f64 {
        match function {
            Function::Exponent => self.exponent,
            Function::Split => self.split,
            Function::BreadthHeight => self.breadth_height,
            Function::Breadth => self.breadth,
            _ => self.departure,
        }
    }
}

/// How many functions there are.
pub(crate) const FUNCTIONS: usize = 8;

/// An unknown function of the station.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Function {
    /// What is added to both exponents.
    Exponent,
    /// What is added to the exponent above and taken from the one below.
    Split,
    /// What is added to the breadth height, mm.
    BreadthHeight,
    /// What is added to the half-breadth, mm.
    Breadth,
    /// Swelling near the crown with shrinking near the breadth, a share of the half box.
    AboveSlant,
    /// Swelling near the crown and the breadth with shrinking between, above the breadth.
    AboveCorners,
    /// Swelling near the keel with shrinking near the breadth.
    BelowSlant,
    /// Swelling near the keel and the breadth with shrinking between, below the breadth.
    BelowCorners,
}

impl Function {
    /// All, in the order in which they are listed everywhere.
    pub const ALL: [Self; FUNCTIONS] = [
        Self::Exponent,
        Self::Split,
        Self::BreadthHeight,
        Self::Breadth,
        Self::AboveSlant,
        Self::AboveCorners,
        Self::BelowSlant,
        Self::BelowCorners,
    ];

    /// Whether it is something that no superellipse has.
    pub(crate) fn is_departure(self) -> bool {
        matches!(self, Self::AboveSlant | Self::AboveCorners | Self::BelowSlant | Self::BelowCorners)
    }

    /// What the builder calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Exponent => "Fullness",
            Self::Split => "Fullness above against below",
            Self::BreadthHeight => "Breadth height",
            Self::Breadth => "Breadth",
            Self::AboveSlant | Self::AboveCorners => "Shape above the breadth",
            Self::BelowSlant | Self::BelowCorners => "Shape below the breadth",
        }
    }
}
