//! Formers and templates in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::{numbers, pair, same_variants};
use crate::build as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Formers {
    inset: Number,
    outline: PrintedOutline,
    slot_clearance: Number,
    end_clearance: Number,
    centre_opens_up: bool,
    least_web: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    breadth_template: Option<Number>,
    bevel_from_deg: Number,
    shaft_hole: Number,
    #[serde(deserialize_with = "dowels")]
    dowels: Vec<(Number, Number)>,
    dowel_diameter: Number,
    lightening_web: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum PrintedOutline {
    Smaller,
    Front,
    Rear,
}

same_variants!(PrintedOutline, document::PrintedOutline, Smaller, Front, Rear);

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Formers, D::Error> {
    checked::whole(deserializer, |formers: &Formers| promise::check_formers(&formers.to_document()))
}

fn dowels<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<(Number, Number)>, D::Error> {
    checked::list(deserializer, promise::MAX_DOWELS, |_, dowel| promise::check_dowel(pair(*dowel)))
}

impl Default for Formers {
    fn default() -> Self {
        Self::from(&document::Build::default().formers)
    }
}

impl Formers {
    pub(super) fn to_document(&self) -> document::Formers {
        document::Formers {
            inset: self.inset.0,
            outline: self.outline.into(),
            slot_clearance: self.slot_clearance.0,
            end_clearance: self.end_clearance.0,
            centre_opens_up: self.centre_opens_up,
            least_web: self.least_web.0,
            breadth_template: self.breadth_template.map(|height| height.0),
            bevel_from_deg: self.bevel_from_deg.0,
            shaft_hole: self.shaft_hole.0,
            dowels: self.dowels.iter().copied().map(pair).collect(),
            dowel_diameter: self.dowel_diameter.0,
            lightening_web: self.lightening_web.0,
        }
    }
}

impl From<&document::Formers> for Formers {
    fn from(formers: &document::Formers) -> Self {
        Self {
            inset: Number(formers.inset),
            outline: formers.outline.into(),
            slot_clearance: Number(formers.slot_clearance),
            end_clearance: Number(formers.end_clearance),
            centre_opens_up: formers.centre_opens_up,
            least_web: Number(formers.least_web),
            breadth_template: formers.breadth_template.map(Number),
            bevel_from_deg: Number(formers.bevel_from_deg),
            shaft_hole: Number(formers.shaft_hole),
            dowels: formers.dowels.iter().copied().map(numbers).collect(),
            dowel_diameter: Number(formers.dowel_diameter),
            lightening_web: Number(formers.lightening_web),
        }
    }
}
