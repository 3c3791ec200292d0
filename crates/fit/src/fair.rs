//! A line that is not fair: it bends a way that no point asks for.
//!
//! ```text
//!             o-----.            The points turn one way only, but between the second and third the line, to be smooth,
//!           .'       '-.         swings out and back: a stretch whose bend no point asks for.
//!          o            o
//! ```
//!
//! A bay of the line (between two neighbouring points) may bend the way in which the polygon of the points turns at either of
//! its ends; at a point with a set slope, or at an upright end, the turn between that direction and the chord counts
//! instead, and a corner asks for nothing. A stretch of one sign of curvature is asked for if some bay it passes through may
//! bend that way. A change of sign to a stretch that is not asked for is told once the stretch stands [`VISIBLE`] mm off its
//! own chord.

use form::{Finding, Part, Severity};
use geometry::line::{CombTooth, Line};
use project::document::{Form, LineEnd, LineName, LinePointKind, MasterLine};

/// A wrong bend that stands off its chord by less than this is not seen, mm.
pub const VISIBLE: f64 = 0.05;
/// A point that lies within this of the chord between its neighbours asks for no bend, mm.
const STRAIGHT: f64 = 0.005;
/// Teeth of the comb in every bay.
const TEETH: usize = 24;

/// A stretch of a line that bends a way no point asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrongBend {
    /// First and last x, mm.
    pub from_to: (f64, f64),
    /// x of the sharpest bend in it.
    pub at: f64,
    /// How far the stretch stands off its chord, mm.
    pub stands_off: f64,
    /// Bends upward (or outward, on the breadth line) where it should not; else downward.
    pub upward: bool,
}

/// All stretches that bend a way no point asks for; `curve` is the curve of `line`.
pub fn wrong_bends(line: &MasterLine, curve: &Line) -> Vec<WrongBend> {
    let demands = demands(line);
    let asked = |stretch: &Stretch| {
        line.points.windows(2).zip(&demands).any(|(w, asked)| {
            let room = 1e-6 * (w[1].x - w[0].x);
            let passes = stretch.from_to.0 < w[1].x - room && stretch.from_to.1 > w[0].x + room;
            passes && asked.contains(&stretch.sign)
        })
    };
    let visible = stretches(line, curve).into_iter().filter(|s| s.stands_off > VISIBLE && !asked(s));
    visible
        .map(|s| WrongBend { from_to: s.from_to, at: s.sharpest, stands_off: s.stands_off, upward: s.sign > 0 })
        .collect()
}

/// For every bay the signs of bend that its two ends ask for; 0 for none.
fn demands(line: &MasterLine) -> Vec<[i8; 2]> {
    let points = &line.points;
    let last = points.len().saturating_sub(2);
    (0..points.len().saturating_sub(1))
        .map(|i| {
            let chord = [points[i + 1].x - points[i].x, points[i + 1].value - points[i].value];
            let rise = if chord[1] > 0.0 { 1.0 } else { -1.0 };
            let start = match points[i].kind {
                LinePointKind::Slope(degrees) => turn(direction(degrees), chord),
                LinePointKind::Corner if i > 0 => 0,
                _ if i == 0 => upright(line.front, [0.0, rise], chord, true),
                _ => polygon_turn(line, i),
            };
            let end = match points[i + 1].kind {
                LinePointKind::Slope(degrees) => turn(chord, direction(degrees)),
                LinePointKind::Corner if i < last => 0,
                _ if i == last => upright(line.rear, [0.0, rise], chord, false),
                _ => polygon_turn(line, i + 1),
            };
            [start, end]
        })
        .collect()
}

fn direction(degrees: f64) -> [f64; 2] {
    let (sin, cos) = degrees.to_radians().sin_cos();
    [cos, sin]
}

fn upright(end: LineEnd, along: [f64; 2], chord: [f64; 2], front: bool) -> i8 {
    match end {
        LineEnd::Upright if front => turn(along, chord),
        LineEnd::Upright => turn(chord, along),
        LineEnd::Free | LineEnd::Natural => 0,
    }
}

/// The way in which the polygon turns at an inner point, as far as it stands off the chord between its neighbours.
fn polygon_turn(line: &MasterLine, i: usize) -> i8 {
    let p = |k: usize| [line.points[k].x, line.points[k].value];
    let (a, b, c) = (p(i - 1), p(i), p(i + 1));
    let off = geometry::flatten::distance_to_chord(b, a, c);
    if off <= STRAIGHT { 0 } else { turn([b[0] - a[0], b[1] - a[1]], [c[0] - b[0], c[1] - b[1]]) }
}

fn turn(a: [f64; 2], b: [f64; 2]) -> i8 {
    let cross = a[0] * b[1] - a[1] * b[0];
    let sine = cross / (a[0].hypot(a[1]) * b[0].hypot(b[1])).max(f64::MIN_POSITIVE);
    if sine.abs() < 1e-6 { 0 } else { sine.signum() as i8 }
}

/// A stretch of one sign of curvature.
struct Stretch {
    from_to: (f64, f64),
    sign: i8,
    sharpest: f64,
    stands_off: f64,
}

