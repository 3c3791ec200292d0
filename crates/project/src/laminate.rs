//! The laminate: a schedule of plies, filler and paint, and the thickness that follows from it.
//!
//! ```text
//!     paint      ----------------------   finished skin
//!     filler     ----------------------
//!     ply n      ======================
//!       ...
//!     ply 1      ======================   surface of the plug
//! ```
//!
//! Thicknesses are in mm, masses per area in g/m² of the surface they lie on, densities in g/cm³.

mod error;
pub mod fibre;
mod resin;

pub use crate::span::Span;
pub use error::LaminateError;
pub use fibre::{Coupon, FibreKind, LayUp};
pub use resin::Resin;

use crate::build::Coat;
use crate::promise::{MAX_AREAL_MASS, MAX_MM, MAX_THICKNESS};
use fibre::{ply_resin, ply_thickness};

/// A cloth as it is bought.
#[derive(Clone, Debug, PartialEq)]
pub struct Fabric {
    /// What the builder calls it; plies of the same name and weight are bought together.
    pub name: String,
    /// Areal weight, g/m².
    pub areal_weight: f64,
    /// Density of its fibre, g/cm³.
    pub fibre_density: f64,
    /// Shear at which its yarns jam and it begins to wrinkle, degrees. Measure it: draw a square along the yarns and pull it over a
    /// corner until folds rise.
    pub locking_deg: f64,
    /// Width off the roll between the selvedges, mm.
    pub roll_width: f64,
}

impl Fabric {
    /// A cloth to begin with: glass, plain weave, with a careful locking angle (common practice, no source).
    pub fn usual() -> Self {
        Self {
            name: "Glass, plain weave".into(),
            areal_weight: 160.0,
            fibre_density: FibreKind::Glass.density(),
            locking_deg: 40.0,
            roll_width: 1000.0,
        }
    }
}

/// What a ply covers.
#[derive(Clone, Debug, PartialEq)]
pub enum Extent {
    /// The whole shell.
    Whole,
    /// A strip all round between two stations, mm aft of the datum: at a rim, or under a row of screws.
    Strip {
        /// Its foremost station.
        from: f64,
        /// Its rearmost station.
        to: f64,
    },
    /// Patches, under screws for instance.
    Patches {
        /// Their middles, mm.
        places: Vec<[f64; 3]>,
        /// Length and width of each, mm.
        size: [f64; 2],
    },
}

/// A ply.
#[derive(Clone, Debug, PartialEq)]
pub struct Ply {
    /// Its cloth.
    pub fabric: Fabric,
    /// Angle of its warp from the way forward at the start point, degrees.
    pub warp_deg: f64,
    /// What it covers.
    pub extent: Extent,
    /// Cloth laid on an area, as a share of that area: 1 where it lies unsheared; the mean of 1 / cos(shear) of a draped net.
    pub crowding: f64,
    /// The builder's own test piece; goes before the range of the way of laying up.
    pub coupon: Option<Coupon>,
}

/// Filler or paint.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Film {
    /// Thickness left after sanding, mm.
    pub thickness: Span,
    /// Its mass, dry, g/m².
    pub areal_mass: Span,
}

impl Film {
    /// Paint to begin with: 60 to 150 g/m² (common practice, no source), at some 1.5 g/cm³.
    pub fn usual_paint() -> Self {
        Self { thickness: Span::new(0.04, 0.07, 0.10), areal_mass: Span::new(60.0, 100.0, 150.0) }
    }

    /// Filler to begin with: light, sanded back to little more than its hollows; common practice, no source.
    pub fn usual_filler() -> Self {
        Self { thickness: Span::new(0.05, 0.10, 0.20), areal_mass: Span::new(25.0, 60.0, 140.0) }
    }
}

/// All that lies on the plug.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// From the plug outward.
    pub plies: Vec<Ply>,
    /// How they are laid up.
    pub lay_up: LayUp,
    /// The resin.
    pub resin: Resin,
    /// Filler over the plies.
    pub filler: Film,
    /// Paint over the filler.
    pub paint: Film,
    /// Resin that the first ply's side takes up besides, g/m²: 0 on a sealed plug, some 20 to 50 on sanded foam (common practice, no
    /// source). It is mixed, and part of the shell's mass, but adds no thickness.
    pub soak: Span,
}

