//! Outside templates and measured widths in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::super::stations;
use crate::build as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct Sanding {
    #[serde(deserialize_with = "stations")]
    stations: Vec<Number>,
    lines: bool,
    land: Number,
    #[serde(skip_serializing_if = "Vec::is_empty", deserialize_with = "measured")]
    measured: Vec<MeasuredWidth>,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct MeasuredWidth {
    station: Number,
    height: Number,
    width: Number,
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Sanding, D::Error> {
    checked::whole(deserializer, |sanding: &Sanding| promise::check_sanding(&sanding.to_document()))
}

fn measured<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<MeasuredWidth>, D::Error> {
    checked::list(deserializer, promise::MAX_MEASURED, |_, measured: &MeasuredWidth| {
        promise::check_measured_width((*measured).into())
    })
}

impl Default for Sanding {
    fn default() -> Self {
        Self::from(&document::Build::default().sanding)
    }
}

impl Sanding {
    pub(super) fn to_document(&self) -> document::Sanding {
        document::Sanding {
            stations: self.stations.iter().map(|x| x.0).collect(),
            lines: self.lines,
            land: self.land.0,
            measured: self.measured.iter().copied().map(document::MeasuredWidth::from).collect(),
        }
    }
}

impl From<&document::Sanding> for Sanding {
    fn from(sanding: &document::Sanding) -> Self {
        let measured = |m: &document::MeasuredWidth| MeasuredWidth {
            station: Number(m.station),
            height: Number(m.height),
            width: Number(m.width),
        };
        Self {
            stations: sanding.stations.iter().copied().map(Number).collect(),
            lines: sanding.lines,
            land: Number(sanding.land),
            measured: sanding.measured.iter().map(measured).collect(),
        }
    }
}

impl From<MeasuredWidth> for document::MeasuredWidth {
    fn from(measured: MeasuredWidth) -> Self {
        Self { station: measured.station.0, height: measured.height.0, width: measured.width.0 }
    }
}
