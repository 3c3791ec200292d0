//! What the shell is weighed against, in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::span::{self, Span};
use super::super::{is_default, numbers, pair, triple, triple_of};
use crate::edit::Refused;
use crate::file::checked::{self, Number};
use crate::promise;
use crate::shell as document;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Weights {
    #[serde(skip_serializing_if = "Option::is_none", deserialize_with = "weighed")]
    aircraft: Option<Weighed>,
    #[serde(skip_serializing_if = "Option::is_none", deserialize_with = "weighed")]
    replaces: Option<Weighed>,
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "parts")]
    parts: Vec<Weighed>,
    screw: Span,
    ring_density: Number,
    ring_bore: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted: Option<Number>,
    allowed: Number,
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "ballast")]
    ballast: Vec<BallastPlace>,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Weighed {
    #[serde(deserialize_with = "super::super::name")]
    name: String,
    mass: Span,
    centre: (Number, Number, Number),
    #[serde(default, skip_serializing_if = "is_default")]
    within: Number,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BallastPlace {
    #[serde(deserialize_with = "super::super::name")]
    name: String,
    stations: (Number, Number),
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Weights, D::Error> {
    checked::whole(deserializer, |weights: &Weights| promise::check_weights(&weights.to_document()))
}

fn weighed<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Weighed>, D::Error> {
    checked::whole(deserializer, |weighed: &Option<Weighed>| weighed.iter().try_for_each(Weighed::check))
}

fn parts<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Weighed>, D::Error> {
    checked::list(deserializer, promise::MAX_WEIGHED, |_, part: &Weighed| part.check())
}

fn ballast<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<BallastPlace>, D::Error> {
    checked::list(deserializer, promise::MAX_WEIGHED, |_, place: &BallastPlace| {
        promise::check_ballast(&place.to_document())
    })
}

impl Default for Weights {
    fn default() -> Self {
        Self::from(&document::Weights::default())
    }
}

impl Weights {
    pub(super) fn to_document(&self) -> document::Weights {
        document::Weights {
            aircraft: self.aircraft.as_ref().map(Weighed::to_document),
            replaces: self.replaces.as_ref().map(Weighed::to_document),
            parts: self.parts.iter().map(Weighed::to_document).collect(),
            screw: span::document(self.screw),
            ring_density: self.ring_density.0,
            ring_bore: self.ring_bore.0,
            wanted: self.wanted.map(|x| x.0),
            allowed: self.allowed.0,
            ballast: self.ballast.iter().map(BallastPlace::to_document).collect(),
        }
    }
}

impl From<&document::Weights> for Weights {
    fn from(weights: &document::Weights) -> Self {
        Self {
            aircraft: weights.aircraft.as_ref().map(Weighed::from),
            replaces: weights.replaces.as_ref().map(Weighed::from),
            parts: weights.parts.iter().map(Weighed::from).collect(),
            screw: span::file(weights.screw),
            ring_density: Number(weights.ring_density),
            ring_bore: Number(weights.ring_bore),
            wanted: weights.wanted.map(Number),
            allowed: Number(weights.allowed),
            ballast: weights.ballast.iter().map(BallastPlace::from).collect(),
        }
    }
}

impl Weighed {
    fn check(&self) -> Result<(), Refused> {
        promise::check_weighed(&self.to_document())
    }

    fn to_document(&self) -> document::Weighed {
        document::Weighed {
            name: self.name.clone(),
            mass: span::document(self.mass),
            centre: triple(self.centre),
            within: self.within.0,
        }
    }
}

impl From<&document::Weighed> for Weighed {
    fn from(weighed: &document::Weighed) -> Self {
        Self {
            name: weighed.name.clone(),
            mass: span::file(weighed.mass),
            centre: triple_of(weighed.centre),
            within: Number(weighed.within),
        }
    }
}

impl BallastPlace {
    fn to_document(&self) -> document::BallastPlace {
        document::BallastPlace { name: self.name.clone(), stations: pair(self.stations) }
    }
}

impl From<&document::BallastPlace> for BallastPlace {
    fn from(place: &document::BallastPlace) -> Self {
        Self { name: place.name.clone(), stations: numbers(place.stations) }
    }
}
