//! One of two halves that a form is covered in, and sizes that go with the form's own.
//!
//! Round a form that is closed at both ends no cloth goes from one start: it is laid in two halves, as the shell is parted. How far
//! a place lies past the line between them is told by a function that is 0 there, divided by its slope along the surface: right near
//! the line, and of the right sign everywhere.

use super::outside::{Cover, End, Outside, blunt_range};
use super::stretch::Body;
use super::surface::{At, Jet, Surface};
use crate::release::Parting;
use form::space::{Vector, cross, dot, length, sub, times, unit};
use geometry::loft::Loft;

/// A half of a form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Portion {
    /// The line between the halves.
    pub parting: Parting,
    /// The upper, starboard or front half; otherwise the other one.
    pub first: bool,
    /// How far cloth runs over the line, mm.
    pub overlap: f64,
    /// By how much the line lies aside, towards the second half, mm: edges of plies lie beside one another.
    pub aside: f64,
}

/// Least slope that is divided by: where the surface lies along the level of the line's function.
const LEAST_SLOPE: f64 = 0.02;

/// So far from the line, as a share of the overrun and past the overlap, nothing counts as lying behind the other half; and beside a pole,
/// where all that is the middle of the other half lies near the line.
const NEAR_LINE: f64 = 0.2;
const NEAR_POLE: f64 = 0.6;
/// So near the middle of the other half, in half turns or as a share, cloth does not go.
const ABOUT_MIDDLE: f64 = 0.2;

impl Portion {
    /// How far a place lies past the line, mm along the surface; negative in the half.
    pub(super) fn beyond(&self, outside: &Outside, at: At, jet: &Jet) -> f64 {
        let normal = jet.normal();
        let square = |n: f64| (1.0 - n * n).max(0.0).sqrt().max(LEAST_SLOPE);
        let past = match self.parting {
            Parting::CentrePlane => -jet.p[1] / square(normal[1]),
            Parting::Across(station) => (jet.p[0] - station) / square(normal[0]),
            Parting::Breadth => past_breadth(outside, at, jet),
        };
        let beyond = if self.first { past - self.aside } else { self.aside - past };
        // Across the middle of the other half it would come back from behind.
        let near = if outside.in_cap(at[0]).is_some() { NEAR_POLE } else { NEAR_LINE };
        let far = beyond > self.overlap + near * outside.overrun && self.is_far(outside, at, jet);
        if far { f64::INFINITY } else { beyond }
    }

    /// Whether a place lies about the middle of the other half.
    fn is_far(&self, outside: &Outside, at: At, jet: &Jet) -> bool {
        let turn = outside.angle(at[1]).rem_euclid(2.0);
        let about = |middle: f64| (turn - middle).abs().min(2.0 - (turn - middle).abs()) < ABOUT_MIDDLE;
        match (self.parting, self.first) {
            (Parting::CentrePlane, true) => about(1.5),
            (Parting::CentrePlane, false) => about(0.5),
            (Parting::Breadth, true) => about(1.0),
            (Parting::Breadth, false) => about(0.0),
            (Parting::Across(station), first) => {
                let [low, high] = outside.ends().map(|s| outside.place([s, 0.0])[0]);
                let end = if first { high } else { low };
                (jet.p[0] - station) / (end - station) > 1.0 - ABOUT_MIDDLE
            }
        }
    }
}

/// How far a place lies below the breadth line. Round the form the clock angle is a quarter turn there; at a pole, where the angle has no
/// slope, the distance goes to 0 with the radius.
fn past_breadth(outside: &Outside, at: At, jet: &Jet) -> f64 {
    let angle = outside.angle(at[1]).rem_euclid(2.0);
    let angle = if angle > 1.0 { 2.0 - angle } else { angle };
    let [along, round] = jet.by;
    let along_way = unit(along);
    let across = length(sub(round, times(along_way, dot(round, along_way))));
    (angle - 0.5) * across / outside.pace(at[1])
}

impl Outside {
    /// The same outside of which only a half is to be covered; all of it without one.
    #[must_use]
    pub fn with_portion(mut self, portion: Option<Portion>) -> Self {
        self.portion = portion;
        self
    }

    /// The half that is to be covered.
    pub fn portion(&self) -> Option<Portion> {
        self.portion
    }

    /// Where cloth is begun if nothing else is said: the crown half way; of a half its middle, or the closed end of a front or rear.
    pub fn natural_start(&self) -> At {
        let [low, high] = self.ends();
        let middle = 0.5 * (low + high);
        let Some(Portion { parting, first, .. }) = self.portion else { return [middle, 0.0] };
        match (parting, first) {
            (Parting::CentrePlane, true) => [middle, self.second_of(0.5)],
            (Parting::CentrePlane, false) => [middle, self.second_of(1.5)],
            (Parting::Breadth, true) => [middle, 0.0],
            (Parting::Breadth, false) => [middle, self.keel()],
            (Parting::Across(_), true) => [low + BESIDE, 0.0],
            (Parting::Across(_), false) => [high - BESIDE, 0.0],
        }
    }

    /// Side of a cell that follows the form, mm: 5 for a part as large as a cowling; 40 to 110 cells along the side of a square of
    /// the part's area otherwise; finer where over more than a hundredth of its area a cell of that size would take up
    /// more than 0.04 of curvature or bend by more than 0.3 radians. To two figures.
    pub fn fitting_cell(&self) -> f64 {
        let side = self.part_area().sqrt();
        let even = side / (side / USUAL_CELL).clamp(FEWEST, MOST);
        let [gauss, bend] = self.curvatures().map(|k| k.max(f64::MIN_POSITIVE));
        two_figures(even.min(CURVED / gauss.sqrt()).min(BENT / bend).max(side / FINEST))
    }

