//! Cuts triangles to the part that can be mapped to pixels: ahead of the eye and not absurdly far aside.

use crate::camera::{Camera, NEAREST};
use nalgebra::Vector3;

/// Pixels from the corner beyond which triangles are cut, so that products of coordinates fit 64 bits.
pub(crate) const FARTHEST: f64 = 1_048_576.0;

/// The part of a triangle (in camera axes) that can be mapped, as a convex polygon; empty if there is none.
pub(crate) fn clip(camera: &Camera, triangle: [Vector3<f64>; 3]) -> Vec<Vector3<f64>> {
    let inside = |limit: usize, p: &Vector3<f64>| {
        let [x, y, w] = camera.homogeneous(p);
        match limit {
            0 => w - NEAREST,
            1 => FARTHEST * w - x,
            2 => FARTHEST * w + x,
            3 => FARTHEST * w - y,
            _ => FARTHEST * w + y,
        }
    };
    (0..5).fold(triangle.to_vec(), |polygon, limit| keep(&polygon, |p| inside(limit, p)))
}

/// One step of Sutherland and Hodgman's clipping (1974): keeps where `inside`, linear in space, is not negative.
fn keep(polygon: &[Vector3<f64>], inside: impl Fn(&Vector3<f64>) -> f64) -> Vec<Vector3<f64>> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (i, to) in polygon.iter().enumerate() {
        let from = &polygon[(i + polygon.len() - 1) % polygon.len()];
        let (at_from, at_to) = (inside(from), inside(to));
        if (at_from < 0.0) != (at_to < 0.0) {
            kept.push(from + (to - from) * (at_from / (at_from - at_to)));
        }
        if at_to >= 0.0 {
            kept.push(*to);
        }
    }
    kept
}
