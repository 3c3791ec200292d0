//! A curve as a polyline of stated closeness.

/// Appends to `out` (which already ends with the curve's place at `t0`) the places up to `t1`, so close that the chords
/// stay within `tolerance` mm of the curve.
///
/// The distance is checked at the eighths of every chord: a piece of a few inflections between `t0` and `t1`, such as one
/// cubic or conic or a blend of some, cannot hide from that.
pub fn refine(curve: &impl Fn(f64) -> [f64; 2], t0: f64, t1: f64, tolerance: f64, out: &mut Vec<[f64; 2]>) {
    let (a, b) = (curve(t0), curve(t1));
    halve(curve, (t0, a), (t1, b), tolerance, 16, out);
    out.push(b);
}

fn halve(
    curve: &impl Fn(f64) -> [f64; 2],
    from: (f64, [f64; 2]),
    to: (f64, [f64; 2]),
    tolerance: f64,
    depth: u32,
    out: &mut Vec<[f64; 2]>,
) {
    let at = |share: f64| curve(from.0 + share * (to.0 - from.0));
    let middle = at(0.5);
    let close = |p: [f64; 2]| distance_to_chord(p, from.1, to.1) <= tolerance;
    let others = [0.25, 0.75, 0.125, 0.375, 0.625, 0.875];
    if depth == 0 || (close(middle) && others.into_iter().all(|share| close(at(share)))) {
        return;
    }
    let half = (0.5 * (from.0 + to.0), middle);
    halve(curve, from, half, tolerance, depth - 1, out);
    out.push(middle);
    halve(curve, half, to, tolerance, depth - 1, out);
}

/// Distance of `p` from the segment `a` to `b`.
pub fn distance_to_chord(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p[0] - a[0] - share * dx).hypot(p[1] - a[1] - share * dy)
}
