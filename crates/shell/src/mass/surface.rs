//! The shell's own surface, read for integrals.
//!
//! The finished skin is read where Gauss quadrature asks for it, between all places where it is only piecewise smooth; towards the
//! two ends the station runs with the square of the variable, so that a blunt point costs no accuracy (as `geometry::body` does).
//! A layer that lies at some depth under the skin has the skin's normals; its area is the skin's times (1 - d k1)(1 - d k2), with the
//! principal curvatures k (J. Steiner's formula for parallel surfaces), which are differences of the true normals.

use super::beside::Beside;
use crate::drape::{Cover, End};
use form::shaft::RingTrim;
use form::space::{Vector, cross, dot, sub, times};
use geometry::control::Half;
use geometry::loft::Loft;
use geometry::quadrature::gauss5;
use geometry::section::Section;

/// A small piece of the finished skin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Element {
    /// Its place, mm.
    pub p: Vector,
    /// Its unit normal, outward.
    pub n: Vector,
    /// Its area, mm².
    pub area: f64,
    /// Sum of the principal curvatures, 1/mm; positive where it bulges outward.
    pub curvature_sum: f64,
    /// Their product, 1/mm².
    pub curvature_product: f64,
}

impl Element {
    /// Place and area of the layer at a depth under it, mm; no area where the depth exceeds a radius.
    pub fn at_depth(&self, depth: f64) -> (Vector, f64) {
        let factor = 1.0 - depth * (self.curvature_sum - depth * self.curvature_product);
        (sub(self.p, times(self.n, depth)), self.area * factor.max(0.0))
    }

    /// Volume between it and that depth, mm³.
    pub fn volume_to(&self, depth: f64) -> f64 {
        self.area * depth * (1.0 - depth * (self.curvature_sum / 2.0 - depth * self.curvature_product / 3.0))
    }

    pub(super) fn mirrored(&self) -> Self {
        let across = |v: Vector| [v[0], -v[1], v[2]];
        Self { p: across(self.p), n: across(self.n), ..*self }
    }
}

/// The surface of a shell: the loft between its ends, less what a ring plane cuts off.
#[derive(Clone, Debug)]
pub struct ShellSurface<'a> {
    loft: &'a Loft,
    cover: Cover,
    stretches: Vec<Stretch>,
    /// Lines on it, where only what lies on one side of them belongs to it.
    beside: Option<Beside<'a>>,
}

/// A place of the skin with its derivatives by station and by fraction of the run.
#[derive(Clone, Copy)]
pub(crate) struct Read {
    pub(crate) p: Vector,
    pub(crate) n: Vector,
    pub(crate) by_x: Vector,
    pub(crate) by_fraction: Vector,
}

pub(crate) fn read(section: &Section<'_>, half: Half, run: usize, fraction: f64) -> Read {
    let place = section.at(half, run, fraction);
    let by_x = [1.0, place.by_x[0], place.by_x[1]];
    let by_fraction = [0.0, place.by_fraction[0], place.by_fraction[1]];
    let n = cross(by_x, by_fraction);
    let length = dot(n, n).sqrt();
    let n = if length > 0.0 { times(n, 1.0 / length) } else { [0.0; 3] };
    Read { p: [section.x(), place.p[0], place.p[1]], n, by_x, by_fraction }
}

/// A stretch of stations over which the skin is smooth, and the variable along it from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stretch {
    a: f64,
    b: f64,
    /// Whether x stands still at either end.
    ease: [bool; 2],
}

impl Stretch {
    /// Station, and its change with the variable.
    pub(crate) fn at(&self, w: f64) -> (f64, f64) {
        let h = self.b - self.a;
        match self.ease {
            [true, true] => (self.a + h * w * w * (3.0 - 2.0 * w), 6.0 * h * w * (1.0 - w)),
            [true, false] => (self.a + h * w * w, 2.0 * h * w),
            [false, true] => (self.b - h * (1.0 - w) * (1.0 - w), 2.0 * h * (1.0 - w)),
            [false, false] => (self.a + h * w, h),
        }
    }