    /// Gaussian curvature, 1/mm², and bending, 1/mm, by size, that are passed over a hundredth of the area only.
    fn curvatures(&self) -> [f64; 2] {
        let mut all: Vec<[f64; 3]> = Vec::new();
        for s in self.first_lines.windows() {
            for v in self.second_lines.windows() {
                let size = [s[1] - s[0], v[1] - v[0]];
                for k in 0..4 {
                    let share = [0.25 + 0.5 * f64::from(k % 2), 0.25 + 0.5 * f64::from(k / 2)];
                    let at = [s[0] + share[0] * size[0], v[0] + share[1] * size[1]];
                    all.push(self.bent(at, size));
                }
            }
        }
        all.retain(|it| it.iter().all(|value| value.is_finite()));
        let most: f64 = 0.01 * all.iter().map(|it| it[2]).sum::<f64>();
        [0, 1].map(|kind| {
            all.sort_by(|a, b| b[kind].total_cmp(&a[kind]));
            let mut passed = 0.0;
            let found = all.iter().find(|it| {
                passed += it[2];
                passed > most
            });
            found.map_or(0.0, |it| it[kind])
        })
    }

    /// Gaussian curvature and bending by size, and the area that a place stands for: the normals' differences over a tenth of a patch.
    fn bent(&self, at: At, size: [f64; 2]) -> [f64; 3] {
        let sheet = self.sheet(at);
        let normal = |ds: f64, dv: f64| self.jet(sheet, [at[0] + ds, at[1] + dv]).normal();
        let step = size.map(|d| 0.05 * d);
        let change = |a: Vector, b: Vector, by: f64| times(sub(a, b), 0.5 / by);
        let by_s = change(normal(step[0], 0.0), normal(-step[0], 0.0), step[0]);
        let by_v = change(normal(0.0, step[1]), normal(0.0, -step[1]), step[1]);
        let jet = self.jet(sheet, at);
        let element = length(cross(jet.by[0], jet.by[1]));
        let bend = |change: Vector, by: Vector| length(change) / length(by).max(f64::MIN_POSITIVE);
        let gauss = length(cross(by_s, by_v)) / element.max(f64::MIN_POSITIVE);
        [gauss, bend(by_s, jet.by[0]).max(bend(by_v, jet.by[1])), element * size[0] * size[1]]
    }

    /// Length of the crown line and greatest girth, mm, by chords.
    pub(super) fn extents(&self) -> [f64; 2] {
        const CHORDS: u32 = 24;
        let [low, high] = self.ends();
        let along = |at: &dyn Fn(f64) -> At| {
            let place = |k: u32| self.place(at(f64::from(k) / f64::from(CHORDS)));
            (0..CHORDS).map(|k| length(sub(place(k + 1), place(k)))).sum::<f64>()
        };
        let round = 2.0 * self.keel();
        let girth = |share: f64| along(&|t| [low + share * (high - low), round * t.min(1.0 - 1e-9)]);
        let widest = [0.25, 0.5, 0.75].into_iter().map(girth).fold(0.0, f64::max);
        [along(&|t| [low + t * (high - low), 0.0]), widest]
    }
}

/// Beside a pole, where there are directions.
const BESIDE: f64 = 1e-6;
/// The cell of a part of the usual size, mm.
const USUAL_CELL: f64 = 5.0;
/// Fewest and most cells along the side of a square of the part's area.
const FEWEST: f64 = 40.0;
const MOST: f64 = 110.0;
/// Most cells, however curved.
const FINEST: f64 = 160.0;
/// Root of the curvature that a cell takes up, radians.
const CURVED: f64 = 0.2;
/// Turn of the normal along a cell, radians.
const BENT: f64 = 0.3;

/// A length, rounded down to two figures.
fn two_figures(value: f64) -> f64 {
    let unit = 10f64.powf(value.max(f64::MIN_POSITIVE).log10().floor() - 1.0);
    // Just below a whole number by rounding, it is meant to be that.
    (value / unit + 1e-9).floor() * unit
}

/// Whether a loft less a coat is closed at both ends: by faces that are covered, or because it runs into points.
pub fn is_closed(loft: &Loft, taken_off: f64, cover: &Cover) -> bool {
    let body = blunt_range(loft, taken_off).and_then(|range| Body::new(loft, taken_off, range));
    let Some(body) = body else { return false };
    let last = body.stretches.len() - 1;
    let is_point = |stretch: usize, share: f64| body.row(stretch, share).is_some_and(|row| row.is_point());
    let cut = cover.trim.is_some() && cover.front != End::Closed;
    let front = cover.front == End::Closed || (is_point(0, 0.0) && !cut);
    front && (cover.rear == End::Closed || is_point(last, 1.0))
}

/// The parting that leaves the shallowest halves: square to the least of breadth, height and length.
pub fn shallowest_parting(loft: &Loft) -> Parting {
    const STATIONS: u32 = 60;
    let (low, high) = loft.x_range();
    let at = |k: u32| low + (high - low) * f64::from(k) / f64::from(STATIONS);
    let sizes: Vec<[f64; 3]> = (0..=STATIONS)
        .filter_map(|k| loft.section(at(k)).map(|s| [at(k), 2.0 * s.half_breadth(), s.top() - s.bottom()]))
        .collect();
    let most = |k: usize| sizes.iter().map(|s| s[k]).fold(0.0, f64::max);
    let (breadth, height) = (most(1), most(2));
    if breadth <= height.min(high - low) {
        Parting::CentrePlane
    } else if height <= high - low {
        Parting::Breadth
    } else {
        let widest = sizes.iter().max_by(|a, b| (a[1] * a[2]).total_cmp(&(b[1] * b[2])));
        Parting::Across(widest.map_or(0.5 * (low + high), |s| s[0]))
    }
}
