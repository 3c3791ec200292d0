//! A loft read for draping: stretches along the body, each with its own variable, and the surface less its coat.
//!
//! A stretch runs from one point of the master lines to the next. Where the lines stand upright at an end of the form, x goes with
//! the square of the variable there, so that the surface is smooth in it. The coat is taken off along the normal, as
//! `form::PlugSurface` does; where two sheets meet at a crease, both are carried on or held back along themselves to where they
//! meet once moved.

use form::space::{Vector, add, cross, dot, sub, times, unit};
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::section::Section;

/// How x runs over a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Ease {
    Even,
    Front,
    Rear,
    Both,
}

/// From one break of the lines to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stretch {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) ease: Ease,
}

impl Stretch {
    /// The station at a share of the stretch.
    pub(crate) fn x(&self, share: f64) -> f64 {
        let eased = match self.ease {
            Ease::Even => share,
            Ease::Front => share * share,
            Ease::Rear => 1.0 - (1.0 - share) * (1.0 - share),
            Ease::Both => share * share * (3.0 - 2.0 * share),
        };
        self.from + (self.to - self.from) * eased
    }
}

/// A loft less a coat.
pub(crate) struct Body<'a> {
    pub(crate) loft: &'a Loft,
    pub(crate) taken_off: f64,
    pub(crate) runs: Vec<(Half, usize)>,
    pub(crate) stretches: Vec<Stretch>,
}

/// Normals of two sheets that differ by less than this (the square of an angle) belong to one smooth surface.
const SMOOTH: f64 = 1e-8;

/// One station, read at many places.
pub(crate) struct Row<'a> {
    body: &'a Body<'a>,
    section: Section<'a>,
    /// For every run, the change of fraction at its start and at its end by which it is carried on or held back, and what then
    /// is missing there to the neighbour.
    edges: Vec<[(f64, Vector); 2]>,
}

impl<'a> Body<'a> {
    /// Between two stations; `None` where there is nothing between them.
    pub(crate) fn new(loft: &'a Loft, taken_off: f64, (from, to): (f64, f64)) -> Option<Self> {
        let lines = loft.lines();
        let all = [&lines.crown, &lines.keel, &lines.breadth, &lines.breadth_height];
        let mut breaks: Vec<f64> =
            all.iter().flat_map(|l| l.breaks()).filter(|x| *x > from && *x < to).chain([from, to]).collect();
        breaks.sort_by(f64::total_cmp);
        let least = 1e-6 * (to - from);
        breaks.dedup_by(|b, a| *b - *a < least);
        let upright = |front: bool| {
            let (low, high) = loft.x_range();
            let at_end = if front { from <= low } else { to >= high };
            at_end && all[..3].iter().any(|l| l.is_upright(front))
        };
        let last = breaks.len().checked_sub(2)?;
        let ease = |k: usize| match (k == 0 && upright(true), k == last && upright(false)) {
            (true, true) => Ease::Both,
            (true, false) => Ease::Front,
            (false, true) => Ease::Rear,
            (false, false) => Ease::Even,
        };
        let stretches =
            breaks.windows(2).enumerate().map(|(k, w)| Stretch { from: w[0], to: w[1], ease: ease(k) }).collect();
        let runs = loft.section(0.5 * (from + to))?.runs().collect();
        Some(Self { loft, taken_off, runs, stretches })
    }

    /// The row at a share of a stretch.
    pub(crate) fn row(&'a self, stretch: usize, share: f64) -> Option<Row<'a>> {
        let s = &self.stretches[stretch];
        // Between stretches just inside, as a line at a corner belongs to one side of it only.
        let inside = |is_end: bool| if is_end { 0.0 } else { 1e-9 * (s.to - s.from) };
        let (low, high) = (s.from + inside(stretch == 0), s.to - inside(stretch + 1 == self.stretches.len()));
        let section = self.loft.section(s.x(share).clamp(low, high))?;
        let mut row = Row { body: self, section, edges: vec![[(0.0, [0.0; 3]); 2]; self.runs.len()] };
        if self.taken_off != 0.0 {
            row.close_creases();
        }
        Some(row)
    }
}

impl Row<'_> {
    /// The place at a fraction of a run, on the starboard half.
    pub(crate) fn place(&self, run: usize, fraction: f64) -> Vector {
        let [(slide0, gap0), (slide1, gap1)] = self.edges[run];
        let p = self.moved(run, fraction + (1.0 - fraction) * slide0 + fraction * slide1);
        add(p, add(times(gap0, 1.0 - fraction), times(gap1, fraction)))
    }

