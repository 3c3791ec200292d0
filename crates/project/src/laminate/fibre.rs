//! How much of a ply is fibre, and what thickness and resin follow from it.
//!
//! A mixture without voids: of a ply of areal weight w (g/m²), fibre density ρf and resin density ρr (g/cm³) and fibre volume
//! fraction V the thickness is w / (1000 ρf V) mm and the resin w (1 - V) ρr / (V ρf) g/m². Hand lay-up seldom reaches the fractions
//! that are quoted for it, so each way of laying up has a range, and a measured coupon of the builder's own goes before it.

use super::Span;

/// How resin is brought into the cloth and out of it again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LayUp {
    /// Brush or roller, by hand.
    #[default]
    Brush,
    /// By hand, the surplus drawn off with a squeegee.
    Squeegee,
    /// By hand, then under a vacuum bag.
    Bag,
    /// Resin drawn into the dry cloth by vacuum.
    Infusion,
}

impl LayUp {
    /// All of them, from the wettest to the driest.
    pub const ALL: [Self; 4] = [Self::Brush, Self::Squeegee, Self::Bag, Self::Infusion];

    /// Its usual fibre volume fraction. Ranges span what makers' hand lay-up thicknesses imply (0.26 to 0.33), measured plates
    /// (0.42 by hand, 0.58 bagged) and published tables that nobody reviewed; the likely values are common practice, no source.
    pub fn fibre_volume(self) -> Span {
        match self {
            Self::Brush => Span::new(0.25, 0.33, 0.42),
            Self::Squeegee => Span::new(0.35, 0.40, 0.45),
            Self::Bag => Span::new(0.45, 0.50, 0.58),
            Self::Infusion => Span::new(0.50, 0.55, 0.60),
        }
    }

    /// Its name.
    pub fn label(self) -> &'static str {
        match self {
            Self::Brush => "brush or roller",
            Self::Squeegee => "squeegee",
            Self::Bag => "vacuum bag",
            Self::Infusion => "infusion",
        }
    }
}

/// What a cloth's yarns are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FibreKind {
    /// Glass of the usual kind.
    Glass,
    /// Carbon of the usual strength.
    Carbon,
    /// Aramid.
    Aramid,
}

impl FibreKind {
    /// Density to begin with, g/cm³ (handbook values from memory: glass 2.54 to 2.60, carbon 1.76 to 1.80, aramid 1.44 to 1.45).
    pub fn density(self) -> f64 {
        match self {
            Self::Glass => 2.55,
            Self::Carbon => 1.78,
            Self::Aramid => 1.44,
        }
    }
}

/// Thickness of a ply, mm, of areal weight g/m², fibre density g/cm³ and fibre volume fraction.
pub fn ply_thickness(areal_weight: f64, fibre_density: f64, fraction: f64) -> f64 {
    areal_weight / (1000.0 * fibre_density * fraction)
}

/// Resin in a ply, g/m².
pub fn ply_resin(areal_weight: f64, fibre_density: f64, resin_density: f64, fraction: f64) -> f64 {
    areal_weight * (1.0 - fraction) * resin_density / (fraction * fibre_density)
}

/// Fibre volume fraction of a ply that is a share `by_weight` fibre.
pub fn volume_fraction(by_weight: f64, fibre_density: f64, resin_density: f64) -> f64 {
    let (fibre, resin) = (by_weight / fibre_density, (1.0 - by_weight) / resin_density);
    fibre / (fibre + resin)
}

/// Share of a ply's weight that is fibre, of its fibre volume fraction.
pub fn weight_fraction(fraction: f64, fibre_density: f64, resin_density: f64) -> f64 {
    let (fibre, resin) = (fraction * fibre_density, (1.0 - fraction) * resin_density);
    fibre / (fibre + resin)
}

/// The builder's own measured test piece: some plies of the same cloth, laid up the same way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coupon {
    /// How many plies it has.
    pub plies: u32,
    /// Its measured thickness, mm.
    pub thickness: f64,
    /// How far the measurement may be off either way, mm.
    pub within: f64,
}

impl Coupon {
    /// The fibre volume fraction that it shows for a cloth of this areal weight and fibre density, voids counted as resin (ASTM
    /// D3171, method II: n w / (ρf h)); `None` where the measurement may be no thickness, or leaves no room for resin.
    pub fn fibre_volume(&self, areal_weight: f64, fibre_density: f64) -> Option<Span> {
        let fraction = |h: f64| f64::from(self.plies) * ply_thickness(areal_weight, fibre_density, 1.0) / h;
        let thickness =
            Span::new(self.thickness - self.within.abs(), self.thickness, self.thickness + self.within.abs());
        let found = thickness.through(fraction);
        (thickness.low > 0.0 && found.low > 0.0 && found.high < 1.0).then_some(found)
    }
}

/// What a plate is made of, by volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Constituents {
    /// Fibre.
    pub fibre: f64,
    /// Resin.
    pub resin: f64,
    /// Voids.
    pub voids: f64,
}

/// Fibre, resin and voids of a plate by its density, its share of fibre by weight (after the resin has been burnt or dissolved) and
/// the densities of both, g/cm³ (ASTM D3171, method I). `None` where the densities do not agree: voids would be negative.
pub fn constituents(
    plate_density: f64,
    by_weight: f64,
    fibre_density: f64,
    resin_density: f64,
) -> Option<Constituents> {
    let fibre = by_weight * plate_density / fibre_density;
    let resin = (1.0 - by_weight) * plate_density / resin_density;
    let voids = 1.0 - fibre - resin;
    ((0.0..=1.0).contains(&by_weight) && voids >= 0.0).then_some(Constituents { fibre, resin, voids })
}
