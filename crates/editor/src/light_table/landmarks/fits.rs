//! What would put a landmark right that contradicts the others.

use photo::PictureCamera;

/// A coordinate that, changed alone, brings a landmark to where it was picked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Fit {
    /// 0 aft, 1 to starboard, 2 up.
    pub(crate) axis: usize,
    /// What it would have to be, mm.
    pub(crate) value: f64,
    /// How far it would then still be off, px.
    pub(crate) off_px: f64,
}

/// What probably happened when a coordinate was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slip {
    /// Left for right, up for down.
    Sign,
    /// A decimal point.
    Decimal,
    /// A number of the full-size machine.
    FullSize,
}

/// Steps of Gauss and Newton's method: it converges in four or five where it converges.
const STEPS: usize = 20;

/// The coordinates that fit, nearest first; none if none brings it within `within_px`.
pub(crate) fn coordinates(camera: &PictureCamera, at: [f64; 3], pixel: [f64; 2], within_px: f64) -> Vec<Fit> {
    let mut out: Vec<Fit> = (0..3).filter_map(|axis| along(camera, at, pixel, axis)).collect();
    out.retain(|fit| fit.off_px <= within_px);
    out.sort_by(|a, b| a.off_px.total_cmp(&b.off_px));
    out
}

/// The place along one axis that the camera shows nearest to the pixel.
fn along(camera: &PictureCamera, mut at: [f64; 3], pixel: [f64; 2], axis: usize) -> Option<Fit> {
    for _ in 0..STEPS {
        let seen = camera.projection(at)?;
        let by = seen.by_point.column(axis);
        let off = [pixel[0] - seen.pixel[0], pixel[1] - seen.pixel[1]];
        let square = by.norm_squared();
        if square < 1e-12 {
            return None;
        }
        *at.get_mut(axis)? += (by[0] * off[0] + by[1] * off[1]) / square;
    }
    let seen = camera.project(at)?;
    let off_px = (pixel[0] - seen[0]).hypot(pixel[1] - seen[1]);
    Some(Fit { axis, value: *at.get(axis)?, off_px }).filter(|fit| fit.value.is_finite() && off_px.is_finite())
}

/// How a typed coordinate became the other, if it looks like a slip of the hand; `within` is how exactly that is known, mm.
pub(crate) fn slip(typed: f64, fits: f64, model_scale: f64, within: f64) -> Option<Slip> {
    let near = |value: f64| (fits - value).abs() <= within;
    if typed.abs() <= 2.0 * within {
        return None;
    }
    if near(-typed) {
        Some(Slip::Sign)
    } else if near(typed * 10.0) || near(typed / 10.0) {
        Some(Slip::Decimal)
    } else if near(typed / model_scale) && model_scale > 1.0 {
        Some(Slip::FullSize)
    } else {
        None
    }
}

/// Whether two landmarks fit once their names are exchanged.
pub(crate) fn swapped(camera: &PictureCamera, [a, b]: [([f64; 3], [f64; 2]); 2], within_px: f64) -> bool {
    let near = |at: [f64; 3], pixel: [f64; 2]| {
        camera.project(at).is_some_and(|seen| (seen[0] - pixel[0]).hypot(seen[1] - pixel[1]) <= within_px)
    };
    near(a.0, b.1) && near(b.0, a.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use photo::{Camera, Lens};

    /// Looks aft and to starboard from port ahead.
    fn camera() -> PictureCamera {
        let camera =
            Camera::look_at([-900.0, -1200.0, 300.0], [180.0, 0.0, 0.0], 3000.0, [800.0, 500.0]).expect("it looks");
        PictureCamera { camera, lens: Lens::NONE }
    }

    /// The landmark truly lies at y -72.5 and was typed with the other sign: closed form, the place itself is the answer.
    #[test]
    fn the_coordinate_with_the_wrong_sign_is_named() {
        let (truth, typed) = ([375.0, -72.5, -15.0], [375.0, 72.5, -15.0]);
        let pixel = camera().project(truth).expect("before the camera");
        let fits = coordinates(&camera(), typed, pixel, 2.0);
        let best = fits.first().expect("one fits");
        assert_eq!(best.axis, 1);
        assert!((best.value + 72.5).abs() < 1e-6 && best.off_px < 1e-6, "{best:?}");
        assert_eq!(slip(72.5, best.value, 4.0, 1.0), Some(Slip::Sign));
    }

    #[test]
    fn slips_are_told_apart() {
        assert_eq!(slip(21.6, 216.4, 4.0, 1.0), Some(Slip::Decimal));
        assert_eq!(slip(864.0, 215.6, 4.0, 1.0), Some(Slip::FullSize));
        assert_eq!(slip(216.0, 230.0, 4.0, 1.0), None);
        assert_eq!(slip(0.5, -0.5, 4.0, 1.0), None);
    }

    #[test]
    fn nothing_fits_where_no_single_coordinate_is_wrong() {
        let pixel = camera().project([100.0, -60.0, 40.0]).expect("before the camera");
        assert!(coordinates(&camera(), [300.0, 60.0, -80.0], pixel, 2.0).is_empty());
    }

    #[test]
    fn exchanged_names_are_noticed() {
        let (a, b) = ([100.0, -60.0, 40.0], [300.0, -70.0, -40.0]);
        let [at_a, at_b] = [a, b].map(|at| camera().project(at).expect("before the camera"));
        assert!(swapped(&camera(), [(a, at_b), (b, at_a)], 1.0));
        assert!(!swapped(&camera(), [(a, at_a), (b, at_b)], 1.0));
    }
}
