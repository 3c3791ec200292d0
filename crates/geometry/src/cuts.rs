//! Waterlines and buttocks: cuts of the surface by planes of constant height or half-breadth.
//!
//! Fairness is inspected on cuts that were not used to define the shape. Every point of a cut is solved on the surface;
//! between points the curve is followed so closely that chords stay within the tolerance.

use crate::loft::Loft;
use crate::section::Section;

/// The plane of a cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutPlane {
    /// At this height: a waterline; the curve gives half-breadths.
    Waterline(f64),
    /// At this half-breadth: a buttock; the curve gives heights.
    Buttock(f64),
}

impl CutPlane {
    /// The component that is held, and at what.
    fn held(self) -> (usize, f64) {
        match self {
            Self::Waterline(z) => (1, z),
            Self::Buttock(y) => (0, y),
        }
    }
}

impl Loft {
    /// The cut as polylines of (x, half-breadth or height), one for each branch that keeps its order among the section's
    /// meetings with the plane. Chords stay within `tolerance` mm of the curve (checked at their middles); where a branch
    /// begins or ends inside the body, its end is found within a thousandth of a millimetre along x.
    pub fn cut(&self, plane: CutPlane, tolerance: f64) -> Vec<Vec<[f64; 2]>> {
        let breaks = self.x_breaks();
        let steps = breaks
            .windows(2)
            .flat_map(|w| (0..STEPS).map(move |i| w[0] + (w[1] - w[0]) * f64::from(i) / f64::from(STEPS)));
        let mut xs: Vec<f64> = steps.collect();
        xs.push(breaks[breaks.len() - 1]);
        let mut branches: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut open: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut before = (xs[0], self.meetings(plane, xs[0]));
        start(&mut open, &before);
        for &x in &xs[1..] {
            let here = (x, self.meetings(plane, x));
            if here.1.len() == before.1.len() {
                for (k, branch) in open.iter_mut().enumerate() {
                    let (a, b) = ([before.0, before.1[k]], [x, here.1[k]]);
                    self.follow(plane, k, here.1.len(), (a, b), tolerance, 8, branch);
                    branch.push(b);
                }
            } else {
                let (low, high) = self.change(plane, &before, &here);
                extend(&mut open, &low);
                branches.append(&mut open);
                start(&mut open, &high);
                if high.0 < x {
                    extend(&mut open, &here);
                }
            }
            before = here;
        }
        branches.append(&mut open);
        branches.retain(|b| b.len() > 1);
        branches
    }

    /// Where the section at `x` meets the plane, from crown to keel: the free component of each meeting.
    fn meetings(&self, plane: CutPlane, x: f64) -> Vec<f64> {
        let (k, held) = plane.held();
        let section = Section::new(self, x);
        let mut found: Vec<f64> = Vec::new();
        // Carried from run to run, so that a mark that lies in the plane is met once, whatever the rounding.
        let mut before: Option<f64> = None;
        for (half, run) in section.runs() {
            let miss = |f: f64| section.at(half, run, f).p[k] - held;
            let breaks = self.halves()[crate::section::index(half)].run_breaks(run);
            let samples: Vec<f64> = breaks
                .windows(2)
                .flat_map(|w| (0..4).map(move |i| w[0] + (w[1] - w[0]) * f64::from(i) / 4.0))
                .chain([1.0])
                .collect();
            let mut at = before.unwrap_or_else(|| miss(samples[0]));
            for w in samples.windows(2) {
                let next = miss(w[1]);
                if (at < 0.0) != (next < 0.0) {
                    let f = root(&miss, w[0], w[1]);
                    found.push(section.at(half, run, f).p[1 - k]);
                }
                at = next;
            }
            before = Some(at);
        }
        found
    }

    #[expect(clippy::too_many_arguments, reason = "a recursion that carries its whole state")]
    fn follow(
        &self,
        plane: CutPlane,
        branch: usize,
        count: usize,
        (a, b): ([f64; 2], [f64; 2]),
        tolerance: f64,
        depth: u32,
        out: &mut Vec<[f64; 2]>,
    ) {
        let x = 0.5 * (a[0] + b[0]);
        let here = self.meetings(plane, x);
        if here.len() != count || depth == 0 {
            return;
        }
        let middle = [x, here[branch]];
        if crate::flatten::distance_to_chord(middle, a, b) <= tolerance {
            return;
        }
        self.follow(plane, branch, count, (a, middle), tolerance, depth - 1, out);
        out.push(middle);
        self.follow(plane, branch, count, (middle, b), tolerance, depth - 1, out);
    }

    /// Narrows the place where the number of meetings changes to a thousandth of a millimetre.
    fn change(&self, plane: CutPlane, low: &Row, high: &Row) -> (Row, Row) {
        let (mut low, mut high) = (low.clone(), high.clone());
        while high.0 - low.0 > 1e-3 {
            let x = 0.5 * (low.0 + high.0);
            let here = (x, self.meetings(plane, x));
            if here.1.len() == low.1.len() { low = here } else { high = here }
        }
        (low, high)
    }
}

/// A station and where its section meets the plane: half-breadths on a waterline, heights on a buttock.
type Row = (f64, Vec<f64>);

/// Sections looked at in every bay before chords are refined.
const STEPS: u32 = 6;

fn start(open: &mut Vec<Vec<[f64; 2]>>, row: &Row) {
    open.extend(row.1.iter().map(|m| vec![[row.0, *m]]));
}

fn extend(open: &mut [Vec<[f64; 2]>], row: &Row) {
    for (branch, m) in open.iter_mut().zip(&row.1) {
        if branch.last().is_none_or(|p| p[0] < row.0) {
            branch.push([row.0, *m]);
        }
    }
}

/// Root of `f` between two places of opposite sign, by halving to rounding.
fn root(f: &impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let sign = f(low) < 0.0;
    for _ in 0..52 {
        let middle = 0.5 * (low + high);
        if (f(middle) < 0.0) == sign { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}
