//! Keep-outs, and their handles.

use super::{DRAWN_IN, HELD_IN, Pen, ROUND, Shapes, behind, seen};
use crate::floor::hull::convex_hull;
use crate::floor::item::Item;
use crate::floor::layout::View;
use crate::floor::scene::HandleShape;
use fit::solid::Placed;
use fit::thrust::Shaft;
use project::airframe::{KeepOut, KeepOutPlace, Solid};

impl Shapes {
    pub(super) fn keep_out(&mut self, index: usize, keep_out: &KeepOut, shaft: Option<&Shaft>) {
        let Ok(solid) = Placed::of(keep_out, shaft) else { return };
        let item = Item::KeepOut(index);
        let rims = [1.0, 2.0].map(|along| around(&solid, along));
        for view in DRAWN_IN {
            let mut outline = convex_hull(rims.iter().flatten().map(|p| seen(view, *p)).collect());
            outline.extend(outline.first().copied());
            self.stroke(view, Pen::Dashed, item, outline);
        }
        for quarter in 0..4u32 {
            let turn = 0.25 * f64::from(quarter);
            let edge = if matches!(keep_out.shape, Solid::Box { .. }) { turn + 0.125 } else { turn };
            self.shaded(Pen::Dashed, vec![solid.surface(edge, 1.0), solid.surface(edge, 2.0)]);
        }
        for rim in rims {
            self.shaded(Pen::Dashed, rim);
        }
        self.keep_out_handles(index, keep_out, &solid);
    }

    fn keep_out_handles(&mut self, index: usize, keep_out: &KeepOut, solid: &Placed) {
        let free = matches!(keep_out.place, KeepOutPlace::Free { .. });
        let (front, rear) = (solid.surface(0.0, 0.0), solid.surface(0.0, 3.0));
        for view in HELD_IN {
            let mut grip = |item: Item, at: [f64; 3], what: &str, shape: HandleShape| {
                let label = format!("{}{what}, {}", keep_out.name, behind(view));
                self.handle(view, item, seen(view, at), shape, label);
            };
            let face = view == View::Face;
            // On the thrust line it moves along the shaft only, which the face view looks along.
            if free || !face {
                grip(Item::KeepOut(index), front, "", HandleShape::Corner);
            }
            let turn = rim_of(view);
            grip(Item::KeepOutFront(index), solid.surface(turn, 1.0), ", size", HandleShape::Smooth);
            if !face {
                grip(Item::KeepOutRear(index), rear, ", rear", HandleShape::Shoulder);
            }
            if matches!(keep_out.shape, Solid::Cone { .. }) {
                grip(Item::KeepOutRearSize(index), solid.surface(turn, 2.0), ", rear size", HandleShape::Smooth);
            }
        }
    }
}

/// The place of a rim that has the handle in a view, as a share of a turn from the top to starboard.
pub(crate) fn rim_of(view: View) -> f64 {
    match view {
        View::Side => 0.0,
        View::Plan | View::Face | View::Body => 0.25,
    }
}

/// Once around a solid, closed.
fn around(solid: &Placed, along: f64) -> Vec<[f64; 3]> {
    (0..=ROUND).map(|i| solid.surface(f64::from(i) / f64::from(ROUND), along)).collect()
}
