//! Plies in version 1.

use serde::{Deserialize, Serialize};

use super::super::{is_default, numbers, pair, triple, triple_of};
use crate::file::checked::Number;
use crate::laminate as document;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ply {
    cloth: Cloth,
    #[serde(default)]
    warp_deg: Number,
    #[serde(default, skip_serializing_if = "Extent::is_whole")]
    extent: Extent,
    #[serde(default = "unsheared", skip_serializing_if = "is_unsheared")]
    crowding: Number,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    coupon: Option<Coupon>,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Cloth {
    #[serde(deserialize_with = "super::super::name")]
    name: String,
    areal_weight: Number,
    fibre_density: Number,
    locking_deg: Number,
    roll_width: Number,
}

#[derive(Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Extent {
    #[default]
    Whole,
    Strip {
        from: Number,
        to: Number,
    },
    Patches {
        size: (Number, Number),
        places: Vec<(Number, Number, Number)>,
    },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Coupon {
    plies: u32,
    thickness: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    within: Number,
}

fn unsheared() -> Number {
    Number(1.0)
}

fn is_unsheared(crowding: &Number) -> bool {
    *crowding == unsheared()
}

impl Ply {
    pub(super) fn to_document(&self) -> document::Ply {
        document::Ply {
            fabric: self.cloth.to_document(),
            warp_deg: self.warp_deg.0,
            extent: self.extent.to_document(),
            crowding: self.crowding.0,
            coupon: self.coupon.map(document::Coupon::from),
        }
    }
}

impl From<&document::Ply> for Ply {
    fn from(ply: &document::Ply) -> Self {
        Self {
            cloth: Cloth::from(&ply.fabric),
            warp_deg: Number(ply.warp_deg),
            extent: Extent::from(&ply.extent),
            crowding: Number(ply.crowding),
            coupon: ply.coupon.map(Coupon::from),
        }
    }
}

impl Cloth {
    fn to_document(&self) -> document::Fabric {
        document::Fabric {
            name: self.name.clone(),
            areal_weight: self.areal_weight.0,
            fibre_density: self.fibre_density.0,
            locking_deg: self.locking_deg.0,
            roll_width: self.roll_width.0,
        }
    }
}

impl From<&document::Fabric> for Cloth {
    fn from(fabric: &document::Fabric) -> Self {
        Self {
            name: fabric.name.clone(),
            areal_weight: Number(fabric.areal_weight),
            fibre_density: Number(fabric.fibre_density),
            locking_deg: Number(fabric.locking_deg),
            roll_width: Number(fabric.roll_width),
        }
    }
}

impl Extent {
    fn is_whole(&self) -> bool {
        *self == Self::Whole
    }

    fn to_document(&self) -> document::Extent {
        match self {
            Self::Whole => document::Extent::Whole,
            Self::Strip { from, to } => document::Extent::Strip { from: from.0, to: to.0 },
            Self::Patches { size, places } => {
                document::Extent::Patches { places: places.iter().copied().map(triple).collect(), size: pair(*size) }
            }
        }
    }
}

impl From<&document::Extent> for Extent {
    fn from(extent: &document::Extent) -> Self {
        match extent {
            document::Extent::Whole => Self::Whole,
            document::Extent::Strip { from, to } => Self::Strip { from: Number(*from), to: Number(*to) },
            document::Extent::Patches { places, size } => {
                Self::Patches { size: numbers(*size), places: places.iter().copied().map(triple_of).collect() }
            }
        }
    }
}

impl From<Coupon> for document::Coupon {
    fn from(coupon: Coupon) -> Self {
        Self { plies: coupon.plies, thickness: coupon.thickness.0, within: coupon.within.0 }
    }
}

impl From<document::Coupon> for Coupon {
    fn from(coupon: document::Coupon) -> Self {
        Self { plies: coupon.plies, thickness: Number(coupon.thickness), within: Number(coupon.within) }
    }
}
