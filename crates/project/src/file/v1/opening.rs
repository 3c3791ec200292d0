//! Openings in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::{is_default, numbers, pair, same_variants};
use crate::file::checked::{self, Number};
use crate::opening as document;
use crate::promise;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Opening {
    #[serde(deserialize_with = "super::name")]
    name: String,
    purpose: Purpose,
    seen: Seen,
    #[serde(default, skip_serializing_if = "is_default")]
    mirrored: bool,
    #[serde(deserialize_with = "outline")]
    outline: Outline,
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "duct")]
    duct: Option<Duct>,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
enum Purpose {
    Intake,
    Outlet,
    Exhaust,
    Access,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
enum Seen {
    Ahead,
    Starboard,
    Port,
    Above,
    Below,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Outline {
    Ellipse {
        centre: (Number, Number),
        size: (Number, Number),
        #[serde(default, skip_serializing_if = "is_default")]
        turn_deg: Number,
    },
    Box {
        centre: (Number, Number),
        size: (Number, Number),
        #[serde(default, skip_serializing_if = "is_default")]
        radius: Number,
        #[serde(default, skip_serializing_if = "is_default")]
        turn_deg: Number,
    },
    Drawn {
        points: Vec<Point>,
    },
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Point {
    at: (Number, Number),
    #[serde(default, skip_serializing_if = "is_default")]
    corner: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Duct {
    depth: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    lip_radius: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    wall: Number,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    inner: Option<Outline>,
}

same_variants!(Purpose, document::Purpose, Intake, Outlet, Exhaust, Access);
same_variants!(Seen, document::Seen, Ahead, Starboard, Port, Above, Below);

pub(super) fn list<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Opening>, D::Error> {
    checked::list(deserializer, promise::MAX_OPENINGS, |_, opening: &Opening| {
        promise::check_opening(&opening.to_document())
    })
}

fn outline<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Outline, D::Error> {
    checked::whole(deserializer, |outline: &Outline| promise::check_outline(&outline.to_document()))
}

fn duct<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Duct>, D::Error> {
    checked::whole(deserializer, |duct: &Option<Duct>| {
        duct.iter().try_for_each(|duct| promise::check_duct(&duct.to_document()))
    })
}

impl Opening {
    pub(super) fn to_document(&self) -> document::Opening {
        document::Opening {
            name: self.name.clone(),
            purpose: self.purpose.into(),
            seen: self.seen.into(),
            mirrored: self.mirrored,
            outline: self.outline.to_document(),
            duct: self.duct.as_ref().map(Duct::to_document),
        }
    }
}

impl From<&document::Opening> for Opening {
    fn from(opening: &document::Opening) -> Self {
        Self {
            name: opening.name.clone(),
            purpose: opening.purpose.into(),
            seen: opening.seen.into(),
            mirrored: opening.mirrored,
            outline: Outline::from(&opening.outline),
            duct: opening.duct.as_ref().map(Duct::from),
        }
    }
}

impl Outline {
    fn to_document(&self) -> document::Outline {
        match self {
            Self::Ellipse { centre, size, turn_deg } => {
                document::Outline::Ellipse { centre: pair(*centre), size: pair(*size), turn_deg: turn_deg.0 }
            }
            Self::Box { centre, size, radius, turn_deg } => document::Outline::Box {
                centre: pair(*centre),
                size: pair(*size),
                radius: radius.0,
                turn_deg: turn_deg.0,
            },
            Self::Drawn { points } => {
                let point = |point: &Point| document::OutlinePoint { at: pair(point.at), corner: point.corner };
                document::Outline::Drawn { points: points.iter().map(point).collect() }
            }
        }
    }
}

impl From<&document::Outline> for Outline {
    fn from(outline: &document::Outline) -> Self {
        match outline {
            document::Outline::Ellipse { centre, size, turn_deg } => {
                Self::Ellipse { centre: numbers(*centre), size: numbers(*size), turn_deg: Number(*turn_deg) }
            }
            document::Outline::Box { centre, size, radius, turn_deg } => Self::Box {
                centre: numbers(*centre),
                size: numbers(*size),
                radius: Number(*radius),
                turn_deg: Number(*turn_deg),
            },
            document::Outline::Drawn { points } => {
                let point = |point: &document::OutlinePoint| Point { at: numbers(point.at), corner: point.corner };
                Self::Drawn { points: points.iter().map(point).collect() }
            }
        }
    }
}

impl Duct {
    fn to_document(&self) -> document::Duct {
        document::Duct {
            depth: self.depth.0,
            lip_radius: self.lip_radius.0,
            wall: self.wall.0,
            inner: self.inner.as_ref().map(Outline::to_document),
        }
    }
}

impl From<&document::Duct> for Duct {
    fn from(duct: &document::Duct) -> Self {
        Self {
            depth: Number(duct.depth),
            lip_radius: Number(duct.lip_radius),
            wall: Number(duct.wall),
            inner: duct.inner.as_ref().map(Outline::from),
        }
    }
}
