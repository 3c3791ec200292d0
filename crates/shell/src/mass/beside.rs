//! A skin of which only what lies on one side of some lines is kept: an added form's, without what is sunk in the first form.
//!
//! Along every section the skin is summed from line to line; along the body between the places where a line turns back, with the
//! station running with the square of the variable there, so that what begins or ends with the root of the distance costs no accuracy.
//! Lines are followed from place to place straight in the loft's own parameters: they are as near as their chords.

use super::surface::{Element, PartOfRun, Row, ShellSurface, for_nodes};
use form::seen::Spot;
use form::space::Vector;
use geometry::control::Half;
use geometry::section::Section;
use project::photograph::Side;
use std::fmt::{Debug, Formatter};

/// Turning places nearer together than this are one, mm.
const APART: f64 = 0.5;

/// Lines on a skin, and what of it is kept between them.
#[derive(Clone)]
pub(crate) struct Beside<'a> {
    /// Which runs there are, from the crown to the keel.
    runs: Vec<(Half, usize)>,
    /// Of each side, starboard first, pieces of lines: station, and how far round from the crown in runs.
    pieces: [Vec<[[f64; 2]; 2]>; 2],
    keeps: &'a dyn Fn(Vector) -> bool,
}

impl Debug for Beside<'_> {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        write!(f, "Beside({} and {} pieces)", self.pieces[0].len(), self.pieces[1].len())
    }
}

impl<'a> Beside<'a> {
    /// Of lines through places of the skin; of a closed one the first place stands at its end once more. `keeps` tells whether a place
    /// of the skin is kept; it is asked far from the lines only. Gives the stations at which lines begin, end and turn back too.
    pub(crate) fn new(
        section: &Section<'_>,
        lines: &[Vec<Spot>],
        keeps: &'a dyn Fn(Vector) -> bool,
    ) -> (Self, Vec<f64>) {
        let mut made = Self { runs: section.runs().collect(), pieces: [Vec::new(), Vec::new()], keeps };
        let mut breaks = Vec::new();
        for line in lines {
            line.windows(2).for_each(|w| made.add(&w[0], &w[1]));
            breaks.extend(turns(line));
        }
        breaks.sort_by(f64::total_cmp);
        breaks.dedup_by(|b, a| *b - *a < APART);
        (made, breaks)
    }

    fn round(&self, spot: &Spot) -> f64 {
        let run = self.runs.iter().position(|run| *run == (spot.half, spot.run)).unwrap_or(0);
        run as f64 + spot.fraction
    }

    fn add(&mut self, a: &Spot, b: &Spot) {
        let [p, q] = [a, b].map(|spot| [spot.x, self.round(spot)]);
        if a.side == b.side {
            self.pieces[side(a)].push([p, q]);
            return;
        }
        // Over the crown or over the keel, whichever is nearer.
        let whole = self.runs.len() as f64;
        let over = if p[1] + q[1] < whole { 0.0 } else { whole };
        let (before, behind) = ((p[1] - over).abs(), (q[1] - over).abs());
        let share = if before + behind > 0.0 { before / (before + behind) } else { 0.5 };
        let middle = [p[0] + share * (q[0] - p[0]), over];
        self.pieces[side(a)].push([p, middle]);
        self.pieces[side(b)].push([middle, q]);
    }

    /// What is kept of a section on one side, as stretches round from the crown in runs.
    fn kept(&self, section: &Section<'_>, starboard: bool) -> Vec<[f64; 2]> {
        let x = section.x();
        let pieces = &self.pieces[usize::from(!starboard)];
        let crossed = pieces.iter().filter(|[p, q]| (p[0] > x) != (q[0] > x));
        let mut ends: Vec<f64> = crossed.map(|[p, q]| p[1] + (x - p[0]) / (q[0] - p[0]) * (q[1] - p[1])).collect();
        ends.extend([0.0, self.runs.len() as f64]);
        ends.sort_by(f64::total_cmp);
        let all: Vec<[f64; 2]> = ends.windows(2).map(|w| [w[0], w[1]]).collect();
        let width = |i: &usize| all[*i][1] - all[*i][0];
        let Some(widest) = (0..all.len()).max_by(|a, b| width(a).total_cmp(&width(b))) else { return Vec::new() };
        let there = self.place(section, 0.5 * (all[widest][0] + all[widest][1]), starboard);
        let first = (self.keeps)(there) == (widest % 2 == 0);
        all.into_iter().enumerate().filter(|(i, _)| (i % 2 == 0) == first).map(|(_, stretch)| stretch).collect()
    }

    fn place(&self, section: &Section<'_>, round: f64, starboard: bool) -> Vector {
        let run = (round as usize).min(self.runs.len() - 1);
        let (half, k) = self.runs[run];
        let [y, z] = section.at(half, k, round - run as f64).p;
        [section.x(), if starboard { y } else { -y }, z]
    }

    /// Every element that is kept of rows.
    pub(super) fn each(&self, rows: &[Row<'_>], parts: &[PartOfRun], visit: &mut impl FnMut(&Element)) {
        for (row, starboard) in rows.iter().flat_map(|row| [(row, true), (row, false)]) {
            for [from, to] in self.kept(row.section(), starboard) {
                for part in parts {
                    let run = self.runs.iter().position(|run| *run == (part.0, part.1)).unwrap_or(0) as f64;
                    let (low, high) = ((from - run).max(part.2), (to - run).min(part.3));
                    if low >= high {
                        continue;
                    }
                    for_nodes(low, high, &mut |fraction, weight| {
                        let element = row.element(*part, (fraction, weight));
                        visit(&if starboard { element } else { element.mirrored() });
                    });
                }
            }
        }
    }
}

fn side(spot: &Spot) -> usize {
    usize::from(spot.side == Side::Port)
}

/// Stations at which a line begins, ends, or turns back.
fn turns(line: &[Spot]) -> Vec<f64> {
    let mut out: Vec<f64> = line.first().into_iter().chain(line.last()).map(|spot| spot.x).collect();
    let (mut way, mut far) = (0.0_f64, out.first().copied().unwrap_or_default());
    for spot in line {
        let step = spot.x - far;
        if step * way < 0.0 && step.abs() > APART {
            out.push(far);
        }
        if step * way >= 0.0 || step.abs() > APART {
            (way, far) = (if step == 0.0 { way } else { step }, spot.x);
        }
    }
    out
}

impl<'a> ShellSurface<'a> {
    /// The surface of a form's skin between its ends, and of it only what is kept beside lines on it. Places of the lines are the
    /// skin's own; of a closed line the first stands at its end once more. `keeps` tells whether a place, far from the lines, is kept.
    /// Areas are as near as the lines' chords, times their length.
    pub fn beside(loft: &'a geometry::loft::Loft, lines: &[Vec<Spot>], keeps: &'a dyn Fn(Vector) -> bool) -> Self {
        let open =
            crate::drape::Cover { front: crate::drape::End::Open(0.0), rear: crate::drape::End::Open(0.0), trim: None };
        let mut surface = Self::new(loft, &open);
        if let Some(section) = loft.section(loft.x_range().0) {
            let (beside, breaks) = Beside::new(&section, lines, keeps);
            surface.keep_beside(beside, &breaks);
        }
        surface
    }
}
