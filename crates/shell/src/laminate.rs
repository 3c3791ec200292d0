//! What follows from a laminate once its area is known: mass, resin in pots, and what to buy.
//!
//! The schedule itself is the document's (see [`project::laminate`]). Masses are in grams, areas in mm².

pub mod pots;
pub mod shopping;

pub use pots::{Pot, Pots, pots};
pub use project::laminate::{
    Coupon, Extent, Fabric, FibreKind, Film, LaminateError, LayUp, Layer, Ply, Resin, Schedule, Span, Thickness, fibre,
};
pub use shopping::{Item, shopping};

/// Mass of one ply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlyMass {
    /// Area it covers, mm².
    pub area: f64,
    /// Its cloth, grams.
    pub cloth: f64,
    /// Its resin, grams; the first ply's with what soaks in.
    pub resin: Span,
}

impl PlyMass {
    /// Both.
    pub fn total(&self) -> Span {
        self.resin.plus(Span::exact(self.cloth))
    }
}

/// Cloth and resin of every ply by the area it covers, mm² (see [`crate::mass::ShellLayers::ply_areas`]).
///
/// # Errors
/// As [`Schedule::check`]; there is not one area for every ply.
pub fn ply_masses(schedule: &Schedule, areas: &[f64]) -> Result<Vec<PlyMass>, LaminateError> {
    let layers = schedule.layers()?;
    if areas.len() != layers.len() || areas.iter().any(|a| !(a.is_finite() && *a >= 0.0)) {
        return Err(LaminateError::Areas { areas: areas.len(), plies: layers.len() });
    }
    let mut soak = schedule.soak;
    let mass = |((ply, layer), area): ((&Ply, &Layer), &f64)| {
        let soaked = if ply.extent == Extent::Whole { std::mem::take(&mut soak) } else { Span::default() };
        PlyMass {
            area: *area,
            cloth: 1e-6 * area * ply.fabric.areal_weight * ply.crowding,
            resin: layer.resin.plus(soaked).times(1e-6 * area),
        }
    };
    Ok(schedule.plies.iter().zip(&layers).zip(areas).map(mass).collect())
}
