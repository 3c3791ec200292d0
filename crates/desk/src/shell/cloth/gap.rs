//! Where cloth does not come to, in a builder's words.

use super::PlaceOnForm;
use shell::cloth::{Gap, Judgement};
use shell::drape::Stop;

/// A part of the form that the cloth does not reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GapOnForm {
    /// The last crossing of yarns before it.
    pub place: PlaceOnForm,
    /// What keeps the yarns from going on.
    pub why: Stop,
    /// Its area as far as crossings beside it tell, mm².
    pub area: f64,
}

impl GapOnForm {
    /// Of a gap in a net.
    pub fn of(gap: &Gap) -> Self {
        Self { place: PlaceOnForm::of(gap.at), why: gap.why, area: gap.area }
    }

    /// The largest gap of a cloth, if any is known by its place.
    pub fn largest(judgement: &Judgement) -> Option<Self> {
        judgement.gaps.first().map(Self::of)
    }

    /// A word for files: `shut`, `yarn_ends` or `out_of_reach`.
    pub fn key(&self) -> &'static str {
        match self.why {
            Stop::Shut => "shut",
            Stop::YarnEnds => "yarn_ends",
            Stop::OutOfReach => "out_of_reach",
        }
    }

    /// Why the cloth stops there, to go on after "there".
    pub fn reason(&self) -> &'static str {
        match self.why {
            Stop::Shut => "the cloth before it is sheared until its yarns lie side by side",
            Stop::YarnEnds => "one of the two yarns through the start finds no straight way on",
            Stop::OutOfReach => {
                "the yarns that would cross there run off the form first, or wind round it, further than they are followed"
            }
        }
    }

    /// What helps.
    pub fn remedy(&self) -> &'static str {
        match self.why {
            Stop::Shut => "Start nearer to it, so that less curvature lies between, or allow slits.",
            Stop::YarnEnds => {
                "Turn the warp by a few degrees or move the start a little, so that the yarn passes beside it."
            }
            Stop::OutOfReach => "Start nearer to it, turn the warp, or part the shell and lay each half by itself.",
        }
    }
}