    /// The variable at a station, held between 0 and 1.
    fn variable(&self, x: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        if x <= self.a {
            return 0.0;
        }
        if x >= self.b {
            return 1.0;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.at(middle).0 < x { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }

    pub(crate) fn length(&self) -> f64 {
        self.b - self.a
    }
}

/// The smooth stretches of a loft.
pub(crate) fn stretches(loft: &Loft) -> Vec<Stretch> {
    let breaks = loft.x_breaks();
    let last = breaks.len().saturating_sub(2);
    breaks.windows(2).enumerate().map(|(i, w)| Stretch { a: w[0], b: w[1], ease: [i == 0, i == last] }).collect()
}

/// Pieces into which each stretch, and each smooth part of a run, is divided for the five-point rule.
const PIECES: u32 = 2;
/// Step of the variables for differences of normals.
const STEP: f64 = 1e-4;

/// Sections about one quadrature node along the body.
pub(super) struct Row<'a> {
    /// Weight times the change of the station.
    weight: f64,
    /// From the first to the last of the sections, mm.
    apart: f64,
    sections: [Section<'a>; 3],
}

/// A smooth part of a run of the half section.
pub(super) type PartOfRun = (Half, usize, f64, f64);

impl<'a> ShellSurface<'a> {
    /// The surface of the shell that covers so much of a loft; allowances of the cover do not count.
    pub fn new(loft: &'a Loft, cover: &Cover) -> Self {
        Self { loft, cover: *cover, stretches: stretches(loft), beside: None }
    }

    /// Of it only what is kept beside lines, which begin, end and turn back at these stations.
    pub(super) fn keep_beside(&mut self, beside: Beside<'a>, breaks: &[f64]) {
        let (low, high) = self.loft.x_range();
        let mut all = self.loft.x_breaks();
        all.extend(breaks.iter().copied().filter(|x| *x > low && *x < high));
        all.sort_by(f64::total_cmp);
        all.dedup_by(|b, a| *b - *a < 1e-6);
        self.stretches = all.windows(2).map(|w| Stretch { a: w[0], b: w[1], ease: [true; 2] }).collect();
        self.beside = Some(beside);
    }

    /// The loft.
    pub fn loft(&self) -> &'a Loft {
        self.loft
    }

    /// The plane that trims the front.
    pub(crate) fn trim(&self) -> Option<RingTrim> {
        if matches!(self.cover.front, End::Open(_)) { self.cover.trim } else { None }
    }

    /// Stations of flat ends that the shell is closed over, each with whether it is the front.
    pub(crate) fn faces(&self) -> impl Iterator<Item = (f64, bool)> {
        let (front, rear) = self.loft.x_range();
        let closed = |end: End| end == End::Closed;
        let ends = [(closed(self.cover.front), front, true), (closed(self.cover.rear), rear, false)];
        ends.into_iter().filter(|end| end.0).map(|(_, x, is_front)| (x, is_front))
    }

    /// Every element between two stations, both halves; flat faces are not among them. Integrals over smooth forms come out within
    /// some 1e-6 of their value, those that a ring plane cuts within 1e-4.
    pub fn each(&self, (from, to): (f64, f64), mut visit: impl FnMut(&Element)) {
        let Some(first) = self.loft.section(self.loft.x_range().0) else { return };
        let parts: Vec<PartOfRun> = first
            .runs()
            .flat_map(|(half, run)| {
                let breaks = first.run_breaks(half, run);
                breaks.windows(2).map(move |w| (half, run, w[0], w[1])).collect::<Vec<_>>()
            })
            .collect();
        let whole: Vec<Vec<Row<'a>>> = self.stretches.iter().map(|s| self.rows(s, from, to)).collect();
        if let Some(beside) = &self.beside {
            whole.iter().for_each(|rows| beside.each(rows, &parts, &mut visit));
            return;
        }
        for part in parts {
            for_nodes(part.2, part.3, &mut |fraction, weight| {
                self.along(&whole, (from, to), part, (fraction, weight), &mut visit);
            });
        }
    }

    /// The elements of one strand, on both sides.
    fn along(
        &self,
        whole: &[Vec<Row<'a>>],
        (from, to): (f64, f64),
        part: PartOfRun,
        node: (f64, f64),
        visit: &mut impl FnMut(&Element),
    ) {
        let Some(trim) = self.trim() else {
            for row in whole.iter().flatten() {
                let element = row.element(part, node);
                visit(&element);
                visit(&element.mirrored());
            }
            return;
        };
        for starboard in [true, false] {
            let side = |e: Element| if starboard { e } else { e.mirrored() };
            let Some(cut) = self.trimmed(&trim, starboard, part, node.0) else { continue };
            for (stretch, rows) in self.stretches.iter().zip(whole) {
                if cut <= stretch.a {
                    rows.iter().for_each(|row| visit(&side(row.element(part, node))));
                } else if cut < stretch.b {
                    let rows = self.rows(stretch, from.max(cut), to);
                    rows.iter().for_each(|row| visit(&side(row.element(part, node))));
                }
            }
        }
    }

    /// The station at which a strand comes out of the ring's plane; `None` where all of it is cut off.
    fn trimmed(&self, trim: &RingTrim, starboard: bool, part: PartOfRun, fraction: f64) -> Option<f64> {
        let ahead = |x: f64| {
            let section = self.loft.section(x)?;
            let [y, z] = section.at(part.0, part.1, fraction).p;
            Some(trim.ahead([x, if starboard { y } else { -y }, z]))
        };
        let front = self.loft.x_range().0;
        if ahead(front)? <= 0.0 {
            return Some(front);
        }
        let stretch = self.stretches.iter().find(|s| ahead(s.b).is_some_and(|a| a <= 0.0))?;
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if ahead(stretch.at(middle).0)? > 0.0 { low = middle } else { high = middle }
        }
        Some(stretch.at(0.5 * (low + high)).0)
    }

    fn rows(&self, stretch: &Stretch, from: f64, to: f64) -> Vec<Row<'a>> {
        let (low, high) = (stretch.variable(from), stretch.variable(to));
        let mut rows = Vec::new();
        if high - low < 1e-12 {
            return rows;
        }
        for_nodes(low, high, &mut |w, weight| {
            let (_, by_w) = stretch.at(w);
            let step = STEP * (high - low);
            let at = |w: f64| self.loft.section(stretch.at(w).0);
            if let (Some(before), Some(here), Some(behind)) = (at(w - step), at(w), at(w + step)) {
                let apart = behind.x() - before.x();
                rows.push(Row { weight: weight * by_w, apart, sections: [before, here, behind] });
            }
        });
        rows
    }
}

