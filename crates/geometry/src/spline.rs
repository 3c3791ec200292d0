//! Interpolating cubic splines.
//!
//! A spline is kept by its knots, values and slopes (Hermite form). The slopes solve the tridiagonal system that makes
//! the second derivative continuous (de Boor, *A Practical Guide to Splines*, ch. IV); the ends add one equation each.
//! Everything is exact to rounding: no tolerance is involved but where a function says so.

use crate::quadrature::gauss8;
use thiserror::Error;

/// How knots are spaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parameter {
    /// By the distance of neighbouring points: the usual choice.
    ChordLength,
    /// By the square root of that distance (Lee 1989): calmer where points lie very unevenly.
    Centripetal,
    /// Evenly, whatever the distances.
    Uniform,
}

/// What one component of a spline does at one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EndRule {
    /// No second derivative.
    Natural,
    /// This first derivative, per unit of the parameter.
    Slope(f64),
    /// The third derivative runs through the neighbouring knot (not-a-knot).
    NotAKnot,
}

/// What a whole curve does at one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End<const D: usize> {
    /// Without curvature.
    Natural,
    /// With this first derivative, per unit of the parameter (which runs from 0 to 1).
    Clamped([f64; D]),
    /// The third derivative runs through the neighbouring knot.
    NotAKnot,
    /// The first component has no slope, the others are not-a-knot: a line that ends upright over x.
    Upright,
}

impl<const D: usize> End<D> {
    fn rule(self, component: usize) -> EndRule {
        match self {
            Self::Natural => EndRule::Natural,
            Self::Clamped(d) => EndRule::Slope(d[component]),
            Self::Upright if component == 0 => EndRule::Slope(0.0),
            Self::NotAKnot | Self::Upright => EndRule::NotAKnot,
        }
    }
}

/// Why a spline could not be made.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SplineError {
    /// Too few points.
    #[error("a spline needs at least {needed} points, here are {given}")]
    TooFew {
        /// How many are needed.
        needed: usize,
        /// How many were given.
        given: usize,
    },
    /// Two neighbouring points coincide.
    #[error("points {a} and {b} coincide", a = .0 + 1, b = .0 + 2)]
    Coincident(usize),
    /// A coordinate is not a finite number.
    #[error("point {n} has a coordinate that is not a finite number", n = .0 + 1)]
    NotFinite(usize),
}

/// A cubic spline in D dimensions over the parameter 0 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Spline<const D: usize> {
    knots: Vec<f64>,
    points: Vec<[f64; D]>,
    slopes: Vec<[f64; D]>,
}

/// Position, first and second derivative at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jet<const D: usize> {
    /// Position.
    pub p: [f64; D],
    /// First derivative by the parameter.
    pub d1: [f64; D],
    /// Second derivative by the parameter.
    pub d2: [f64; D],
}

impl<const D: usize> Spline<D> {
    /// An open spline through `points`, both ends with one rule for the whole curve.
    ///
    /// # Errors
    /// Fewer than two points, coincident neighbours, coordinates that are not finite.
    pub fn open(points: &[[f64; D]], parameter: Parameter, start: End<D>, end: End<D>) -> Result<Self, SplineError> {
        let rules = std::array::from_fn(|k| [start.rule(k), end.rule(k)]);
        Self::with_rules(points, parameter, rules)
    }

    /// An open spline with its own end rules for each component.
    ///
    /// # Errors
    /// As [`Spline::open`].
    pub fn with_rules(
        points: &[[f64; D]],
        parameter: Parameter,
        rules: [[EndRule; 2]; D],
    ) -> Result<Self, SplineError> {
        check(points, 2)?;
        Ok(Self::over_knots(knots(points, parameter)?, points, rules))
    }

    /// An open spline over knots that the caller has chosen; they rise, and run from 0 to 1.
    pub(crate) fn over_knots(knots: Vec<f64>, points: &[[f64; D]], rules: [[EndRule; 2]; D]) -> Self {
        let mut slopes = vec![[0.0; D]; points.len()];
        for k in 0..D {
            let values: Vec<f64> = points.iter().map(|p| p[k]).collect();
            for (slot, m) in slopes.iter_mut().zip(slopes_open(&knots, &values, rules[k][0], rules[k][1])) {
                slot[k] = m;
            }
        }
        Self { knots, points: points.to_vec(), slopes }
    }

