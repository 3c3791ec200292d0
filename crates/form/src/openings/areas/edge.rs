//! The surface within an edge, summed up round the edge.
//!
//! In the surface's own parameters, station x and fraction f of a run, let H(x, f) be ∫ S_x × S_f dx along the control line of f, from
//! a station of reference on. By Green's theorem the sum over all that an edge encloses is ∮ H df round it. Where the edge crosses a
//! mark, or the centre plane, the enclosed part of each run ends in a line of constant f, which adds nothing; nor does the end of the
//! form in front, or the plane that trims it, where H begins there. So the outline's own parameter is the only variable, along which all
//! is smooth but at its joints and where it crosses marks; pieces between these are halved until two rules agree.

use super::strip::{Body, Cell, Seat, Strip, Sum, add_share};
use crate::openings::hole::{Hole, HolePlace, Run};
use crate::openings::target::Target;
use crate::seen::Spot;
use crate::space::dot;
use geometry::quadrature::settled;
use project::photograph::Side;

/// Two rules agree on a piece where they differ by less than this share of the outline's area; the better one is then nearer by far.
const AGREED: f64 = 2e-6;
/// Into how many parts every smooth stretch is divided, until what is seen comes out as the outline.
const PARTS: [u32; 4] = [1, 2, 5, 12];
/// How near a place must come to the outline in the view, mm.
const CLOSE: f64 = 1e-9;
const MOST_STEPS: usize = 10;
/// Steps towards the place where the edge crosses a mark; what is left of the way is then far below a nanometre.
const MOST_NARROWINGS: usize = 60;
/// Pieces of the outline's parameter shorter than this are none.
const SHORT: f64 = 1e-9;

/// The sum over all of the skin that a closed edge encloses, where it `has_front` with the form's front; `None` where a line of sight
/// near the edge misses the form.
pub(super) fn within(hole: &Hole, run: &Run, target: &Target<'_>, has_front: bool) -> Option<Sum> {
    let body = Body::new(target, hole.seen);
    let from = if has_front { From::Front } else { From::Station(amid(hole)) };
    let edge = Edge { hole, places: &run.places, from, body: &body };
    let area = hole.curve.area();
    let ends = edge.ends()?;
    let mut out = [0.0; 4];
    for parts in PARTS {
        out = edge.sum(&ends, parts)?;
        // All that the edge encloses is seen as the outline, whose area is known exactly: a jump of the surface's slope so near to the
        // end of a piece that both rules miss it does not stay hidden.
        let seen = -dot([out[1], out[2], out[3]], hole.seen.sight());
        if has_front || (seen - area).abs() < AGREED * area {
            break;
        }
    }
    Some(out)
}

/// Where H begins.
#[derive(Clone, Copy, Debug, PartialEq)]
enum From {
    Station(f64),
    /// At the form's front as it is trimmed.
    Front,
}

/// A station amid the hole.
fn amid(hole: &Hole) -> f64 {
    let stations = hole.places().map(|p| p.point[0]);
    let [low, high] = stations.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)]);
    0.5 * (low + high)
}

struct Edge<'a> {
    hole: &'a Hole,
    places: &'a [HolePlace],
    from: From,
    body: &'a Body<'a>,
}

impl<'a> Edge<'a> {
    /// The sum round the edge, each stretch between two ends divided into so many parts at least.
    fn sum(&self, ends: &[f64], parts: u32) -> Option<Sum> {
        let tolerance = AGREED * self.hole.curve.area();
        let mut out = [0.0; 4];
        for w in ends.windows(2) {
            let at = |i: u32| w[0] + (w[1] - w[0]) * f64::from(i) / f64::from(parts);
            for i in 0..parts {
                let part = settled([at(i), at(i + 1)], tolerance, &mut |u| self.slope(u))?;
                add_share(&mut out, &part, 1.0);
            }
        }
        Some(out)
    }

    /// H df/du at a place of the outline; nothing on the flat front.
    fn slope(&self, u: f64) -> Option<Sum> {
        let Some((spot, strip, seat)) = self.near(u, self.guess(u)) else {
            return match self.met(u)? {
                None => Some([0.0; 4]),
                Some(spot) => {
                    let strip = self.body.strip(&Cell::of(&spot), spot.fraction);
                    let seat = strip.seat(spot.x);
                    Some(self.share(u, &spot, &strip, &seat))
                }
            };
        };
        Some(self.share(u, &spot, &strip, &seat))
    }

    fn share(&self, u: f64, spot: &Spot, strip: &Strip<'_>, seat: &Seat) -> Sum {
        let d = self.hole.curve.at(u).d;
        // In the view the outline runs round its inside to the left; in (x, f) it does so where the view does not turn them over.
        let by_u = cross(seat.by_x, d) / cross(seat.by_x, seat.by_fraction).abs();
        let from = match self.from {
            From::Station(x) => x,
            From::Front => self.front(strip, spot.x),
        };
        strip.sum(from, spot.x).map(|h| h * by_u)
    }

    /// Where a strip begins in front of a station: at the form's end, or at the plane that trims it.
    fn front(&self, strip: &Strip<'_>, x: f64) -> f64 {
        let low = self.body.target.loft().x_range().0;
        let Some(trim) = self.body.target.trim() else { return low };
        let ahead = |x: f64| trim.ahead(strip.point(x));
        let ends = [(low, ahead(low)), (x, ahead(x))];
        if ends[0].1 <= 0.0 {
            return low;
        }
        if ends[1].1 >= 0.0 { x } else { crossing(ends, 1e-11, |x| Some(ahead(x))).unwrap_or(x) }
    }

