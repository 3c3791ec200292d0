//! How an opening goes on behind the surface: a wall of straight lines from its edge to the inner outline.
//!
//! ```text
//!      skin            E: on a plane ahead of the whole edge, so that what is cut away reaches out of the form
//!    E-----O\          O: edge on the surface        O--I: straight, by equal parameters of both outlines where these are of one
//!           \'--.      I: inner outline, in a            kind, else by equal shares of their lengths
//!            '.  '--I     plane square to the sight  W: the wall's outside, its thickness square to both neighbouring facets
//!              '-.W-W
//! ```
//!
//! The lip is what a ball of its radius leaves that rolls inside the material along the edge, touching the skin from inside and the
//! air's side of the wall: both places where it touches are solved for, on the true surface and on the straight line of the wall.

mod cut;
mod lip;

pub use cut::{CutPlane, Wall};
pub use lip::Lip;

use super::hole::Hole;
use super::outline::OutlineCurve;
use super::target::{SkinPlace, Target};
use crate::space::{Vector, add, cross, dot, length, sub, times, unit};

/// One straight line of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Parameter of the opening's outline.
    pub u: f64,
    /// On the surface.
    pub outer: SkinPlace,
    /// On the inner outline.
    pub inner: Vector,
    /// From the passage into the wall, at both ends: as long as makes the wall one mm thick on both neighbouring facets.
    pub into_wall: [Vector; 2],
    /// The rounding between surface and wall, where one is wanted and fits.
    pub lip: Option<Lip>,
}

/// The wall of a passage.
#[derive(Clone, Debug, PartialEq)]
pub struct Passage {
    /// The way in.
    pub sight: Vector,
    /// Its straight lines, round the outline; the last goes on to the first.
    pub strips: Vec<Strip>,
    /// Thickness of the wall, mm.
    pub wall: f64,
    /// Radius of the lip that is wanted, mm.
    pub lip_radius: f64,
}

/// Where a passage is narrowest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Narrowest {
    /// Share of the way in.
    pub share: f64,
    /// Area square to the line between the middles of both ends, mm².
    pub area: f64,
}

/// A mitre is never longer than this.
const MOST_MITRE: f64 = 3.0;

impl Hole {
    /// The passage of an opening with a duct; `None` without one, or while the outline does not wholly lie on the form.
    pub fn passage(&self, target: &Target<'_>) -> Option<Passage> {
        let duct = self.duct.as_ref()?;
        let inner = self.inner.as_ref()?;
        let middle = self.centre.map_or_else(|| self.middle(), |c| c.point);
        let deep = dot(middle, self.seen.sight()) + duct.depth;
        let mut passage = self.tube(inner, deep)?;
        (passage.wall, passage.lip_radius) = (duct.wall, duct.lip_radius);
        if duct.lip_radius > 0.0 {
            lip::round(target, &mut passage);
        }
        Some(passage)
    }

    /// The passage straight along the sight that a plain hole makes, to `through` mm behind the rearmost place of its edge.
    pub fn bore(&self, through: f64) -> Option<Passage> {
        let sight = self.seen.sight();
        let deepest = self.places().map(|p| dot(p.point, sight)).fold(f64::NEG_INFINITY, f64::max);
        self.tube(&self.curve, deepest + through)
    }

    fn middle(&self) -> Vector {
        mean(self.places().map(|p| p.point))
    }

    fn tube(&self, inner: &OutlineCurve, deep: f64) -> Option<Passage> {
        let sight = self.seen.sight();
        let run = self.whole()?;
        let matched = Matched::new(&self.curve, inner);
        let place = |view: [f64; 2]| {
            let mut p = times(sight, deep);
            for (k, axis) in self.seen.axes().into_iter().enumerate() {
                p[axis] = view[k];
            }
            p
        };
        let mut strips: Vec<Strip> = Vec::with_capacity(run.places.len());
        for p in &run.places {
            let twin = strips.last().is_some_and(|s| length(sub(s.outer.point, p.place.point)) < 1e-9);
            if !twin {
                let inner = place(inner.at(matched.inner(p.u)).p);
                let strip = Strip { u: p.u, outer: p.place, inner, into_wall: [[0.0; 3]; 2], lip: None };
                strips.push(strip);
            }
        }
        let mut passage = Passage { sight, strips, wall: 0.0, lip_radius: 0.0 };
        (passage.strips.len() > 2).then(|| {
            passage.set_normals();
            passage
        })
    }
}

/// Which place of the inner outline belongs to one of the outer.
struct Matched<'a> {
    outer: &'a OutlineCurve,
    inner: &'a OutlineCurve,
    /// Lengths of the outer outline up to each joint; empty where both go by the same parameter.
    lengths: Vec<f64>,
}

impl<'a> Matched<'a> {
    fn new(outer: &'a OutlineCurve, inner: &'a OutlineCurve) -> Self {
        let lengths = if outer.is_like(inner) { Vec::new() } else { outer.lengths() };
        Self { outer, inner, lengths }
    }

