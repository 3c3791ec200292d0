//! What a lens does to the pinhole's picture: radial and decentring distortion.
//!
//! Coordinates are those of the ideal pinhole, divided by depth: x = X / Z to the right, y = Y / Z downwards, no unit.
//! With r² = x² + y²:
//!
//! ```text
//! x' = x (1 + k1 r² + k2 r⁴) + 2 p1 x y + p2 (r² + 2 x²)
//! y' = y (1 + k1 r² + k2 r⁴) + p1 (r² + 2 y²) + 2 p2 x y
//! ```
//! A. Conrady, "Decentred lens-systems", Monthly Notices of the RAS 79 (1919); D. C. Brown, "Close-range camera
//! calibration", Photogrammetric Engineering 37 (1971).

use nalgebra::{Matrix2, Vector2};

/// Distortion coefficients; all zero is a lens that draws as the pinhole does. They belong to one focal length in
/// pixels: see [`Lens::at_focal`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lens {
    /// Radial, second order: negative for a barrel, positive for a cushion.
    pub k1: f64,
    /// Radial, fourth order.
    pub k2: f64,
    /// Decentring, upright.
    pub p1: f64,
    /// Decentring, level.
    pub p2: f64,
}

/// How near [`Lens::undistorted`] comes to the point whose image was given, in the coordinates of the module's head.
const UNDISTORT_TOLERANCE: f64 = 1e-13;

impl Lens {
    /// A lens that draws as the pinhole does.
    pub const NONE: Self = Self { k1: 0.0, k2: 0.0, p1: 0.0, p2: 0.0 };

    /// A lens with radial distortion only.
    pub const fn radial(k1: f64, k2: f64) -> Self {
        Self { k1, k2, p1: 0.0, p2: 0.0 }
    }

    /// Where the lens shows the ideal point. Meaningful up to the circle of [`Lens::reach`].
    pub fn distorted(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let Self { k1, k2, p1, p2 } = *self;
        let r2 = x * x + y * y;
        let radial = 1.0 + r2 * (k1 + r2 * k2);
        [
            x * radial + 2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x),
            y * radial + p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y,
        ]
    }

    /// The ideal point that the lens shows at the given one, to 1e-13. `None` where the lens shows no point there: beyond
    /// the circle at which the radial polynomial turns back, or for what is not finite.
    pub fn undistorted(&self, shown: [f64; 2]) -> Option<[f64; 2]> {
        if *self == Self::NONE {
            return shown.iter().all(|c| c.is_finite()).then_some(shown);
        }
        let goal = Vector2::from(shown);
        let reach = self.reach();
        let mut at = goal * (0.99 * reach / goal.norm()).min(1.0);
        // Newton's steps, never past the fold.
        for _ in 0..60 {
            let missing = goal - Vector2::from(self.distorted(at.into()));
            if missing.norm() <= UNDISTORT_TOLERANCE * (1.0 + goal.norm()) {
                return (at.norm() < reach).then(|| at.into());
            }
            let mut step = self.by_point(at.into()).try_inverse()? * missing;
            while (at + step).norm() >= reach && step.norm() > UNDISTORT_TOLERANCE {
                step *= 0.5;
            }
            at += step;
        }
        None
    }

    /// Where a pinhole would show what the picture shows at `pixel`, given the principal point and the focal length to which
    /// the lens belongs: straight things become straight. `None` as for [`Lens::undistorted`].
    pub fn straightened(&self, pixel: [f64; 2], centre: [f64; 2], focal_px: f64) -> Option<[f64; 2]> {
        let ideal = self.undistorted([0, 1].map(|k| (pixel[k] - centre[k]) / focal_px))?;
        Some([0, 1].map(|k| focal_px * ideal[k] + centre[k]))
    }

    /// Where the picture shows what a pinhole would show at `pixel`: the way back of [`Lens::straightened`]. `None` beyond
    /// [`Lens::reach`].
    pub fn bent(&self, pixel: [f64; 2], centre: [f64; 2], focal_px: f64) -> Option<[f64; 2]> {
        let ideal = [0, 1].map(|k| (pixel[k] - centre[k]) / focal_px);
        let shown = self.distorted(ideal);
        (ideal[0].hypot(ideal[1]) < self.reach()).then(|| [0, 1].map(|k| focal_px * shown[k] + centre[k]))
    }

    /// How far from the middle, as r of the module's head, the picture grows with the ideal point; farther out the radial
    /// polynomial folds the picture back on itself and means nothing. Infinite where it never folds.
    pub fn reach(&self) -> f64 {
        // The smallest positive root of d(r + k1 r³ + k2 r⁵)/dr = 1 + 3 k1 s + 5 k2 s² with s = r².
        let (a, b) = (5.0 * self.k2, 3.0 * self.k1);
        let inside = b * b - 4.0 * a;
        if inside < 0.0 || (a == 0.0 && b >= 0.0) {
            return f64::INFINITY;
        }
        // Of the two roots 2 / (-b ± √inside), the form without cancellation and without division by a.
        let smaller = 2.0 / (-b + inside.sqrt());
        let larger = 2.0 / (-b - inside.sqrt());
        let root = [smaller, larger].into_iter().filter(|s| *s > 0.0).fold(f64::INFINITY, f64::min);
        root.sqrt()
    }

    /// Derivative of the shown point by the ideal point.
    pub fn by_point(&self, [x, y]: [f64; 2]) -> Matrix2<f64> {
        let Self { k1, k2, p1, p2 } = *self;
        let r2 = x * x + y * y;
        let radial = 1.0 + r2 * (k1 + r2 * k2);
        // d radial / d x = slope x.
        let slope = 2.0 * k1 + 4.0 * k2 * r2;
        let across = slope * x * y + 2.0 * p1 * x + 2.0 * p2 * y;
        Matrix2::new(
            radial + slope * x * x + 2.0 * p1 * y + 6.0 * p2 * x,
            across,
            across,
            radial + slope * y * y + 6.0 * p1 * y + 2.0 * p2 * x,
        )
    }

    /// Derivative of the shown point by k1 and k2, one column each.
    pub fn by_radial([x, y]: [f64; 2]) -> Matrix2<f64> {
        let r2 = x * x + y * y;
        Matrix2::new(x * r2, x * r2 * r2, y * r2, y * r2 * r2)
    }

    /// The coefficients of the very same picture, pixel for pixel, when its focal length is taken as `to_px` instead of
    /// `from_px`: the distortion that was marked on a picture does not change when its focal length becomes known.
    pub fn at_focal(&self, from_px: f64, to_px: f64) -> Self {
        let ratio = to_px / from_px;
        let square = ratio * ratio;
        Self { k1: self.k1 * square, k2: self.k2 * square * square, p1: self.p1 * ratio, p2: self.p2 * ratio }
    }
}
