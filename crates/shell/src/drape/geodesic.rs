//! A yarn laid straight: the geodesic of a chain of links.
//!
//! A chain of equal straight links on a surface lies straight, its length neither shorter nor longer for a small shift of a
//! joint, where at every joint the two links and the normal lie in one plane. So the next joint is where that plane, a link's
//! length and the surface meet. The chain goes to the surface's geodesic with the square of the link.
//!
//! ```text
//!            n |   .C
//!              | .'        A, B, C joints; n, B - A and C - B in one plane
//!     A -------B
//! ```
//!
//! At a crease the way is what it would be on the two sheets unfolded: its direction turns with the normal.

use super::surface::{At, Jet, Surface, jet_at, solve};
use form::space::{Vector, add, cross, dot, length, sub, times};

/// The end of a yarn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct YarnEnd {
    pub(crate) at: At,
    pub(crate) sheet: usize,
    pub(crate) jet: Jet,
    /// Unit direction in the tangent plane.
    pub(crate) along: Vector,
}

/// A link's length is kept to this, mm.
pub(crate) const CLOSE: f64 = 1e-10;
/// Normals that differ by less belong to one smooth surface.
const SMOOTH: f64 = 1e-6;
const MOST_STEPS: usize = 30;
/// No step leads further than so many links.
const TOO_FAR: f64 = 3.0;
/// A yarn that leaves a sheet before this share of a link stands on its edge.
const ALONG: f64 = 1e-9;
/// Most creases that one link passes.
const MOST_CREASES: usize = 8;

impl YarnEnd {
    /// A yarn that begins at `at` in the direction that `along` has in the tangent plane.
    pub(crate) fn new(surface: &impl Surface, at: At, along: Vector) -> Option<Self> {
        let sheet = surface.sheet(at);
        let jet = surface.jet(sheet, at);
        Some(Self { at, sheet, jet, along: jet.along(along)? })
    }

    /// The unit direction to the left of the yarn, seen against the normal's arrow.
    pub(crate) fn left(&self) -> Vector {
        cross(self.jet.normal(), self.along)
    }

    /// The yarn one link further.
    pub(crate) fn next(&self, surface: &impl Surface, link: f64) -> Option<Self> {
        let from = self.jet.p;
        let (mut here, mut before) = (*self, None);
        for _ in 0..MOST_CREASES {
            let there = here.reached(surface, from, link)?;
            match surface.leaves(here.sheet, here.at, there.at) {
                // It runs along the edge between two sheets, and each hands it to the other: by rounding it oversteps either.
                Some((share, sheet)) if share < ALONG && before == Some(sheet) => return Some(there.held(surface)),
                // Where it runs all but along a smooth edge, the place of crossing cannot be told, nor does it matter.
                Some(_) if there.is_true(surface) => return Some(there.held(surface)),
                Some((_, sheet)) => {
                    before = Some(here.sheet);
                    here = here.on_crease(surface, &there, sheet)?;
                }
                None => return Some(there.held(surface)),
            }
        }
        None
    }

    /// Whether the sheet that holds its parameters has it at the same place, with the same normal.
    fn is_true(&self, surface: &impl Surface) -> bool {
        let own = jet_at(surface, self.at);
        length(sub(own.p, self.jet.p)) <= CLOSE && length(sub(own.normal(), self.jet.normal())) <= SMOOTH
    }

    /// On the sheet that holds its place.
    fn held(self, surface: &impl Surface) -> Self {
        Self { sheet: surface.sheet(self.at), ..self }
    }

    /// Where the plane of normal and direction, the sheet, and the sphere about `from` meet.
    fn reached(&self, surface: &impl Surface, from: Vector, link: f64) -> Option<Self> {
        let side = self.left();
        let ahead = (link - length(sub(self.jet.p, from))).max(0.1 * link);
        let (mut last, mut by) = ((self.at, self.jet.p), self.jet.parameters_of(times(self.along, ahead)));
        for _ in 0..MOST_STEPS {
            let at = surface.moved(last.0, by);
            let jet = surface.jet(self.sheet, at);
            // Where the parameters change their pace, a step may lead far past what was meant.
            if length(sub(jet.p, last.1)) > TOO_FAR * link {
                by = by.map(|b| 0.25 * b);
                continue;
            }
            let d = sub(jet.p, from);
            let miss = [dot(sub(jet.p, self.jet.p), side), 0.5 * (dot(d, d) - link * link)];
            let rows = [jet.by.map(|by| dot(by, side)), jet.by.map(|by| dot(by, d))];
            let step = solve(rows, miss.map(|m| -m))?;
            if miss[0].abs() <= CLOSE && miss[1].abs() <= CLOSE * link {
                let along = jet.along(sub(jet.p, self.jet.p))?;
                return (dot(along, self.along) > 0.0).then_some(Self { at, sheet: self.sheet, jet, along });
            }
            (last, by) = ((at, jet.p), held(step, &jet, link));
        }
        None
    }

    /// The place at which the way to `there` leaves the sheet, its direction turned onto the next one.
    fn on_crease(&self, surface: &impl Surface, there: &Self, sheet: usize) -> Option<Self> {
        let mut reach = length(sub(there.jet.p, self.jet.p));
        let mut edge = *there;
        for _ in 0..MOST_STEPS {
            // The way runs on past the edge, so that a step too short finds it as well as one too long.
            let far = [0, 1].map(|k| self.at[k] + 4.0 * (edge.at[k] - self.at[k]));
            // Where it runs all but along the edge, it may have come as near as can be told.
            let Some((share, _)) = surface.leaves(self.sheet, self.at, far) else { break };
            let share = 4.0 * share;
            reach *= share;
            if reach <= CLOSE {
                edge = *self;
                break;
            }
            edge = self.reached(surface, self.jet.p, reach)?;
            if (share - 1.0).abs() < 1e-12 {
                break;
            }
        }
        let jet = surface.jet(sheet, edge.at);
        let (before, after) = (edge.jet.normal(), jet.normal());
        let turned = dot(after, edge.along) / (1.0 + dot(before, after));
        let along = jet.along(sub(edge.along, times(add(before, after), turned)))?;
        Some(Self { at: edge.at, sheet, jet, along })
    }
}

/// A step of the parameters held to a link's length in space.
fn held(step: [f64; 2], jet: &Jet, link: f64) -> [f64; 2] {
    let d = add(times(jet.by[0], step[0]), times(jet.by[1], step[1]));
    let far = length(d);
    if far > link { step.map(|s| s * link / far) } else { step }
}