    /// The spot of the surface that a place of the outline meets; `Some(None)` on the flat front, `None` where it misses.
    fn met(&self, u: f64) -> Option<Option<Spot>> {
        Some(self.body.target.meet(self.hole.seen, self.hole.curve.at(u).p)?.spot())
    }

    /// A spot near by: between the two known places about `u` where both are of one cell, or at the nearer one.
    fn guess(&self, u: f64) -> Option<Spot> {
        let n = self.places.len();
        let round = self.hole.curve.pieces() as f64;
        let i = self.places.partition_point(|p| p.u <= u);
        let (a, b) = (self.places[(i + n - 1) % n], self.places[i % n]);
        let span = (b.u - a.u).rem_euclid(round);
        let share = if span > 0.0 { (u - a.u).rem_euclid(round) / span } else { 0.0 };
        match (a.place.spot(), b.place.spot()) {
            (Some(p), Some(q)) if Cell::of(&p) == Cell::of(&q) => {
                let between = |p: f64, q: f64| p + share * (q - p);
                Some(Spot { x: between(p.x, q.x), fraction: between(p.fraction, q.fraction), ..p })
            }
            (p, q) => {
                if share < 0.5 {
                    p
                } else {
                    q
                }
            }
        }
    }

    /// The spot that the view shows at a place of the outline, by Newton's method within the guess's own run.
    fn near(&self, u: f64, guess: Option<Spot>) -> Option<(Spot, Strip<'a>, Seat)> {
        let mut spot = guess?;
        let (low, high) = self.body.target.loft().x_range();
        let p = self.hole.curve.at(u).p;
        for _ in 0..MOST_STEPS {
            let strip = self.body.strip(&Cell::of(&spot), spot.fraction);
            let seat = strip.seat(spot.x);
            let miss = [p[0] - seat.p[0], p[1] - seat.p[1]];
            if miss[0].hypot(miss[1]) < CLOSE {
                return Some((spot, strip, seat));
            }
            let turn = cross(seat.by_x, seat.by_fraction);
            spot.x += cross(miss, seat.by_fraction) / turn;
            spot.fraction += cross(seat.by_x, miss) / turn;
            let is_own = (low..=high).contains(&spot.x) && (0.0..=1.0).contains(&spot.fraction);
            if !is_own {
                return None;
            }
        }
        None
    }

    /// Parameters between which all is smooth: joints, and where the edge goes from run to run.
    fn ends(&self) -> Option<Vec<f64>> {
        let mut ends: Vec<f64> = (0..=self.hole.curve.pieces()).map(|i| i as f64).collect();
        let n = self.places.len();
        let round = self.hole.curve.pieces() as f64;
        for (i, a) in self.places.iter().enumerate() {
            let b = self.places[(i + 1) % n];
            let to = if i + 1 == n { b.u + round } else { b.u };
            let changed = match (a.place.spot(), b.place.spot()) {
                (Some(p), Some(q)) => (Cell::of(&p) != Cell::of(&q)).then(|| self.mark([(a.u, p), (to, q)])),
                (None, None) => None,
                // The edge has a place on both sides of the rim.
                _ => Some(Some(0.5 * (a.u + to))),
            };
            if let Some(at) = changed {
                ends.push(at?.rem_euclid(round));
            }
        }
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|b, a| *b - *a < SHORT);
        Some(ends)
    }

    /// Where the edge crosses the mark between two spots of different cells.
    fn mark(&self, [(from, p), (to, q)]: [(f64, Spot); 2]) -> Option<f64> {
        let runs = self.body.target.runs();
        let round = 2.0 * runs.len() as f64;
        // All round the section from the crown to starboard, one for each run.
        let place = |s: &Spot| {
            let down = runs.iter().position(|r| *r == (s.half, s.run)).unwrap_or(0) as f64 + s.fraction;
            if s.side == Side::Port { round - down } else { down }
        };
        let start = place(&p);
        let way = |s: &Spot| (place(s) - start + 0.5 * round).rem_euclid(round) - 0.5 * round;
        let whole = way(&q);
        let mark = if whole > 0.0 { start.floor() + 1.0 } else { start.ceil() - 1.0 } - start;
        let beside = |u: f64| {
            let spot = self.near(u, self.guess(u)).map(|found| found.0);
            spot.or_else(|| self.met(u).flatten()).map(|s| way(&s) - mark)
        };
        crossing([(from, -mark), (to, whole - mark)], SHORT, beside)
    }
}

/// Where a function has its root between two places of different sign: by chords, each end that stays twice counting half (the
/// "Illinois" rule; M. Dowell and P. Jarratt, BIT 11, 1971), to within `close`. `None` where the function has no value.
fn crossing([mut a, mut b]: [(f64, f64); 2], close: f64, f: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    for _ in 0..MOST_NARROWINGS {
        if b.1 == 0.0 || a.1 == b.1 || (b.0 - a.0).abs() < close {
            break;
        }
        let at = b.0 - b.1 * (b.0 - a.0) / (b.1 - a.1);
        let value = f(at)?;
        if (value > 0.0) == (b.1 > 0.0) {
            a.1 *= 0.5;
        } else {
            a = b;
        }
        let step = (at - b.0).abs();
        b = (at, value);
        if step < close {
            break;
        }
    }
    Some(b.0)
}

fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
