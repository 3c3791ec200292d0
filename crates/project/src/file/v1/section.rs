//! Control sections in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::is_default;
use super::measured::{Knuckle, Measured};
use crate::document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum Section {
    Shaped {
        station: Number,
        #[serde(default, skip_serializing_if = "is_default")]
        crown_ridge: bool,
        #[serde(default, skip_serializing_if = "is_default")]
        keel_ridge: bool,
        points: Vec<Point>,
        #[serde(deserialize_with = "arcs")]
        arcs: Vec<Arc>,
    },
    Pinned {
        station: Number,
        #[serde(default, skip_serializing_if = "is_default")]
        crown_ridge: bool,
        #[serde(default, skip_serializing_if = "is_default")]
        keel_ridge: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        breadth_point: Option<usize>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        breadth_girth: Option<Number>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        knuckles: Vec<Knuckle>,
        points: Vec<(Number, Number)>,
    },
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Point {
    u: Number,
    v: Number,
    #[serde(default, skip_serializing_if = "Role::is_smooth")]
    role: Role,
}

#[derive(Clone, Copy, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Role {
    Crown,
    Breadth,
    BreadthKnuckle {
        number: u32,
    },
    Keel,
    #[default]
    Smooth,
    Knuckle {
        number: u32,
    },
    FadedKnuckle {
        number: u32,
    },
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum Arc {
    Cubic,
    Conic { rho: Number },
    Superelliptic { exponent: Number },
}

fn arcs<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Arc>, D::Error> {
    checked::list(deserializer, promise::MAX_POINTS, |_, arc: &Arc| promise::check_arc((*arc).into()))
}

impl Role {
    fn is_smooth(&self) -> bool {
        matches!(self, Self::Smooth)
    }
}

impl Section {
    pub(super) fn to_document(&self) -> document::ControlSection {
        match self {
            Self::Shaped { station, crown_ridge, keel_ridge, points, arcs } => document::ControlSection {
                station: station.0,
                shape: document::SectionShape::Shaped(document::UnitSection {
                    points: points.iter().copied().map(document::UnitPoint::from).collect(),
                    arcs: arcs.iter().copied().map(document::ArcKind::from).collect(),
                    crown_ridge: *crown_ridge,
                    keel_ridge: *keel_ridge,
                }),
            },
            Self::Pinned { station, crown_ridge, keel_ridge, breadth_point, breadth_girth, knuckles, points } => {
                let measured = Measured {
                    crown_ridge: *crown_ridge,
                    keel_ridge: *keel_ridge,
                    breadth_point: *breadth_point,
                    breadth_girth: *breadth_girth,
                    knuckles: knuckles.clone(),
                    points: points.clone(),
                };
                let shape = document::SectionShape::Pinned(measured.to_document());
                document::ControlSection { station: station.0, shape }
            }
        }
    }
}

impl From<&document::ControlSection> for Section {
    fn from(section: &document::ControlSection) -> Self {
        let station = Number(section.station);
        match &section.shape {
            document::SectionShape::Shaped(unit) => Self::Shaped {
                station,
                crown_ridge: unit.crown_ridge,
                keel_ridge: unit.keel_ridge,
                points: unit.points.iter().copied().map(Point::from).collect(),
                arcs: unit.arcs.iter().copied().map(Arc::from).collect(),
            },
            document::SectionShape::Pinned(measured) => {
                let Measured { crown_ridge, keel_ridge, breadth_point, breadth_girth, knuckles, points } =
                    Measured::from(measured);
                Self::Pinned { station, crown_ridge, keel_ridge, breadth_point, breadth_girth, knuckles, points }
            }
        }
    }
}

impl From<Point> for document::UnitPoint {
    fn from(point: Point) -> Self {
        Self { u: point.u.0, v: point.v.0, role: point.role.into() }
    }
}

impl From<document::UnitPoint> for Point {
    fn from(point: document::UnitPoint) -> Self {
        Self { u: Number(point.u), v: Number(point.v), role: point.role.into() }
    }
}

impl From<Role> for document::PointRole {
    fn from(role: Role) -> Self {
        match role {
            Role::Crown => Self::Crown,
            Role::Breadth => Self::Breadth { knuckle: None },
            Role::BreadthKnuckle { number } => Self::Breadth { knuckle: Some(number) },
            Role::Keel => Self::Keel,
            Role::Smooth => Self::Smooth,
            Role::Knuckle { number } => Self::Knuckle { number, faded: false },
            Role::FadedKnuckle { number } => Self::Knuckle { number, faded: true },
        }
    }
}

impl From<document::PointRole> for Role {
    fn from(role: document::PointRole) -> Self {
        match role {
            document::PointRole::Crown => Self::Crown,
            document::PointRole::Breadth { knuckle: None } => Self::Breadth,
            document::PointRole::Breadth { knuckle: Some(number) } => Self::BreadthKnuckle { number },
            document::PointRole::Keel => Self::Keel,
            document::PointRole::Smooth => Self::Smooth,
            document::PointRole::Knuckle { number, faded: false } => Self::Knuckle { number },
            document::PointRole::Knuckle { number, faded: true } => Self::FadedKnuckle { number },
        }
    }
}

impl From<Arc> for document::ArcKind {
    fn from(arc: Arc) -> Self {
        match arc {
            Arc::Cubic => Self::Cubic,
            Arc::Conic { rho } => Self::Conic { rho: rho.0 },
            Arc::Superelliptic { exponent } => Self::Superelliptic { exponent: exponent.0 },
        }
    }
}

impl From<document::ArcKind> for Arc {
    fn from(arc: document::ArcKind) -> Self {
        match arc {
            document::ArcKind::Cubic => Self::Cubic,
            document::ArcKind::Conic { rho } => Self::Conic { rho: Number(rho) },
            document::ArcKind::Superelliptic { exponent } => Self::Superelliptic { exponent: Number(exponent) },
        }
    }
}
