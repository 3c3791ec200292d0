//! The bevel of a former's edge: how far its two faces' outlines lie apart, over the card's thickness.

use crate::region::{Point, Region};
use geometry::flatten::distance_to_chord;

/// Which face of a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The face toward the nose.
    Front,
    /// The face toward the tail.
    Rear,
}

/// A stretch of a half outline where the bevel reaches the limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bevel {
    /// First place, from the crown down: half-breadth and height, mm.
    pub from: Point,
    /// Last place.
    pub to: Point,
    /// Where it is steepest.
    pub at: Point,
    /// Angle there, degrees from square.
    pub angle_deg: f64,
    /// The face whose outline is the smaller.
    pub smaller: Face,
}

/// Points nearer together than this give the same angle, mm.
const CLOSE: f64 = 1.0;

/// The stretches of the front face's half outline at which the angle atan(distance of the outlines / thickness) is at least
/// `from_deg`. The distance is the shortest to the other outline, so on a cone it is thickness · tan(slope), exactly but for the
/// outlines' chords.
pub(crate) fn bevels(front: &[Point], rear: &[Point], thickness: f64, from_deg: f64) -> Vec<Bevel> {
    if thickness <= 0.0 || rear.len() < 2 {
        return Vec::new();
    }
    let rear_region = crate::surface::whole(rear);
    let places = thinned(front).into_iter().map(|p| (p, lean(p, rear, &rear_region)));
    let mut out: Vec<Bevel> = Vec::new();
    let mut open = false;
    for (p, lean) in places {
        let angle_deg = (lean.abs() / thickness).atan().to_degrees();
        let smaller = if lean > 0.0 { Face::Front } else { Face::Rear };
        if angle_deg < from_deg {
            open = false;
            continue;
        }
        match out.last_mut().filter(|b| open && b.smaller == smaller) {
            Some(b) => {
                b.to = p;
                if angle_deg > b.angle_deg {
                    (b.at, b.angle_deg) = (p, angle_deg);
                }
            }
            None => out.push(Bevel { from: p, to: p, at: p, angle_deg, smaller }),
        }
        open = true;
    }
    out
}

/// How far one outline stands beyond another, at most, mm: 0 if it lies inside.
pub(crate) fn stands_beyond(outline: &[Point], other: &[Point]) -> f64 {
    let region = crate::surface::whole(other);
    thinned(outline).into_iter().map(|p| -lean(p, other, &region)).fold(0.0, f64::max)
}

/// Distance of a point from an outline, positive inside.
fn lean(p: Point, outline: &[Point], region: &Region) -> f64 {
    let distance = outline.windows(2).map(|w| distance_to_chord(p, w[0], w[1])).fold(f64::INFINITY, f64::min);
    if region.contains(p) { distance } else { -distance }
}

/// The outline's points without those that follow closely, its ends kept.
fn thinned(outline: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    for (i, p) in outline.iter().enumerate() {
        let far = out.last().is_none_or(|q| (p[0] - q[0]).hypot(p[1] - q[1]) >= CLOSE);
        if far || i + 1 == outline.len() {
            out.push(*p);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn half_circle(radius: f64) -> Vec<Point> {
        (0..=360)
            .map(|i| {
                let (sin, cos) = (std::f64::consts::PI * f64::from(i) / 360.0).sin_cos();
                [radius * sin, radius * cos]
            })
            .collect()
    }

    /// A cone of slope 20 degrees cut at the faces of a card of 2 mm; trade: edge error = thickness tan(slope).
    #[test]
    fn a_cone_has_its_slope_as_bevel_all_around() {
        let slope = 20f64.to_radians().tan();
        let (front, rear) = (half_circle(50.0), half_circle(50.0 + 2.0 * slope));
        let found = bevels(&front, &rear, 2.0, 10.0);
        assert_eq!(found.len(), 1);
        assert!((found[0].angle_deg - 20.0).abs() < 0.05 && found[0].smaller == Face::Front, "{found:?}");
        assert_eq!((found[0].from, found[0].to), (front[0], front[360]));
        assert!(bevels(&front, &rear, 2.0, 20.5).is_empty());
        assert!((stands_beyond(&rear, &front) - 2.0 * slope).abs() < 2e-3);
        assert_eq!(stands_beyond(&front, &rear), 0.0);
    }
}
