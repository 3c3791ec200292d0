//! Where a pixel of a picture lies on the drawing, and back: the one place that knows.
//!
//! ```text
//!   picture: (0, 0) --> px x        view: up ^
//!               |                            |
//!               v px y                       +--> right
//! ```
//! View coordinates run to the right and up as the drawing shows them, mm: in the side view (x, z), in the half-breadth
//! plan (x, y), in the face view, which looks aft and so has starboard on its left, (-y, z).

use crate::document::{KnownDistance, Picture, PictureView, Placement};

impl Placement {
    /// The place on the view, mm, of a pixel.
    pub fn to_view(&self, px: [f64; 2]) -> [f64; 2] {
        let turned = turn(self.unturned(px), self.rotation_deg);
        [self.offset[0] + self.mm_per_px * turned[0], self.offset[1] + self.mm_per_px * turned[1]]
    }

    /// The pixel that lies at a place on the view; the other way round than [`Placement::to_view`].
    pub fn to_px(&self, view: [f64; 2]) -> [f64; 2] {
        let from_corner = [(view[0] - self.offset[0]) / self.mm_per_px, (view[1] - self.offset[1]) / self.mm_per_px];
        let [right, up] = turn(from_corner, -self.rotation_deg);
        [if self.mirrored { -right } else { right }, -up]
    }

    /// The same picture with its offset such that a pixel lies at a place on the view.
    #[must_use]
    pub fn held_at(&self, px: [f64; 2], view: [f64; 2]) -> Self {
        let now = self.to_view(px);
        let offset = [self.offset[0] + view[0] - now[0], self.offset[1] + view[1] - now[1]];
        Self { offset, ..*self }
    }

    /// The same picture scaled about a pixel that keeps its place.
    #[must_use]
    pub fn scaled_about(&self, px: [f64; 2], mm_per_px: f64) -> Self {
        Self { mm_per_px, ..*self }.held_at(px, self.to_view(px))
    }

    /// The same picture turned about the first of two pixels so that both lie level; of the two ways the smaller turn.
    #[must_use]
    pub fn levelled(&self, [a, b]: [[f64; 2]; 2]) -> Self {
        let [from, to] = [self.to_view(a), self.to_view(b)];
        let slope = (to[1] - from[1]).atan2(to[0] - from[0]).to_degrees();
        let back = if slope > 90.0 {
            slope - 180.0
        } else if slope < -90.0 {
            slope + 180.0
        } else {
            slope
        };
        Self { rotation_deg: half_turn_range(self.rotation_deg - back), ..*self }.held_at(a, from)
    }

    /// The pixel, in pixels to the right and up from the corner, before the picture is turned.
    fn unturned(&self, px: [f64; 2]) -> [f64; 2] {
        [if self.mirrored { -px[0] } else { px[0] }, -px[1]]
    }
}

/// Turned counter-clockwise.
fn turn(at: [f64; 2], degrees: f64) -> [f64; 2] {
    let (sin, cos) = degrees.to_radians().sin_cos();
    [cos * at[0] - sin * at[1], sin * at[0] + cos * at[1]]
}

/// The same angle from -180 (left out) to 180 degrees.
fn half_turn_range(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
}

impl PictureView {
    /// View coordinates of a place on the model; `None` for a picture that lies under no view.
    pub fn view_from_model(self, [x, y, z]: [f64; 3]) -> Option<[f64; 2]> {
        match self {
            Self::Side => Some([x, z]),
            Self::Face => Some([-y, z]),
            Self::Plan => Some([x, y]),
            Self::Reference => None,
        }
    }
}

impl Picture {
    /// By how many per cent the picture, as it is placed, disagrees with its second known distance: positive where it
    /// measures too long. `None` without a second distance.
    pub fn disagreement_percent(&self, model_scale: f64) -> Option<f64> {
        self.check.map(|check| self.placement.disagreement_percent(&check, model_scale))
    }
}

impl Placement {
    /// By how many per cent a distance measured on the placed picture is longer than it is known to be.
    pub fn disagreement_percent(&self, known: &KnownDistance, model_scale: f64) -> f64 {
        (self.mm_per_px / known.mm_per_px(model_scale) - 1.0) * 100.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn placements() -> impl Strategy<Value = Placement> {
        (0.01..10.0, -180.0..180.0, -500.0..500.0, -500.0..500.0, any::<bool>()).prop_map(
            |(mm_per_px, rotation_deg, right, up, mirrored)| Placement {
                mm_per_px,
                rotation_deg,
                offset: [right, up],
                mirrored,
            },
        )
    }

    proptest! {
        #[test]
        fn to_px_undoes_to_view(placement in placements(), x in -4000.0..4000.0, y in -4000.0..4000.0) {
            let [back_x, back_y] = placement.to_px(placement.to_view([x, y]));
            prop_assert!((back_x - x).abs() < 1e-6 && (back_y - y).abs() < 1e-6);
        }

        #[test]
        fn levelling_levels_about_the_first_point_by_at_most_a_right_angle(
            placement in placements(),
            a in [0.0..1000.0, 0.0..1000.0],
            b in [1100.0..2000.0, 0.0..1000.0],
        ) {
            let level = placement.levelled([a, b]);
            let [before, from, to] = [placement.to_view(a), level.to_view(a), level.to_view(b)];
            prop_assert!((before[0] - from[0]).hypot(before[1] - from[1]) < 1e-6);
            prop_assert!((to[1] - from[1]).abs() < 1e-6);
            let turn = half_turn_range(level.rotation_deg - placement.rotation_deg);
            prop_assert!(turn.abs() < 90.0 + 1e-9, "turned by {turn}");
        }
    }

    #[test]
    fn a_plain_picture_hangs_from_its_upper_left_corner() {
        let placement = Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [10.0, 100.0], mirrored: false };
        assert_eq!(placement.to_view([20.0, 40.0]), [20.0, 80.0]);
        let mirrored = Placement { mirrored: true, ..placement };
        assert_eq!(mirrored.to_view([20.0, 40.0]), [0.0, 80.0]);
    }

    #[test]
    fn a_picture_that_measures_too_long_disagrees_by_so_many_per_cent() {
        let placement = Placement { mm_per_px: 0.51, rotation_deg: 0.0, offset: [0.0; 2], mirrored: false };
        let known = KnownDistance { a: [0.0, 0.0], b: [300.0, 400.0], distance_mm: 1000.0, full_size: true };
        // 500 px are 255 mm on the picture and 1000 / 4 = 250 mm in truth.
        assert!((placement.disagreement_percent(&known, 4.0) - 2.0).abs() < 1e-9);
    }
}
