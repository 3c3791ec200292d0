//! Foam and card in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::{numbers, pair};
use crate::build as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Foam {
    allowance: Number,
    board: (Number, Number),
    kerf: Number,
    edge: Number,
    density: Number,
    card_weight: Number,
    card_sheet: (Number, Number),
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Foam, D::Error> {
    checked::whole(deserializer, |foam: &Foam| promise::check_foam(&foam.to_document()))
}

impl Default for Foam {
    fn default() -> Self {
        Self::from(&document::Build::default().foam)
    }
}

impl Foam {
    pub(super) fn to_document(self) -> document::Foam {
        document::Foam {
            allowance: self.allowance.0,
            board: pair(self.board),
            kerf: self.kerf.0,
            edge: self.edge.0,
            density: self.density.0,
            card_weight: self.card_weight.0,
            card_sheet: pair(self.card_sheet),
        }
    }
}

impl From<&document::Foam> for Foam {
    fn from(foam: &document::Foam) -> Self {
        Self {
            allowance: Number(foam.allowance),
            board: numbers(foam.board),
            kerf: Number(foam.kerf),
            edge: Number(foam.edge),
            density: Number(foam.density),
            card_weight: Number(foam.card_weight),
            card_sheet: numbers(foam.card_sheet),
        }
    }
}
