//! Heat maps: a value at every place of the form, as colours on the views of the floor and on the shaded body.
//!
//! - [`scale`]: from values to colours, with the limits that matter; [`draw`]: on the floor, with the legend; [`field`]: the patch near
//!   any place in space; [`shaded`]: on the shaded body.

pub(crate) mod draw;
pub(crate) mod field;
pub(crate) mod scale;
pub(crate) mod shaded;

use crate::floor::layout::View;
use field::Field;
use form::space::{Vector, add, cross, dot, sub, times, unit};

/// The views that show one side of the form.
pub(crate) const VIEWS: [View; 3] = [View::Side, View::Plan, View::Face];

/// A flat piece of the form with the values at its corners.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Patch {
    /// In turn round it, mm.
    pub(crate) corners: [Vector; 4],
    /// At the corners.
    pub(crate) values: [f64; 4],
    /// Of the whole.
    pub(crate) value: f64,
    /// Past what the scale allows.
    pub(crate) beyond: bool,
    /// Carries a stroke of the hatching, if it is past that.
    pub(crate) hatched: bool,
    /// Of less weight: drawn weaker.
    pub(crate) faint: bool,
    /// Sides of it that are drawn as lines, by the corner they begin at.
    pub(crate) lines: [bool; 4],
    /// Outward, of unit length.
    pub(crate) normal: Vector,
}

impl Patch {
    /// Its middle, mm.
    pub(crate) fn middle(&self) -> Vector {
        times(self.corners.iter().fold([0.0; 3], |sum, c| add(sum, *c)), 0.25)
    }
}

/// Values over a form.
#[derive(Clone, Debug, Default)]
pub(crate) struct HeatMap {
    patches: Vec<Patch>,
    /// Those that each view shows, the farthest first.
    seen: [Vec<u32>; 3],
    field: Field,
}

impl HeatMap {
    /// Of patches.
    pub(crate) fn new(patches: Vec<Patch>) -> Self {
        let seen = VIEWS.map(|view| seen_in(&patches, view));
        Self { field: Field::of(&patches), seen, patches }
    }

    /// Those that a view shows, the farthest first.
    pub(crate) fn seen(&self, view: View) -> impl DoubleEndedIterator<Item = &Patch> {
        let seen = VIEWS.iter().position(|v| *v == view).and_then(|k| self.seen.get(k));
        seen.into_iter().flatten().filter_map(|k| self.patches.get(*k as usize))
    }

    /// The patch that is nearest to a place in space, of those that are not faint; `None` where none is near.
    pub(crate) fn near(&self, at: Vector) -> Option<&Patch> {
        self.field.nearest(&self.patches, at)
    }

    /// The patch that a view shows at a place of it, mm.
    pub(crate) fn under(&self, view: View, at: [f64; 2]) -> Option<&Patch> {
        self.seen(view).rev().find(|patch| holds(&patch.corners.map(|c| flat(view, c)), at))
    }
}

/// The outward normal of corners that run round counter-clockwise as seen from outside.
pub(crate) fn normal_of(corners: &[Vector; 4]) -> Vector {
    unit(cross(sub(corners[2], corners[0]), sub(corners[3], corners[1])))
}

/// From the form towards whoever looks at the view.
pub(crate) fn towards(view: View) -> Vector {
    match view {
        View::Side => [0.0, -1.0, 0.0],
        View::Plan => [0.0, 0.0, 1.0],
        View::Face | View::Body => [-1.0, 0.0, 0.0],
    }
}

/// A place in space on a view, mm.
pub(crate) fn flat(view: View, [x, y, z]: Vector) -> [f64; 2] {
    match view {
        View::Side => [x, z],
        View::Plan => [x, y],
        View::Face | View::Body => [-y, z],
    }
}

/// Patches no farther apart than this lie in the order in which they came: two layers of cloth do not run into one another. mm.
const LAYER: f64 = 10.0;

