//! Convex outlines of parts, to know how much of a tile is really used.

use crate::sheet::{Drawing, Item, Rect};

/// Convex hull, counter-clockwise, without collinear points (Andrew's monotone chain).
pub(crate) fn convex_hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.retain(|p| p[0].is_finite() && p[1].is_finite());
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut hull = half_chain(points.iter().copied());
    let upper = half_chain(points.iter().rev().copied());
    hull.pop();
    hull.extend(&upper[..upper.len() - 1]);
    hull
}

fn half_chain(points: impl Iterator<Item = [f64; 2]>) -> Vec<[f64; 2]> {
    let mut chain: Vec<[f64; 2]> = Vec::new();
    for p in points {
        while let [.., a, b] = chain[..] {
            if cross(a, b, p) > 0.0 {
                break;
            }
            chain.pop();
        }
        chain.push(p);
    }
    chain
}

fn cross(o: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

/// The hull of all that is drawn.
pub(crate) fn of_drawing(drawing: &Drawing) -> Vec<[f64; 2]> {
    let mut points = Vec::new();
    for item in &drawing.items {
        match item {
            Item::Path(p) => points.extend(p.points()),
            other => {
                let b = other.bounds();
                if !b.is_empty() {
                    points.extend(b.corners());
                }
            }
        }
    }
    convex_hull(points)
}

/// The area of a polygon, mm².
pub(crate) fn area(polygon: &[[f64; 2]]) -> f64 {
    let n = polygon.len();
    (0..n)
        .map(|k| {
            let (a, b) = (polygon[k], polygon[(k + 1) % n]);
            a[0] * b[1] - a[1] * b[0]
        })
        .sum::<f64>()
        .abs()
        / 2.0
}

/// The rectangle around a polygon.
pub(crate) fn bounds(polygon: &[[f64; 2]]) -> Rect {
    let mut r = Rect::NOTHING;
    polygon.iter().for_each(|&p| r.include(p));
    r
}

/// The rectangle around the part of a convex polygon that lies in `window` (Sutherland-Hodgman).
pub(crate) fn bounds_within(polygon: &[[f64; 2]], window: &Rect) -> Rect {
    let mut inside = polygon.to_vec();
    for (axis, limit, sign) in
        [(0, window.min[0], 1.0), (0, window.max[0], -1.0), (1, window.min[1], 1.0), (1, window.max[1], -1.0)]
    {
        inside = keep_side(&inside, axis, limit, sign);
    }
    bounds(&inside)
}

fn keep_side(polygon: &[[f64; 2]], axis: usize, limit: f64, sign: f64) -> Vec<[f64; 2]> {
    let depth = |p: [f64; 2]| (p[axis] - limit) * sign;
    let mut out = Vec::with_capacity(polygon.len() + 2);
    for (k, &b) in polygon.iter().enumerate() {
        let a = polygon[(k + polygon.len() - 1) % polygon.len()];
        let (da, db) = (depth(a), depth(b));
        if (da < 0.0) != (db < 0.0) {
            let t = da / (da - db);
            let mut cut = [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
            cut[axis] = limit;
            out.push(cut);
        }
        if db >= 0.0 {
            out.push(b);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hull_of_a_square_with_inner_points_is_its_corners() {
        let hull = convex_hull(vec![[0.0, 0.0], [4.0, 0.0], [2.0, 0.0], [4.0, 4.0], [0.0, 4.0], [1.0, 2.0]]);
        assert_eq!(hull.len(), 4);
        assert!((area(&hull) - 16.0).abs() < 1e-12);
    }

    #[test]
    fn a_cap_of_a_circle_is_as_wide_as_its_chord() {
        let circle: Vec<_> = (0..720)
            .map(|k| f64::from(k) * std::f64::consts::PI / 360.0)
            .map(|a| [50.0 * a.cos(), 50.0 * a.sin()])
            .collect();
        let cap = bounds_within(&circle, &Rect { min: [-100.0, 30.0], max: [100.0, 100.0] });
        // Chord at height 30 of a circle of radius 50: 2 sqrt(50² - 30²) = 80.
        assert!((cap.size()[0] - 80.0).abs() < 0.01, "{cap:?}");
        assert!((cap.size()[1] - 20.0).abs() < 0.01, "{cap:?}");
    }
}
