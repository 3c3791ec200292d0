//! What the shell must come off by, in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::{triple, triple_of};
use crate::file::checked::{self, Number};
use crate::promise;
use crate::shell as document;

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Release {
    #[serde(skip_serializing_if = "Option::is_none")]
    way: Option<(Number, Number, Number)>,
    draft_deg: Number,
    spring: Number,
    parting: Parting,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Parting {
    Whole,
    BreadthLine,
    CentrePlane,
    Across(Number),
}

impl From<Parting> for document::Parting {
    fn from(parting: Parting) -> Self {
        match parting {
            Parting::Whole => Self::Whole,
            Parting::BreadthLine => Self::BreadthLine,
            Parting::CentrePlane => Self::CentrePlane,
            Parting::Across(station) => Self::Across(station.0),
        }
    }
}

impl From<document::Parting> for Parting {
    fn from(parting: document::Parting) -> Self {
        match parting {
            document::Parting::Whole => Self::Whole,
            document::Parting::BreadthLine => Self::BreadthLine,
            document::Parting::CentrePlane => Self::CentrePlane,
            document::Parting::Across(station) => Self::Across(Number(station)),
        }
    }
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Release, D::Error> {
    checked::whole(deserializer, |release: &Release| promise::check_release(&(*release).into()))
}

impl Default for Release {
    fn default() -> Self {
        document::Release::default().into()
    }
}

impl From<Release> for document::Release {
    fn from(release: Release) -> Self {
        Self {
            way: release.way.map(triple),
            draft_deg: release.draft_deg.0,
            spring: release.spring.0,
            parting: release.parting.into(),
        }
    }
}

impl From<document::Release> for Release {
    fn from(release: document::Release) -> Self {
        Self {
            way: release.way.map(triple_of),
            draft_deg: Number(release.draft_deg),
            spring: Number(release.spring),
            parting: release.parting.into(),
        }
    }
}
