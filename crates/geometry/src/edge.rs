//! The rounded edge of a flat end, as a master line sees it.
//!
//! ```text
//!          face            line
//!            |      . - '' '''''''
//!            |  . '
//!            |.'   c              c  centre of the circle: r from the face and r from the line
//!            |
//! ```
//!
//! The edge is rounded on the master lines: a circle that touches the line and the plane of the face takes the line's last
//! stretch, so that side outline and plan have exactly the radius asked for. The unit shape is carried inward with the
//! lines; on a round face the whole edge is that circle, on a squarish one its corners are a little softer.

use crate::line::{LineValue, STEEPEST};
use std::f64::consts::FRAC_PI_2;

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct EdgeRound {
    face: f64,
    /// x at which circle and line touch.
    touch: f64,
    centre: [f64; 2],
    radius: f64,
    /// Towards the inside of the body: -1 for crown and breadth, +1 for the keel.
    inside: f64,
}

impl EdgeRound {
    /// The circle between the plane `face` and a line, which is read by `line`; `aft` is +1 at a front face, -1 at a rear
    /// one. `None` where the radius finds no room within `room` mm from the face.
    pub(crate) fn new(
        face: f64,
        aft: f64,
        inside: f64,
        radius: f64,
        room: f64,
        line: &impl Fn(f64) -> LineValue,
    ) -> Option<Self> {
        let centre = |x: f64| {
            let LineValue { value, slope } = line(x);
            let length = 1f64.hypot(slope);
            [x - inside * slope / length * radius, value + inside / length * radius]
        };
        let miss = |x: f64| aft * (centre(x)[0] - face) - radius;
        let (mut low, mut high) = (0.0, room.min(2.0 * radius));
        if miss(face + aft * low) > 0.0 || miss(face + aft * high) < 0.0 {
            return None;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if miss(face + aft * middle) < 0.0 { low = middle } else { high = middle }
        }
        let touch = face + aft * 0.5 * (low + high);
        Some(Self { face, touch, centre: centre(touch), radius, inside })
    }

    /// Where circle and line touch.
    pub(crate) fn touch(&self) -> f64 {
        self.touch
    }

    /// Value of the line where it meets the face.
    pub(crate) fn value_at_face(&self) -> f64 {
        self.centre[1]
    }

    pub(crate) fn holds(&self, x: f64) -> bool {
        (x - self.touch) * (self.face - self.touch) > 0.0 && (x - self.face) * (self.touch - self.face) >= 0.0
    }

    pub(crate) fn at(&self, x: f64) -> LineValue {
        let along = x - self.centre[0];
        let height = (self.radius * self.radius - along * along).max(0.0).sqrt();
        let slope = if height * STEEPEST > along.abs() { along / height } else { STEEPEST.copysign(along) };
        LineValue { value: self.centre[1] - self.inside * height, slope: self.inside * slope }
    }

    /// Points of the circle from the face to where it touches the line, the latter left out.
    pub(crate) fn polyline(&self, tolerance: f64) -> Vec<[f64; 2]> {
        let aft = (self.touch - self.face).signum();
        let end = (aft * (self.centre[0] - self.touch) / self.radius).clamp(-1.0, 1.0).acos();
        let step = 2.0 * (1.0 - (tolerance / self.radius).min(1.0)).acos().min(FRAC_PI_2);
        let count = (end / step).ceil().max(1.0) as usize;
        let at = |i: usize| {
            let a = end * i as f64 / count as f64;
            [self.centre[0] - aft * self.radius * a.cos(), self.centre[1] - self.inside * self.radius * a.sin()]
        };
        (0..count).map(at).collect()
    }
}
