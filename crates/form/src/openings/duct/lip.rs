//! The rounding between the surface and a wall.

use super::{Passage, Strip};
use crate::openings::target::{Sheet, SkinPlace, Target};
use crate::space::{Vector, add, cross, dot, length, sub, times, unit};

/// The rounding at one line of the wall: an arc of a circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lip {
    /// Middle of the ball.
    pub centre: Vector,
    /// Where the ball touches the surface: here the rounding begins.
    pub on_skin: Vector,
    /// Where it touches the air's side of the wall.
    pub on_wall: Vector,
    /// Its radius, mm.
    pub radius: f64,
}

impl Lip {
    /// `count` + 1 places of the arc, from the surface to the wall.
    pub fn arc(&self, count: usize) -> Vec<Vector> {
        let [a, b] = [self.on_skin, self.on_wall].map(|p| unit(sub(p, self.centre)));
        let angle = dot(a, b).clamp(-1.0, 1.0).acos();
        let place = |i: usize| {
            let t = i as f64 / count.max(1) as f64;
            let weights = if angle < 1e-9 {
                [1.0 - t, t]
            } else {
                [((1.0 - t) * angle).sin() / angle.sin(), (t * angle).sin() / angle.sin()]
            };
            let way = add(times(a, weights[0]), times(b, weights[1]));
            add(self.centre, times(way, self.radius))
        };
        (0..=count).map(place).collect()
    }
}

const MOST_STEPS: usize = 25;
/// How near the ball comes to the surface, mm.
const CLOSE: f64 = 1e-8;

/// The last step along the surface to the foot of a perpendicular, mm. It leaves a share of itself, the place's distance over the radius
/// of curvature; and the perpendicular's length misses by the square of that over the radius only: far below [`CLOSE`].
const SHORT: f64 = 1e-6;

/// Gives every line of the wall its lip, where one of the wanted radius fits.
pub(super) fn round(target: &Target<'_>, passage: &mut Passage) {
    let n = passage.strips.len();
    let lips: Vec<Option<Lip>> = (0..n).map(|i| Ball::new(target, passage, i).and_then(|ball| ball.lip())).collect();
    passage.strips.iter_mut().zip(lips).for_each(|(strip, lip)| strip.lip = lip);
}

/// A ball that touches one line of the wall.
struct Ball<'a> {
    target: &'a Target<'a>,
    strip: &'a Strip,
    /// Along the wall's two ends, round the outline.
    round: [Vector; 2],
    /// Turns their product out of the passage.
    sign: f64,
    radius: f64,
}

impl<'a> Ball<'a> {
    fn new(target: &'a Target<'a>, passage: &'a Passage, i: usize) -> Option<Self> {
        let n = passage.strips.len();
        let (strip, before, after) =
            (passage.strips.get(i)?, passage.strips.get((i + n - 1) % n)?, passage.strips.get((i + 1) % n)?);
        let round = [sub(after.outer.point, before.outer.point), sub(after.inner, before.inner)];
        let way = sub(strip.inner, strip.outer.point);
        let sign = dot(cross(round[0], way), strip.into_wall[0]).signum();
        Some(Self { target, strip, round, sign, radius: passage.lip_radius })
    }

    /// Where the ball touches the wall a share of the way in, and its middle.
    fn at(&self, share: f64) -> (Vector, Vector) {
        let (o, i) = (self.strip.outer.point, self.strip.inner);
        let on_wall = add(times(o, 1.0 - share), times(i, share));
        let round = add(times(self.round[0], 1.0 - share), times(self.round[1], share));
        let normal = times(unit(cross(round, sub(i, o))), self.sign);
        (on_wall, add(on_wall, times(normal, self.radius)))
    }

    /// How much deeper than its radius the middle lies under the surface, and the place above it.
    fn depth(&self, share: f64, start: &SkinPlace) -> Option<(f64, SkinPlace)> {
        let (_, centre) = self.at(share);
        let foot = foot(self.target, start, centre)?;
        Some((dot(sub(foot.point, centre), foot.normal) - self.radius, foot))
    }

    /// The share of the way in at which the ball touches the surface too: a secant's root.
    fn lip(&self) -> Option<Lip> {
        let long = length(sub(self.strip.inner, self.strip.outer.point)).max(1e-9);
        let (mut a, mut b) = (0.0, (self.radius / long).min(0.5));
        let (mut at_a, place) = self.depth(a, &self.strip.outer)?;
        let (mut at_b, mut foot) = self.depth(b, &place)?;
        for _ in 0..MOST_STEPS {
            if at_b.abs() < CLOSE {
                let (on_wall, centre) = self.at(b);
                let fits = (0.0..=1.0).contains(&b);
                return fits.then_some(Lip { centre, on_skin: foot.point, on_wall, radius: self.radius });
            }
            let next = b - at_b * (b - a) / (at_b - at_a);
            if !next.is_finite() {
                return None;
            }
            (a, at_a) = (b, at_b);
            b = next.clamp(-0.5, 1.5);
            (at_b, foot) = self.depth(b, &foot)?;
        }
        None
    }
}

/// The foot of the perpendicular from a place on the surface near another, on the same sheet: by steps in the tangent plane, which
/// shorten by the place's distance over the radius of curvature each.
fn foot(target: &Target<'_>, start: &SkinPlace, p: Vector) -> Option<SkinPlace> {
    let Sheet::Skin(mut spot) = start.on else {
        let above = dot(sub(p, start.point), start.normal);
        return Some(SkinPlace { point: sub(p, times(start.normal, above)), ..*start });
    };
    for _ in 0..40 {
        let node = crate::seen::SurfaceNode::at(target.loft(), spot)?;
        let away = sub(p, node.point);
        let (s, f) = (node.by_x, node.by_fraction);
        let [ss, sf, ff] = [dot(s, s), dot(s, f), dot(f, f)];
        let [ds, df] = [dot(away, s), dot(away, f)];
        let turn = ss * ff - sf * sf;
        let step = [(ds * ff - df * sf) / turn, (df * ss - ds * sf) / turn];
        if !(step[0].is_finite() && step[1].is_finite()) {
            return None;
        }
        spot = target.walked(spot, step[0], step[1].clamp(-0.4, 0.4));
        if step[0].abs() * ss.sqrt() + step[1].abs() * ff.sqrt() < SHORT {
            return target.at(spot, start.view);
        }
    }
    None
}
