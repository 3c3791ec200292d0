//! A curve as a polyline of stated closeness.

/// Appends to `out` (which already ends with the curve's place at `t0`) the places up to `t1`, so close that the chords
/// stay within `tolerance` mm of the curve.
///
/// The distance is checked at the eighths of every chord: a piece of a few inflections between `t0` and `t1`, such as one
/// cubic or conic or a blend of some, cannot hide from that.
pub fn refine(curve: &impl Fn(f64) -> [f64; 2], t0: f64, t1: f64, tolerance: f64, out: &mut Vec<[f64; 2]>) {
    let mut eighths = [None; 9];
    let end = curve(t1);
    (eighths[0], eighths[8]) = (Some(curve(t0)), Some(end));
    halve(curve, t0, t1, &mut eighths, tolerance, 16, out);
    out.push(end);
}

/// Places at the eighths of a chord, as far as they are known.
type Eighths = [Option<[f64; 2]>; 9];

/// The order in which the eighths are looked at: what is most likely far off first.
const ORDER: [usize; 7] = [4, 2, 6, 1, 3, 5, 7];

fn halve(
    curve: &impl Fn(f64) -> [f64; 2],
    from: f64,
    to: f64,
    eighths: &mut Eighths,
    tolerance: f64,
    depth: u32,
    out: &mut Vec<[f64; 2]>,
) {
    let mut at = |k: usize| *eighths[k].get_or_insert_with(|| curve(from + 0.125 * k as f64 * (to - from)));
    let (a, b, middle) = (at(0), at(8), at(4));
    if depth == 0 || ORDER.into_iter().all(|k| distance_to_chord(at(k), a, b) <= tolerance) {
        return;
    }
    // What was looked at serves the halves, whose quarters and eighths it is.
    let known = |first: usize| {
        let mut half: Eighths = [None; 9];
        (0..=4).for_each(|k| half[2 * k] = eighths[first + k]);
        half
    };
    let (mut left, mut right) = (known(0), known(4));
    let half = 0.5 * (from + to);
    halve(curve, from, half, &mut left, tolerance, depth - 1, out);
    out.push(middle);
    halve(curve, half, to, &mut right, tolerance, depth - 1, out);
}

/// Distance of `p` from the segment `a` to `b`.
pub fn distance_to_chord(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p[0] - a[0] - share * dx).hypot(p[1] - a[1] - share * dy)
}