/// A layer with what follows from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Fibre volume fraction; of a ply only.
    pub fibre_volume: Option<Span>,
    /// Thickness, mm.
    pub thickness: Span,
    /// Resin in it, g/m²; soaked resin is not in it.
    pub resin: Span,
    /// All of it, g/m².
    pub areal_mass: Span,
}

/// Thickness by what makes it up, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Thickness {
    /// Plies that cover the whole shell.
    pub laminate: Span,
    /// Filler.
    pub filler: Span,
    /// Paint.
    pub paint: Span,
}

impl Thickness {
    /// All of it.
    pub fn total(&self) -> Span {
        self.laminate.plus(self.filler).plus(self.paint)
    }

    /// What is to be taken off between finished skin and plug: the likely values.
    pub fn coat(&self) -> Coat {
        Coat { laminate: self.laminate.likely, filler: self.filler.likely, paint: self.paint.likely }
    }
}

impl Film {
    /// Whether thickness and mass are ranges, and none absurd.
    ///
    /// # Errors
    /// The first that is not; `what` says of what it is.
    pub fn check(&self, what: &'static str) -> Result<(), LaminateError> {
        check_range(what, self.thickness, MAX_THICKNESS)?;
        check_range(what, self.areal_mass, MAX_AREAL_MASS)
    }
}

fn check_range(what: &'static str, span: Span, most: f64) -> Result<(), LaminateError> {
    let fits = span.is_at_least(0.0) && span.high <= most;
    if fits { Ok(()) } else { Err(LaminateError::Range { what, span, most }) }
}

impl Default for Schedule {
    /// No ply yet; a brush and an epoxy.
    fn default() -> Self {
        Self {
            plies: Vec::new(),
            lay_up: LayUp::default(),
            resin: Resin::default(),
            filler: Film::default(),
            paint: Film::default(),
            soak: Span::default(),
        }
    }
}

impl Ply {
    /// A whole ply of a cloth at an angle.
    pub fn whole(fabric: Fabric, warp_deg: f64) -> Self {
        Self { fabric, warp_deg, extent: Extent::Whole, crowding: 1.0, coupon: None }
    }
}

impl Schedule {
    /// Whether every number is in its range and some ply covers the whole shell.
    ///
    /// # Errors
    /// The first that is not, with its place.
    pub fn check(&self) -> Result<(), LaminateError> {
        self.check_numbers()?;
        let whole = self.plies.iter().any(|ply| ply.extent == Extent::Whole);
        if whole { Ok(()) } else { Err(LaminateError::NoShell) }
    }

    /// Whether every number is in its range; there need not be a ply yet.
    ///
    /// # Errors
    /// The first that is not, with its place.
    pub fn check_numbers(&self) -> Result<(), LaminateError> {
        self.resin.check()?;
        for (ply, it) in self.plies.iter().enumerate() {
            it.check(ply)?;
        }
        self.filler.check("filler")?;
        self.paint.check("paint")?;
        check_range("resin soaked up, g/m²", self.soak, MAX_AREAL_MASS)
    }

    /// Every ply with its fibre volume fraction, thickness and resin.
    ///
    /// # Errors
    /// As [`Schedule::check`].
    pub fn layers(&self) -> Result<Vec<Layer>, LaminateError> {
        self.check()?;
        self.plies.iter().enumerate().map(|(i, ply)| self.layer(i, ply)).collect()
    }

    fn layer(&self, index: usize, ply: &Ply) -> Result<Layer, LaminateError> {
        let fraction = ply.fibre_volume(index, self.lay_up)?;
        let weight = ply.fabric.areal_weight * ply.crowding;
        let resin = fraction.through(|v| ply_resin(weight, ply.fabric.fibre_density, self.resin.density, v));
        Ok(Layer {
            fibre_volume: Some(fraction),
            thickness: fraction.through(|v| ply_thickness(weight, ply.fabric.fibre_density, v)),
            resin,
            areal_mass: resin.plus(Span::exact(weight)),
        })
    }