    /// A closed spline; the last point repeats the first.
    ///
    /// # Errors
    /// As [`Spline::open`], with four points at least.
    pub fn closed(points: &[[f64; D]], parameter: Parameter) -> Result<Self, SplineError> {
        check(points, 4)?;
        let knots = knots(points, parameter)?;
        let mut slopes = vec![[0.0; D]; points.len()];
        for k in 0..D {
            let values: Vec<f64> = points.iter().map(|p| p[k]).collect();
            for (slot, m) in slopes.iter_mut().zip(slopes_periodic(&knots, &values)) {
                slot[k] = m;
            }
        }
        Ok(Self { knots, points: points.to_vec(), slopes })
    }

    /// The knots, from 0 to 1.
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The points it runs through.
    pub fn points(&self) -> &[[f64; D]] {
        &self.points
    }

    /// First derivatives at the knots.
    pub fn slopes(&self) -> &[[f64; D]] {
        &self.slopes
    }

    /// Position and derivatives at `t`, which is held to 0..=1.
    pub fn jet(&self, t: f64) -> Jet<D> {
        let t = t.clamp(0.0, 1.0);
        self.jet_in(self.bay(t), t)
    }

    /// Position at `t`.
    pub fn at(&self, t: f64) -> [f64; D] {
        self.jet(t).p
    }

    /// Position and derivatives by the cubic of bay `i`, even outside it.
    pub fn jet_in(&self, i: usize, t: f64) -> Jet<D> {
        let h = self.knots[i + 1] - self.knots[i];
        let s = (t - self.knots[i]) / h;
        let mut jet = Jet { p: [0.0; D], d1: [0.0; D], d2: [0.0; D] };
        for k in 0..D {
            let (p0, p1) = (self.points[i][k], self.points[i + 1][k]);
            let (m0, m1) = (h * self.slopes[i][k], h * self.slopes[i + 1][k]);
            let c2 = 3.0 * (p1 - p0) - 2.0 * m0 - m1;
            let c3 = 2.0 * (p0 - p1) + m0 + m1;
            jet.p[k] = p0 + s * (m0 + s * (c2 + s * c3));
            jet.d1[k] = (m0 + s * (2.0 * c2 + s * 3.0 * c3)) / h;
            jet.d2[k] = (2.0 * c2 + 6.0 * s * c3) / (h * h);
        }
        jet
    }

    /// The bay that holds `t`.
    pub fn bay(&self, t: f64) -> usize {
        let above = self.knots.partition_point(|&k| k <= t);
        above.clamp(1, self.knots.len() - 1) - 1
    }

    /// Length from `t0` to `t1`, within `tolerance` mm (estimated by halving, not guaranteed).
    pub fn length(&self, t0: f64, t1: f64, tolerance: f64) -> f64 {
        let inner = self.knots.iter().copied().filter(|&k| k > t0 && k < t1);
        let ends: Vec<f64> = std::iter::once(t0).chain(inner).chain([t1]).collect();
        let share = tolerance / (ends.len() - 1) as f64;
        let speed = |t: f64| norm(&self.jet(t).d1);
        ends.windows(2).map(|w| adaptive(&speed, w[0], w[1], share, 20)).sum()
    }

    /// Parameter and distance of the place nearest to `q`; the parameter is found to rounding within the nearest
    /// of the pieces that eight samples a bay tell apart.
    pub fn nearest(&self, q: [f64; D]) -> (f64, f64) {
        nearest(&self.knots, &|t| self.jet(t), q)
    }
}

/// Parameter and distance of the place of a curve nearest to `q`: the best of eight samples a bay, then Newton's method on
/// the derivative of the squared distance, kept between the sample's neighbours and never worse than it.
pub(crate) fn nearest<const D: usize>(knots: &[f64], jet: &impl Fn(f64) -> Jet<D>, q: [f64; D]) -> (f64, f64) {
    let inner = knots.windows(2).flat_map(|w| (0..8).map(move |j| w[0] + (w[1] - w[0]) * f64::from(j) / 8.0));
    let samples: Vec<f64> = inner.chain(knots.last().copied()).collect();
    let away = |t: f64| distance(&jet(t).p, &q);
    let best = (0..samples.len()).min_by(|&a, &b| away(samples[a]).total_cmp(&away(samples[b]))).unwrap_or(0);
    let (low, high) = (samples[best.saturating_sub(1)], samples[(best + 1).min(samples.len() - 1)]);
    let mut t = samples[best];
    let mut found = (t, away(t));
    for _ in 0..30 {
        let j = jet(t);
        let (mut g, mut dg) = (0.0, 0.0);
        for (k, q) in q.iter().enumerate() {
            let r = j.p[k] - q;
            g += r * j.d1[k];
            dg += j.d1[k] * j.d1[k] + r * j.d2[k];
        }
        let next = if dg > 0.0 { t - g / dg } else { t - g.signum() * (high - low) * 0.125 };
        let next = next.clamp(low, high);
        if away(next) <= found.1 {
            found = (next, away(next));
        }
        if (next - t).abs() < 1e-15 {
            break;
        }
        t = next;
    }
    found
}

