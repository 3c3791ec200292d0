//! How far a form reaches, felt along a straight way within a section: where to put something new on it.

use geometry::loft::Loft;

/// How near sections keep to the curves, mm: this places a first guess for the hand.
pub(super) const COARSE: f64 = 0.2;

/// How far a half section, from crown to keel, reaches from a height on the centre plane along a way to starboard; 0 where it does not.
pub(super) fn reach(outline: &[[f64; 2]], height: f64, way: [f64; 2]) -> f64 {
    let side = |p: [f64; 2]| way[0] * (p[1] - height) - way[1] * p[0];
    let far = |p: [f64; 2]| way[0] * p[0] + way[1] * (p[1] - height);
    let crossed = outline.windows(2).filter_map(|pair| {
        let ends = [side(pair[0]), side(pair[1])];
        // A chord along the way itself has both its ends there.
        let share = if ends[0] == ends[1] { 0.0 } else { ends[0] / (ends[0] - ends[1]) };
        (ends[0] * ends[1] <= 0.0).then(|| far(pair[0]) + share * (far(pair[1]) - far(pair[0])))
    });
    crossed.fold(0.0, f64::max)
}

/// The middle between top and bottom of the section at a station, and how far the skin lies from there at an angle from the crown to
/// starboard, degrees.
pub(super) fn skin(loft: &Loft, station: f64, around: f64) -> Option<(f64, f64)> {
    let section = loft.section(station)?;
    let middle = f64::midpoint(section.top(), section.bottom());
    let (sin, cos) = around.to_radians().sin_cos();
    Some((middle, reach(&section.polyline(COARSE), middle, [sin.abs(), cos])))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_1_SQRT_2;

    /// Half of a square of side 2 about height 5.
    #[test]
    fn a_square_is_felt_at_its_sides_corner_and_keel() {
        let square = [[0.0, 6.0], [1.0, 6.0], [1.0, 4.0], [0.0, 4.0]];
        for (way, far) in [
            ([1.0, 0.0], 1.0),
            ([0.0, 1.0], 1.0),
            ([0.0, -1.0], 1.0),
            ([FRAC_1_SQRT_2, -FRAC_1_SQRT_2], std::f64::consts::SQRT_2),
        ] {
            assert!((reach(&square, 5.0, way) - far).abs() < 1e-12, "{way:?}");
        }
        assert_eq!(reach(&square, 20.0, [1.0, 0.0]), 0.0);
    }
}