    /// Thickness of what covers the whole shell. Strips and patches are not in it: lay them on the inside once the shell is off, or
    /// expect a step outside.
    ///
    /// # Errors
    /// As [`Schedule::check`].
    pub fn thickness(&self) -> Result<Thickness, LaminateError> {
        self.thickness_where(|extent| *extent == Extent::Whole)
    }

    /// Thickness at a station, strips that run there counted in.
    ///
    /// # Errors
    /// As [`Schedule::check`].
    pub fn thickness_at(&self, station: f64) -> Result<Thickness, LaminateError> {
        self.thickness_where(|extent| match extent {
            Extent::Whole => true,
            Extent::Strip { from, to } => (*from..=*to).contains(&station),
            Extent::Patches { .. } => false,
        })
    }

    fn thickness_where(&self, counts: impl Fn(&Extent) -> bool) -> Result<Thickness, LaminateError> {
        let layers = self.layers()?;
        let counted = self.plies.iter().zip(&layers).filter(|(ply, _)| counts(&ply.extent));
        let laminate = counted.map(|(_, layer)| layer.thickness).sum();
        Ok(Thickness { laminate, filler: self.filler.thickness, paint: self.paint.thickness })
    }
}

impl Ply {
    /// Its fibre volume fraction: that of its coupon, or the usual one of the way of laying up.
    fn fibre_volume(&self, ply: usize, lay_up: LayUp) -> Result<Span, LaminateError> {
        let Some(coupon) = &self.coupon else { return Ok(lay_up.fibre_volume()) };
        let found = coupon.fibre_volume(self.fabric.areal_weight, self.fabric.fibre_density);
        found.ok_or(LaminateError::Coupon { ply, plies: coupon.plies, thickness: coupon.thickness })
    }

    /// Whether every number is in its range; `ply` is its index, for the message.
    ///
    /// # Errors
    /// The first that is not.
    pub fn check(&self, ply: usize) -> Result<(), LaminateError> {
        let of = |what: &'static str, value: f64, least: f64, most: f64| {
            let fits = (least..=most).contains(&value);
            if fits { Ok(()) } else { Err(LaminateError::Ply { ply, what, value, least, most }) }
        };
        of("areal weight, g/m²,", self.fabric.areal_weight, 5.0, 2000.0)?;
        of("fibre density, g/cm³,", self.fabric.fibre_density, 0.5, 5.0)?;
        of("locking angle, degrees,", self.fabric.locking_deg, 5.0, 85.0)?;
        of("roll width, mm,", self.fabric.roll_width, 10.0, 10_000.0)?;
        of("warp angle, degrees,", self.warp_deg, -180.0, 180.0)?;
        of("cloth laid on an area", self.crowding, 1.0, 3.0)?;
        match &self.extent {
            Extent::Whole => (),
            Extent::Strip { from, to } => {
                of("strip, mm,", *from, -MAX_MM, MAX_MM)?;
                of("strip, mm,", *to, -MAX_MM, MAX_MM)?;
                if from >= to {
                    return Err(LaminateError::Strip { ply, from: *from, to: *to });
                }
            }
            Extent::Patches { places, size } => {
                of("length of a patch, mm,", size[0], 1.0, 1000.0)?;
                of("width of a patch, mm,", size[1], 1.0, 1000.0)?;
                for coordinate in places.iter().flatten() {
                    of("place of a patch, mm,", *coordinate, -MAX_MM, MAX_MM)?;
                }
            }
        }
        if let Some(coupon) = self.coupon {
            of("count of plies in a test piece", f64::from(coupon.plies), 1.0, 1000.0)?;
            of("test piece, mm thick,", coupon.thickness, 0.001, MAX_THICKNESS)?;
            of("measurement of a test piece, mm off either way,", coupon.within, 0.0, MAX_THICKNESS)?;
        }
        self.fibre_volume(ply, LayUp::Brush).map(|_| ())
    }
}
