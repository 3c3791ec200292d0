//! Gauges, drawn as the tips of calipers: a line across with a foot at either end.

use super::{HELD_IN, Pen, Shapes, behind, middle_height, seen};
use crate::derived::Derived;
use crate::floor::item::Item;
use crate::floor::layout::View;
use crate::floor::scene::HandleShape;
use project::airframe::{Gauge, GaugeMeasure};

/// Half the length of a caliper's foot, mm.
const FOOT: f64 = 4.0;
/// How far outside the tip a caliper has its handle, mm: on the tip lie the lines and points of the form where the gauge fits.
pub(crate) const ARM: f64 = 9.0;

/// Whether a view looks along the caliper and shows it as a place: then its handle lies aft of it.
pub(crate) fn is_end_on(measure: GaugeMeasure, view: View) -> bool {
    match measure {
        GaugeMeasure::WidthAt { .. } => view == View::Side,
        GaugeMeasure::HeightAt { .. } => view == View::Plan,
    }
}

impl Shapes {
    pub(super) fn gauge(&mut self, index: usize, gauge: &Gauge, derived: &Derived) {
        let item = Item::Gauge(index);
        let (x, half) = (gauge.station, 0.5 * gauge.value);
        let (ends, foot) = match gauge.measure {
            GaugeMeasure::WidthAt { height } => ([[x, half, height], [x, -half, height]], [0.0, 0.0, FOOT]),
            GaugeMeasure::HeightAt { half_breadth } => {
                let middle = middle_height(derived, x);
                ([[x, half_breadth, middle + half], [x, half_breadth, middle - half]], [0.0, FOOT, 0.0])
            }
        };
        self.line(Pen::Whole, item, &ends);
        for end in ends {
            let tip = |by: f64| -> [f64; 3] { std::array::from_fn(|k| end[k] + by * foot[k]) };
            self.line(Pen::Whole, item, &[tip(-1.0), tip(1.0)]);
            let along_x = |by: f64| [end[0] + by, end[1], end[2]];
            self.line(Pen::Whole, item, &[along_x(-FOOT), along_x(FOOT)]);
        }
        let way = |k: usize| (ends[0][k] - ends[1][k]) / gauge.value.max(1e-9);
        let outside: [f64; 3] = std::array::from_fn(|k| ends[0][k] + ARM * way(k));
        let behind_it = [x + ARM, ends[0][1], ends[0][2]];
        for view in HELD_IN {
            let held = if is_end_on(gauge.measure, view) { behind_it } else { outside };
            self.stroke(view, Pen::Whole, item, vec![seen(view, ends[0]), seen(view, held)]);
            let name = if gauge.name.starts_with("Gauge") { "" } else { "Gauge " };
            let label = format!("{name}{}, {}", gauge.name, behind(view));
            self.handle(view, item, seen(view, held), HandleShape::Shoulder, label);
        }
    }
}
