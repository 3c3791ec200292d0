//! The resin as the maker's sheet describes it.

use super::LaminateError;

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

    /// Whether every number is in its range.
    ///
    /// # Errors
    /// The first that is not.
    pub fn check(&self) -> Result<(), LaminateError> {
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
