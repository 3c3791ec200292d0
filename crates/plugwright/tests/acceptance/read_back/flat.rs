//! What is read off closed contours; what an odd number of them hold is material.

pub(crate) type Point = [f64; 2];
/// From its lower to its upper end.
pub(crate) type Span = (f64, f64);

/// Lower left and upper right corner.
pub(crate) fn bounds<'a>(contours: impl IntoIterator<Item = &'a Vec<Point>>) -> (Point, Point) {
    let mut corners = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in contours.into_iter().flatten() {
        for (k, &c) in p.iter().enumerate() {
            corners.0[k] = corners.0[k].min(c);
            corners.1[k] = corners.1[k].max(c);
        }
    }
    corners
}

pub(crate) fn size((low, high): (Point, Point)) -> Point {
    [high[0] - low[0], high[1] - low[1]]
}

/// The sides of a closed contour.
pub(crate) fn sides(contour: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    (0..contour.len()).map(|i| (contour[i], contour[(i + 1) % contour.len()]))
}

/// The stretches of material on the line on which coordinate `held` has the value `at`.
pub(crate) fn spans(contours: &[Vec<Point>], held: usize, at: f64) -> Vec<Span> {
    let crossing = |(a, b): (Point, Point)| {
        let crosses = (a[held] > at) != (b[held] > at);
        let share = (at - a[held]) / (b[held] - a[held]);
        crosses.then_some(a[1 - held] + (b[1 - held] - a[1 - held]) * share)
    };
    let mut ends: Vec<f64> = contours.iter().flat_map(|c| sides(c)).filter_map(crossing).collect();
    ends.sort_by(f64::total_cmp);
    ends.chunks_exact(2).map(|e| (e[0], e[1])).collect()
}

/// What lies in any of the spans.
pub(crate) fn joined(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<Span> = Vec::new();
    for s in spans {
        match out.last_mut() {
            Some(last) if last.1 >= s.0 => last.1 = last.1.max(s.1),
            _ => out.push(s),
        }
    }
    out
}

pub(crate) fn holds(contours: &[Vec<Point>], p: Point) -> bool {
    spans(contours, 1, p[1]).iter().any(|s| s.0 <= p[0] && p[0] <= s.1)
}

/// Distance to the nearest place on any of the contours.
pub(crate) fn distance(contours: &[Vec<Point>], p: Point) -> f64 {
    contours.iter().flat_map(|c| sides(c)).map(|(a, b)| to_chord(p, a, b)).fold(f64::INFINITY, f64::min)
}

fn to_chord(p: Point, a: Point, b: Point) -> f64 {
    let (d, q) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let long = d[0] * d[0] + d[1] * d[1];
    let t = if long > 0.0 { ((q[0] * d[0] + q[1] * d[1]) / long).clamp(0.0, 1.0) } else { 0.0 };
    (q[0] - t * d[0]).hypot(q[1] - t * d[1])
}

/// The contours that lie in no other one: one a piece.
pub(crate) fn outer(contours: &[Vec<Point>]) -> Vec<&Vec<Point>> {
    let in_another = |i: usize| {
        let others = contours.iter().enumerate().filter(|(j, _)| *j != i);
        others.filter(|(_, other)| holds(std::slice::from_ref(other), contours[i][0])).count() % 2 == 1
    };
    (0..contours.len()).filter(|&i| !in_another(i)).map(|i| &contours[i]).collect()
}
