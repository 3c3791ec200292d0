//! Shaft, spinner and ring in version 1.

use serde::{Deserialize, Serialize};

use crate::airframe as document;
use crate::file::checked::Number;

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ThrustLine {
    firewall: Number,
    hub_distance: Number,
    hub_height: Number,
    #[serde(default)]
    down_thrust_deg: Number,
    #[serde(default)]
    side_thrust_deg: Number,
    spinner: Spinner,
    ring: Ring,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Spinner {
    diameter: Number,
    gap: Number,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ring {
    thickness: Number,
    #[serde(default)]
    step: Number,
    #[serde(default = "square")]
    square_to_thrust: bool,
}

/// A ring stands square to the thrust line unless it is said otherwise.
fn square() -> bool {
    true
}

impl From<ThrustLine> for document::ThrustLine {
    fn from(thrust: ThrustLine) -> Self {
        let ThrustLine { spinner, ring, .. } = thrust;
        Self {
            firewall: thrust.firewall.0,
            hub_distance: thrust.hub_distance.0,
            hub_height: thrust.hub_height.0,
            down_thrust_deg: thrust.down_thrust_deg.0,
            side_thrust_deg: thrust.side_thrust_deg.0,
            spinner: document::Spinner { diameter: spinner.diameter.0, gap: spinner.gap.0 },
            ring: document::Ring {
                thickness: ring.thickness.0,
                step: ring.step.0,
                square_to_thrust: ring.square_to_thrust,
            },
        }
    }
}

impl From<document::ThrustLine> for ThrustLine {
    fn from(thrust: document::ThrustLine) -> Self {
        let document::ThrustLine { spinner, ring, .. } = thrust;
        Self {
            firewall: Number(thrust.firewall),
            hub_distance: Number(thrust.hub_distance),
            hub_height: Number(thrust.hub_height),
            down_thrust_deg: Number(thrust.down_thrust_deg),
            side_thrust_deg: Number(thrust.side_thrust_deg),
            spinner: Spinner { diameter: Number(spinner.diameter), gap: Number(spinner.gap) },
            ring: Ring {
                thickness: Number(ring.thickness),
                step: Number(ring.step),
                square_to_thrust: ring.square_to_thrust,
            },
        }
    }
}
