//! The outline followed on the surface.

use super::{HolePlace, Missed, Run, Why};
use crate::openings::outline::OutlineCurve;
use crate::openings::target::{Sheet, SkinPlace, Target};
use crate::seen::Spot;
use crate::space::{Vector, add, dot, length, sub, times};
use project::opening::Seen;

/// A chord is halved this often at most: to where it could only be a step.
const DEPTH: u32 = 30;
/// Parts of the form that miss the outline where it lies between two places that miss it are looked for by so many halvings.
const MISSED_DEPTH: u32 = 2;
/// Places where the outline leaves the form are found within this share of a piece.
const NARROW: f64 = 1e-10;
/// What two places this near in the view lie apart by more than this, mm, is a step from one part of the form to another.
const STEP: f64 = 0.5;
/// Normals that differ by more (a sine) make a crease.
const CREASE: f64 = 1e-4;
/// Where the surface faces the eye by less than this (a cosine) a chord is always looked at in its middle.
const SLANTED: f64 = 0.1;

#[derive(Clone, Copy, Debug)]
struct Sample {
    u: f64,
    met: Option<SkinPlace>,
    /// The line of sight steps between the sample before and this one.
    stepped: bool,
}

struct Following<'a> {
    target: &'a Target<'a>,
    seen: Seen,
    curve: &'a OutlineCurve,
    tolerance: f64,
}

/// The stretches that meet the form, and those that do not.
pub(super) fn follow(target: &Target<'_>, seen: Seen, curve: &OutlineCurve, tolerance: f64) -> (Vec<Run>, Vec<Missed>) {
    let following = Following { target, seen, curve, tolerance };
    let mut parameters = curve.parameters(tolerance);
    parameters.push(curve.pieces() as f64);
    let mut samples: Vec<Sample> = Vec::with_capacity(2 * parameters.len());
    for u in parameters {
        let next = following.sample(u);
        if let Some(last) = samples.last().copied() {
            following.between(&last, &next, DEPTH, &mut samples);
        }
        samples.push(next);
    }
    following.divided(&samples)
}

