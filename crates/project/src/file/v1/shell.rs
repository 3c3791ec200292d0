//! The shell in version 1. A group that is as it is by default is left out; in a group that is given, any field may be.

mod draping;
mod laminate;
mod ply;
mod release;
mod weights;

use serde::{Deserialize, Deserializer, Serialize};

use super::{is_default, numbers, pair};
use crate::file::checked::{self, Number};
use crate::promise;
use crate::shell as document;

#[derive(Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Shell {
    #[serde(skip_serializing_if = "is_default", deserialize_with = "laminate::read")]
    laminate: laminate::Laminate,
    #[serde(skip_serializing_if = "is_default")]
    feeds_coat: bool,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "draping::read")]
    draping: draping::Draping,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "release::read")]
    release: release::Release,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "weights::read")]
    weights: weights::Weights,
    #[serde(skip_serializing_if = "is_default", deserialize_with = "air_ratio")]
    air_ratio: AirRatio,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct AirRatio {
    least: Number,
    aim: (Number, Number),
}

/// What cannot be seen in one of its groups alone.
pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Shell, D::Error> {
    checked::whole(deserializer, |shell: &Shell| promise::check_shell(&shell.to_document()))
}

fn air_ratio<'de, D: Deserializer<'de>>(deserializer: D) -> Result<AirRatio, D::Error> {
    checked::whole(deserializer, |ratio: &AirRatio| promise::check_air_ratio((*ratio).into()))
}

impl Shell {
    pub(super) fn to_document(&self) -> document::Shell {
        document::Shell {
            laminate: self.laminate.to_document(),
            feeds_coat: self.feeds_coat,
            draping: self.draping.into(),
            release: self.release.into(),
            weights: self.weights.to_document(),
            air_ratio: self.air_ratio.into(),
        }
    }
}

impl From<&document::Shell> for Shell {
    fn from(shell: &document::Shell) -> Self {
        Self {
            laminate: laminate::Laminate::from(&shell.laminate),
            feeds_coat: shell.feeds_coat,
            draping: shell.draping.into(),
            release: shell.release.into(),
            weights: weights::Weights::from(&shell.weights),
            air_ratio: shell.air_ratio.into(),
        }
    }
}

impl Default for AirRatio {
    fn default() -> Self {
        document::AirRatio::default().into()
    }
}

impl From<AirRatio> for document::AirRatio {
    fn from(ratio: AirRatio) -> Self {
        Self { least: ratio.least.0, aim: pair(ratio.aim) }
    }
}

impl From<document::AirRatio> for AirRatio {
    fn from(ratio: document::AirRatio) -> Self {
        Self { least: Number(ratio.least), aim: numbers(ratio.aim) }
    }
}
