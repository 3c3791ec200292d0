//! The master lines over a short stretch of the body, read quickly.
//!
//! An offset section asks for the half boxes at thousands of stations within a thickness of its plane, and each of them means
//! solving four lines for a parameter. Between two breaks the lines are analytic, so the polynomial through the Chebyshev
//! points of a short stretch follows them to rounding (J.-P. Berrut and L. N. Trefethen, "Barycentric Lagrange
//! Interpolation", SIAM Review 46, 2004). It is compared with the lines between its points; a stretch where it is not close,
//! as beside an upright end, is read from the lines.

use crate::loft::{Frame, Loft};

/// Breadth, middle, above, below, each with its slope.
type Values = [f64; 8];

/// Points of a stretch's polynomial.
const POINTS: usize = 10;
/// How far the polynomial may be off the lines where it is compared, mm, and its slopes in mm per mm.
const CLOSE: f64 = 1e-11;
/// A stretch shorter than this is read from the lines, mm.
const SHORT: f64 = 1e-6;

/// The half boxes from one station to another.
#[derive(Clone, Debug)]
pub(crate) struct Window<'a> {
    loft: &'a Loft,
    stretches: Vec<Stretch>,
}

/// From break to break.
#[derive(Clone, Debug)]
struct Stretch {
    from: f64,
    to: f64,
    nodes: [(f64, Values); POINTS],
}

impl<'a> Window<'a> {
    /// The lines between two stations, which may lie beyond the ends.
    pub(crate) fn new(loft: &'a Loft, from: f64, to: f64) -> Self {
        let inner = loft.line_breaks().into_iter().filter(|x| *x > from && *x < to);
        let mut ends: Vec<f64> = inner.chain([from, to]).collect();
        ends.sort_by(f64::total_cmp);
        let stretches = ends.windows(2).filter_map(|w| Stretch::new(loft, w[0], w[1])).collect();
        Self { loft, stretches }
    }

    /// The half boxes at a station, in the window or out of it.
    pub(crate) fn frame(&self, x: f64) -> Frame {
        let stretch = self.stretches.iter().find(|s| s.from <= x && x <= s.to);
        stretch.map_or_else(|| self.loft.frame(x), |s| frame(s.at(x)))
    }
}

impl Stretch {
    /// `None` where no polynomial is close to the lines.
    fn new(loft: &Loft, from: f64, to: f64) -> Option<Self> {
        let (middle, reach) = (0.5 * (from + to), 0.5 * (to - from));
        if reach < SHORT {
            return None;
        }
        let place = |k: f64| middle - reach * (std::f64::consts::PI * k / (POINTS - 1) as f64).cos();
        // Just inside a break, as a line at a corner belongs to one side of it only.
        let inside = |x: f64| x.clamp(from + 1e-9 * reach, to - 1e-9 * reach);
        let nodes = std::array::from_fn(|k| {
            let x = inside(place(k as f64));
            (x, values(&loft.frame(x)))
        });
        let stretch = Self { from, to, nodes };
        let close = |k: usize| {
            let x = place(k as f64 + 0.5);
            let (found, exact) = (stretch.at(x), values(&loft.frame(x)));
            (0..8).all(|i| (found[i] - exact[i]).abs() <= CLOSE * (1.0 + exact[i].abs()))
        };
        (0..POINTS - 1).step_by(2).all(close).then_some(stretch)
    }

    fn at(&self, x: f64) -> Values {
        let (mut sum, mut weights) = ([0.0; 8], 0.0);
        for (k, (node, values)) in self.nodes.iter().enumerate() {
            if *node == x {
                return *values;
            }
            let end = if k == 0 || k == POINTS - 1 { 0.5 } else { 1.0 };
            let weight = if k % 2 == 0 { end } else { -end } / (x - node);
            weights += weight;
            sum.iter_mut().zip(values).for_each(|(s, v)| *s += weight * v);
        }
        sum.map(|s| s / weights)
    }
}

fn values(f: &Frame) -> Values {
    let [b, m, a, l] = [f.breadth, f.middle, f.above, f.below];
    [b.0, b.1, m.0, m.1, a.0, a.1, l.0, l.1]
}

fn frame(v: Values) -> Frame {
    Frame { breadth: (v[0], v[1]), middle: (v[2], v[3]), above: (v[4], v[5]), below: (v[6], v[7]) }
}
