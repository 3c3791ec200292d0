//! The airframe on the floor: fuselage end, shaft, spinner, ring, keep-outs and gauges, as strokes and handles in mm.
//!
//! Made anew only when the airframe or the surface has changed. What a drag of a handle does stands in
//! [`crate::floor::airframe_drag`].

use crate::derived::Derived;
use crate::floor::hull::convex_hull;
use crate::floor::layout::View;
use crate::floor::scene::{Handle, HandleShape, Scene, Stroke, StrokeKind};
use crate::view::{Item, Selected};
use fit::fuselage::{FuselageShape, lap_outline, screw_places};
use fit::outline::Outline;
use fit::solid::Placed;
use fit::thrust::{self, Shaft};
use project::airframe::{
    Airframe, FuselageEnd, FuselageSection, Gauge, GaugeMeasure, KeepOut, KeepOutPlace, ThrustLine,
};
use project::document::LineName;
use std::sync::Arc;

/// How a line of the airframe is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pen {
    /// What is there and can be touched.
    Whole,
    /// What must stay free, or lies under something else.
    Dashed,
    /// Long dash and dot: an axis.
    Axis,
}

/// What was drawn last, and what it was made from.
#[derive(Debug, Default)]
pub(crate) struct AirframeShapes {
    made_from: Option<(Arc<Airframe>, u64)>,
    strokes: Vec<Stroke>,
    handles: Vec<Handle>,
}

impl AirframeShapes {
    /// Brings strokes and handles up to date, and puts them into the scene.
    pub(crate) fn add_to(&mut self, scene: &mut Scene, airframe: &Arc<Airframe>, derived: &Derived) {
        let same =
            |(from, revision): &(Arc<Airframe>, u64)| Arc::ptr_eq(from, airframe) && *revision == derived.revision;
        if !self.made_from.as_ref().is_some_and(same) {
            *self = Self { made_from: Some((airframe.clone(), derived.revision)), ..Self::default() };
            self.make(airframe, derived);
        }
        scene.strokes.extend(self.strokes.iter().cloned());
        scene.handles.extend(self.handles.iter().cloned());
        scene.reach_over(&self.strokes);
    }

    fn make(&mut self, airframe: &Airframe, derived: &Derived) {
        if let Some(end) = &airframe.fuselage {
            self.fuselage(end);
        }
        let shaft = airframe.thrust.as_ref().map(thrust::shaft);
        if let (Some(line), Some(shaft)) = (&airframe.thrust, &shaft) {
            self.thrust(line, shaft);
        }
        for (index, keep_out) in airframe.keep_outs.iter().enumerate() {
            self.keep_out(index, keep_out, shaft.as_ref());
        }
        for (index, gauge) in airframe.gauges.iter().enumerate() {
            self.gauge(index, gauge, derived);
        }
    }

    fn stroke(&mut self, view: View, pen: Pen, item: Item, points: Vec<[f64; 2]>) {
        let target = Some(Selected::Bench { item, view });
        self.strokes.push(Stroke { view, kind: StrokeKind::Airframe(pen), target, points });
    }

    /// The same line in the three views in which the airframe is drawn.
    fn in_space(&mut self, pen: Pen, item: Item, points: &[[f64; 3]]) {
        for view in DRAWN_IN {
            self.stroke(view, pen, item, points.iter().map(|p| seen(view, *p)).collect());
        }
    }

    fn handle(&mut self, view: View, item: Item, at: [f64; 2], shape: HandleShape, label: impl Into<String>) {
        let target = Selected::Bench { item, view };
        self.handles.push(Handle { view, at, shape, target, label: label.into(), locked: false });
    }

    fn fuselage(&mut self, end: &FuselageEnd) {
        let Some(shape) = FuselageShape::of(end) else { return };
        let outline = shape.outline();
        self.section(end.station, outline, Pen::Whole, Item::Fuselage);
        let rear = end.further.as_ref().map_or(end.station + end.lap.length, |(x, _)| *x);
        if end.further.is_some() {
            self.section(rear, &shape.at(rear), Pen::Dashed, Item::FuselageFurther);
        }
        self.run([end.station, rear], [outline, &shape.at(rear)], Pen::Whole, Item::Fuselage);
        if end.lap.length > 0.0 {
            let ends = [end.station, end.station + end.lap.length];
            let laps = ends.map(|x| lap_outline(end, &shape, x));
            self.run(ends, [&laps[0], &laps[1]], Pen::Dashed, Item::Lap);
            self.edge(ends[1], &laps[1], Pen::Dashed, Item::Lap);
            self.handle(View::Side, Item::Lap, [ends[1], bottom(&laps[1])], HandleShape::Corner, "Lap, side view");
        }
        for place in end.screws.iter().flat_map(|screws| screw_places(end, &shape, screws)) {
            self.screw(place);
        }
        self.fuselage_handles(end, &shape);
    }

