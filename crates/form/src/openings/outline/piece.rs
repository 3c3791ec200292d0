//! A piece of an outline: straight, an arc of an ellipse, or a cubic.

use geometry::flatten::refine;
use geometry::quadrature::gauss8;

type Flat = [f64; 2];

/// A place of an outline and its derivative by the parameter, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CurvePlace {
    /// The place in the view.
    pub p: Flat,
    /// Its derivative by the parameter.
    pub d: Flat,
}

/// A piece over the parameter 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Piece {
    Line { from: Flat, to: Flat },
    Arc { centre: Flat, axes: [Flat; 2], from: f64, sweep: f64 },
    Cubic { powers: [Flat; 4] },
}

impl Piece {
    /// A cubic by its ends and their derivatives.
    pub(super) fn hermite(p: Flat, m: Flat, q: Flat, n: Flat) -> Self {
        let power = |k: usize| {
            let (p, m, q, n) = (p[k], m[k], q[k], n[k]);
            [p, m, 3.0 * (q - p) - 2.0 * m - n, 2.0 * (p - q) + m + n]
        };
        let [a, b] = [power(0), power(1)];
        Self::Cubic { powers: std::array::from_fn(|i| [a[i], b[i]]) }
    }

    pub(super) fn at(&self, t: f64) -> CurvePlace {
        match self {
            Self::Line { from, to } => {
                let d = [to[0] - from[0], to[1] - from[1]];
                CurvePlace { p: [from[0] + t * d[0], from[1] + t * d[1]], d }
            }
            Self::Arc { centre, axes: [a, b], from, sweep } => {
                let (sin, cos) = (from + t * sweep).sin_cos();
                let p = [0, 1].map(|k| centre[k] + a[k] * cos + b[k] * sin);
                CurvePlace { p, d: [0, 1].map(|k| sweep * (b[k] * cos - a[k] * sin)) }
            }
            Self::Cubic { powers: [a, b, c, d] } => CurvePlace {
                p: [0, 1].map(|k| a[k] + t * (b[k] + t * (c[k] + t * d[k]))),
                d: [0, 1].map(|k| b[k] + t * (2.0 * c[k] + 3.0 * t * d[k])),
            },
        }
    }

    /// The same run through the other way.
    pub(super) fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Arc { centre, axes, from, sweep } => Self::Arc { centre, axes, from: from + sweep, sweep: -sweep },
            Self::Cubic { .. } => {
                let (a, b) = (self.at(0.0), self.at(1.0));
                Self::hermite(b.p, b.d.map(|c| -c), a.p, a.d.map(|c| -c))
            }
        }
    }

    /// With one of both places turned round.
    pub(super) fn mirrored(&self, axis: usize) -> Self {
        let turn = |mut p: Flat| {
            p[axis] = -p[axis];
            p
        };
        match *self {
            Self::Line { from, to } => Self::Line { from: turn(from), to: turn(to) },
            Self::Arc { centre, axes, from, sweep } => {
                Self::Arc { centre: turn(centre), axes: axes.map(turn), from, sweep }
            }
            Self::Cubic { powers } => Self::Cubic { powers: powers.map(turn) },
        }
    }

    /// ½ ∫ p × dp, exact: closed form for lines and arcs; for cubics eight Gauss points, whose integrand is of degree 5.
    pub(super) fn area(&self) -> f64 {
        let (a, b) = (self.at(0.0).p, self.at(1.0).p);
        match self {
            Self::Line { .. } => 0.5 * cross(a, b),
            Self::Arc { centre, axes: [u, v], sweep, .. } => {
                0.5 * (cross(*centre, [b[0] - a[0], b[1] - a[1]]) + cross(*u, *v) * sweep)
            }
            Self::Cubic { .. } => gauss8().integrate(0.0, 1.0, |t| {
                let at = self.at(t);
                0.5 * cross(at.p, at.d)
            }),
        }
    }

    /// ∫ p (½ p × dp) 2/3: the first moments of the area between the piece and the origin.
    pub(super) fn moment(&self) -> Flat {
        let part = |k: usize| {
            let share = |t: f64| {
                let at = self.at(t);
                at.p[k] * cross(at.p, at.d) / 3.0
            };
            [0.0, 0.5].map(|from| gauss8().integrate(from, from + 0.5, share)).iter().sum()
        };
        [part(0), part(1)]
    }

    /// Its length between two parameters, within about 1e-9 of it.
    pub(super) fn length(&self, from: f64, to: f64) -> f64 {
        const PARTS: u32 = 4;
        let step = (to - from) / f64::from(PARTS);
        let part = |i: u32| {
            let low = from + step * f64::from(i);
            gauss8().integrate(low, low + step, |t| {
                let d = self.at(t).d;
                d[0].hypot(d[1])
            })
        };
        (0..PARTS).map(part).sum()
    }

    /// Parameters from 0 on and before 1 at which chords stay within a tolerance.
    pub(super) fn steps(&self, tolerance: f64) -> Vec<f64> {
        let even = |n: usize| (0..n).map(|i| i as f64 / n as f64).collect();
        match self {
            Self::Line { .. } => vec![0.0],
            Self::Arc { axes, sweep, .. } => {
                let radius = axes.iter().map(|a| a[0].hypot(a[1])).fold(0.0, f64::max).max(f64::MIN_POSITIVE);
                let step = 2.0 * (1.0 - (tolerance / radius).min(1.0)).acos();
                even(((sweep.abs() / step.max(1e-4)).ceil() as usize).max(1))
            }
            Self::Cubic { .. } => {
                // Chords of the parameter over itself and of the curve: as fine as the finer of both asks.
                let mut line = vec![self.at(0.0).p];
                refine(&|t| self.at(t).p, 0.0, 1.0, tolerance, &mut line);
                even(self.even_steps(tolerance).max(1).min(4 * line.len()))
            }
        }
    }

    /// Even steps whose chords stay within a tolerance: a chord over a step h is off by at most h² max|p''| / 8.
    fn even_steps(&self, tolerance: f64) -> usize {
        let Self::Cubic { powers: [_, _, c, d] } = self else { return 1 };
        let bend = [0.0, 1.0].map(|t| (2.0 * c[0] + 6.0 * t * d[0]).hypot(2.0 * c[1] + 6.0 * t * d[1]));
        (bend[0].max(bend[1]) / (8.0 * tolerance)).sqrt().ceil() as usize
    }
}

pub(super) fn cross(a: Flat, b: Flat) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
