//! Arcs end to end, run through by their length.
//!
//! The place at a given length is found without iteration: every arc is divided into spans in which the parameter is a
//! quintic of the length that has the true value, slope and bend at both ends, and spans are halved until the quintic's
//! length agrees with the arc's to [`CLOSENESS`]. So the map is smooth, and its error (in the unit box, where a half
//! section is about 3 long) moves a place along the curve, never off it.

use crate::arc::Arc;
use crate::quadrature::gauss8;

/// Greatest error of the length of a place along a chain, in the chain's own unit.
pub const CLOSENESS: f64 = 1e-8;

/// A chain of arcs.
#[derive(Clone, Debug)]
pub struct Chain {
    arcs: Vec<Arc>,
    spans: Vec<Span>,
    /// Length up to the start of each arc, and the whole length at the end.
    starts: Vec<f64>,
}

#[derive(Clone, Copy, Debug)]
struct Span {
    arc: usize,
    s0: f64,
    s1: f64,
    /// Coefficients of the parameter as a polynomial of (s - s0) / (s1 - s0).
    c: [f64; 6],
}

/// A place on a chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Position.
    pub p: [f64; 2],
    /// Derivative by length: of length one, but for [`CLOSENESS`].
    pub tangent: [f64; 2],
}

impl Chain {
    /// The chain of these arcs; each starts where the one before it ends. Arcs without length keep their place.
    pub fn new(arcs: Vec<Arc>) -> Self {
        let mut spans = Vec::new();
        let mut starts = vec![0.0];
        let mut s = 0.0;
        for (i, arc) in arcs.iter().enumerate() {
            s = divide(arc, i, (0.0, 1.0), s, 14, &mut spans);
            starts.push(s);
        }
        Self { arcs, spans, starts }
    }

    /// Whole length.
    pub fn length(&self) -> f64 {
        self.starts[self.starts.len() - 1]
    }

    /// Length up to the start of arc `i`; `i` may be the number of arcs.
    pub fn length_to(&self, i: usize) -> f64 {
        self.starts[i.min(self.starts.len() - 1)]
    }

    /// The arcs.
    pub fn arcs(&self) -> &[Arc] {
        &self.arcs
    }

    /// The place at length `s` as seen from inside the stretch `from..to`: at a corner that ends the stretch, the
    /// tangent is the stretch's own.
    pub fn at(&self, s: f64, from: f64, to: f64) -> Place {
        if self.spans.is_empty() {
            let p = self.arcs.first().map_or([0.0; 2], |a| a.jet(0.0).p);
            return Place { p, tangent: [0.0; 2] };
        }
        let inside = 0.5 * (from + to);
        let mut i = self.spans.partition_point(|span| span.s1 < s).min(self.spans.len() - 1);
        if s <= inside && self.spans[i].s1 <= s && i + 1 < self.spans.len() {
            i += 1;
        }
        self.spans[i].place(&self.arcs, s)
    }

    /// Lengths at which spans meet, strictly between `from` and `to`, and whether the curvature may jump there: between two
    /// of them the chain is smooth. Two cubics that meet are taken for bays of one spline.
    pub fn breaks(&self, from: f64, to: f64) -> impl Iterator<Item = (f64, bool)> + '_ {
        let room = 1e-9 * (1.0 + self.length());
        let jumps = |w: &[Span]| {
            let cubic = |s: &Span| matches!(self.arcs[s.arc], Arc::Cubic(_));
            w[0].arc != w[1].arc && !(cubic(&w[0]) && cubic(&w[1]))
        };
        let meetings = self.spans.windows(2).map(move |w| (w[0].s1, jumps(w)));
        meetings.filter(move |(s, _)| *s > from + room && *s < to - room)
    }
}

impl Span {
    fn place(&self, arcs: &[Arc], s: f64) -> Place {
        let h = self.s1 - self.s0;
        let x = (s - self.s0) / h;
        let [c0, c1, c2, c3, c4, c5] = self.c;
        let t = c0 + x * (c1 + x * (c2 + x * (c3 + x * (c4 + x * c5))));
        let dt = (c1 + x * (2.0 * c2 + x * (3.0 * c3 + x * (4.0 * c4 + x * 5.0 * c5)))) / h;
        let j = arcs[self.arc].jet(t.clamp(0.0, 1.0));
        Place { p: j.p, tangent: j.d1.map(|d| d * dt) }
    }
}

/// Appends the spans of `arc` between two parameters, starting at length `s`; gives the length at their end.
fn divide(arc: &Arc, index: usize, (t0, t1): (f64, f64), s: f64, depth: u32, spans: &mut Vec<Span>) -> f64 {
    let length = length(arc, t0, t1);
    if length <= 1e-12 {
        return s;
    }
    let span = Span { arc: index, s0: s, s1: s + length, c: quintic(arc, t0, t1, length) };
    if depth == 0 || is_close(arc, &span, t0, t1) {
        spans.push(span);
        return span.s1;
    }
    let middle = 0.5 * (t0 + t1);
    let s = divide(arc, index, (t0, middle), s, depth - 1, spans);
    divide(arc, index, (middle, t1), s, depth - 1, spans)
}

fn length(arc: &Arc, t0: f64, t1: f64) -> f64 {
    gauss8().integrate(t0, t1, |t| speed(arc, t))
}

fn speed(arc: &Arc, t: f64) -> f64 {
    let d = arc.jet(t).d1;
    d[0].hypot(d[1])
}

/// Whether halving the span changes neither its length nor the place of its quarters.
fn is_close(arc: &Arc, span: &Span, t0: f64, t1: f64) -> bool {
    let whole = span.s1 - span.s0;
    let middle = 0.5 * (t0 + t1);
    let halves = length(arc, t0, middle) + length(arc, middle, t1);
    let off = |share: f64| {
        let [c0, c1, c2, c3, c4, c5] = span.c;
        let x = share;
        let t = c0 + x * (c1 + x * (c2 + x * (c3 + x * (c4 + x * c5))));
        (length(arc, t0, t) - share * whole).abs()
    };
    (halves - whole).abs() <= CLOSENESS && [0.25, 0.5, 0.75].into_iter().all(|x| off(x) <= CLOSENESS)
}

/// The parameter as a quintic of the share of the length, with value, slope and bend right at both ends.
fn quintic(arc: &Arc, t0: f64, t1: f64, length: f64) -> [f64; 6] {
    let end = |t: f64| {
        let j = arc.jet(t);
        let square = j.d1[0] * j.d1[0] + j.d1[1] * j.d1[1];
        let along = j.d1[0] * j.d2[0] + j.d1[1] * j.d2[1];
        (length / square.sqrt(), -along / (square * square) * length * length)
    };
    let ((v0, a0), (v1, a1)) = (end(t0), end(t1));
    let d = t1 - t0;
    if ![v0, a0, v1, a1].iter().all(|x| x.is_finite()) {
        return [t0, d, 0.0, 0.0, 0.0, 0.0];
    }
    [
        t0,
        v0,
        0.5 * a0,
        10.0 * d - 6.0 * v0 - 4.0 * v1 - 1.5 * a0 + 0.5 * a1,
        -15.0 * d + 8.0 * v0 + 7.0 * v1 + 1.5 * a0 - a1,
        6.0 * d - 3.0 * v0 - 3.0 * v1 - 0.5 * a0 + 0.5 * a1,
    ]
}
