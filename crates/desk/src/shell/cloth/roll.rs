//! What comes off the roll: all plies of one cloth side by side between the selvedges.

use super::PlyPlan;
use project::laminate::Fabric;

/// A pattern on the roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Index into the plan's plies.
    pub ply: usize,
    /// Where its start cross lies, mm: along the roll from the first cut, across it from one selvedge.
    pub at: [f64; 2],
    /// Turned end for end.
    pub turned: bool,
}

/// A piece of cloth off the roll.
#[derive(Clone, Debug, PartialEq)]
pub struct RollPlan {
    /// The cloth.
    pub fabric: Fabric,
    /// Length to cut off, mm.
    pub length: f64,
    /// Area of the patterns, mm².
    pub cut_area: f64,
    /// Where they lie.
    pub laid: Vec<Laid>,
    /// Plies whose pattern is wider than the roll, as indices into the plan's plies.
    pub too_wide: Vec<usize>,
}

/// A plan for every cloth; the warp of every pattern runs along the roll.
pub fn roll_plans(_plies: &[PlyPlan]) -> Vec<RollPlan> {
    Vec::new()
}
