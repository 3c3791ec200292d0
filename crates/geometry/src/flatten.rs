//! A curve as a polyline of stated closeness.

/// Appends to `out` (which already ends with the curve's place at `t0`) the places up to `t1`, so close that the chords
/// stay within `tolerance` mm of the curve.
///
/// The distance is checked at the eighths of every chord: a piece of a few inflections between `t0` and `t1`, such as one
/// cubic or conic or a blend of some, cannot hide from that.
pub fn refine(curve: &impl Fn(f64) -> [f64; 2], t0: f64, t1: f64, tolerance: f64, out: &mut Vec<[f64; 2]>) {
    refine_where(&|t| Place { p: curve(t), with: () }, [t0, t1], tolerance, &|_, _| true, &mut |place| {
        out.push(place.p);
    });
}

/// A place of a curve, with what else is known of it there.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place<T> {
    /// The point.
    pub p: [f64; 2],
    /// What belongs to it.
    pub with: T,
}

/// As [`refine`], for places that carry more than a point, and only where `wanted` says so of a chord's ends: other chords
/// stay as they are. Every place behind the one at `t[0]` is given to `add`, in order.
pub fn refine_where<T: Copy>(
    curve: &impl Fn(f64) -> Place<T>,
    t: [f64; 2],
    tolerance: f64,
    wanted: &impl Fn([f64; 2], [f64; 2]) -> bool,
    add: &mut impl FnMut(Place<T>),
) {
    let mut eighths = [None; 9];
    let end = curve(t[1]);
    (eighths[0], eighths[8]) = (Some(curve(t[0])), Some(end));
    Refining { curve, tolerance, wanted }.halve(t, &mut eighths, MOST_HALVINGS, add);
    add(end);
}

/// A piece is halved this often at most: enough for a corner of 0.1 mm on a piece of 400 mm, and where a curve is torn, as an offset may
/// be at a point of the body, not without end.
const MOST_HALVINGS: u32 = 12;

/// Places at the eighths of a chord, as far as they are known.
type Eighths<T> = [Option<Place<T>>; 9];

/// The order in which the eighths are looked at: what is most likely far off first.
const ORDER: [usize; 7] = [4, 2, 6, 1, 3, 5, 7];

struct Refining<'a, C, W> {
    curve: &'a C,
    tolerance: f64,
    wanted: &'a W,
}

impl<C, W> Refining<'_, C, W> {
    fn halve<T: Copy>(&self, t: [f64; 2], eighths: &mut Eighths<T>, depth: u32, add: &mut impl FnMut(Place<T>))
    where
        C: Fn(f64) -> Place<T>,
        W: Fn([f64; 2], [f64; 2]) -> bool,
    {
        let (from, to) = (t[0], t[1]);
        let mut at = |k: usize| *eighths[k].get_or_insert_with(|| (self.curve)(from + 0.125 * k as f64 * (to - from)));
        let (a, b) = (at(0).p, at(8).p);
        if depth == 0 || !(self.wanted)(a, b) {
            return;
        }
        let middle = at(4);
        if ORDER.into_iter().all(|k| distance_to_chord(at(k).p, a, b) <= self.tolerance) {
            return;
        }
        // What was looked at serves the halves, whose quarters and eighths it is.
        let known = |first: usize| {
            let mut half: Eighths<T> = [None; 9];
            (0..=4).for_each(|k| half[2 * k] = eighths[first + k]);
            half
        };
        let (mut left, mut right) = (known(0), known(4));
        let half = 0.5 * (from + to);
        self.halve([from, half], &mut left, depth - 1, add);
        add(middle);
        self.halve([half, to], &mut right, depth - 1, add);
    }
}

/// Distance of `p` from the segment `a` to `b`.
pub fn distance_to_chord(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p[0] - a[0] - share * dx).hypot(p[1] - a[1] - share * dy)
}