    fn fuselage_handles(&mut self, end: &FuselageEnd, shape: &FuselageShape) {
        let outline = shape.outline();
        let (widest, middle) = (outline.widest()[0], 0.5 * (top(outline) + bottom(outline)));
        let mark = HandleShape::Mark;
        // Beside the ends of the master lines, which lie on the edge too where the form fits.
        let low = |o: &Outline| 0.25 * top(o) + 0.75 * bottom(o);
        self.handle(View::Side, Item::Fuselage, [end.station, low(outline)], mark, "Fuselage end, side view");
        self.handle(View::Plan, Item::Fuselage, [end.station, 0.5 * widest], mark, "Fuselage end, plan");
        if let Some((x, _)) = &end.further {
            let further = shape.at(*x);
            let (at, over) = ([*x, low(&further)], [*x, 0.5 * further.widest()[0]]);
            self.handle(View::Side, Item::FuselageFurther, at, mark, "Further fuselage section, side view");
            self.handle(View::Plan, Item::FuselageFurther, over, mark, "Further fuselage section, plan");
        }
        if !matches!(end.section, FuselageSection::Measured(_)) {
            self.handle(View::Face, Item::Fuselage, [widest, middle], mark, "Fuselage end, height of its centre");
            self.handle(View::Face, Item::FuselageWidth, [-widest, middle], mark, "Fuselage end, width");
            self.handle(View::Face, Item::FuselageHeight, [0.0, top(outline)], mark, "Fuselage end, height");
        }
    }

    /// A section of the fuselage: its outline in the face view, its edge in side view and plan.
    fn section(&mut self, x: f64, outline: &Outline, pen: Pen, item: Item) {
        let starboard = outline.points().iter().map(|p| [-p[0], p[1]]);
        let port = outline.points().iter().rev().copied();
        self.stroke(View::Face, pen, item, starboard.chain(port).collect());
        self.edge(x, outline, pen, item);
    }

    fn edge(&mut self, x: f64, outline: &Outline, pen: Pen, item: Item) {
        let widest = outline.widest()[0];
        self.stroke(View::Side, pen, item, vec![[x, bottom(outline)], [x, top(outline)]]);
        self.stroke(View::Plan, pen, item, vec![[x, -widest], [x, widest]]);
    }

    /// From one section to another: crown and keel in the side view, both sides in the plan.
    fn run(&mut self, x: [f64; 2], outlines: [&Outline; 2], pen: Pen, item: Item) {
        let mut line = |view, of: &dyn Fn(&Outline) -> f64| {
            let points = vec![[x[0], of(outlines[0])], [x[1], of(outlines[1])]];
            self.stroke(view, pen, item, points);
        };
        line(View::Side, &top);
        line(View::Side, &bottom);
        line(View::Plan, &|o| o.widest()[0]);
        line(View::Plan, &|o| -o.widest()[0]);
    }

    fn screw(&mut self, place: [f64; 3]) {
        for view in DRAWN_IN {
            let [a, b] = seen(view, place);
            self.stroke(view, Pen::Whole, Item::Screws, vec![[a - SCREW, b], [a + SCREW, b]]);
            self.stroke(view, Pen::Whole, Item::Screws, vec![[a, b - SCREW], [a, b + SCREW]]);
        }
    }

