//! The strip that is wrapped round the joint to drill the screws' holes.
//!
//! ```text
//!   crown                                        keel
//!   |----o----------o----------o----------o------|   shell's edge below for a shell that goes over
//!   |<-- along -->|
//! ```
//! One half; the other is its mirror. Around a body that tapers a strip winds on a cone; over the width of a lap that is small.

use super::shape::{FuselageShape, lap_outline, screw_places};
use project::airframe::{FuselageEnd, LapSide};

/// Half a strip, on the surface that it is wrapped round: the outside of the shell for one that goes over the fuselage, the outside
/// of the fuselage for one that goes into it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewStrip {
    /// Along the surface from crown to keel, mm.
    pub half_girth: f64,
    /// Along the surface from the crown to the middle of each hole of the starboard half, mm, rising. One on the centre plane
    /// counts to both halves.
    pub along: Vec<f64>,
    /// From the edge that the strip is laid along to the middles, mm: the shell's rear edge for one that goes over, the
    /// fuselage's front edge for one that goes into it.
    pub from_edge: f64,
    /// Diameter of the holes, mm.
    pub hole: f64,
    /// How many screws there are around the whole section.
    pub count: usize,
}

/// The strip of a fuselage end; `wall` is the shell's thickness, mm. `None` without screws.
pub fn screw_strip(end: &FuselageEnd, wall: f64) -> Option<ScrewStrip> {
    let screws = end.screws.as_ref()?;
    let fuselage = FuselageShape::of(end)?;
    let places = screw_places(end, &fuselage, screws);
    let x = places.first()?[0];
    let (surface, from_edge) = match end.lap.side {
        LapSide::Over => (lap_outline(end, &fuselage, x).moved_out(wall), screws.edge_distance),
        LapSide::Into => (fuselage.at(x), x - end.station),
    };
    let along: Vec<f64> =
        places.iter().filter(|p| p[1] > -ON_CENTRE).map(|p| surface.length_to([p[1].max(0.0), p[2]])).collect();
    Some(ScrewStrip { half_girth: surface.length(), along, from_edge, hole: screws.hole, count: places.len() })
}

/// A screw this near to the centre plane lies on it, mm.
const ON_CENTRE: f64 = 1e-6;
