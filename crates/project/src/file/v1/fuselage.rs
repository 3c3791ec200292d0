//! The fuselage end in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::measured::Measured;
use super::{is_default, same_variants};
use crate::airframe as document;
use crate::file::checked::{self, Number};
use crate::promise;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FuselageEnd {
    station: Number,
    #[serde(deserialize_with = "section")]
    section: Section,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    further: Option<Further>,
    lap: Lap,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    screws: Option<Screws>,
    allowed_gap: Number,
    allowed_break_deg: Number,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pinned: Option<Pin>,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pin {
    #[serde(default, skip_serializing_if = "is_default")]
    form: usize,
    #[serde(default, skip_serializing_if = "is_default")]
    proud: Number,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Further {
    station: Number,
    #[serde(deserialize_with = "section")]
    section: Section,
}

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Section {
    Measured(Measured),
    Circle { diameter: Number, centre_height: Number },
    Ellipse { width: Number, height: Number, centre_height: Number },
    RoundedBox { width: Number, height: Number, radius: Number, centre_height: Number },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Lap {
    #[serde(default)]
    side: LapSide,
    length: Number,
    clearance: Number,
}

#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
enum LapSide {
    #[default]
    Over,
    Into,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Screws {
    spacing: Spacing,
    edge_distance: Number,
    hole: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Spacing {
    Count(u32),
    Pitch(Number),
}

same_variants!(LapSide, document::LapSide, Over, Into);

fn section<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Section, D::Error> {
    checked::whole(deserializer, |section: &Section| promise::check_fuselage_section(&section.to_document()))
}

impl FuselageEnd {
    pub(super) fn to_document(&self) -> document::FuselageEnd {
        document::FuselageEnd {
            station: self.station.0,
            section: self.section.to_document(),
            further: self.further.as_ref().map(|further| (further.station.0, further.section.to_document())),
            lap: document::Lap {
                side: self.lap.side.into(),
                length: self.lap.length.0,
                clearance: self.lap.clearance.0,
            },
            screws: self.screws.map(document::Screws::from),
            allowed_gap: self.allowed_gap.0,
            allowed_break_deg: self.allowed_break_deg.0,
            pinned: self.pinned.map(|pin| document::Pin { form: pin.form, proud: pin.proud.0 }),
        }
    }
}

impl From<&document::FuselageEnd> for FuselageEnd {
    fn from(end: &document::FuselageEnd) -> Self {
        let further = |(station, section): &(f64, document::FuselageSection)| Further {
            station: Number(*station),
            section: section.into(),
        };
        Self {
            station: Number(end.station),
            section: Section::from(&end.section),
            further: end.further.as_ref().map(further),
            lap: Lap {
                side: end.lap.side.into(),
                length: Number(end.lap.length),
                clearance: Number(end.lap.clearance),
            },
            screws: end.screws.map(Screws::from),
            allowed_gap: Number(end.allowed_gap),
            allowed_break_deg: Number(end.allowed_break_deg),
            pinned: end.pinned.map(|pin| Pin { form: pin.form, proud: Number(pin.proud) }),
        }
    }
}

impl Section {
    fn to_document(&self) -> document::FuselageSection {
        match self {
            Self::Measured(measured) => document::FuselageSection::Measured(measured.to_document()),
            Self::Circle { diameter, centre_height } => {
                document::FuselageSection::Circle { diameter: diameter.0, centre_height: centre_height.0 }
            }
            Self::Ellipse { width, height, centre_height } => {
                document::FuselageSection::Ellipse { width: width.0, height: height.0, centre_height: centre_height.0 }
            }
            Self::RoundedBox { width, height, radius, centre_height } => document::FuselageSection::RoundedBox {
                width: width.0,
                height: height.0,
                radius: radius.0,
                centre_height: centre_height.0,
            },
        }
    }
}

impl From<&document::FuselageSection> for Section {
    fn from(section: &document::FuselageSection) -> Self {
        match *section {
            document::FuselageSection::Measured(ref measured) => Self::Measured(measured.into()),
            document::FuselageSection::Circle { diameter, centre_height } => {
                Self::Circle { diameter: Number(diameter), centre_height: Number(centre_height) }
            }
            document::FuselageSection::Ellipse { width, height, centre_height } => {
                Self::Ellipse { width: Number(width), height: Number(height), centre_height: Number(centre_height) }
            }
            document::FuselageSection::RoundedBox { width, height, radius, centre_height } => Self::RoundedBox {
                width: Number(width),
                height: Number(height),
                radius: Number(radius),
                centre_height: Number(centre_height),
            },
        }
    }
}

impl From<Screws> for document::Screws {
    fn from(screws: Screws) -> Self {
        let spacing = match screws.spacing {
            Spacing::Count(count) => document::ScrewSpacing::Count(count),
            Spacing::Pitch(pitch) => document::ScrewSpacing::Pitch(pitch.0),
        };
        Self { spacing, edge_distance: screws.edge_distance.0, hole: screws.hole.0 }
    }
}

impl From<document::Screws> for Screws {
    fn from(screws: document::Screws) -> Self {
        let spacing = match screws.spacing {
            document::ScrewSpacing::Count(count) => Spacing::Count(count),
            document::ScrewSpacing::Pitch(pitch) => Spacing::Pitch(Number(pitch)),
        };
        Self { spacing, edge_distance: Number(screws.edge_distance), hole: Number(screws.hole) }
    }
}
