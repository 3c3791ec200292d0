//! Vectors in space: x aft, y to starboard, z up.

/// A place or a direction, mm or without unit.
pub type Vector = [f64; 3];

/// The sum.
#[inline]
pub fn add(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// The difference.
#[inline]
pub fn sub(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// A vector times a number.
#[inline]
pub fn times(a: Vector, by: f64) -> Vector {
    [a[0] * by, a[1] * by, a[2] * by]
}

/// The inner product.
#[inline]
pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// The vector product.
#[inline]
pub fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// The length.
#[inline]
pub fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// The direction of a vector; the way aft for one without length.
pub fn unit(a: Vector) -> Vector {
    let length = length(a);
    if length > 0.0 { times(a, 1.0 / length) } else { [1.0, 0.0, 0.0] }
}

/// Three unit vectors at right angles: along `axis`, level across it (towards starboard for an axis that points aft), and
/// upward across both.
pub fn triad(axis: Vector) -> [Vector; 3] {
    let axis = unit(axis);
    let level = cross([0.0, 0.0, 1.0], axis);
    let across = if length(level) > 1e-9 { unit(level) } else { [0.0, 1.0, 0.0] };
    [axis, across, cross(axis, across)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_triad_is_square_and_has_starboard_and_up_for_an_axis_that_points_aft() {
        assert_eq!(triad([2.0, 0.0, 0.0]), [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
        let [a, b, c] = triad([1.0, 0.3, -0.2]);
        for (u, v) in [(a, b), (a, c), (b, c)] {
            assert!(dot(u, v).abs() < 1e-15);
        }
        assert!((dot(cross(a, b), c) - 1.0).abs() < 1e-15 && b[1] > 0.9 && c[2] > 0.9);
    }
}
