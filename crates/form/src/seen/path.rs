//! A line sampled as finely as the picture needs, and divided where it comes in sight.

use super::cover::Cover;
use super::eye::{Eye, Shown};
use super::{Run, SeenPlace, Sight};
use crate::space::Vector;

/// Halvings of a chord, and of the stretch in which a line comes in sight.
const DEPTH: u32 = 6;
const SIGHT_DEPTH: u32 = 7;

/// What looking takes.
pub(super) struct Look<'a> {
    pub(super) eye: &'a Eye,
    pub(super) cover: &'a Cover,
    /// Of chords, px.
    pub(super) tolerance: f64,
}

/// A place of a line: where it is, and how the surface faces the eye there (on an edge, the side that faces it more).
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) point: Vector,
    pub(super) facing: f64,
}

/// A place with its parameter and what is seen of it.
#[derive(Clone, Copy)]
struct Sample {
    t: f64,
    place: Place,
    shown: Option<Shown>,
    sight: Option<Sight>,
}

impl Sample {
    fn pixel(&self) -> Option<[f64; 2]> {
        self.shown.map(|s| s.pixel)
    }
}

impl Look<'_> {
    /// How a place is seen; `None` where it is not shown.
    pub(super) fn sight(&self, place: &Place, shown: Option<&Shown>) -> Option<Sight> {
        let shown = shown?;
        // A place without normal, a tip, is hidden only by what stands before it.
        let away = place.facing < 0.0;
        let facing = if place.facing.is_nan() { 0.0 } else { place.facing };
        Some(if away || self.cover.hides(shown, facing) { Sight::Hidden } else { Sight::InSight })
    }

    /// The stretches of the line that `curve` gives over rising parameters. It is asked at these, and between them where the chord
    /// between two is farther off than the tolerance at its middle.
    pub(super) fn trace(&self, parameters: &[f64], curve: &impl Fn(f64) -> Option<Place>) -> Vec<Run> {
        let mut samples: Vec<Sample> = Vec::with_capacity(2 * parameters.len());
        for &t in parameters {
            let Some(next) = self.sample(t, curve) else { continue };
            if let Some(last) = samples.last().copied() {
                self.halve(&last, &next, DEPTH, curve, &mut samples);
            }
            samples.push(next);
        }
        self.divide(&samples, curve)
    }

    fn sample(&self, t: f64, curve: &impl Fn(f64) -> Option<Place>) -> Option<Sample> {
        let place = curve(t)?;
        let shown = self.eye.shown(place.point);
        Some(Sample { t, place, shown, sight: self.sight(&place, shown.as_ref()) })
    }

    fn halve(&self, a: &Sample, b: &Sample, depth: u32, curve: &impl Fn(f64) -> Option<Place>, out: &mut Vec<Sample>) {
        let (Some(p), Some(q), true) = (a.shown, b.shown, depth > 0) else { return };
        // A chord no longer than this cannot be far off.
        if distance(p.pixel, q.pixel) < 4.0 * self.tolerance {
            return;
        }
        let Some(m) = self.sample(0.5 * (a.t + b.t), curve) else { return };
        let off = m.shown.is_none_or(|m| beside(m.pixel, p.pixel, q.pixel) > self.tolerance);
        if off {
            self.halve(a, &m, depth - 1, curve, out);
        }
        out.push(m);
        if off {
            self.halve(&m, b, depth - 1, curve, out);
        }
    }

    fn divide(&self, samples: &[Sample], curve: &impl Fn(f64) -> Option<Place>) -> Vec<Run> {
        let mut runs = Runs::default();
        for (i, sample) in samples.iter().enumerate() {
            if let Some(last) = i.checked_sub(1).and_then(|i| samples.get(i))
                && last.sight != sample.sight
            {
                let (before, behind) = self.change(*last, *sample, curve);
                runs.add(before.pixel(), before.place.point, before.sight);
                let joint = if before.shown.is_some() && behind.shown.is_some() { before } else { behind };
                runs.begin(joint.pixel(), joint.place.point, behind.sight);
            }
            runs.add(sample.pixel(), sample.place.point, sample.sight);
        }
        runs.done()
    }

    /// The last place seen in one way and the first seen in the other, close together.
    fn change(&self, mut a: Sample, mut b: Sample, curve: &impl Fn(f64) -> Option<Place>) -> (Sample, Sample) {
        for _ in 0..SIGHT_DEPTH {
            let Some(m) = self.sample(0.5 * (a.t + b.t), curve) else { break };
            if m.sight == a.sight { a = m } else { b = m }
        }
        (a, b)
    }
}

/// Stretches being put together.
#[derive(Default)]
pub(super) struct Runs {
    done: Vec<Run>,
    open: Option<Run>,
}

impl Runs {
    /// The next place of the line.
    pub(super) fn add(&mut self, pixel: Option<[f64; 2]>, point: Vector, sight: Option<Sight>) {
        let (Some(pixel), Some(sight)) = (pixel, sight) else { return self.end() };
        if self.open.as_ref().is_some_and(|run| run.sight != sight) {
            self.end();
        }
        let run = self.open.get_or_insert_with(|| Run { sight, places: Vec::new() });
        run.places.push(SeenPlace { pixel, point });
    }

    /// Begins a stretch anew.
    pub(super) fn begin(&mut self, pixel: Option<[f64; 2]>, point: Vector, sight: Option<Sight>) {
        self.end();
        self.add(pixel, point, sight);
    }

    fn end(&mut self) {
        self.done.extend(self.open.take().filter(|run| run.places.len() > 1));
    }

    pub(super) fn done(mut self) -> Vec<Run> {
        self.end();
        self.done
    }
}

pub(super) fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// How far a place lies from the segment.
pub(super) fn beside(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (d, e) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
    let square = d[0] * d[0] + d[1] * d[1];
    let t = if square > 0.0 { ((e[0] * d[0] + e[1] * d[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
    (e[0] - t * d[0]).hypot(e[1] - t * d[1])
}
