//! Conic arcs by two points, their tangents and fullness: the section of classic aircraft lofting.
//!
//! ```text
//!        A ------------ C        A, B  ends; the tangents there meet at C
//!          '-.    S    /         D     middle of the chord AB
//!              '-. . /           S     shoulder, on DC, |DS| / |DC| = rho
//!           D     '-|
//!                   B
//! ```
//!
//! Held exactly as a rational quadratic with weight w = rho / (1 - rho) (Lee, "The rational Bézier representation for
//! conics", 1987; Piegl & Tiller, *The NURBS Book*, ch. 7). Any affine map keeps rho.

use crate::spline::Jet;

/// Least fullness that is accepted: below it the arc is nearly its chord.
pub const LEAST_RHO: f64 = 0.05;
/// Greatest fullness that is accepted: above it the arc is nearly its two tangents.
pub const GREATEST_RHO: f64 = 0.95;

/// A conic arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConicArc {
    /// Start.
    pub a: [f64; 2],
    /// Where the end tangents meet.
    pub c: [f64; 2],
    /// End.
    pub b: [f64; 2],
    /// Weight of `c`.
    pub w: f64,
}

impl ConicArc {
    /// The arc from `a` to `b` whose tangents meet at `c`; `rho` is held to 0.05..=0.95.
    pub fn new(a: [f64; 2], c: [f64; 2], b: [f64; 2], rho: f64) -> Self {
        let rho = rho.clamp(LEAST_RHO, GREATEST_RHO);
        Self { a, c, b, w: rho / (1.0 - rho) }
    }

    /// The arc from `a`, leaving along `along_a`, to `b`, arriving along `along_b`; `None` where the two tangents do not
    /// meet ahead of `a` and behind `b`, so that no single conic arc joins them.
    pub fn from_tangents(a: [f64; 2], along_a: [f64; 2], b: [f64; 2], along_b: [f64; 2], rho: f64) -> Option<Self> {
        let turn = cross(along_a, along_b);
        let chord = sub(b, a);
        let (ahead, behind) = (cross(chord, along_b) / turn, cross(along_a, chord) / turn);
        let least = 1e-9 * chord[0].hypot(chord[1]);
        let far = ahead * norm(along_a) > least && behind * norm(along_b) > least;
        (turn != 0.0 && far && ahead.is_finite() && behind.is_finite())
            .then(|| Self::new(a, [a[0] + ahead * along_a[0], a[1] + ahead * along_a[1]], b, rho))
    }

    /// Fullness.
    pub fn rho(&self) -> f64 {
        self.w / (1.0 + self.w)
    }

    /// The shoulder: the place where the tangent is parallel to the chord.
    pub fn shoulder(&self) -> [f64; 2] {
        self.jet(0.5).p
    }

    /// Position and derivatives, `t` from 0 to 1.
    pub fn jet(&self, t: f64) -> Jet<2> {
        let s = 1.0 - t;
        let (ba, bc, bb) = (s * s, 2.0 * self.w * s * t, t * t);
        let (da, dc, db) = (-2.0 * s, 2.0 * self.w * (s - t), 2.0 * t);
        let (ea, ec, eb) = (2.0, -4.0 * self.w, 2.0);
        let (q, dq, eq) = (ba + bc + bb, da + dc + db, ea + ec + eb);
        let mut jet = Jet { p: [0.0; 2], d1: [0.0; 2], d2: [0.0; 2] };
        for k in 0..2 {
            let (a, c, b) = (self.a[k], self.c[k], self.b[k]);
            let p = (ba * a + bc * c + bb * b) / q;
            let d = (da * a + dc * c + db * b - p * dq) / q;
            jet.p[k] = p;
            jet.d1[k] = d;
            jet.d2[k] = (ea * a + ec * c + eb * b - 2.0 * d * dq - p * eq) / q;
        }
        jet
    }

    /// Area between the arc and its chord, closed form: F(w) times the area of the triangle ACB.
    pub fn area_over_chord(&self) -> f64 {
        fullness_factor(self.w) * 0.5 * cross(sub(self.c, self.a), sub(self.b, self.a)).abs()
    }

    /// Radii of curvature at both ends: w² |AC|³ / (area of ACB), and with |BC|.
    pub fn end_radii(&self) -> (f64, f64) {
        let triangle = 0.5 * cross(sub(self.c, self.a), sub(self.b, self.a)).abs();
        let radius = |end: [f64; 2]| self.w * self.w * norm(sub(self.c, end)).powi(3) / triangle;
        (radius(self.a), radius(self.b))
    }

    /// Liming's implicit equation at `p`: L_AB² - k L_AC L_BC, with k from the shoulder; 0 on the conic.
    pub fn implicit(&self, p: [f64; 2]) -> f64 {
        let line = |from: [f64; 2], to: [f64; 2], at: [f64; 2]| cross(sub(to, from), sub(at, from));
        let s = self.shoulder();
        let k = line(self.a, self.b, s).powi(2) / (line(self.a, self.c, s) * line(self.b, self.c, s));
        line(self.a, self.b, p).powi(2) - k * line(self.a, self.c, p) * line(self.b, self.c, p)
    }
}

/// F(w): the share of the triangle ACB that lies between arc and chord.
fn fullness_factor(w: f64) -> f64 {
    if (w - 1.0).abs() < 1e-4 {
        // Taylor about the parabola, F = 2/3 + 4/15 (w - 1) - 6/35 (w - 1)² + ..., where the closed forms cancel.
        let e = w - 1.0;
        return 2.0 / 3.0 + e * (4.0 / 15.0 - e * 6.0 / 35.0);
    }
    if w < 1.0 {
        let root = (1.0 - w * w).sqrt();
        w / (1.0 - w * w) * (w.acos() / root - w)
    } else {
        let root = (w * w - 1.0).sqrt();
        w / (w * w - 1.0) * (w - w.acosh() / root)
    }
}

fn sub(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn norm(a: [f64; 2]) -> f64 {
    a[0].hypot(a[1])
}