    fn thrust(&mut self, line: &ThrustLine, shaft: &Shaft) {
        let along = |by: f64| std::array::from_fn(|k| shaft.hub[k] + by * shaft.ahead[k]);
        let (nose, tail) = (line.spinner.diameter, -line.hub_distance - 0.4 * line.spinner.diameter);
        self.in_space(Pen::Axis, Item::Hub, &[along(nose), along(tail)]);
        let plate = Placed::new(
            project::airframe::Solid::Cylinder { diameter: line.spinner.diameter, length: 1.0 },
            shaft.hub,
            shaft.ahead.map(|c| -c),
        );
        self.in_space(Pen::Whole, Item::Spinner, &around(&plate, 1.0));
        let ring = thrust::ring(line);
        if ring.diameter > 0.0 {
            let mut edge = thrust::ring_edge(&ring, ROUND);
            edge.extend(edge.first().copied());
            self.in_space(Pen::Dashed, Item::Ring, &edge);
        }
        self.firewall(line, shaft);
        self.handle(View::Side, Item::Hub, seen(View::Side, shaft.hub), HandleShape::Mark, "Hub, side view");
        self.handle(View::Plan, Item::Hub, seen(View::Plan, shaft.hub), HandleShape::Mark, "Hub, plan");
        self.handle(View::Face, Item::Hub, seen(View::Face, shaft.hub), HandleShape::Mark, "Hub, face view");
        let rim = [-0.5 * line.spinner.diameter, line.hub_height];
        self.handle(View::Face, Item::Spinner, rim, HandleShape::Smooth, "Spinner diameter");
    }

    /// The firewall's front face, with the mount's centre on it.
    fn firewall(&mut self, line: &ThrustLine, shaft: &Shaft) {
        let half = 0.6 * line.spinner.diameter;
        let [x, y, z] = shaft.mount;
        self.stroke(View::Side, Pen::Whole, Item::Firewall, vec![[x, z - half], [x, z + half]]);
        self.stroke(View::Plan, Pen::Whole, Item::Firewall, vec![[x, y - half], [x, y + half]]);
        for way in [[SCREW * 1.5, 0.0], [0.0, SCREW * 1.5]] {
            let [a, b] = seen(View::Face, shaft.mount);
            let points = vec![[a - way[0], b - way[1]], [a + way[0], b + way[1]]];
            self.stroke(View::Face, Pen::Whole, Item::Firewall, points);
        }
        self.handle(View::Side, Item::Firewall, [x, z], HandleShape::Corner, "Firewall, side view");
        self.handle(View::Plan, Item::Firewall, [x, y], HandleShape::Corner, "Firewall, plan");
    }

    fn keep_out(&mut self, index: usize, keep_out: &KeepOut, shaft: Option<&Shaft>) {
        let Ok(solid) = Placed::of(keep_out, shaft) else { return };
        let item = Item::KeepOut(index);
        let edges: Vec<[f64; 3]> = around(&solid, 1.0).into_iter().chain(around(&solid, 2.0)).collect();
        let front = solid.surface(0.0, 0.0);
        for view in DRAWN_IN {
            let mut outline = convex_hull(edges.iter().map(|p| seen(view, *p)).collect());
            outline.extend(outline.first().copied());
            self.stroke(view, Pen::Dashed, item, outline);
            let free = matches!(keep_out.place, KeepOutPlace::Free { .. });
            // On the thrust line it moves along the shaft only, which the face view looks along.
            if free || view != View::Face {
                let label = format!("{}, {}", keep_out.name, view.label().to_lowercase());
                self.handle(view, item, seen(view, front), HandleShape::Corner, label);
            }
        }
    }

    /// As the tips of calipers: a line across with a foot at either end.
    fn gauge(&mut self, index: usize, gauge: &Gauge, derived: &Derived) {
        let item = Item::Gauge(index);
        let (x, half) = (gauge.station, 0.5 * gauge.value);
        let (ends, foot) = match gauge.measure {
            GaugeMeasure::WidthAt { height } => ([[x, half, height], [x, -half, height]], [0.0, 0.0, FOOT]),
            GaugeMeasure::HeightAt { half_breadth } => {
                let middle = middle_height(derived, x);
                ([[x, half_breadth, middle + half], [x, half_breadth, middle - half]], [0.0, FOOT, 0.0])
            }
        };
        self.in_space(Pen::Whole, item, &ends);
        for end in ends {
            let tip = |by: f64| -> [f64; 3] { std::array::from_fn(|k| end[k] + by * foot[k]) };
            self.in_space(Pen::Whole, item, &[tip(-1.0), tip(1.0)]);
            let along_x = |by: f64| [end[0] + by, end[1], end[2]];
            self.in_space(Pen::Whole, item, &[along_x(-FOOT), along_x(FOOT)]);
        }
        for view in DRAWN_IN {
            let label = format!("Gauge {}, {}", gauge.name, view.label().to_lowercase());
            self.handle(view, item, seen(view, ends[0]), HandleShape::Shoulder, label);
        }
    }
}