fn seen_in(patches: &[Patch], view: View) -> Vec<u32> {
    let eye = towards(view);
    let facing = |(_, patch): &(u32, &Patch)| dot(patch.normal, eye) > 1e-3;
    let mut seen: Vec<(u32, f64)> =
        (0..).zip(patches).filter(facing).map(|(k, patch)| (k, (dot(patch.middle(), eye) / LAYER).floor())).collect();
    seen.sort_by(|a, b| a.1.total_cmp(&b.1));
    seen.into_iter().map(|(k, _)| k).collect()
}

/// Whether a place lies in a quadrilateral, whichever way it runs round.
fn holds(corners: &[[f64; 2]; 4], at: [f64; 2]) -> bool {
    let turns = [0, 1, 2, 3].map(|k: usize| {
        let (a, b) = (corners[k], corners[(k + 1) % 4]);
        (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])
    });
    turns.iter().all(|t| *t >= 0.0) || turns.iter().all(|t| *t <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn patch(corners: [Vector; 4], value: f64) -> Patch {
        let normal = normal_of(&corners);
        Patch {
            corners,
            values: [value; 4],
            value,
            beyond: false,
            hatched: true,
            faint: false,
            lines: [false; 4],
            normal,
        }
    }

    /// A box 10 mm long, 6 wide, 4 high, its corner at the datum: each view shows one face of it.
    fn solid() -> HeatMap {
        let p = |x: f64, y: f64, z: f64| [10.0 * x, 6.0 * y, 4.0 * z];
        HeatMap::new(vec![
            patch([p(0., 0., 1.), p(1., 0., 1.), p(1., 1., 1.), p(0., 1., 1.)], 1.0),
            patch([p(0., 0., 0.), p(0., 1., 0.), p(1., 1., 0.), p(1., 0., 0.)], 2.0),
            patch([p(0., 0., 0.), p(1., 0., 0.), p(1., 0., 1.), p(0., 0., 1.)], 3.0),
            patch([p(0., 1., 0.), p(0., 1., 1.), p(1., 1., 1.), p(1., 1., 0.)], 4.0),
            patch([p(0., 0., 0.), p(0., 0., 1.), p(0., 1., 1.), p(0., 1., 0.)], 5.0),
        ])
    }

    #[test]
    fn each_view_shows_the_side_that_is_turned_to_it() {
        let map = solid();
        let shown = |view| map.seen(view).map(|p| p.value).collect::<Vec<_>>();
        assert_eq!(shown(View::Side), [3.0], "from port");
        assert_eq!(shown(View::Plan), [1.0], "from above");
        assert_eq!(shown(View::Face), [5.0], "from ahead");
    }

    #[test]
    fn what_is_under_a_place_is_what_is_seen_there() {
        let map = solid();
        assert_eq!(map.under(View::Side, [5.0, 2.0]).map(|p| p.value), Some(3.0));
        assert_eq!(map.under(View::Plan, [5.0, 2.0]).map(|p| p.value), Some(1.0));
        assert_eq!(map.under(View::Face, [-3.0, 2.0]).map(|p| p.value), Some(5.0));
        assert_eq!(map.under(View::Side, [11.0, 2.0]), None);
    }

    #[test]
    fn of_two_that_lie_behind_one_another_the_nearer_is_seen() {
        let square = |z: f64| [[0.0, 0.0, z], [4.0, 0.0, z], [4.0, 4.0, z], [0.0, 4.0, z]];
        let map = HeatMap::new(vec![patch(square(29.0), 1.0), patch(square(5.0), 2.0)]);
        assert_eq!(map.under(View::Plan, [1.0, 1.0]).map(|p| p.value), Some(1.0));
        assert_eq!(map.near([2.0, 2.0, 5.5]).map(|p| p.value), Some(2.0));
        assert_eq!(map.near([90.0, 2.0, 5.5]), None);
    }
}
