//! Keep-outs in version 1.

use serde::{Deserialize, Serialize};

use crate::airframe as document;
use crate::file::checked::Number;

#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KeepOut {
    #[serde(deserialize_with = "super::name")]
    name: String,
    shape: Solid,
    place: Place,
    clearance: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Solid {
    Cylinder { diameter: Number, length: Number },
    Box { length: Number, breadth: Number, height: Number },
    Cone { front_diameter: Number, rear_diameter: Number, length: Number },
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Place {
    OnThrustLine {
        behind_hub: Number,
    },
    Free {
        front: (Number, Number, Number),
        #[serde(default)]
        pitch_deg: Number,
        #[serde(default)]
        yaw_deg: Number,
    },
}

impl KeepOut {
    pub(super) fn to_document(&self) -> document::KeepOut {
        document::KeepOut {
            name: self.name.clone(),
            shape: self.shape.into(),
            place: self.place.into(),
            clearance: self.clearance.0,
        }
    }
}

impl From<&document::KeepOut> for KeepOut {
    fn from(keep_out: &document::KeepOut) -> Self {
        Self {
            name: keep_out.name.clone(),
            shape: keep_out.shape.into(),
            place: keep_out.place.into(),
            clearance: Number(keep_out.clearance),
        }
    }
}

impl From<Solid> for document::Solid {
    fn from(solid: Solid) -> Self {
        match solid {
            Solid::Cylinder { diameter, length } => Self::Cylinder { diameter: diameter.0, length: length.0 },
            Solid::Box { length, breadth, height } => {
                Self::Box { length: length.0, breadth: breadth.0, height: height.0 }
            }
            Solid::Cone { front_diameter, rear_diameter, length } => {
                Self::Cone { front_diameter: front_diameter.0, rear_diameter: rear_diameter.0, length: length.0 }
            }
        }
    }
}

impl From<document::Solid> for Solid {
    fn from(solid: document::Solid) -> Self {
        match solid {
            document::Solid::Cylinder { diameter, length } => {
                Self::Cylinder { diameter: Number(diameter), length: Number(length) }
            }
            document::Solid::Box { length, breadth, height } => {
                Self::Box { length: Number(length), breadth: Number(breadth), height: Number(height) }
            }
            document::Solid::Cone { front_diameter, rear_diameter, length } => Self::Cone {
                front_diameter: Number(front_diameter),
                rear_diameter: Number(rear_diameter),
                length: Number(length),
            },
        }
    }
}

impl From<Place> for document::KeepOutPlace {
    fn from(place: Place) -> Self {
        match place {
            Place::OnThrustLine { behind_hub } => Self::OnThrustLine { behind_hub: behind_hub.0 },
            Place::Free { front: (x, y, z), pitch_deg, yaw_deg } => {
                Self::Free { front: [x.0, y.0, z.0], pitch_deg: pitch_deg.0, yaw_deg: yaw_deg.0 }
            }
        }
    }
}

impl From<document::KeepOutPlace> for Place {
    fn from(place: document::KeepOutPlace) -> Self {
        match place {
            document::KeepOutPlace::OnThrustLine { behind_hub } => {
                Self::OnThrustLine { behind_hub: Number(behind_hub) }
            }
            document::KeepOutPlace::Free { front, pitch_deg, yaw_deg } => {
                let [x, y, z] = front.map(Number);
                Self::Free { front: (x, y, z), pitch_deg: Number(pitch_deg), yaw_deg: Number(yaw_deg) }
            }
        }
    }
}
