//! The band around a solved section or line: one standard deviation to either side, and how much of it the photographs say.

use desk::photographs::Solved;
use geometry::loft::Loft;
use project::document::LineName;
use sight::sketch::Function;
use sight::solution::{Grade, HeightRow};

/// Heights of a section at which its band is asked for.
const HEIGHTS: usize = 29;
/// How near the drawn lines keep to the curves, mm.
const DRAWN: f64 = 0.02;

/// A curve with its band; half sections run from crown to keel as (half-breadth, height), lines as (x, value).
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Ribbon {
    /// As drawn before the solve.
    pub(crate) before: Vec<[f64; 2]>,
    /// As solved.
    pub(crate) after: Vec<BandPlace>,
}

/// A place of the solved curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BandPlace {
    pub(crate) at: [f64; 2],
    /// Which way the band reaches: of length 1, outward or upward.
    pub(crate) way: [f64; 2],
    /// One standard deviation that way, mm.
    pub(crate) sigma: f64,
    pub(crate) grade: Grade,
}

impl BandPlace {
    /// The place so many deviations out.
    pub(crate) fn off(&self, deviations: f64) -> [f64; 2] {
        [0, 1].map(|i| self.at[i] + deviations * self.sigma * self.way[i])
    }
}

/// The section at a station, if both forms have one there.
pub(crate) fn section(solved: &Solved, [before, after]: [&Loft; 2], x: f64) -> Option<Ribbon> {
    let rows = solved.solution.section(x, HEIGHTS)?.rows;
    let before = before.section(x)?.polyline(DRAWN);
    Some(Ribbon { before, after: banded(&after.section(x)?.polyline(DRAWN), &rows) })
}

/// One of the lines that were solved; `None` for one that was known.
pub(crate) fn line(solved: &Solved, [before, after]: [&form::Lofted; 2], name: LineName) -> Option<Ribbon> {
    let function = match name {
        LineName::Breadth => Function::Breadth,
        LineName::BreadthHeight => Function::BreadthHeight,
        LineName::Crown | LineName::Keel => return None,
    };
    let model = &solved.solution.task().model;
    if !model.functions().contains(&function) {
        return None;
    }
    let place = |at: &[f64; 2]| {
        let trust = solved.solution.trust(at[0]).into_iter().find(|t| t.function == function);
        // Towards ends that are given nothing is sought, and nothing is in doubt.
        let (sigma, grade) = trust.map_or((0.0, Grade::Measured), |t| {
            let share = t.prior_sigma / model.priors().of(function);
            (t.sigma.hypot(share * solved.solution.misfit()), t.grade())
        });
        BandPlace { at: *at, way: [0.0, 1.0], sigma, grade }
    };
    let after = after.line(name)?.polyline(DRAWN);
    Some(Ribbon { before: before.line(name)?.polyline(DRAWN), after: after.iter().map(place).collect() })
}

/// What is known of the band at one length along a section.
#[derive(Clone, Copy)]
struct Knot {
    along: f64,
    sigma: f64,
    grade: Grade,
}

/// A half section with its band square to it. Crown and keel are known: there it has none.
///
/// A half-breadth that is unsure by s at a fixed height is a curve unsure by s times the normal's share of y.
fn banded(outline: &[[f64; 2]], rows: &[HeightRow]) -> Vec<BandPlace> {
    let along = lengths(outline);
    let mut knots: Vec<Knot> = rows.iter().rev().filter_map(|row| knot(outline, &along, row)).collect();
    let grade = |knot: Option<&Knot>| knot.map_or(Grade::Guessed, |k| k.grade);
    let (first, last) = (grade(knots.first()), grade(knots.last()));
    knots.insert(0, Knot { along: 0.0, sigma: 0.0, grade: first });
    knots.push(Knot { along: along.last().copied().unwrap_or(0.0), sigma: 0.0, grade: last });
    let place = |i: usize| {
        let (sigma, grade) = read(&knots, along[i]);
        BandPlace { at: outline[i], way: outward(outline, i), sigma, grade }
    };
    (0..outline.len()).map(place).collect()
}

