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
const MOST_STEPS: usize = 60;
/// No step leads further than so many links.
const TOO_FAR: f64 = 3.0;
/// A yarn that leaves a sheet before this share of a link stands on its edge.
const ALONG: f64 = 1e-6;
/// Most steps to the edge of a sheet, and how near to either end of what is left of the way a step may lead, as a share of it.
const MOST_HALVINGS: usize = 100;
const NEAR_EDGE: f64 = 1e-3;
/// A way to an edge that is shorter, mm, leads there in the yarn's own direction: at the length at which its bend and the rounding of
/// places some hundred millimetres off change the direction alike, by less than 1e-7.
const SHORT: f64 = 5e-6;
/// So far to either side of a yarn, as a share of a link, the surface is asked for its normals.
const BESIDE: [f64; 3] = [1e-3, 1e-2, 1e-1];
/// So many links ahead the end of a link is sought from beyond.
const BEYOND: f64 = 2.0;
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
            let Some(there) = here.reached(surface, from, link) else { break };
            let Some((_, sheet)) = surface.leaves(here.sheet, here.at, there.at) else {
                return Some(there.held(surface));
            };
            // Where it runs all but along a smooth edge, the place of crossing cannot be told, nor does it matter.
            if there.is_true(surface) {
                return Some(there.held(surface));
            }
            let Some(next) = here.on_crease(surface, &there) else { break };
            // Each of two sheets hands it to the other.
            if before == Some(sheet) && length(sub(next.jet.p, here.jet.p)) < ALONG * link {
                break;
            }
            before = Some(here.sheet);
            here = next;
        }
        here.along_edge(surface, from, link)
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
        self.met(surface, from, link, self.left(), Some(self.sheet))
    }

    /// The yarn that runs on along an edge that the sheets on either side do not let it leave: in the plane of its direction and the mean
    /// of their normals, on whichever sheet that meets. Links before and after a joint there are in balance with a normal between the
    /// two.
    fn along_edge(&self, surface: &impl Surface, from: Vector, link: f64) -> Option<Self> {
        BESIDE.into_iter().find_map(|beside| {
            let beside = self.jet.parameters_of(times(self.left(), beside * link));
            let normal = |by: [f64; 2]| jet_at(surface, surface.moved(self.at, by)).normal();
            let normal = add(normal(beside), normal(beside.map(|b| -b)));
            let side = cross(normal, self.along);
            self.met(surface, from, link, times(side, 1.0 / length(side).max(f64::MIN_POSITIVE)), None)
        })
    }

    /// Where the plane through here that is square to `side`, the sheet (or whichever holds the place), and the sphere about `from` meet,
    /// ahead of here.
    fn met(&self, surface: &impl Surface, from: Vector, link: f64, side: Vector, sheet: Option<usize>) -> Option<Self> {
        let left = (link - length(sub(self.jet.p, from))).max(0.1 * link);
        // Where the way turns back behind an edge it may come nearer to `from` before it goes away: then it is found from beyond.
        [left, BEYOND * link].into_iter().find_map(|ahead| {
            let found = self.solved(surface, (from, link, side), sheet, ahead)?;
            (dot(found.along, self.along) > 0.0).then_some(found)
        })
    }

    /// The same by Newton's method from so far ahead, wherever that leads.
    fn solved(
        &self,
        surface: &impl Surface,
        (from, link, side): (Vector, f64, Vector),
        sheet: Option<usize>,
        ahead: f64,
    ) -> Option<Self> {
        let (mut last, mut by) = ((self.at, self.jet.p), self.jet.parameters_of(times(self.along, ahead)));
        let mut least = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let at = surface.moved(last.0, by);
            let on = sheet.unwrap_or_else(|| surface.sheet(at));
            let jet = surface.jet(on, at);
            let d = sub(jet.p, from);
            let miss = [dot(sub(jet.p, self.jet.p), side), 0.5 * (dot(d, d) - link * link)];
            let far = miss[0].abs().max(miss[1].abs() / link);
            // Where the parameters change their pace, a step may lead far past what was meant, or to and fro: one that does not
            // come nearer is made shorter.
            if length(sub(jet.p, last.1)) > TOO_FAR * link || far >= least {
                by = by.map(|b| 0.25 * b);
                continue;
            }
            least = far;
            let rows = [jet.by.map(|by| dot(by, side)), jet.by.map(|by| dot(by, d))];
            let step = solve(rows, miss.map(|m| -m))?;
            if miss[0].abs() <= CLOSE && miss[1].abs() <= CLOSE * link {
                let along = jet.along(sub(jet.p, self.jet.p))?;
                return Some(Self { at, sheet: on, jet, along });
            }
            (last, by) = ((at, jet.p), held(step, &jet, link));
        }
        None
    }

    /// The place at which the way to `there`, beyond an edge of the sheet, passes that, its direction turned onto the next sheet.
    fn on_crease(&self, surface: &impl Surface, there: &Self) -> Option<Self> {
        // Shares of the way of which the first still lies on the sheet and the second beyond: the way may bend, and even leave the edge
        // before it comes back to it.
        let reach = length(sub(there.jet.p, self.jet.p));
        let (mut near, mut far) = ((0.0, *self), (reach, *there));
        let mut sheet = surface.leaves(self.sheet, self.at, there.at)?.1;
        let mut halve = false;
        for _ in 0..MOST_HALVINGS {
            let width = far.0 - near.0;
            let Some((share, next)) = surface.leaves(self.sheet, near.1.at, far.1.at).filter(|_| width > CLOSE) else {
                break;
            };
            sheet = next;
            let share = if halve { 0.5 } else { share.clamp(NEAR_EDGE, 1.0 - NEAR_EDGE) };
            let tried = near.0 + share * width;
            let found = self.reached(surface, self.jet.p, tried)?;
            let beyond = surface.leaves(self.sheet, self.at, found.at).is_some();
            if beyond {
                far = (tried, found);
            } else {
                near = (tried, found);
            }
            halve = far.0 - near.0 > 0.5 * width;
        }
        let edge = near.1;
        // Over a way so short the difference of two places is mostly rounding, and the way has hardly bent.
        let way = if near.0 < SHORT { edge.jet.along(self.along)? } else { edge.along };
        let jet = surface.jet(sheet, edge.at);
        let (before, after) = (edge.jet.normal(), jet.normal());
        let turned = dot(after, way) / (1.0 + dot(before, after));
        let along = jet.along(sub(way, times(add(before, after), turned)))?;
        Some(Self { at: edge.at, sheet, jet, along })
    }
}

/// A step of the parameters held to a link's length in space.
fn held(step: [f64; 2], jet: &Jet, link: f64) -> [f64; 2] {
    let d = add(times(jet.by[0], step[0]), times(jet.by[1], step[1]));
    let far = length(d);
    if far > link { step.map(|s| s * link / far) } else { step }
}
