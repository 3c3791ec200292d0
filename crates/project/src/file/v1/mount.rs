//! Where an added form sits, in version 1.

use serde::{Deserialize, Deserializer, Serialize};

use super::{is_default, triple, triple_of};
use crate::file::checked::{self, Number};
use crate::mount as document;
use crate::promise;

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mount {
    place: (Number, Number, Number),
    #[serde(default, skip_serializing_if = "is_default")]
    roll_deg: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    pitch_deg: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    yaw_deg: Number,
    #[serde(default, skip_serializing_if = "is_default")]
    mirrored: bool,
}

pub(super) fn read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Mount>, D::Error> {
    checked::whole(deserializer, |mount: &Option<Mount>| {
        mount.iter().try_for_each(|mount| promise::check_mount(&(*mount).into()))
    })
}

impl From<Mount> for document::Mount {
    fn from(mount: Mount) -> Self {
        Self {
            place: triple(mount.place),
            roll_deg: mount.roll_deg.0,
            pitch_deg: mount.pitch_deg.0,
            yaw_deg: mount.yaw_deg.0,
            mirrored: mount.mirrored,
        }
    }
}

impl From<document::Mount> for Mount {
    fn from(mount: document::Mount) -> Self {
        Self {
            place: triple_of(mount.place),
            roll_deg: Number(mount.roll_deg),
            pitch_deg: Number(mount.pitch_deg),
            yaw_deg: Number(mount.yaw_deg),
            mirrored: mount.mirrored,
        }
    }
}
