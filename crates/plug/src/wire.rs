//! What a hot wire follows on the two faces of a block: the outlines with the sanding allowance, and marks round them that belong
//! together, so that two hands, or a machine, reach the same mark at the same time.

use crate::region::{Point, Region};

/// The curves of a block's two faces, each from its upper to its lower end, y to starboard, z up, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct WirePath {
    /// What is left of the block's front face, with the sanding allowance.
    pub front: Region,
    /// The same of its rear face.
    pub rear: Region,
    /// Marks along the front face's curve, the first at its upper end.
    pub front_marks: Vec<Point>,
    /// The marks of the rear face that belong to them, one each.
    pub rear_marks: Vec<Point>,
}

/// Marks divide the stretch above the widest place, and that below it, into so many equal parts.
const PARTS: usize = 8;
/// A stretch shorter than this has no marks of its own, mm.
const SHORT: f64 = 2.0;

/// The path between two faces that lie in one window; `None` where one of them has no edge outside the window's own.
pub(crate) fn path(front: Region, rear: Region, window: &Window) -> Option<WirePath> {
    let (a, b) = (curve(&front, window)?, curve(&rear, window)?);
    let (at_a, at_b) = (widest(&a), widest(&b));
    let lengths = [&a[..=at_a], &a[at_a..], &b[..=at_b], &b[at_b..]].map(length);
    // Where one face is widest at an end, both are divided in one go.
    let divided = lengths.iter().all(|l| *l > SHORT);
    let marks = |curve: &[Point], at: usize| {
        if divided {
            let mut all = evenly(&curve[..=at], PARTS);
            all.pop();
            all.extend(evenly(&curve[at..], PARTS));
            all
        } else {
            evenly(curve, 2 * PARTS)
        }
    };
    let (front_marks, rear_marks) = (marks(&a, at_a), marks(&b, at_b));
    Some(WirePath { front, rear, front_marks, rear_marks })
}

/// The part of a cross plane that a block may fill, by its straight edges: |y| from `inner`, z between the two heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Window {
    pub(crate) inner: f64,
    pub(crate) heights: (f64, f64),
}

impl Window {
    fn has_on_edge(&self, p: Point) -> bool {
        const ON: f64 = 1e-6;
        (p[0].abs() - self.inner).abs() < ON || (p[1] - self.heights.0).abs() < ON || (p[1] - self.heights.1).abs() < ON
    }
}

/// The longest stretch of a region's outline off the window's edges, from its upper to its lower end.
fn curve(region: &Region, window: &Window) -> Option<Vec<Point>> {
    let contour = region.pieces.iter().filter_map(|p| p.first()).max_by(|a, b| a.len().cmp(&b.len()))?;
    let count = contour.len();
    let on = |i: usize| window.has_on_edge(contour[i % count]);
    let start = (0..count).find(|i| on(*i) && !on(i + 1))?;
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut run = vec![contour[start]];
    for i in start + 1..=start + count {
        let p = contour[i % count];
        run.push(p);
        if on(i) {
            if run.len() > 2 {
                runs.push(std::mem::take(&mut run));
            }
            run = vec![p];
        }
    }
    let mut longest = runs.into_iter().max_by(|a, b| length(a).total_cmp(&length(b)))?;
    let ends = (longest.first()?[1], longest.last()?[1]);
    if ends.0 < ends.1 {
        longest.reverse();
    }
    Some(longest)
}

fn widest(curve: &[Point]) -> usize {
    (0..curve.len()).max_by(|a, b| curve[*a][0].abs().total_cmp(&curve[*b][0].abs())).unwrap_or(0)
}

fn length(curve: &[Point]) -> f64 {
    curve.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum()
}

/// Both ends of a curve and the places between them that divide its length into equal parts.
fn evenly(curve: &[Point], parts: usize) -> Vec<Point> {
    let step = length(curve) / parts as f64;
    let mut out = vec![curve[0]];
    let mut walked = 0.0;
    for w in curve.windows(2) {
        let piece = (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]);
        while out.len() < parts && walked + piece >= step * out.len() as f64 && piece > 0.0 {
            let share = (step * out.len() as f64 - walked) / piece;
            out.push([0, 1].map(|k| w[0][k] + share * (w[1][k] - w[0][k])));
        }
        walked += piece;
    }
    out.push(curve[curve.len() - 1]);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed form: on a half disc the marks stand at equal angles, and on a larger one at the same angles.
    #[test]
    fn marks_of_two_round_faces_stand_at_the_same_angles() {
        let half =
            |r: f64| Region::disc([0.0, 0.0], r, 1e-4).intersection(&Region::rectangle([1.0, -99.0], [99.0, 99.0]));
        let window = Window { inner: 1.0, heights: (-99.0, 99.0) };
        let path = path(half(30.0), half(50.0), &window).unwrap();
        assert_eq!((path.front_marks.len(), path.rear_marks.len()), (17, 17));
        for (marks, r) in [(&path.front_marks, 30.0_f64), (&path.rear_marks, 50.0)] {
            let end = (1.0 / r).asin();
            for (i, p) in marks.iter().enumerate() {
                let angle = end + (std::f64::consts::FRAC_PI_2 - end) * i as f64 / 8.0;
                let exact = [r * angle.sin(), r * angle.cos()];
                assert!((p[0] - exact[0]).hypot(p[1] - exact[1]) < 0.01, "{i}: {p:?} against {exact:?}");
            }
        }
    }
}