fn stretches(line: &MasterLine, curve: &Line) -> Vec<Stretch> {
    let corners: Vec<f64> = line.points.iter().filter(|p| p.kind == LinePointKind::Corner).map(|p| p.x).collect();
    let corner_between = |a: f64, b: f64| corners.iter().any(|c| (a - 1e-9..=b + 1e-9).contains(c));
    let sign = |t: &CombTooth| if t.curvature.abs() < 1e-12 { 0 } else { t.curvature.signum() as i8 };
    let teeth = curve.comb(TEETH);
    let mut groups: Vec<Vec<&CombTooth>> = Vec::new();
    for tooth in teeth.iter().filter(|t| sign(t) != 0) {
        let goes_on = groups
            .last()
            .and_then(|g| g.last())
            .is_some_and(|before| sign(before) == sign(tooth) && !corner_between(before.at[0], tooth.at[0]));
        match groups.last_mut() {
            Some(group) if goes_on => group.push(tooth),
            _ => groups.push(vec![tooth]),
        }
    }
    groups.iter().filter_map(|g| stretch(g, sign(g[0]))).collect()
}

fn stretch(teeth: &[&CombTooth], sign: i8) -> Option<Stretch> {
    let (first, last) = (teeth.first()?, teeth.last()?);
    let off = |t: &&&CombTooth| geometry::flatten::distance_to_chord(t.at, first.at, last.at);
    let stands_off = teeth.iter().map(|t| off(&t)).fold(0.0, f64::max);
    let sharpest = teeth.iter().max_by(|a, b| a.curvature.abs().total_cmp(&b.curvature.abs()))?;
    Some(Stretch { from_to: (first.at[0], last.at[0]), sign, sharpest: sharpest.at[0], stands_off })
}

/// What is found about one line; `index` is the form's in the document, for the edits that are offered.
pub fn findings(name: LineName, form: &Form, index: usize, curve: &Line) -> Vec<Finding> {
    let bends = wrong_bends(form.lines.get(name), curve);
    let tell = |bend: &WrongBend| {
        let way = match (name, bend.upward) {
            (LineName::Breadth, true) => "hollow",
            (LineName::Breadth, false) => "round",
            (_, true) => "upward",
            (_, false) => "downward",
        };
        let what = format!(
            "The {} line is not fair: from {:.1} to {:.1} mm it bends {way}, which no point asks for.",
            name.label().to_lowercase(),
            bend.from_to.0,
            bend.from_to.1
        );
        let hint = "Move the points there a little until the comb keeps its side, or remove one of them.";
        let finding = Finding::new(Severity::Warning, Part::Line(name), what, hint).at_station(bend.at);
        let finding = finding.with(bend.stands_off, VISIBLE, "mm");
        finding.mended_by(crate::smooth::mend(form, index, name, bend, bends.len()))
    };
    bends.iter().map(tell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{free, master};
    use proptest::prelude::*;
    use std::sync::Arc;

    fn bends(line: &MasterLine) -> Vec<WrongBend> {
        wrong_bends(line, &form::line(line).unwrap())
    }

    #[test]
    fn a_crown_that_rises_and_levels_off_is_fair() {
        assert_eq!(bends(&free(&[[0.0, 50.0], [80.0, 80.0], [160.0, 95.0], [240.0, 100.0]])), []);
    }

    #[test]
    fn an_end_that_swings_up_is_told() {
        let found = bends(&free(&[[0.0, 50.0], [60.0, 80.0], [140.0, 95.0], [240.0, 100.0]]));
        assert!(found.len() == 1 && found[0].upward && found[0].from_to.1 == 240.0, "{found:?}");
    }

    #[test]
    fn an_inflection_that_the_points_ask_for_is_fair() {
        assert_eq!(bends(&free(&[[0.0, 0.0], [50.0, 5.0], [100.0, 30.0], [150.0, 55.0], [200.0, 60.0]])), []);
    }

    #[test]
    fn a_step_makes_the_spline_swing_and_is_told_where() {
        let line = free(&[[0.0, 50.0], [60.0, 50.0], [120.0, 50.0], [125.0, 60.0], [240.0, 60.0]]);
        let found = bends(&line);
        assert!(!found.is_empty());
        assert!(found.iter().any(|b| b.from_to.0 < 120.0 && b.stands_off > 0.5), "{found:?}");
    }

    #[test]
    fn a_corner_breaks_the_line_without_being_unfair() {
        let mut line = free(&[[0.0, 50.0], [60.0, 70.0], [120.0, 60.0], [240.0, 20.0]]);
        Arc::make_mut(&mut line).points[1].kind = LinePointKind::Corner;
        assert_eq!(bends(&line), []);
    }

    #[test]
    fn an_upright_nose_is_fair() {
        let line = master(&[[0.0, 0.0], [20.0, 40.0], [80.0, 60.0], [200.0, 65.0]], LineEnd::Upright, LineEnd::Free);
        assert_eq!(bends(&line), []);
    }

    #[test]
    fn a_slope_set_against_the_chord_asks_for_its_bend() {
        let mut line = free(&[[0.0, 50.0], [100.0, 60.0], [200.0, 70.0]]);
        Arc::make_mut(&mut line).points[1].kind = LinePointKind::Slope(-20.0);
        assert_eq!(bends(&line), []);
    }

    proptest! {
        /// A polygon with evenly spaced points on a circle's arc is fair however it is placed.
        #[test]
        fn points_of_an_arc_are_fair(r in 100.0..2000.0_f64, n in 3_usize..12, z in -50.0..50.0_f64, up in prop::bool::ANY) {
            let side = if up { 1.0 } else { -1.0 };
            let points: Vec<[f64; 2]> = (0..n).map(|i| {
                let a = (i as f64 / (n - 1) as f64 - 0.5) * 1.6;
                [r * a.sin(), z + side * r * a.cos()]
            }).collect();
            prop_assert_eq!(bends(&free(&points)), vec![]);
        }
    }
}
