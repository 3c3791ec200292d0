//! The way the shell is drawn off, as an arrow ahead of the form.

use super::{Pen, Shapes, behind, middle_height, seen};
use crate::derived::Derived;
use crate::floor::item::Item;
use crate::floor::layout::View;
use crate::floor::scene::HandleShape;
use project::airframe::{Airframe, DrawOff};

/// Length of the arrow, mm.
const LONG: f64 = 45.0;
/// Room between the arrow and what lies behind it, mm.
const ROOM: f64 = 8.0;
/// Length of its barbs, mm.
const BARB: f64 = 7.0;

impl Shapes {
    pub(super) fn way_off(&mut self, airframe: &Airframe, derived: &Derived) {
        let Some([from, tip]) = arrow(airframe, derived) else { return };
        let item = Item::WayOff;
        self.line(Pen::Whole, item, &[from, tip]);
        let along: [f64; 3] = std::array::from_fn(|k| (tip[k] - from[k]) / LONG);
        for across in [[0.0, 1.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, -1.0]] {
            let barb: [f64; 3] = std::array::from_fn(|k| tip[k] - BARB * (along[k] + 0.4 * across[k]));
            self.line(Pen::Whole, item, &[tip, barb]);
        }
        // Only a thrust line gives a choice.
        if airframe.thrust.is_some() {
            for view in [View::Side, View::Plan] {
                let label = format!("Way off, {}", behind(view));
                self.handle(view, item, seen(view, tip), HandleShape::Shoulder, label);
            }
        }
    }
}

/// Foot and tip of the arrow; none where there is no form, or nothing on the bench that it could hit.
fn arrow(airframe: &Airframe, derived: &Derived) -> Option<[[f64; 3]; 2]> {
    let front = derived.loft()?.x_range().0;
    let anything = airframe.fuselage.is_some() || airframe.thrust.is_some() || !airframe.keep_outs.is_empty();
    let foot = match &airframe.thrust {
        // Beside the drawn shaft, so that it takes no room of its own.
        Some(line) => {
            let shaft = fit::thrust::shaft(line);
            std::array::from_fn(|k| shaft.hub[k] + ROOM * shaft.ahead[k])
        }
        None => [front - ROOM, 0.0, middle_height(derived, front)],
    };
    let way = fit::way_off(airframe);
    anything.then(|| [foot, std::array::from_fn(|k| foot[k] + LONG * way[k])])
}

/// Which way off brings the arrow's tip nearest to a place of a view.
pub(crate) fn nearest(airframe: &Airframe, derived: &Derived, view: View, at: [f64; 2]) -> Option<DrawOff> {
    let distance = |way: DrawOff| {
        let [_, tip] = arrow(&Airframe { draw_off: way, ..airframe.clone() }, derived)?;
        let tip = seen(view, tip);
        Some((tip[0] - at[0]).hypot(tip[1] - at[1]))
    };
    let [line, datum] = [distance(DrawOff::ThrustLine)?, distance(DrawOff::Datum)?];
    Some(if line < datum { DrawOff::ThrustLine } else { DrawOff::Datum })
}