    fn inner(&self, u: f64) -> f64 {
        let Some(whole) = self.lengths.last() else { return u };
        let round = self.outer.pieces();
        let u = u.rem_euclid(round as f64);
        let i = (u as usize).min(round - 1);
        let length = self.lengths[i] + self.outer.length_in(i, u - i as f64);
        self.inner.at_share(length / whole)
    }
}

impl Passage {
    /// The middles of both ends: centroids of the areas that are seen along the sight.
    pub fn middles(&self) -> [Vector; 2] {
        [self.ring(0.0), self.ring(1.0)].map(|ring| centroid(&ring, self.sight))
    }

    /// The closed ring a share of the way in.
    pub fn ring(&self, share: f64) -> Vec<Vector> {
        self.strips.iter().map(|s| add(times(s.outer.point, 1.0 - share), times(s.inner, share))).collect()
    }

    /// The same on the wall's outside.
    pub fn outside_ring(&self, share: f64) -> Vec<Vector> {
        let out = |s: &Strip| s.into_wall.map(|n| times(n, self.wall));
        let ends = |s: &Strip| (add(s.outer.point, out(s)[0]), add(s.inner, out(s)[1]));
        self.strips.iter().map(ends).map(|(o, i)| add(times(o, 1.0 - share), times(i, share))).collect()
    }

    /// Where the passage is narrowest, square to the line between the middles of its ends. A ring's area is a quadratic of the share,
    /// as its places are linear in it, so three rings tell all of it.
    pub fn narrowest(&self) -> Narrowest {
        let [from, to] = self.middles();
        let axis = unit(sub(to, from));
        let area = |share: f64| dot(vector_area(&self.ring(share)), axis).abs();
        let [a, b, c] = [area(0.0), area(0.5), area(1.0)];
        let (bend, slope) = (2.0 * (a - 2.0 * b + c), -3.0 * a + 4.0 * b - c);
        let turning = if bend > 0.0 { (-0.5 * slope / bend).clamp(0.0, 1.0) } else { 0.0 };
        let at = |share: f64| Narrowest { share, area: a + share * (slope + share * bend) };
        let all = [at(0.0), at(1.0), at(turning)];
        all.into_iter().fold(at(0.0), |best, next| if next.area < best.area { next } else { best })
    }

    fn set_normals(&mut self) {
        let n = self.strips.len();
        let rings = [self.ring(0.0), self.ring(1.0)];
        let middles = self.middles();
        for (end, ring) in rings.iter().enumerate() {
            let facet = |i: usize| {
                let (a, b) = (ring[i % n], ring[(i + 1) % n]);
                let way = sub(self.strips[i % n].inner, self.strips[i % n].outer.point);
                unit(cross(sub(b, a), way))
            };
            let outward: f64 = (0..n).map(|i| dot(facet(i), sub(ring[i], middles[end]))).sum();
            let sign = outward.signum();
            let mitres: Vec<Vector> = (0..n).map(|i| times(mitre(facet(i + n - 1), facet(i)), sign)).collect();
            self.strips.iter_mut().zip(mitres).for_each(|(s, m)| s.into_wall[end] = m);
        }
    }
}

/// The vector with the inner product 1 with two unit vectors, in their plane.
fn mitre(a: Vector, b: Vector) -> Vector {
    times(add(a, b), 1.0 / (1.0 + dot(a, b)).max(1.0 / MOST_MITRE))
}

fn mean(points: impl Iterator<Item = Vector>) -> Vector {
    let (sum, count) = points.fold(([0.0; 3], 0.0), |(sum, n), p| (add(sum, p), n + 1.0));
    times(sum, 1.0 / f64::max(count, 1.0))
}

/// The centroid of a ring's fan of triangles, each with the area that is seen of it.
fn centroid(ring: &[Vector], sight: Vector) -> Vector {
    let Some(first) = ring.first() else { return [0.0; 3] };
    let (mut sum, mut whole) = ([0.0; 3], 0.0);
    for (a, b) in ring.iter().zip(ring.iter().skip(1)) {
        let area = dot(cross(sub(*a, *first), sub(*b, *first)), sight);
        sum = add(sum, times(add(*first, add(*a, *b)), area / 3.0));
        whole += area;
    }
    if whole == 0.0 { mean(ring.iter().copied()) } else { times(sum, 1.0 / whole) }
}

/// ½ ∮ r × dr of a closed ring.
fn vector_area(ring: &[Vector]) -> Vector {
    let Some(first) = ring.first() else { return [0.0; 3] };
    let pairs = ring.iter().zip(ring.iter().skip(1));
    pairs.fold([0.0; 3], |sum, (a, b)| add(sum, times(cross(sub(*a, *first), sub(*b, *first)), 0.5)))
}
