//! A section held to measured points in version 1.

use serde::{Deserialize, Serialize};

use super::{is_default, numbers, pair};
use crate::document;
use crate::file::checked::Number;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Measured {
    #[serde(default, skip_serializing_if = "is_default")]
    pub(super) crown_ridge: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    pub(super) keel_ridge: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) breadth_point: Option<usize>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) breadth_girth: Option<Number>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) knuckles: Vec<Knuckle>,
    pub(super) points: Vec<(Number, Number)>,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Knuckle {
    point: usize,
    number: u32,
}

impl Measured {
    pub(super) fn to_document(&self) -> document::MeasuredSection {
        let knuckle = |k: &Knuckle| document::MeasuredKnuckle { point: k.point, number: k.number };
        document::MeasuredSection {
            points: self.points.iter().copied().map(pair).collect(),
            knuckles: self.knuckles.iter().map(knuckle).collect(),
            crown_ridge: self.crown_ridge,
            keel_ridge: self.keel_ridge,
            breadth_point: self.breadth_point,
            breadth_girth: self.breadth_girth.map(|share| share.0),
        }
    }
}

impl From<&document::MeasuredSection> for Measured {
    fn from(measured: &document::MeasuredSection) -> Self {
        let knuckle = |k: &document::MeasuredKnuckle| Knuckle { point: k.point, number: k.number };
        Self {
            crown_ridge: measured.crown_ridge,
            keel_ridge: measured.keel_ridge,
            breadth_point: measured.breadth_point,
            breadth_girth: measured.breadth_girth.map(Number),
            knuckles: measured.knuckles.iter().map(knuckle).collect(),
            points: measured.points.iter().copied().map(numbers).collect(),
        }
    }
}
