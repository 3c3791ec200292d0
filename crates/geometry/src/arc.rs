//! One piece of a half section: a cubic, a conic or a superelliptic arc, over its own parameter 0 to 1.

use crate::conic::ConicArc;
use crate::spline::Jet;
use crate::superellipse::SuperellipticArc;

/// A cubic by its polynomial coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CubicArc {
    c: [[f64; 4]; 2],
}

impl CubicArc {
    /// From end points and end derivatives (per unit of the parameter).
    pub fn hermite(a: [f64; 2], da: [f64; 2], b: [f64; 2], db: [f64; 2]) -> Self {
        let c = std::array::from_fn(|k| {
            [a[k], da[k], 3.0 * (b[k] - a[k]) - 2.0 * da[k] - db[k], 2.0 * (a[k] - b[k]) + da[k] + db[k]]
        });
        Self { c }
    }

    /// The straight line from `a` to `b`.
    pub fn line(a: [f64; 2], b: [f64; 2]) -> Self {
        Self { c: std::array::from_fn(|k| [a[k], b[k] - a[k], 0.0, 0.0]) }
    }

    /// Position and derivatives.
    pub fn jet(&self, t: f64) -> Jet<2> {
        let mut jet = Jet { p: [0.0; 2], d1: [0.0; 2], d2: [0.0; 2] };
        for (k, [a, b, c, d]) in self.c.into_iter().enumerate() {
            jet.p[k] = a + t * (b + t * (c + t * d));
            jet.d1[k] = b + t * (2.0 * c + t * 3.0 * d);
            jet.d2[k] = 2.0 * c + t * 6.0 * d;
        }
        jet
    }

    /// The part from `t0` to `t1`, exactly, over 0 to 1 again.
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        let h = t1 - t0;
        let (a, b) = (self.jet(t0), self.jet(t1));
        Self::hermite(a.p, a.d1.map(|d| d * h), b.p, b.d1.map(|d| d * h))
    }

    /// Every component stretched and shifted: p -> scale p + shift.
    pub fn mapped(&self, scale: [f64; 2], shift: [f64; 2]) -> Self {
        let mut c = self.c;
        for k in 0..2 {
            c[k] = c[k].map(|v| v * scale[k]);
            c[k][0] += shift[k];
        }
        Self { c }
    }

    /// Parameters strictly inside (0, 1) at which component `k` stands still.
    pub fn stationary(&self, k: usize) -> impl Iterator<Item = f64> + use<> {
        let [_, b, c, d] = self.c[k];
        quadratic_roots(3.0 * d, 2.0 * c, b).into_iter().flatten().filter(|t| *t > 0.0 && *t < 1.0)
    }
}

/// Real roots of a t² + b t + c, in the form that does not cancel.
pub(crate) fn quadratic_roots(a: f64, b: f64, c: f64) -> [Option<f64>; 2] {
    let discriminant = b * b - 4.0 * a * c;
    if discriminant < 0.0 {
        return [None, None];
    }
    let q = -0.5 * (b + discriminant.sqrt().copysign(b));
    let finite = |t: f64| t.is_finite().then_some(t);
    [finite(q / a), finite(c / q)]
}

/// One piece of a half section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Arc {
    /// A cubic.
    Cubic(CubicArc),
    /// A conic.
    Conic(ConicArc),
    /// A superelliptic quarter.
    Superelliptic(SuperellipticArc),
}

impl Arc {
    /// Position and derivatives, `t` from 0 to 1.
    pub fn jet(&self, t: f64) -> Jet<2> {
        match self {
            Self::Cubic(a) => a.jet(t),
            Self::Conic(a) => a.jet(t),
            Self::Superelliptic(a) => a.jet(t),
        }
    }
}
