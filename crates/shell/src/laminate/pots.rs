//! Resin in pots: how many, how much of each part by weight, and which plies each serves.

use super::Span;
use super::{LaminateError, PlyMass, Resin};

/// One pot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pot {
    /// First and last ply it serves, by index.
    pub plies: (usize, usize),
    /// Resin to weigh in, grams.
    pub resin: f64,
    /// Hardener to weigh in, grams.
    pub hardener: f64,
    /// How long it takes to lay, minutes.
    pub minutes: f64,
}

impl Pot {
    /// Both together, grams.
    pub fn mixed(&self) -> f64 {
        self.resin + self.hardener
    }
}

/// All pots.
#[derive(Clone, Debug, PartialEq)]
pub struct Pots {
    /// In the order in which they are mixed.
    pub pots: Vec<Pot>,
    /// All that is mixed, with waste, grams: the pots make up the likely value; have the high one in the tins.
    pub mixed: Span,
    /// Whether a pot is bounded by how fast it is laid (else by what stays cool).
    pub bounded_by_life: bool,
}

/// The likely resin of all plies, with waste, in as few equal pots as the resin allows. Plies are laid in turn, and a ply may be
/// begun with one pot and ended with the next.
///
/// # Errors
/// A number of the resin's is out of its range.
pub fn pots(plies: &[PlyMass], resin: &Resin) -> Result<Pots, LaminateError> {
    resin.check()?;
    let with_waste = 1.0 + resin.waste;
    let mixed = plies.iter().map(|p| p.resin).sum::<Span>().times(with_waste);
    let count = (mixed.likely / resin.pot_size() - 1e-9).ceil().max(0.0);
    if !count.is_finite() || count > MOST_POTS {
        return Err(LaminateError::TooManyPots { grams: mixed.likely, pot: resin.pot_size() });
    }
    let each = if count > 0.0 { mixed.likely / count } else { 0.0 };
    let ends: Vec<f64> = plies
        .iter()
        .scan(0.0, |sum, ply| {
            *sum += with_waste * ply.resin.likely;
            Some(*sum)
        })
        .collect();
    let last = plies.len().saturating_sub(1);
    let slack = 1e-9 * each;
    let pot = |k: u32| {
        let (from, to) = (each * f64::from(k), each * f64::from(k + 1));
        let first = ends.partition_point(|end| *end <= from + slack).min(last);
        let until = ends.partition_point(|end| *end < to - slack).min(last);
        let (resin_part, hardener) = resin.parts(each);
        Pot { plies: (first, until), resin: resin_part, hardener, minutes: each / with_waste / resin.laid_per_minute }
    };
    let pots = (0..count as u32).map(pot).collect();
    Ok(Pots { pots, mixed, bounded_by_life: resin.pot_life * resin.laid_per_minute < resin.largest_pot })
}

/// More pots than this are no plan.
const MOST_POTS: f64 = 1000.0;