impl<'a> Row<'a> {
    /// The section at the node itself.
    pub(super) fn section(&self) -> &Section<'a> {
        &self.sections[1]
    }

    pub(super) fn element(&self, (half, run, f0, f1): PartOfRun, (fraction, weight): (f64, f64)) -> Element {
        let here = read(&self.sections[1], half, run, fraction);
        let step = STEP * (f1 - f0);
        let beside = |f: f64| read(&self.sections[1], half, run, f).n;
        let n_f = times(sub(beside(fraction + step), beside(fraction - step)), 0.5 / step);
        let along = |k: usize| read(&self.sections[k], half, run, fraction).n;
        let n_x = if self.apart > 0.0 { times(sub(along(2), along(0)), 1.0 / self.apart) } else { [0.0; 3] };
        let size = dot(here.n, cross(here.by_x, here.by_fraction));
        let sum = dot(here.n, cross(n_x, here.by_fraction)) + dot(here.n, cross(here.by_x, n_f));
        let product = dot(here.n, cross(n_x, n_f));
        let per = |v: f64| if size > 0.0 { v / size } else { 0.0 };
        Element {
            p: here.p,
            n: here.n,
            area: weight * self.weight * size,
            curvature_sum: per(sum),
            curvature_product: per(product),
        }
    }
}

/// Every node of the five-point rule over the pieces of a range, with its weight.
pub(super) fn for_nodes(low: f64, high: f64, visit: &mut impl FnMut(f64, f64)) {
    let h = (high - low) / f64::from(PIECES);
    for piece in 0..PIECES {
        for (t, weight) in &gauss5().nodes {
            visit(low + h * (f64::from(piece) + t), weight * h);
        }
    }
}
