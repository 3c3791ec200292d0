//! Areas of a hole, from the true surface.
//!
//! Where the hole has one closed edge, the areas are summed up round it: module `edge`. Where the outline leaves the form, or steps on it,
//! the surface is cut into strips: module `strips`.

mod changes;
mod edge;
mod spans;
mod strip;
mod strips;

use super::hole::Hole;
use super::target::{Sheet, Target};
use crate::space::{Vector, add, dot, times};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use project::opening::Seen;

/// Areas of a hole, mm².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Areas {
    /// On the surface.
    pub surface: f64,
    /// As seen along the line of sight: of what meets the form.
    pub seen: f64,
    /// As seen along the body: what stands square to the flow.
    pub to_flow: f64,
    /// Inside the drawn outline, whether it meets the form or not.
    pub outline: f64,
    /// The sum of the surface's normals, each times its area.
    pub vector: Vector,
}

/// Chord error of the front face's edge, mm; and where it is only asked whether it is there.
const EDGE: f64 = 1e-4;
const COARSE: f64 = 1.0;
/// A flat front that faces the eye by less, a cosine, is not seen.
const LEAST_FACING: f64 = 1e-9;

impl Hole {
    /// Areas of the hole. Where its edge is one closed line: of all that the edge encloses, within 1e-5 of the outline's area, but for
    /// what chords that lie a ten-thousandth of a millimetre aside leave of a flat front. Else: of what the outline shows of the form, within 1e-4;
    /// there what the form itself hides along the line of sight is left out.
    pub fn areas(&self, target: &Target<'_>) -> Areas {
        let front = has_front(self, target);
        let within = self.whole().and_then(|run| edge::within(self, run, target, front));
        let [mut surface, x, y, z] = within.unwrap_or_else(|| strips::inside(self, target));
        let mut vector = [x, y, z];
        if let Some((area, normal)) = front.then(|| front_area(self, target)).flatten() {
            surface += area;
            vector = add(vector, times(normal, area));
        }
        let seen = -dot(vector, self.seen.sight());
        Areas { surface, seen, to_flow: vector[0].abs(), outline: self.curve.area(), vector }
    }
}

/// Whether the edge reaches the form's front, flat or a point, or goes round it.
fn has_front(hole: &Hole, target: &Target<'_>) -> bool {
    let [a, b] = hole.seen.axes();
    let inside = |p: &Vector| hole.curve.inside([p[a], p[b]]);
    let is_shown = hole.seen == Seen::Ahead || target.trim().is_some();
    let goes_round = || match target.front_edge(COARSE) {
        Some(edge) => edge.iter().any(inside),
        None => {
            let low = target.loft().x_range().0;
            target.loft().section(low).is_some_and(|tip| inside(&[low, 0.0, tip.breadth_height()]))
        }
    };
    hole.places().any(|p| p.on == Sheet::Front) || (is_shown && goes_round())
}

/// The part of the flat front inside the outline, and its normal.
fn front_area(hole: &Hole, target: &Target<'_>) -> Option<(f64, Vector)> {
    let normal = target.trim().map_or([-1.0, 0.0, 0.0], |trim| trim.normal);
    let facing = -dot(normal, hole.seen.sight());
    if facing < LEAST_FACING {
        return None;
    }
    if hole.whole().is_some() && hole.places().all(|p| p.on == Sheet::Front) {
        return Some((hole.curve.area() / facing, normal));
    }
    let edge = target.front_edge(EDGE)?;
    let [a, b] = hole.seen.axes();
    let face: Vec<[f64; 2]> = edge.iter().map(|p| [p[a], p[b]]).collect();
    let shapes = hole.curve.points(EDGE).overlay(&face, OverlayRule::Intersect, FillRule::NonZero);
    let area: f64 = shapes.iter().flatten().map(|ring| polygon_area(ring)).sum::<f64>().abs();
    Some((area / facing, normal))
}

/// Signed area of a polygon.
fn polygon_area(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum()
}
