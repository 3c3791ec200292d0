//! The surface within an outline that leaves the form or steps on it, by strips.
//!
//! The surface is cut into strips along control lines. Of each the part inside the outline is found, its ends by Newton's method
//! against the outline itself, and summed up; then over the strips. Where their ends change kind (at marks, and where the outline turns
//! back in the fraction or ends) the sum begins anew, in a variable that takes the square roots there.

use super::changes::{Change, changes};
use super::strip::{Body, Cell, Sum, add_share};
use crate::openings::hole::Hole;
use crate::openings::target::Target;
use geometry::quadrature::settled;
use geometry::section::Section;
use project::opening::Seen;
use project::photograph::Side;
use std::f64::consts::FRAC_PI_2;

/// Chords along a strip within the hole's own stations, and over the rest of the body.
const NEAR_CHORDS: usize = 20;
const FAR_CHORDS: usize = 16;
/// Two rules agree on a stretch where they differ by less than this share of the outline's area.
const AGREED: f64 = 1e-5;

pub(super) struct Strips<'a> {
    pub(super) hole: &'a Hole,
    pub(super) body: &'a Body<'a>,
    pub(super) sections: Vec<Section<'a>>,
    pub(super) bounds: [[f64; 2]; 2],
}

/// The sum over what the outline shows of the skin: what faces the eye and is met first.
pub(super) fn inside(hole: &Hole, target: &Target<'_>) -> Sum {
    let body = Body::new(target, hole.seen);
    Strips { hole, body: &body, sections: sections(hole, target), bounds: hole.curve.bounds() }.sum()
}

/// Sections by which strips are looked at.
fn sections<'a>(hole: &Hole, target: &Target<'a>) -> Vec<Section<'a>> {
    let loft = target.loft();
    let (low, high) = loft.x_range();
    let bounds = hole.curve.bounds();
    let stations = hole.places().map(|p| p.point[0]);
    let own = stations.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| [a.min(x), b.max(x)]);
    let near = match hole.seen {
        Seen::Ahead if own[0] <= own[1] => own,
        Seen::Ahead => [low, high],
        _ => [bounds[0][0].max(low), bounds[1][0].min(high)],
    };
    let pad = 0.02 * (near[1] - near[0]) + 1e-6;
    let (from, to) = ((near[0] - pad).max(low), (near[1] + pad).min(high));
    let even = |a: f64, b: f64, n: usize| (0..=n).map(move |i| a + (b - a) * i as f64 / n as f64);
    let mut xs: Vec<f64> = even(from, to, NEAR_CHORDS).collect();
    if hole.seen == Seen::Ahead {
        // Denser in front, where the surface may be steep.
        xs.extend(even(0.0, 1.0, FAR_CHORDS).map(|s| low + (high - low) * s * s));
    }
    xs.sort_by(f64::total_cmp);
    xs.dedup_by(|b, a| *b - *a < 1e-9 * (high - low));
    xs.iter().filter_map(|x| loft.section(*x)).collect()
}

/// A share of a stretch, and its slope, that stands still at the ends where the strips' length may go like a root.
fn eased(t: f64, still: [bool; 2]) -> (f64, f64) {
    match still {
        [true, true] => {
            let (sin, cos) = (FRAC_PI_2 * t).sin_cos();
            (sin * sin, 2.0 * FRAC_PI_2 * sin * cos)
        }
        [true, false] => (t * t, 2.0 * t),
        [false, true] => (1.0 - (1.0 - t) * (1.0 - t), 2.0 * (1.0 - t)),
        [false, false] => (t, 1.0),
    }
}

impl Strips<'_> {
    fn sum(&self) -> Sum {
        let mut all = [0.0; 4];
        for cell in self.cells() {
            for w in changes(self, &cell).windows(2) {
                if w[1].at - w[0].at > 1e-9 {
                    self.add_stretch(&cell, [w[0], w[1]], &mut all);
                }
            }
        }
        all
    }

    fn cells(&self) -> Vec<Cell> {
        let sides: &[Side] = match self.hole.seen {
            Seen::Starboard => &[Side::Starboard],
            Seen::Port => &[Side::Port],
            _ => &[Side::Starboard, Side::Port],
        };
        let runs = self.body.target.runs();
        let of = |side: &Side| runs.iter().map(|&(half, run)| Cell { half, run, side: *side }).collect::<Vec<_>>();
        sides.iter().flat_map(of).collect()
    }

    /// Adds the strips between two fractions at which their ends change kind.
    fn add_stretch(&self, cell: &Cell, [from, to]: [Change; 2], all: &mut Sum) {
        let middle = 0.5 * (from.at + to.at);
        let open = self.spans(cell, middle, false);
        if open.is_empty() {
            return;
        }
        // Mostly nothing stands before the strips; then that is not asked of each.
        let careful = self.spans(cell, middle, true) != open;
        let long = to.at - from.at;
        let still = [from.is_root, to.is_root];
        let mut value = |t: f64| {
            let (share, slope) = eased(t, still);
            let fraction = from.at + share * long;
            let strip = self.body.strip(cell, fraction);
            let mut sum = [0.0; 4];
            for [a, b] in self.spans(cell, fraction, careful) {
                add_share(&mut sum, &strip.sum(a, b), slope * long);
            }
            Some(sum)
        };
        if let Some(sum) = settled([0.0, 1.0], AGREED * self.hole.curve.area(), &mut value) {
            add_share(all, &sum, 1.0);
        }
    }
}
