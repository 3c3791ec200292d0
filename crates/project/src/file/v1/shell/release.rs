//! What the shell must come off by, in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::{same_variants, triple, triple_of};
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
}

same_variants!(Parting, document::Parting, Whole, BreadthLine, CentrePlane);

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
