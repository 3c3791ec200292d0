//! How cloth is laid, in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::{numbers, pair};
use crate::file::checked::{self, Number};
use crate::promise;
use crate::shell as document;

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Draping {
    #[serde(skip_serializing_if = "Option::is_none")]
    start: Option<Start>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cell: Option<Number>,
    allowance: (Number, Number),
    closed_front: bool,
    closed_rear: bool,
    overlap: Number,
    stagger: Number,
    slits: bool,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Start {
    station: Number,
    turn: Number,
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Draping, D::Error> {
    checked::whole(deserializer, |draping: &Draping| promise::check_draping(&(*draping).into()))
}

impl Default for Draping {
    fn default() -> Self {
        document::Draping::default().into()
    }
}

impl From<Draping> for document::Draping {
    fn from(draping: Draping) -> Self {
        Self {
            start: draping.start.map(|start| [start.station.0, start.turn.0]),
            cell: draping.cell.map(|cell| cell.0),
            allowance: pair(draping.allowance),
            closed_front: draping.closed_front,
            closed_rear: draping.closed_rear,
            overlap: draping.overlap.0,
            stagger: draping.stagger.0,
            slits: draping.slits,
        }
    }
}

impl From<document::Draping> for Draping {
    fn from(draping: document::Draping) -> Self {
        Self {
            start: draping.start.map(|[station, turn]| Start { station: Number(station), turn: Number(turn) }),
            cell: draping.cell.map(Number),
            allowance: numbers(draping.allowance),
            closed_front: draping.closed_front,
            closed_rear: draping.closed_rear,
            overlap: Number(draping.overlap),
            stagger: Number(draping.stagger),
            slits: draping.slits,
        }
    }
}