fn top(outline: &Outline) -> f64 {
    outline.points().first().map_or(0.0, |p| p[1])
}

fn bottom(outline: &Outline) -> f64 {
    outline.points().last().map_or(0.0, |p| p[1])
}

/// Height half way between crown and keel; the datum waterline where there is no form.
pub(crate) fn middle_height(derived: &Derived, x: f64) -> f64 {
    let ends = derived.value(LineName::Crown, x).zip(derived.value(LineName::Keel, x));
    ends.map_or(0.0, |(crown, keel)| f64::midpoint(crown, keel))
}

/// The views in which the airframe is drawn.
const DRAWN_IN: [View; 3] = [View::Side, View::Plan, View::Face];
/// Half the length of a screw's cross, mm.
const SCREW: f64 = 1.5;
/// Half the length of a caliper's foot, mm.
const FOOT: f64 = 4.0;
/// Places around a circle.
const ROUND: u32 = 72;

/// A place in space as a view shows it.
pub(crate) fn seen(view: View, [x, y, z]: [f64; 3]) -> [f64; 2] {
    match view {
        View::Side => [x, z],
        View::Plan => [x, y],
        View::Face | View::Body => [-y, z],
    }
}

/// Once around a solid, closed.
fn around(solid: &Placed, along: f64) -> Vec<[f64; 3]> {
    (0..=ROUND).map(|i| solid.surface(f64::from(i) / f64::from(ROUND), along)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::Solid;

    fn drawn(airframe: Airframe) -> AirframeShapes {
        let mut shapes = AirframeShapes::default();
        shapes.add_to(&mut Scene::default(), &Arc::new(airframe), &Derived::default());
        shapes
    }

    fn reach(shapes: &AirframeShapes, view: View, axis: usize) -> [f64; 2] {
        let places = shapes.strokes.iter().filter(|s| s.view == view).flat_map(|s| s.points.iter().map(|p| p[axis]));
        places.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)])
    }

    /// Silhouettes by the closed forms of a level cylinder and a box.
    #[test]
    fn a_keep_out_is_as_wide_high_and_long_as_it_is() {
        let place = KeepOutPlace::Free { front: [10.0, 5.0, -7.0], pitch_deg: 0.0, yaw_deg: 0.0 };
        let of = |shape| Airframe {
            keep_outs: vec![KeepOut { name: "Motor".into(), shape, place, clearance: 1.0 }],
            ..Airframe::default()
        };
        let shapes = drawn(of(Solid::Cylinder { diameter: 60.0, length: 80.0 }));
        assert_eq!(reach(&shapes, View::Side, 0), [10.0, 90.0]);
        for (view, axis, [low, high]) in
            [(View::Side, 1, [-37.0, 23.0]), (View::Plan, 1, [-25.0, 35.0]), (View::Face, 0, [-35.0, 25.0])]
        {
            let [a, b] = reach(&shapes, view, axis);
            assert!((a - low).abs() < 1e-9 && (b - high).abs() < 1e-9, "{view:?}: {a} {b}");
        }
        let shapes = drawn(of(Solid::Box { length: 30.0, breadth: 20.0, height: 50.0 }));
        let [low, high] = reach(&shapes, View::Face, 1);
        assert!((low + 32.0).abs() < 1e-9 && (high - 18.0).abs() < 1e-9, "{low} {high}");
    }

    #[test]
    fn nothing_is_made_anew_while_nothing_changes() {
        let airframe = Arc::new(Airframe {
            gauges: vec![Gauge {
                name: "Gear".into(),
                station: 100.0,
                measure: GaugeMeasure::WidthAt { height: 0.0 },
                rule: project::airframe::GaugeRule::AtLeast,
                value: 80.0,
                tolerance: 0.5,
            }],
            ..Airframe::default()
        });
        let mut shapes = AirframeShapes::default();
        shapes.add_to(&mut Scene::default(), &airframe, &Derived::default());
        // What is remembered is used again: emptied by hand, it stays empty.
        shapes.strokes.clear();
        shapes.add_to(&mut Scene::default(), &airframe, &Derived::default());
        assert!(shapes.strokes.is_empty());
        shapes.add_to(&mut Scene::default(), &Arc::new((*airframe).clone()), &Derived::default());
        assert!(!shapes.strokes.is_empty());
    }
}