impl Spline<2> {
    /// Signed curvature in 1/mm, positive where the curve turns counter-clockwise.
    pub fn curvature(&self, t: f64) -> f64 {
        let j = self.jet(t);
        curvature2(j.d1, j.d2)
    }
}

/// Signed curvature from first and second derivative, 1/mm; 0 where the curve stands still.
pub fn curvature2(d1: [f64; 2], d2: [f64; 2]) -> f64 {
    let speed = d1[0].hypot(d1[1]);
    if speed == 0.0 { 0.0 } else { (d1[0] * d2[1] - d1[1] * d2[0]) / (speed * speed * speed) }
}

/// Slopes of the cubic spline through (`knots`, `values`) with the given end rules.
///
/// With two knots, two free ends give the straight line and one given slope a parabola; with three, two not-a-knot
/// ends give the parabola.
pub fn slopes_open(knots: &[f64], values: &[f64], start: EndRule, end: EndRule) -> Vec<f64> {
    let n = knots.len();
    if n < 2 {
        return vec![0.0; n];
    }
    let h: Vec<f64> = knots.windows(2).map(|w| w[1] - w[0]).collect();
    let delta: Vec<f64> = values.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
    if n == 2 {
        return two_point_slopes(delta[0], start, end);
    }
    if n == 3 && start == EndRule::NotAKnot && end == EndRule::NotAKnot {
        return parabola_slopes(&h, &delta);
    }
    let mut system = Tridiagonal::interior(&h, &delta);
    system.start(start, h[0], h[1], delta[0], delta[1]);
    system.end(end, h[n - 2], h[n - 3], delta[n - 2], delta[n - 3]);
    system.solve()
}

fn two_point_slopes(delta: f64, start: EndRule, end: EndRule) -> Vec<f64> {
    use EndRule::{Natural, NotAKnot, Slope};
    match (start, end) {
        (Slope(a), Slope(b)) => vec![a, b],
        (Slope(a), NotAKnot) => vec![a, 2.0 * delta - a],
        (NotAKnot, Slope(b)) => vec![2.0 * delta - b, b],
        (Slope(a), Natural) => vec![a, 1.5 * delta - 0.5 * a],
        (Natural, Slope(b)) => vec![1.5 * delta - 0.5 * b, b],
        (Natural | NotAKnot, Natural | NotAKnot) => vec![delta; 2],
    }
}

fn parabola_slopes(h: &[f64], delta: &[f64]) -> Vec<f64> {
    let bend = (delta[1] - delta[0]) / (h[0] + h[1]);
    vec![delta[0] - bend * h[0], delta[0] + bend * h[0], delta[1] + bend * h[1]]
}

/// A tridiagonal system for the slopes.
struct Tridiagonal {
    below: Vec<f64>,
    diagonal: Vec<f64>,
    above: Vec<f64>,
    right: Vec<f64>,
}

impl Tridiagonal {
    /// The rows that make the second derivative continuous at the inner knots; first and last row are still empty.
    fn interior(h: &[f64], delta: &[f64]) -> Self {
        let n = h.len() + 1;
        let mut s = Self { below: vec![0.0; n], diagonal: vec![1.0; n], above: vec![0.0; n], right: vec![0.0; n] };
        for i in 1..n - 1 {
            s.below[i] = h[i];
            s.diagonal[i] = 2.0 * (h[i - 1] + h[i]);
            s.above[i] = h[i - 1];
            s.right[i] = 3.0 * (h[i] * delta[i - 1] + h[i - 1] * delta[i]);
        }
        s
    }

    fn start(&mut self, rule: EndRule, h0: f64, h1: f64, d0: f64, d1: f64) {
        (self.diagonal[0], self.above[0], self.right[0]) = end_row(rule, h0, h1, d0, d1);
    }

    fn end(&mut self, rule: EndRule, h0: f64, h1: f64, d0: f64, d1: f64) {
        let last = self.diagonal.len() - 1;
        (self.diagonal[last], self.below[last], self.right[last]) = end_row(rule, h0, h1, d0, d1);
    }

    /// Gaussian elimination without pivoting: the inner rows dominate, and the not-a-knot row does not spoil that.
    fn solve(mut self) -> Vec<f64> {
        let n = self.diagonal.len();
        for i in 1..n {
            let factor = self.below[i] / self.diagonal[i - 1];
            self.diagonal[i] -= factor * self.above[i - 1];
            self.right[i] -= factor * self.right[i - 1];
        }
        let mut x = self.right;
        x[n - 1] /= self.diagonal[n - 1];
        for i in (0..n - 1).rev() {
            x[i] = (x[i] - self.above[i] * x[i + 1]) / self.diagonal[i];
        }
        x
    }
}

