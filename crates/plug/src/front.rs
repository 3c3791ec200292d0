//! The ring's plane trims the front: what it leaves of every part, and what is taken off or packed there.
//!
//! A part is a drawing times its card's thickness. It is cut square to the card, so that nothing of it stands ahead of the plane on
//! either of its faces; what the plane takes off the card's edge besides is sanded with the foam.

use crate::finding::finding;
use crate::formers::Former;
use crate::region::{Point, Region};
use crate::slots::FAR;
use crate::surface::{CUT, half, whole};
use form::front::{CLOCK, Front, farthest, packing};
use form::shaft::RingTrim;
use form::{Finding, FinishedSkin, PlugSurface, Severity};
use geometry::oblique::ObliquePlane;
use project::airframe::ThrustLine;

/// How the plug ends at its ring.
#[derive(Clone, Debug, PartialEq)]
pub struct RingFront {
    /// The plug's outline on the rear face of the ring.
    pub plug: Front,
    /// That of the finished form.
    pub finished: Front,
    /// Station of the stack's foremost face, which is flat until it is trimmed, mm.
    pub face: f64,
    /// What is taken off or packed there at 12, 3, 6 and 9 o'clock, looking aft.
    pub clock: [ClockPoint; 4],
}

/// A place at the edge of the foremost face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClockPoint {
    /// Half-breadth (negative to port) and height on the face's outline.
    pub at: Point,
    /// Thickness along the datum axis between the face and the ring, mm: packing where positive, taken off where negative.
    pub packing: f64,
}

/// The front of a plug whose stack begins at station `face`; `None` where the ring's plane does not meet the form.
pub(crate) fn front(line: &ThrustLine, skin: &FinishedSkin, plug: &PlugSurface, face: f64) -> Option<RingFront> {
    let (low, high) = plug.x_range();
    let outline = whole(&half(plug, face.clamp(low, high), 0.0, CUT));
    if outline.area() < LEAST_FACE {
        return None;
    }
    let contour = outline.pieces.first()?.first()?;
    let finished = Front::of(line, skin.loft(), 0.0, CUT)?;
    let own = plug.front(line, CUT)?;
    if own.area() < LEAST_FACE {
        return None;
    }
    let [_, y, z] = own.ring.rear.point;
    let point = |way: Point| {
        let r = farthest(contour, [y, z], way)?;
        let at = [y + r * way[0], z + r * way[1]];
        Some(ClockPoint { at, packing: packing(&own.ring.rear, face, at) })
    };
    let [a, b, c, d] = CLOCK.map(point);
    Some(RingFront { finished, face, clock: [a?, b?, c?, d?], plug: own })
}

/// A foremost face of less area is a point: nothing is fitted to it, mm².
pub(crate) const LEAST_FACE: f64 = 1.0;

/// What of a part of the centre plane, of this thickness, lies behind the plane; seen with x aft and z up.
pub(crate) fn trim_centre(part: &Region, plane: &ObliquePlane, card: f64) -> Region {
    let reach = 0.5 * card * plane.lean[0].abs();
    part.without(&beyond([-1.0, plane.lean[1]], -plane.station - reach))
}

/// The same of a part of a waterline; seen with x aft and y to starboard.
pub(crate) fn trim_waterline(part: &Region, plane: &ObliquePlane, height: f64, card: f64) -> Region {
    let reach = 0.5 * card * plane.lean[1].abs();
    part.without(&beyond([-1.0, plane.lean[0]], -plane.at([0.0, height]) - reach))
}

/// What of a cross plane at station `x` lies behind the plane.
pub(crate) fn trim_cross(part: &Region, plane: &ObliquePlane, x: f64) -> Region {
    part.without(&beyond(plane.lean, x - plane.station))
}

/// Volume, mm³, that lies ahead of the plane of a body of this cross section between two stations.
pub(crate) fn ahead_of(section: &Region, plane: &ObliquePlane, (front, rear): (f64, f64)) -> f64 {
    let beyond = |x: f64| {
        // Of a thickness that is linear in the place: area times the thickness at the centroid.
        let cut = section.without(&trim_cross(section, plane, x));
        cut.centroid().map_or(0.0, |c| cut.area() * (plane.at(c) - x))
    };
    beyond(front) - beyond(rear)
}

/// The half plane of all places p with normal · p > offset.
fn beyond(normal: Point, offset: f64) -> Region {
    let length = normal[0].hypot(normal[1]);
    if length < 1e-12 {
        return if offset < 0.0 { Region::rectangle([-FAR, -FAR], [FAR, FAR]) } else { Region::default() };
    }
    let n = normal.map(|c| c / length);
    let foot = n.map(|c| c * offset / length);
    let corner = |along: f64, out: f64| [foot[0] - n[1] * along + n[0] * out, foot[1] + n[0] * along + n[1] * out];
    Region::of(&[corner(-FAR, 0.0), corner(-FAR, FAR), corner(FAR, FAR), corner(FAR, 0.0)])
}

/// The plane may cut this far into a former before it is told, mm.
const INTO_CARD: f64 = 0.05;

/// Takes off what lies wholly ahead of the plane, and tells where the plane cuts into card; `false` where nothing is left.
pub(crate) fn trim_former(former: &mut Former, trim: &RingTrim) -> (bool, Option<Finding>) {
    let plane = trim.oblique();
    let behind = |p: &Point| plane.at(*p) - former.front;
    let deepest = former.outline.pieces.iter().flatten().flatten().map(behind).fold(f64::NEG_INFINITY, f64::max);
    if deepest <= INTO_CARD {
        return (true, None);
    }
    former.outline = trim_cross(&former.outline, &plane, former.rear);
    former.part.clone_from(&former.outline);
    let left = !former.part.is_empty();
    (left, Some(cuts_deep(former, deepest, left)))
}

fn cuts_deep(former: &Former, deepest: f64, left: bool) -> Finding {
    let what = if left {
        format!("The ring's plane cuts into former {}, up to {deepest:.1} mm behind its front face.", former.number)
    } else {
        format!("Former {} lies ahead of the ring's plane and is left out.", former.number)
    };
    let hint = "Let the foremost section be foam alone, begin the stack further aft, or move the ring ahead.";
    finding(Severity::Warning, what, hint).at_station(former.front).with(deepest, 0.0, "mm")
}
