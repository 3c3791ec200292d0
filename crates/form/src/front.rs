//! The front of a form on the ring's plane: what is left once it is trimmed, and what must be packed to reach the ring.
//!
//! ```text
//!   side view    ring  form            seen along the shaft
//!                  \ |------             .-----.      ring's edge
//!                   \| trimmed          /.---.  \
//!                    \                 | | + |  |     outline of the form on the ring's rear face
//!            packed  |\                 \'---'  /
//!                    |_\____             '-----'
//! ```
//!
//! The surface itself is cut by the plane, not a mesh of it. Where the form begins behind the plane its front edge is carried
//! ahead along the shaft, as packing would be shaped.

use crate::shaft::{RingPlace, RingTrim, edge_place, shaft};
use geometry::loft::Loft;
use project::airframe::ThrustLine;
use std::f64::consts::TAU;

/// A place of the outline on the ring's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontPlace {
    /// Where it is.
    pub at: [f64; 3],
    /// The same as (to starboard, up) from the ring's centre, in the plane.
    pub on_plane: [f64; 2],
    /// The form begins behind the plane here: packing brings it there.
    pub packed: bool,
}

/// The outline of a form, or of its plug, on the rear face of its ring.
#[derive(Clone, Debug, PartialEq)]
pub struct Front {
    /// The ring.
    pub ring: RingPlace,
    /// The closed outline, from the crown down the starboard side to the keel and up the port side.
    pub outline: Vec<FrontPlace>,
}

/// A place counts as packed once it lies this far ahead of the form's front, mm.
const AHEAD: f64 = 1e-6;

impl Front {
    /// The front of a surface moved inward by `taken_off` mm; `None` where the plane lies behind the form's rear end, or the ring has
    /// no diameter. Chords stay within `tolerance` mm.
    pub fn of(line: &ThrustLine, loft: &Loft, taken_off: f64, tolerance: f64) -> Option<Self> {
        let (ring, ahead) = (crate::shaft::ring(line), shaft(line).ahead);
        if ring.diameter <= 0.0 {
            return None;
        }
        let (plane, way) = (ring.rear.oblique(), [1, 2].map(|k| -ahead[k] / ahead[0]));
        let front = loft.x_range().0;
        let place = |at: [f64; 3]| FrontPlace { at, on_plane: ring.on_rear(at), packed: at[0] < front - AHEAD };
        let half = |plane, way| loft.oblique_half(plane, taken_off, way, tolerance);
        let starboard = half(&plane, way)?.into_iter().map(place);
        let port = half(&plane.mirrored(), [-way[0], way[1]])?.into_iter().rev().map(|[x, y, z]| place([x, -y, z]));
        let mut outline: Vec<FrontPlace> = starboard.chain(port).collect();
        outline.dedup_by(|b, a| (b.at[1] - a.at[1]).hypot(b.at[2] - a.at[2]) < 1e-9);
        (outline.len() > 2).then_some(Self { ring, outline })
    }

    /// Area inside the outline in the ring's plane, mm²: next to nothing where the form has only a point or an edge there.
    pub fn area(&self) -> f64 {
        let next = self.outline.iter().cycle().skip(1);
        let cross = |(a, b): (&FrontPlace, &FrontPlace)| a.on_plane[0] * b.on_plane[1] - a.on_plane[1] * b.on_plane[0];
        0.5 * self.outline.iter().zip(next).map(cross).sum::<f64>().abs()
    }

    /// Whether some of the form is cut off.
    pub fn is_trimmed(&self) -> bool {
        self.outline.iter().any(|p| !p.packed)
    }

    /// Whether some of the form begins behind the plane.
    pub fn is_packed(&self) -> bool {
        self.outline.iter().any(|p| p.packed)
    }

    /// Foremost and rearmost station of the outline, mm.
    pub fn stations(&self) -> (f64, f64) {
        let xs = || self.outline.iter().map(|p| p.at[0]);
        (xs().fold(f64::INFINITY, f64::min), xs().fold(f64::NEG_INFINITY, f64::max))
    }

    /// How far the outline stands beyond the ring's edge, along the ring's radius at a share of a turn from the top to starboard, mm;
    /// negative where it stands back. `None` where the radius does not meet the outline.
    pub fn proud(&self, turn: f64) -> Option<f64> {
        let (sin, cos) = (turn * TAU).sin_cos();
        let points: Vec<[f64; 2]> = self.outline.iter().map(|p| p.on_plane).collect();
        farthest(&points, [0.0, 0.0], [sin, cos]).map(|r| r - 0.5 * self.ring.diameter)
    }

    /// Where the form differs most from the ring's edge, over `count` places of it: how far it stands proud, and the share of a turn.
    pub fn worst(&self, count: u32) -> Option<(f64, f64)> {
        let turns = (0..count).map(|i| f64::from(i) / f64::from(count));
        let all = turns.filter_map(|turn| Some((self.proud(turn)?, turn)));
        all.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
    }

    /// Place of the ring's edge at a share of a turn.
    pub fn edge(&self, turn: f64) -> [f64; 3] {
        edge_place(&self.ring, turn)
    }
}

/// The distance along a ray at which it leaves a closed polygon for the last time.
pub fn farthest(polygon: &[[f64; 2]], from: [f64; 2], along: [f64; 2]) -> Option<f64> {
    let seen = |p: [f64; 2]| {
        let (y, z) = (p[0] - from[0], p[1] - from[1]);
        (y * along[0] + z * along[1], y * along[1] - z * along[0])
    };
    let count = polygon.len();
    let crossing = |i: usize| {
        let (a, b) = (seen(polygon[i]), seen(polygon[(i + 1) % count]));
        ((a.1 > 0.0) != (b.1 > 0.0)).then(|| a.0 + (b.0 - a.0) * a.1 / (a.1 - b.1))
    };
    (0..count).filter_map(crossing).filter(|r| *r >= 0.0).max_by(f64::total_cmp)
}

/// The four clock points 12, 3, 6 and 9, looking aft (so 3 o'clock is to port), as (starboard, up).
pub const CLOCK: [[f64; 2]; 4] = [[0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]];

/// Thickness between a flat face at station `front` and the ring's rear face at a place (half-breadth, height) of it, along the
/// datum axis, mm: packing where positive, taken off where negative.
pub fn packing(plane: &RingTrim, front: f64, place: [f64; 2]) -> f64 {
    front - plane.station(place)
}
