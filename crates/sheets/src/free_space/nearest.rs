//! The nearest free one of many places for a box.

use super::FreeSpace;
use crate::sheet::Rect;

/// Steps of the lattice of places along each axis of the area searched.
const STEPS: usize = 28;
/// Steps of those straight beside, above and below the place wished for.
const BESIDE: usize = 4 * STEPS;
/// So much before the end of what is in the way a place still counts as blocked, mm.
const SHORT_OF: f64 = 1e-9;

/// What is sought. Places are lower left corners of the box.
pub(super) struct Nearest<'a> {
    pub(super) free: &'a FreeSpace,
    /// The least place, and how far places may lie from it.
    pub(super) low: [f64; 2],
    pub(super) room: [f64; 2],
    pub(super) size: [f64; 2],
    /// Distance kept from everything, mm.
    pub(super) clear: f64,
    /// The best place of all.
    pub(super) wish: [f64; 2],
    /// The box's middle must satisfy this.
    pub(super) inside: &'a dyn Fn([f64; 2]) -> bool,
}

/// A place that will do: its squared distance from the wish, and its number, which decides between places equally far.
type Found = (f64, usize, [f64; 2]);

/// A line of places at equal steps along an axis.
struct Row {
    axis: usize,
    /// The other coordinate.
    at: f64,
    steps: usize,
    /// Number of the first place, and how far apart numbers are.
    numbers: [usize; 2],
}

impl Nearest<'_> {
    /// The wish itself, or the nearest free one of the places straight beside, above and below it and on a lattice over the area.
    pub(super) fn place(&self) -> Option<[f64; 2]> {
        let wished = Rect::at(self.wish, self.size);
        if self.free.is_free(&wished.grown(self.clear)) && (self.inside)(wished.centre()) {
            return Some(self.wish);
        }
        let mut best: Option<Found> = None;
        let mut walk = |row: &Row| best = self.walked(row, best);
        walk(&Row { axis: 1, at: self.wish[0], steps: BESIDE, numbers: [0, 2] });
        walk(&Row { axis: 0, at: self.wish[1], steps: BESIDE, numbers: [1, 2] });
        let first = 2 * (BESIDE + 1);
        // Rows near the wish come first: what is found there spares most of the others.
        let middle = (0..=STEPS).min_by(|a, b| self.off(1, *a).total_cmp(&self.off(1, *b))).unwrap_or(0);
        for j in (middle..=STEPS).chain((0..middle).rev()) {
            let at = self.along(1, j, STEPS);
            walk(&Row { axis: 0, at, steps: STEPS, numbers: [first + j, STEPS + 1] });
        }
        best.map(|(.., at)| at)
    }

    fn off(&self, axis: usize, step: usize) -> f64 {
        (self.along(axis, step, STEPS) - self.wish[axis]).abs()
    }

    fn along(&self, axis: usize, step: usize, steps: usize) -> f64 {
        self.low[axis] + self.room[axis] * step as f64 / steps as f64
    }

    /// The best place known after looking along a row. A place that is blocked rules out all that follow it as far as what is in its
    /// way reaches.
    fn walked(&self, row: &Row, mut best: Option<Found>) -> Option<Found> {
        let across = (row.at - self.wish[1 - row.axis]).powi(2);
        if best.is_some_and(|(far, ..)| across > far) {
            return best;
        }
        let mut blocked_to = f64::NEG_INFINITY;
        for step in 0..=row.steps {
            let along = self.along(row.axis, step, row.steps);
            let far = (along - self.wish[row.axis]).powi(2) + across;
            let number = row.numbers[0] + step * row.numbers[1];
            let nearer = best.is_none_or(|(least, first, _)| (far, number) < (least, first));
            if !nearer || along - self.clear < blocked_to {
                continue;
            }
            let at = if row.axis == 0 { [along, row.at] } else { [row.at, along] };
            let own = Rect::at(at, self.size);
            if let Some(reach) = self.free.reach(&own.grown(self.clear), row.axis) {
                blocked_to = reach - SHORT_OF;
            } else if (self.inside)(own.centre()) {
                best = Some((far, number, at));
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::{Drawing, Ink, Path, Stroke};
    use proptest::prelude::*;

    /// Every place in turn, the nearest first, is the reference.
    fn one_by_one(search: &Nearest<'_>) -> Option<[f64; 2]> {
        let lines = (0..=BESIDE)
            .flat_map(|i| [[search.wish[0], search.along(1, i, BESIDE)], [search.along(0, i, BESIDE), search.wish[1]]]);
        let lattice = (0..=STEPS).flat_map(|i| (0..=STEPS).map(move |j| [i, j]));
        let lattice = lattice.map(|[i, j]| [search.along(0, i, STEPS), search.along(1, j, STEPS)]);
        let far = |p: &[f64; 2]| (p[0] - search.wish[0]).powi(2) + (p[1] - search.wish[1]).powi(2);
        let mut all: Vec<[f64; 2]> = lines.chain(lattice).collect();
        all.sort_by(|a, b| far(a).total_cmp(&far(b)));
        std::iter::once(search.wish).chain(all).find(|at| {
            let own = Rect::at(*at, search.size);
            search.free.is_free(&own.grown(search.clear)) && (search.inside)(own.centre())
        })
    }

    proptest! {
        #[test]
        fn it_is_the_place_that_looking_at_each_finds(
            lines in proptest::collection::vec([-10.0..110.0, -10.0..90.0, -10.0..110.0, -10.0..90.0_f64], 0..14),
            boxes in proptest::collection::vec([0.0..90.0, 0.0..70.0, 1.0..30.0, 1.0..20.0_f64], 0..5),
            size in [3.0..40.0, 2.0..20.0_f64],
            wish in [0.0..1.0, 0.0..1.0_f64],
            clear in 0.0..2.0_f64,
            radius in 20.0..90.0_f64,
        ) {
            let window = Rect::at([0.0; 2], [100.0, 80.0]);
            let mut d = Drawing::default();
            lines.iter().for_each(|l| d.push(Path::line([l[0], l[1]], [l[2], l[3]], Stroke::solid(0.2, Ink::BLACK))));
            let mut free = FreeSpace::default();
            free.add_drawing(&d, &window);
            boxes.iter().for_each(|b| free.take(Rect::at([b[0], b[1]], [b[2], b[3]])));
            let room = [100.0 - size[0], 80.0 - size[1]];
            let inside = |p: [f64; 2]| (p[0] - 50.0).hypot(p[1] - 40.0) < radius;
            let wish = [0, 1].map(|k| wish[k] * room[k]);
            let search = Nearest { free: &free, low: [0.0; 2], room, size, clear, wish, inside: &inside };
            prop_assert_eq!(search.place(), one_by_one(&search));
        }
    }
}
