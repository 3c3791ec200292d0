//! Pictures in version 1: all but their bytes, which lie in a file of their own.

use serde::{Deserialize, Deserializer, Serialize};

use super::photograph::Photograph;
use super::{is_default, numbers, pair, same_variants};
use crate::document;
use crate::file::checked::{Number, told};
use crate::file::pictures::check_picture_path;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Picture {
    #[serde(deserialize_with = "super::name")]
    name: String,
    #[serde(deserialize_with = "path")]
    file: String,
    view: View,
    size_px: (u32, u32),
    mm_per_px: Number,
    #[serde(default)]
    rotation_deg: Number,
    offset: (Number, Number),
    #[serde(default)]
    mirrored: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    scale: Option<KnownDistance>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    check: Option<KnownDistance>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    level: Option<((Number, Number), (Number, Number))>,
    opacity: Number,
    #[serde(default)]
    locked: bool,
    #[serde(default)]
    hidden: bool,
    #[serde(default, skip_serializing_if = "is_default")]
    photograph: Photograph,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
enum View {
    Side,
    Face,
    Plan,
    Reference,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KnownDistance {
    a: (Number, Number),
    b: (Number, Number),
    distance_mm: Number,
    of: Size,
}

/// What a length was measured on.
#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(super) enum Size {
    FullSize,
    Model,
}

impl Size {
    pub(super) fn of(full_size: bool) -> Self {
        if full_size { Self::FullSize } else { Self::Model }
    }

    pub(super) fn is_full(self) -> bool {
        matches!(self, Self::FullSize)
    }
}

same_variants!(View, document::PictureView, Side, Face, Plan, Reference);

fn path<'de, D: Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    let path = String::deserialize(deserializer)?;
    check_picture_path(&path).map_err(told)?;
    Ok(path)
}

impl Picture {
    pub(super) fn new(picture: &document::Picture, file: String) -> Self {
        let [width, height] = picture.size_px;
        Self {
            name: picture.name.clone(),
            file,
            view: picture.view.into(),
            size_px: (width, height),
            mm_per_px: Number(picture.placement.mm_per_px),
            rotation_deg: Number(picture.placement.rotation_deg),
            offset: numbers(picture.placement.offset),
            mirrored: picture.placement.mirrored,
            scale: picture.scale.map(KnownDistance::from),
            check: picture.check.map(KnownDistance::from),
            level: picture.level.map(|[a, b]| (numbers(a), numbers(b))),
            opacity: Number(picture.opacity),
            locked: picture.locked,
            hidden: picture.hidden,
            photograph: Photograph::from(&picture.photograph),
        }
    }

    pub(super) fn to_document(&self) -> document::Picture {
        document::Picture {
            name: self.name.clone(),
            view: self.view.into(),
            bytes: [].into(),
            file: self.file.clone(),
            size_px: [self.size_px.0, self.size_px.1],
            placement: document::Placement {
                mm_per_px: self.mm_per_px.0,
                rotation_deg: self.rotation_deg.0,
                offset: pair(self.offset),
                mirrored: self.mirrored,
            },
            scale: self.scale.map(document::KnownDistance::from),
            check: self.check.map(document::KnownDistance::from),
            level: self.level.map(|(a, b)| [pair(a), pair(b)]),
            opacity: self.opacity.0,
            locked: self.locked,
            hidden: self.hidden,
            photograph: self.photograph.to_document(),
        }
    }
}

impl From<KnownDistance> for document::KnownDistance {
    fn from(known: KnownDistance) -> Self {
        Self { a: pair(known.a), b: pair(known.b), distance_mm: known.distance_mm.0, full_size: known.of.is_full() }
    }
}

impl From<document::KnownDistance> for KnownDistance {
    fn from(known: document::KnownDistance) -> Self {
        Self {
            a: numbers(known.a),
            b: numbers(known.b),
            distance_mm: Number(known.distance_mm),
            of: Size::of(known.full_size),
        }
    }
}