/// (own coefficient, neighbour's coefficient, right side) of an end; `h0`, `d0` belong to the end bay.
fn end_row(rule: EndRule, h0: f64, h1: f64, d0: f64, d1: f64) -> (f64, f64, f64) {
    match rule {
        EndRule::Natural => (2.0, 1.0, 3.0 * d0),
        EndRule::Slope(m) => (1.0, 0.0, m),
        EndRule::NotAKnot => {
            let both = h0 + h1;
            (h1, both, ((h0 + 2.0 * both) * h1 * d0 + h0 * h0 * d1) / both)
        }
    }
}

/// Slopes of the periodic cubic spline; the last value repeats the first. The cyclic system is solved by the
/// Sherman–Morrison formula from two ordinary ones.
pub fn slopes_periodic(knots: &[f64], values: &[f64]) -> Vec<f64> {
    let h: Vec<f64> = knots.windows(2).map(|w| w[1] - w[0]).collect();
    let delta: Vec<f64> = values.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
    let n = h.len();
    let row = |i: usize| {
        let (hb, db) = (h[(i + n - 1) % n], delta[(i + n - 1) % n]);
        (h[i], 2.0 * (hb + h[i]), hb, 3.0 * (h[i] * db + hb * delta[i]))
    };
    let rows: Vec<_> = (0..n).map(row).collect();
    let (corner_low, corner_high) = (rows[n - 1].2, rows[0].0);
    let gamma = -rows[0].1;
    let system = |right: Vec<f64>| {
        let mut diagonal: Vec<f64> = rows.iter().map(|r| r.1).collect();
        diagonal[0] -= gamma;
        diagonal[n - 1] -= corner_low * corner_high / gamma;
        let mut below: Vec<f64> = rows.iter().map(|r| r.0).collect();
        let mut above: Vec<f64> = rows.iter().map(|r| r.2).collect();
        (below[0], above[n - 1]) = (0.0, 0.0);
        Tridiagonal { below, diagonal, above, right }
    };
    let x = system(rows.iter().map(|r| r.3).collect()).solve();
    let mut u = vec![0.0; n];
    (u[0], u[n - 1]) = (gamma, corner_low);
    let z = system(u).solve();
    let factor = (x[0] + corner_high * x[n - 1] / gamma) / (1.0 + z[0] + corner_high * z[n - 1] / gamma);
    let mut slopes: Vec<f64> = x.iter().zip(&z).map(|(x, z)| x - factor * z).collect();
    slopes.push(slopes[0]);
    slopes
}

fn check<const D: usize>(points: &[[f64; D]], needed: usize) -> Result<(), SplineError> {
    if points.len() < needed {
        return Err(SplineError::TooFew { needed, given: points.len() });
    }
    match points.iter().position(|p| p.iter().any(|v| !v.is_finite())) {
        Some(i) => Err(SplineError::NotFinite(i)),
        None => Ok(()),
    }
}

fn knots<const D: usize>(points: &[[f64; D]], parameter: Parameter) -> Result<Vec<f64>, SplineError> {
    let mut knots = vec![0.0];
    let mut sum = 0.0;
    for (i, w) in points.windows(2).enumerate() {
        let chord = distance(&w[0], &w[1]);
        if chord <= 0.0 {
            return Err(SplineError::Coincident(i));
        }
        sum += match parameter {
            Parameter::ChordLength => chord,
            Parameter::Centripetal => chord.sqrt(),
            Parameter::Uniform => 1.0,
        };
        knots.push(sum);
    }
    knots.iter_mut().for_each(|k| *k /= sum);
    Ok(knots)
}

fn distance<const D: usize>(a: &[f64; D], b: &[f64; D]) -> f64 {
    norm(&std::array::from_fn::<f64, D, _>(|k| b[k] - a[k]))
}

fn norm<const D: usize>(v: &[f64; D]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// Integral of `f` over [a, b] by halving until eight points and twice eight points agree within `tolerance`.
pub(crate) fn adaptive(f: &impl Fn(f64) -> f64, a: f64, b: f64, tolerance: f64, depth: u32) -> f64 {
    let middle = 0.5 * (a + b);
    let whole = gauss8().integrate(a, b, f);
    let (left, right) = (gauss8().integrate(a, middle, f), gauss8().integrate(middle, b, f));
    if depth == 0 || (left + right - whole).abs() <= tolerance {
        return left + right;
    }
    adaptive(f, a, middle, 0.5 * tolerance, depth - 1) + adaptive(f, middle, b, 0.5 * tolerance, depth - 1)
}
