//! What a net needs to know of the surface it lies on.
//!
//! A surface is a map from two parameters to space, made of sheets. Within a sheet it is smooth; where two sheets meet it may
//! have a crease. Each sheet is continued past its edges, so that a solver may overstep a crease and come back.

use form::space::{Vector, add, cross, dot, sub, times, unit};

/// Two parameters of the surface; what they measure is the surface's own affair.
pub type At = [f64; 2];

/// A place of the surface with its first derivatives.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Jet {
    /// The place, mm.
    pub p: Vector,
    /// Its derivatives by the two parameters.
    pub by: [Vector; 2],
}

impl Jet {
    /// The unit normal; outward where the parameters run that way round.
    pub fn normal(&self) -> Vector {
        unit(cross(self.by[0], self.by[1]))
    }

    /// The change of the parameters that moves the place by the part of `d` that lies in the tangent plane.
    pub fn parameters_of(&self, d: Vector) -> [f64; 2] {
        let [a, b] = self.by;
        solve([[dot(a, a), dot(a, b)], [dot(a, b), dot(b, b)]], [dot(a, d), dot(b, d)]).unwrap_or([0.0; 2])
    }

    /// The unit direction of the part of `d` in the tangent plane; `None` where next to nothing is left of it.
    pub fn along(&self, d: Vector) -> Option<Vector> {
        let n = self.normal();
        let flat = sub(d, times(n, dot(n, d)));
        (dot(flat, flat) > 1e-18 * dot(d, d)).then(|| unit(flat))
    }
}

/// How far a place lies outside, mm along the surface; negative inside. Near an edge it is linear; far from all edges only its
/// sign tells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Outside the part that is to be covered.
    pub part: f64,
    /// Outside the line along which cloth is cut, which runs the trim allowance or the overlap beyond the part.
    pub cloth: f64,
}

/// A surface to drape on.
///
/// All functions are pure. Derivatives need only be as good as a solver's step needs them: nodes lie on `jet(..).p`.
pub trait Surface: Sync {
    /// The place at `at` on the sheet, which is continued past its edges.
    fn jet(&self, sheet: usize, at: At) -> Jet;

    /// The sheet that holds these parameters.
    fn sheet(&self, _at: At) -> usize {
        0
    }

    /// The parameters moved by `by`; differs from a sum where parameters run into a pole.
    fn moved(&self, at: At, by: [f64; 2]) -> At {
        [at[0] + by[0], at[1] + by[1]]
    }

    /// The same place with the parameters nearest to those, where they wind round and so a place has more than one.
    fn wound_to(&self, at: At, _near: At) -> At {
        at
    }

    /// The share of the way from a place on that sheet to its neighbour at which the way first leaves the sheet, and the sheet it
    /// enters there; `None` if it stays.
    fn leaves(&self, _sheet: usize, _from: At, _to: At) -> Option<(f64, usize)> {
        None
    }

    /// How far out a place lies.
    fn margin(&self, at: At, jet: &Jet) -> Margin;

    /// How far outside the cut line the net goes on at first, mm, so that it can come back where the part does.
    fn overrun(&self) -> f64;

    /// Longest yarn from the start to one side, mm: on a surface that closes on itself one may run round for ever.
    fn longest_yarn(&self) -> f64 {
        f64::INFINITY
    }

    /// How far it may go on where a corner of the cloth needs that, mm. Where the surface closes on itself, a net that goes on far would
    /// come back from the other side and cover a place twice.
    fn most_overrun(&self) -> f64 {
        self.overrun()
    }
}

/// The place on the sheet that holds it.
pub(crate) fn jet_at(surface: &impl Surface, at: At) -> Jet {
    surface.jet(surface.sheet(at), at)
}

/// The solution of two linear equations; `None` where they are all but one.
pub(crate) fn solve([[a, b], [c, d]]: [[f64; 2]; 2], [e, f]: [f64; 2]) -> Option<[f64; 2]> {
    let det = a * d - b * c;
    (det.abs() > 1e-14 * (a * d).abs().max((b * c).abs()) && det.is_finite())
        .then(|| [(e * d - b * f) / det, (a * f - e * c) / det])
}

/// The place `share` of the way from `a` to `b`.
pub(crate) fn between(a: Vector, b: Vector, share: f64) -> Vector {
    add(a, times(sub(b, a), share))
}
