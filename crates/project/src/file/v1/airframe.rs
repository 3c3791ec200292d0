//! The airframe in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::fuselage::FuselageEnd;
use super::gauge::Gauge;
use super::keep_out::KeepOut;
use super::thrust::ThrustLine;
use super::{is_default, same_variants};
use crate::airframe as document;
use crate::file::checked;
use crate::promise;

#[derive(Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Airframe {
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "fuselage")]
    fuselage: Option<FuselageEnd>,
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "thrust")]
    thrust: Option<ThrustLine>,
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "keep_outs")]
    keep_outs: Vec<KeepOut>,
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "gauges")]
    gauges: Vec<Gauge>,
    #[serde(default, skip_serializing_if = "is_default")]
    draw_off: DrawOff,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
enum DrawOff {
    #[default]
    ThrustLine,
    Datum,
}

same_variants!(DrawOff, document::DrawOff, ThrustLine, Datum);

fn fuselage<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<FuselageEnd>, D::Error> {
    checked::whole(deserializer, |end: &Option<FuselageEnd>| {
        end.iter().try_for_each(|end| promise::check_fuselage(&end.to_document()))
    })
}

fn thrust<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<ThrustLine>, D::Error> {
    checked::whole(deserializer, |thrust: &Option<ThrustLine>| {
        thrust.iter().try_for_each(|thrust| promise::check_thrust(&(*thrust).into()))
    })
}

fn keep_outs<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<KeepOut>, D::Error> {
    checked::list(deserializer, promise::MAX_KEEP_OUTS, |_, keep_out: &KeepOut| {
        promise::check_keep_out(&keep_out.to_document())
    })
}

fn gauges<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Gauge>, D::Error> {
    checked::list(deserializer, promise::MAX_GAUGES, |_, gauge: &Gauge| promise::check_gauge(&gauge.to_document()))
}

impl Airframe {
    pub(super) fn to_document(&self) -> document::Airframe {
        document::Airframe {
            fuselage: self.fuselage.as_ref().map(FuselageEnd::to_document),
            thrust: self.thrust.map(document::ThrustLine::from),
            keep_outs: self.keep_outs.iter().map(KeepOut::to_document).collect(),
            gauges: self.gauges.iter().map(Gauge::to_document).collect(),
            draw_off: self.draw_off.into(),
        }
    }
}

impl From<&document::Airframe> for Airframe {
    fn from(airframe: &document::Airframe) -> Self {
        Self {
            fuselage: airframe.fuselage.as_ref().map(FuselageEnd::from),
            thrust: airframe.thrust.map(ThrustLine::from),
            keep_outs: airframe.keep_outs.iter().map(KeepOut::from).collect(),
            gauges: airframe.gauges.iter().map(Gauge::from).collect(),
            draw_off: airframe.draw_off.into(),
        }
    }
}
