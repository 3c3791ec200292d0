//! Width and height gauges in version 1.

use serde::{Deserialize, Serialize};

use super::same_variants;
use crate::airframe as document;
use crate::file::checked::Number;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Gauge {
    #[serde(deserialize_with = "super::name")]
    name: String,
    station: Number,
    measure: Measure,
    rule: Rule,
    value: Number,
    #[serde(default)]
    tolerance: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Measure {
    WidthAt { height: Number },
    HeightAt { half_breadth: Number },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Rule {
    AtLeast,
    AtMost,
    Exactly,
}

same_variants!(Rule, document::GaugeRule, AtLeast, AtMost, Exactly);

impl Gauge {
    pub(super) fn to_document(&self) -> document::Gauge {
        document::Gauge {
            name: self.name.clone(),
            station: self.station.0,
            measure: match self.measure {
                Measure::WidthAt { height } => document::GaugeMeasure::WidthAt { height: height.0 },
                Measure::HeightAt { half_breadth } => document::GaugeMeasure::HeightAt { half_breadth: half_breadth.0 },
            },
            rule: self.rule.into(),
            value: self.value.0,
            tolerance: self.tolerance.0,
        }
    }
}

impl From<&document::Gauge> for Gauge {
    fn from(gauge: &document::Gauge) -> Self {
        Self {
            name: gauge.name.clone(),
            station: Number(gauge.station),
            measure: match gauge.measure {
                document::GaugeMeasure::WidthAt { height } => Measure::WidthAt { height: Number(height) },
                document::GaugeMeasure::HeightAt { half_breadth } => {
                    Measure::HeightAt { half_breadth: Number(half_breadth) }
                }
            },
            rule: gauge.rule.into(),
            value: Number(gauge.value),
            tolerance: Number(gauge.tolerance),
        }
    }
}