    /// Place, derivative by the fraction and outward unit normal of the finished surface; beyond a run straight on.
    fn surface(&self, run: usize, fraction: f64) -> (Vector, Vector, Vector) {
        let (half, number) = self.body.runs[run];
        let held = fraction.clamp(0.0, 1.0);
        let place = self.section.at(half, number, held);
        let by_fraction = [0.0, place.by_fraction[0], place.by_fraction[1]];
        let p = [self.section.x(), place.p[0], place.p[1]];
        let normal = unit(cross([1.0, place.by_x[0], place.by_x[1]], by_fraction));
        (add(p, times(by_fraction, fraction - held)), by_fraction, normal)
    }

    fn moved(&self, run: usize, fraction: f64) -> Vector {
        let (p, _, normal) = self.surface(run, fraction);
        if self.body.taken_off == 0.0 { p } else { sub(p, times(normal, self.body.taken_off)) }
    }

    fn close_creases(&mut self) {
        let last = self.body.runs.len() - 1;
        let mirrored = |(p, d, n): (Vector, Vector, Vector)| {
            let turn = |v: Vector| [v[0], -v[1], v[2]];
            (turn(p), times(turn(d), -1.0), turn(n))
        };
        for edge in 0..=last + 1 {
            let before = if edge > 0 { self.surface(edge - 1, 1.0) } else { mirrored(self.surface(0, 0.0)) };
            let after = if edge <= last { self.surface(edge, 0.0) } else { mirrored(self.surface(last, 1.0)) };
            let bend = sub(after.2, before.2);
            if dot(bend, bend) <= SMOOTH {
                continue;
            }
            let t = self.body.taken_off;
            let meet = sub(before.0, times(add(before.2, after.2), t / (1.0 + dot(before.2, after.2))));
            let slide = |(p, d, n): (Vector, Vector, Vector)| {
                dot(sub(meet, sub(p, times(n, t))), d) / dot(d, d).max(f64::MIN_POSITIVE)
            };
            if edge > 0 {
                self.edges[edge - 1][1].0 = slide(before).clamp(-0.4, 0.4);
            }
            if edge <= last {
                self.edges[edge][0].0 = slide(after).clamp(-0.4, 0.4);
            }
            self.close_gap(edge, last);
        }
    }

    /// What two sheets still miss each other by is shared between them.
    fn close_gap(&mut self, edge: usize, last: usize) {
        let before = (edge > 0).then(|| self.moved(edge - 1, 1.0 + self.edges[edge - 1][1].0));
        let after = (edge <= last).then(|| self.moved(edge, self.edges[edge][0].0));
        let meet = match (before, after) {
            (Some(a), Some(b)) => times(add(a, b), 0.5),
            (Some(a), None) | (None, Some(a)) => [a[0], 0.0, a[2]],
            (None, None) => return,
        };
        if let Some(p) = before {
            self.edges[edge - 1][1].1 = sub(meet, p);
        }
        if let Some(p) = after {
            self.edges[edge][0].1 = sub(meet, p);
        }
    }

    /// Outward unit normal of the finished surface.
    pub(crate) fn normal(&self, run: usize, fraction: f64) -> Vector {
        self.surface(run, fraction).2
    }

    /// The middle between crown and keel.
    pub(crate) fn middle(&self) -> Vector {
        [self.section.x(), 0.0, 0.5 * (self.section.crown() + self.section.keel())]
    }

    /// Whether the section is no more than a point.
    pub(crate) fn is_point(&self) -> bool {
        let s = &self.section;
        s.breadth().abs().max((s.crown() - s.keel()).abs()) < 1e-6
    }
}