impl Following<'_> {
    fn sample(&self, u: f64) -> Sample {
        Sample { u, met: self.target.meet(self.seen, self.curve.at(u).p), stepped: false }
    }

    /// Adds what lies between two samples.
    fn between(&self, a: &Sample, b: &Sample, depth: u32, out: &mut Vec<Sample>) {
        match (&a.met, &b.met) {
            (None, None) => {
                if depth > DEPTH - MISSED_DEPTH {
                    self.halves(a, b, depth, out);
                }
            }
            (Some(p), Some(q)) => {
                if self.changes(p, q) {
                    self.crease(a, b, out);
                } else if depth == 0 || b.u - a.u < NARROW {
                    out.extend(self.step(a, b));
                } else if self.is_far(a.u, p, b.u, q) {
                    let middle = self.sample(0.5 * (a.u + b.u));
                    let off = middle.met.is_none_or(|m| beside(m.point, p.point, q.point) > self.tolerance);
                    if off {
                        self.between(a, &middle, depth - 1, out);
                        out.push(middle);
                        self.between(&middle, b, depth - 1, out);
                    }
                }
            }
            _ => self.edge(a, b, out),
        }
    }

    fn halves(&self, a: &Sample, b: &Sample, depth: u32, out: &mut Vec<Sample>) {
        let middle = self.sample(0.5 * (a.u + b.u));
        self.between(a, &middle, depth - 1, out);
        out.push(middle);
        self.between(&middle, b, depth - 1, out);
    }

    /// Whether a chord may be off by more than the tolerance. The cubic that has the edge's own derivatives at both ends leaves its
    /// chord by m and n more than along it; it is off by |m - n| / 8 in its middle and, where it bends to both sides, by about
    /// |m + n| / 20 at its quarters.
    fn is_far(&self, from: f64, p: &SkinPlace, to: f64, q: &SkinPlace) -> bool {
        let Some((s, t)) = self.along(from, p).zip(self.along(to - 1e-9, q)) else { return true };
        let chord = sub(q.point, p.point);
        let [m, n] = [s, t].map(|d| sub(times(d, to - from), chord));
        (0.125 * length(sub(m, n))).max(0.05 * length(add(m, n))) > 0.5 * self.tolerance
    }

    /// Derivative of the edge on the surface by the outline's parameter; `None` where the surface turns away.
    fn along(&self, u: f64, place: &SkinPlace) -> Option<Vector> {
        let sight = self.seen.sight();
        let facing = -dot(place.normal, sight);
        let d = self.curve.at(u).d;
        let mut flat = [0.0; 3];
        for (k, axis) in self.seen.axes().into_iter().enumerate() {
            flat[axis] = d[k];
        }
        let deep = dot(flat, place.normal) / facing;
        (facing > SLANTED).then(|| std::array::from_fn(|k| flat[k] + deep * sight[k]))
    }

    /// Whether there is a crease between two places: other sheets, or runs or sides that meet at an angle.
    fn changes(&self, p: &SkinPlace, q: &SkinPlace) -> bool {
        match (p.on, q.on) {
            (Sheet::Front, Sheet::Front) => false,
            (Sheet::Skin(a), Sheet::Skin(b)) => self.is_creased(&a, &b),
            _ => true,
        }
    }

    /// Whether the surface has a crease on the way from one spot to another: at a mark between neighbouring runs, or at the centre
    /// plane.
    fn is_creased(&self, a: &Spot, b: &Spot) -> bool {
        if (a.half, a.run) == (b.half, b.run) && a.side == b.side {
            return false;
        }
        let Some(section) = self.target.loft().section(0.5 * (a.x + b.x)) else { return false };
        let runs: Vec<_> = section.runs().collect();
        let number = |s: &Spot| runs.iter().position(|r| *r == (s.half, s.run)).unwrap_or(0);
        let (i, j) = (number(a).min(number(b)), number(a).max(number(b)));
        let normal = |k: usize, fraction: f64| {
            let (half, run) = runs[k];
            self.target.normal(Spot { x: section.x(), half, run, fraction, side: a.side }).unwrap_or_default()
        };
        let angled = |m: Vector, n: Vector| length(sub(m, n)) > CREASE;
        let at_centre = |n: Vector| n[1].abs() > 0.5 * CREASE;
        let marks = (i..j).any(|k| angled(normal(k, 1.0), normal(k + 1, 0.0)));
        marks || (a.side != b.side && (at_centre(normal(0, 0.0)) || at_centre(normal(runs.len() - 1, 1.0))))
    }

    /// Narrows a change down and adds the places on both sides of it, with what lies before and behind.
    fn narrowed(&self, a: &Sample, b: &Sample, same: impl Fn(&Sample, &Sample) -> bool) -> [Sample; 2] {
        let (mut low, mut high) = (*a, *b);
        while high.u - low.u > NARROW {
            let middle = self.sample(0.5 * (low.u + high.u));
            if same(&low, &middle) { low = middle } else { high = middle }
        }
        [low, high]
    }

    fn crease(&self, a: &Sample, b: &Sample, out: &mut Vec<Sample>) {
        let same = |low: &Sample, m: &Sample| match (&low.met, &m.met) {
            (Some(p), Some(q)) => !self.changes(p, q),
            _ => false,
        };
        let [low, mut high] = self.narrowed(a, b, same);
        let apart = low.met.zip(high.met).map_or(f64::INFINITY, |(p, q)| length(sub(q.point, p.point)));
        high.stepped = apart > STEP;
        self.around(a, [low, high], b, out);
    }

    /// Where the outline comes onto the form, or leaves it.
    fn edge(&self, a: &Sample, b: &Sample, out: &mut Vec<Sample>) {
        let pair = self.narrowed(a, b, |low, m| low.met.is_some() == m.met.is_some());
        self.around(a, pair, b, out);
    }

    /// Two neighbours in the view that are none on the form.
    fn step(&self, a: &Sample, b: &Sample) -> [Sample; 2] {
        let far = a.met.zip(b.met).is_some_and(|(p, q)| length(sub(q.point, p.point)) > STEP);
        [*a, Sample { stepped: far, ..*b }]
    }

    fn around(&self, a: &Sample, [low, high]: [Sample; 2], b: &Sample, out: &mut Vec<Sample>) {
        if low.u > a.u {
            self.between(a, &low, DEPTH - MISSED_DEPTH, out);
            out.push(low);
        }
        if high.u < b.u {
            out.push(high);
            self.between(&high, b, DEPTH - MISSED_DEPTH, out);
        }
    }

    /// Divides the samples, the last of which is the first again, into stretches and the gaps between them.
    fn divided(&self, samples: &[Sample]) -> (Vec<Run>, Vec<Missed>) {
        let n = samples.len().saturating_sub(1);
        let round = self.curve.pieces() as f64;
        // Whether the sample goes on from the one before it.
        let goes_on = |i: usize| {
            let before = samples[(i + n - 1) % n];
            let stepped = samples[i].stepped || (i == 0 && samples[n].stepped);
            before.met.is_some() && samples[i].met.is_some() && !stepped
        };
        if (0..n).all(goes_on) {
            return (vec![Run { closed: true, places: places(&samples[..n]) }], Vec::new());
        }
        let Some(start) = (0..n).find(|i| samples[*i].met.is_some() && !goes_on(*i)) else {
            let at = self.curve.centre();
            return (Vec::new(), vec![Missed { from: 0.0, to: round, at, why: Why::Beyond }]);
        };
        let turned = |k: usize| {
            let sample = samples[(start + k) % n];
            Sample { u: sample.u + if start + k >= n { round } else { 0.0 }, ..sample }
        };
        let (mut runs, mut missed, mut open) = (Vec::new(), Vec::new(), Vec::new());
        let mut left: Option<Sample> = None;
        for k in 0..=n {
            let sample = turned(k);
            if k > 0 && sample.met.is_some() && !goes_on((start + k) % n) {
                let from = left.map_or(0.0, |l| l.u);
                let stepped = samples[(start + k + n - 1) % n].met.is_some();
                let why = if stepped { Why::Fold } else { Why::Beyond };
                missed.push(Missed { from, to: sample.u, at: self.curve.at(0.5 * (from + sample.u)).p, why });
                runs.push(Run { closed: false, places: places(&open) });
                open.clear();
            }
            if sample.met.is_some() {
                left = Some(sample);
                open.push(sample);
            }
        }
        runs.retain(|run| run.places.len() > 1);
        (runs, missed)
    }
}

fn places(samples: &[Sample]) -> Vec<HolePlace> {
    without_twins(samples.iter().filter_map(|s| Some(HolePlace { u: s.u, place: s.met? })).collect())
}

/// Of two places that are one but for rounding the first, unless they lie on both sides of a crease: then both stay.
fn without_twins(mut places: Vec<HolePlace>) -> Vec<HolePlace> {
    places.dedup_by(|b, a| {
        length(sub(a.place.point, b.place.point)) < 1e-9 && length(sub(a.place.normal, b.place.normal)) < CREASE
    });
    places
}

fn beside(p: Vector, a: Vector, b: Vector) -> f64 {
    let (d, e) = (sub(b, a), sub(p, a));
    let square = dot(d, d);
    let t = if square > 0.0 { (dot(d, e) / square).clamp(0.0, 1.0) } else { 0.0 };
    length(std::array::from_fn(|k| e[k] - t * d[k]))
}
