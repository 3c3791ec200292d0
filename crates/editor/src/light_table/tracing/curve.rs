//! The smooth curve that is drawn through the points of a trace, and the place on it nearest to the pointer.
//!
//! Each span is a cubic whose end tangents are those of the parabola through a point and its neighbours, over the lengths of
//! the chords, so that points may lie unevenly. It is for the eye: what is computed reads the points.

use super::apart;

/// A place on a trace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OnCurve {
    /// The point at the beginning of the span.
    pub(crate) after: usize,
    /// The place, px.
    pub(crate) at: [f64; 2],
    /// How far it lies from what was asked for, px.
    pub(crate) distance: f64,
}

/// Pieces of one span at most.
const MOST_PIECES: f64 = 64.0;

/// The curve through `points`, px, with a place about every `step` px; with each the point it comes after.
fn places(points: &[[f64; 2]], step: f64) -> Vec<(usize, [f64; 2])> {
    let Some(first) = points.first() else { return Vec::new() };
    let tangents = tangents(points);
    let mut out = vec![(0, *first)];
    for (i, (ends, slopes)) in points.windows(2).zip(tangents.windows(2)).enumerate() {
        let [p, q] = [ends[0], ends[1]];
        let length = apart(p, q);
        let pieces = (length / step.max(1e-3)).ceil().clamp(1.0, MOST_PIECES);
        out.extend((1..=pieces as usize).map(|k| {
            let s = k as f64 / pieces;
            let (s2, s3) = (s * s, s * s * s);
            let at = |k: usize| {
                let chord = (2.0 * s3 - 3.0 * s2 + 1.0) * p[k] + (3.0 * s2 - 2.0 * s3) * q[k];
                chord + length * ((s3 - 2.0 * s2 + s) * slopes[0][k] + (s3 - s2) * slopes[1][k])
            };
            (i, [at(0), at(1)])
        }));
    }
    out
}

/// The curve through `points`, px, with a place about every `step` px.
pub(crate) fn through(points: &[[f64; 2]], step: f64) -> Vec<[f64; 2]> {
    places(points, step).into_iter().map(|(_, at)| at).collect()
}

/// The place of the curve nearest to a pixel.
pub(crate) fn nearest(points: &[[f64; 2]], px: [f64; 2]) -> Option<OnCurve> {
    let places = places(points, 2.0);
    let spans = places.windows(2).map(|w| {
        let ((_, a), (after, b)) = (w[0], w[1]);
        let along = [b[0] - a[0], b[1] - a[1]];
        let square = along[0] * along[0] + along[1] * along[1];
        let share = if square > 0.0 {
            (((px[0] - a[0]) * along[0] + (px[1] - a[1]) * along[1]) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let at = [a[0] + share * along[0], a[1] + share * along[1]];
        OnCurve { after, at, distance: apart(at, px) }
    });
    spans.min_by(|a, b| a.distance.total_cmp(&b.distance))
}

/// Tangents at the points, for a parameter that runs as the chords are long.
fn tangents(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let steps: Vec<f64> = points.windows(2).map(|w| apart(w[0], w[1]).max(1e-6)).collect();
    let chord = |i: usize| -> [f64; 2] { std::array::from_fn(|k| (points[i + 1][k] - points[i][k]) / steps[i]) };
    let inner = |i: usize| -> [f64; 2] {
        let both = steps[i - 1] + steps[i];
        let (before, after) = (chord(i - 1), chord(i));
        std::array::from_fn(|k| (before[k] * steps[i] + after[k] * steps[i - 1]) / both)
    };
    let last = points.len().saturating_sub(1);
    let end = |chord: [f64; 2], beside: [f64; 2]| -> [f64; 2] { std::array::from_fn(|k| 2.0 * chord[k] - beside[k]) };
    let of = |i: usize| match i {
        _ if last == 0 => [0.0; 2],
        _ if last == 1 => chord(0),
        0 => end(chord(0), inner(1)),
        i if i == last => end(chord(last - 1), inner(last - 1)),
        i => inner(i),
    };
    (0..points.len()).map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_passes_its_points_and_follows_a_circle() {
        let circle = |degrees: f64| {
            let (s, c) = degrees.to_radians().sin_cos();
            [200.0 + 100.0 * c, 150.0 - 100.0 * s]
        };
        // Unevenly on purpose: 15 to 40 degrees.
        let points: Vec<[f64; 2]> = [0.0, 15.0, 50.0, 90.0, 110.0, 150.0, 180.0].map(circle).into();
        let curve = through(&points, 2.0);
        for p in &points {
            assert!(curve.iter().any(|q| apart(*p, *q) < 1e-9), "{p:?}");
        }
        // A chord of 40 degrees lies 6 px inside (r - r cos 20°); the curve may be off by a tenth of that.
        let off = curve.iter().map(|p| (apart(*p, [200.0, 150.0]) - 100.0).abs()).fold(0.0, f64::max);
        assert!(off < 0.6, "{off}");
    }

    #[test]
    fn the_nearest_place_knows_its_span() {
        let points = [[0.0, 0.0], [100.0, 0.0], [200.0, 0.0]];
        let found = nearest(&points, [130.0, 7.0]).expect("there are spans");
        assert_eq!(found.after, 1);
        assert!(apart(found.at, [130.0, 0.0]) < 1e-9 && (found.distance - 7.0).abs() < 1e-9);
        assert_eq!(nearest(&points[..1], [0.0, 0.0]), None);
        assert_eq!(through(&[], 1.0), Vec::<[f64; 2]>::new());
        // Two points in one place break nothing.
        assert!(through(&[[1.0, 1.0], [1.0, 1.0], [5.0, 1.0]], 1.0).iter().all(|p| p.iter().all(|c| c.is_finite())));
    }
}