fn lengths(outline: &[[f64; 2]]) -> Vec<f64> {
    let mut sum = 0.0;
    let steps = outline.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]));
    let mut out = vec![0.0];
    out.extend(steps.map(|step| {
        sum += step;
        sum
    }));
    out
}

/// Where the outline passes a row's height, and the band square to it there.
fn knot(outline: &[[f64; 2]], along: &[f64], row: &HeightRow) -> Option<Knot> {
    let i = outline.windows(2).position(|w| w[0][1] >= row.z && w[1][1] < row.z)?;
    let (a, b) = (outline[i], outline[i + 1]);
    let t = (a[1] - row.z) / (a[1] - b[1]);
    let step = along[i + 1] - along[i];
    let upright = (a[1] - b[1]) / step.max(1e-12);
    let grade = Grade::of(row.sigma / row.prior_sigma);
    Some(Knot { along: along[i] + t * step, sigma: row.sigma * upright, grade })
}

fn read(knots: &[Knot], along: f64) -> (f64, Grade) {
    let behind = knots.partition_point(|k| k.along < along).clamp(1, knots.len() - 1);
    let (a, b) = (knots[behind - 1], knots[behind]);
    let t = ((along - a.along) / (b.along - a.along).max(1e-12)).clamp(0.0, 1.0);
    (a.sigma + t * (b.sigma - a.sigma), if t < 0.5 { a.grade } else { b.grade })
}

/// Square to the outline, away from the middle: it runs from the crown over the breadth to the keel.
fn outward(outline: &[[f64; 2]], i: usize) -> [f64; 2] {
    let (a, b) = (outline[i.saturating_sub(1)], outline[(i + 1).min(outline.len() - 1)]);
    let (along, length) = ([b[0] - a[0], b[1] - a[1]], (b[0] - a[0]).hypot(b[1] - a[1]));
    [-along[1] / length.max(1e-12), along[0] / length.max(1e-12)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// Half a circle of radius 50 mm about the origin, from crown to keel.
    fn round() -> Vec<[f64; 2]> {
        (0..=1800).map(|i| f64::from(i) * PI / 1800.0).map(|a| [50.0 * a.sin(), 50.0 * a.cos()]).collect()
    }

    /// A circle whose radius is unsure by 1 mm: at the height z its half-breadth is unsure by r / y, and the ribbon is 1 mm
    /// wide to either side wherever the rows reach.
    #[test]
    fn a_circle_of_unsure_radius_has_a_ribbon_of_even_width() {
        let row = |i: i32| {
            let z = 2.0 * f64::from(i);
            let sigma = 50.0 / (50.0_f64.powi(2) - z * z).sqrt();
            HeightRow { z, before: 0.0, after: 0.0, sigma, prior_sigma: 2.0 * sigma }
        };
        let rows: Vec<HeightRow> = (-22..=22).map(row).collect();
        let ribbon = banded(&round(), &rows);
        for place in ribbon.iter().filter(|p| p.at[1].abs() < 43.0) {
            let radius = |p: [f64; 2]| p[0].hypot(p[1]);
            assert!((radius(place.off(1.0)) - 51.0).abs() < 5e-3, "{place:?}");
            assert!((radius(place.off(-1.0)) - 49.0).abs() < 5e-3, "{place:?}");
            assert_eq!(place.grade, Grade::Partly);
        }
        assert_eq!([ribbon[0].sigma, ribbon[1800].sigma], [0.0, 0.0], "crown and keel are known");
    }

    #[test]
    fn a_section_of_which_nothing_is_told_has_no_band() {
        let ribbon = banded(&round(), &[]);
        assert!(ribbon.iter().all(|p| p.sigma == 0.0 && p.off(1.0) == p.at));
    }
}
