//! Resin in pots: how many, how much of each part by weight, and which plies each serves.

use super::span::Span;
use super::{LaminateError, PlyMass};

/// Resin and hardener.
#[derive(Clone, Debug, PartialEq)]
pub struct Resin {
    /// What the tin says.
    pub name: String,
    /// Density once cured, g/cm³.
    pub density: f64,
    /// Parts of hardener to 100 parts of resin, by weight, as the maker's sheet says.
    pub hardener_per_100: f64,
    /// How long a mixed pot can be worked, minutes, at the temperature of the workshop.
    pub pot_life: f64,
    /// Most to mix at once, grams: a large pot heats itself.
    pub largest_pot: f64,
    /// How much resin the builder lays in a minute, grams.
    pub laid_per_minute: f64,
    /// What stays in pots and brushes, as a share of what is laid.
    pub waste: f64,
}

impl Default for Resin {
    /// An epoxy to begin with: density from handbooks (1.10 to 1.20), waste of 10 to 15 in 100, the rest common practice, no source.
    /// The maker's sheet goes before all of it.
    fn default() -> Self {
        Self {
            name: "Epoxy".into(),
            density: 1.15,
            hardener_per_100: 40.0,
            pot_life: 30.0,
            largest_pot: 100.0,
            laid_per_minute: 5.0,
            waste: 0.15,
        }
    }
}

impl Resin {
    /// Most that one pot may hold: no more than stays cool, nor than can be laid before it sets, grams.
    pub fn pot_size(&self) -> f64 {
        self.largest_pot.min(self.pot_life * self.laid_per_minute)
    }

    /// Resin and hardener that make up so many grams of mix.
    pub fn parts(&self, mixed: f64) -> (f64, f64) {
        let resin = mixed * 100.0 / (100.0 + self.hardener_per_100);
        (resin, mixed - resin)
    }

    pub(super) fn check(&self) -> Result<(), LaminateError> {
        let of = |what: &'static str, value: f64, least: f64, most: f64| {
            let fits = value > least && value <= most;
            if fits { Ok(()) } else { Err(LaminateError::Resin { name: self.name.clone(), what, value, least, most }) }
        };
        of("density, g/cm³,", self.density, 0.5, 3.0)?;
        of("hardener to 100 parts", self.hardener_per_100, 0.0, 200.0)?;
        of("pot life, min,", self.pot_life, 0.0, 1440.0)?;
        of("largest pot, g,", self.largest_pot, 0.0, 5000.0)?;
        of("resin laid in a minute, g,", self.laid_per_minute, 0.0, 1000.0)?;
        of("waste", self.waste, -1e-12, 1.0)
    }
}

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
