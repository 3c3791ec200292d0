//! What of a shell lies beyond its form, and is glued or screwed there.

use super::land::Land;
use super::lap::Lap;
use project::laminate::{Extent, Span};
use shell::mass::Part;

/// A strip beyond the end of a shell's form.
#[derive(Clone, Copy)]
pub(super) enum Margin<'a> {
    /// Of the first form's, on the fuselage.
    Lap(&'a Lap),
    /// Of an added form's, on the first one.
    Land(&'a Land),
}

impl Margin<'_> {
    /// What its layers together are called.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Lap(_) => "lap on the fuselage, all layers",
            Self::Land(_) => "land on the first form, all layers",
        }
    }

    /// It is seen from outside, so that it is filled and painted; a land is hidden.
    pub(super) fn outside(self) -> bool {
        match self {
            Self::Lap(lap) => lap.outside,
            Self::Land(_) => false,
        }
    }

    /// Area of it that a ply covers, mm².
    pub(super) fn covered(self, extent: &Extent) -> f64 {
        match self {
            Self::Lap(lap) => lap.covered(extent),
            Self::Land(land) => land.covered(extent),
        }
    }

    /// What a layer of so many g/m² weighs on it; `None` where the layer does not reach it.
    pub(super) fn part(self, name: String, extent: &Extent, areal_mass: Span) -> Option<Part> {
        match self {
            Self::Lap(lap) => lap.part(name, extent, areal_mass),
            Self::Land(land) => land.part(name, extent, areal_mass),
        }
    }
}
