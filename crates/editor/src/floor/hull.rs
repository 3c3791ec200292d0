//! The convex hull of places, by Andrew's monotone chain: the silhouette of a convex solid.

/// The corners of the hull, counter-clockwise, the leftmost first; places on its sides are left out.
pub(crate) fn convex_hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut lower = half(points.iter().copied());
    let mut upper = half(points.iter().rev().copied());
    lower.pop();
    upper.pop();
    lower.append(&mut upper);
    lower
}

fn half(points: impl Iterator<Item = [f64; 2]>) -> Vec<[f64; 2]> {
    let mut chain: Vec<[f64; 2]> = Vec::new();
    for p in points {
        while let [.., a, b] = chain[..]
            && turn(a, b, p) <= 0.0
        {
            chain.pop();
        }
        chain.push(p);
    }
    chain
}

/// Positive where the way from a over b to c turns left.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_with_places_inside_and_on_its_sides_has_four_corners() {
        let square = vec![[0.0, 0.0], [4.0, 0.0], [2.0, 0.0], [4.0, 4.0], [0.0, 4.0], [1.0, 2.0], [4.0, 0.0]];
        assert_eq!(convex_hull(square), [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]);
        assert_eq!(convex_hull(vec![[1.0, 1.0], [1.0, 1.0]]), [[1.0, 1.0]]);
    }
}
