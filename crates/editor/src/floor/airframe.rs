//! The airframe on the floor: fuselage end, shaft, spinner, ring, keep-outs and gauges, as strokes and handles in mm.
//!
//! Made anew only when the airframe, the surface or what is taken hold of has changed. What a drag of a handle does stands in
//! [`crate::floor::airframe_drag`].

mod fuselage;
pub(crate) mod gauges;
pub(crate) mod keep_outs;
pub(crate) mod shaft;
pub(crate) mod way_off;

use crate::derived::Derived;
use crate::floor::item::{Item, Which};
use crate::floor::layout::View;
use crate::floor::scene::{Handle, HandleShape, Scene, Stroke, StrokeKind};
use crate::view::{Selected, Tab, ViewState};
use fit::outline::Outline;
use fit::thrust;
use project::airframe::Airframe;
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

/// A line of the airframe in space, for the shaded view.
#[derive(Clone, Debug)]
pub(crate) struct SpaceLine {
    pub(crate) pen: Pen,
    pub(crate) points: Vec<[f64; 3]>,
}

/// What was drawn last, and what it was made from: while the form is dragged, what stands on the bench by itself stays.
#[derive(Debug, Default)]
pub(crate) struct AirframeShapes {
    still: Option<(Still, Shapes)>,
    on_form: Option<((Arc<Airframe>, u64), Shapes)>,
    revision: u64,
}

/// What the fuselage, the shaft and the keep-outs are made from.
#[derive(Debug)]
struct Still {
    airframe: Arc<Airframe>,
    /// The fuselage ends after the widest station of the form.
    after: bool,
    held: Held,
}

/// Lines and handles.
#[derive(Debug, Default)]
struct Shapes {
    strokes: Vec<Stroke>,
    handles: Vec<Handle>,
    in_space: Vec<SpaceLine>,
}

/// Which of the fuselage's sections has its handles in the face view, and whether its measured points have theirs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Held {
    which: Which,
    points: bool,
}

impl Held {
    /// What the builder has to do with: the section that is selected, and its points while the bench is worked on.
    pub(crate) fn of(view: &ViewState) -> Self {
        let section = view.selected.item().and_then(Item::section);
        Self { which: section.unwrap_or(Which::End), points: section.is_some() || view.tab == Tab::Bench }
    }
}

impl AirframeShapes {
    /// Brings strokes and handles up to date, and puts them into the scene.
    pub(crate) fn add_to(&mut self, scene: &mut Scene, airframe: &Arc<Airframe>, derived: &Derived, held: Held) {
        let after = airframe
            .fuselage
            .as_ref()
            .is_some_and(|end| derived.stations.is_empty() || end.station > derived.widest_station());
        let still = |from: &Still| Arc::ptr_eq(&from.airframe, airframe) && from.after == after && from.held == held;
        if !self.still.as_ref().is_some_and(|(from, _)| still(from)) {
            let from = Still { airframe: airframe.clone(), after, held };
            self.still = Some((from, Shapes::of_the_bench(airframe, after, held)));
            self.revision += 1;
        }
        let on_form =
            |(from, revision): &(Arc<Airframe>, u64)| Arc::ptr_eq(from, airframe) && *revision == derived.revision;
        if !self.on_form.as_ref().is_some_and(|(from, _)| on_form(from)) {
            self.on_form = Some(((airframe.clone(), derived.revision), Shapes::on_the_form(airframe, derived)));
            self.revision += 1;
        }
        for shapes in self.shapes() {
            scene.strokes.extend(shapes.strokes.iter().cloned());
            scene.handles.extend(shapes.handles.iter().cloned());
            scene.reach_over(&shapes.strokes);
        }
    }

    fn shapes(&self) -> impl Iterator<Item = &Shapes> {
        let still = self.still.as_ref().map(|(_, shapes)| shapes);
        still.into_iter().chain(self.on_form.as_ref().map(|(_, shapes)| shapes))
    }

    /// The same lines in space.
    pub(crate) fn in_space(&self) -> impl Iterator<Item = &SpaceLine> {
        self.shapes().flat_map(|shapes| &shapes.in_space)
    }

    /// A number that changes with them.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }
}

impl Shapes {
    /// What stands there by itself.
    fn of_the_bench(airframe: &Airframe, after: bool, held: Held) -> Self {
        let mut shapes = Self::default();
        if let Some(end) = &airframe.fuselage {
            shapes.fuselage(end, after, held);
        }
        let shaft = airframe.thrust.as_ref().map(thrust::shaft);
        if let (Some(line), Some(shaft)) = (&airframe.thrust, &shaft) {
            shapes.thrust(line, shaft);
        }
        for (index, keep_out) in airframe.keep_outs.iter().enumerate() {
            shapes.keep_out(index, keep_out, shaft.as_ref());
        }
        shapes
    }

    /// What lies where the form is.
    fn on_the_form(airframe: &Airframe, derived: &Derived) -> Self {
        let mut shapes = Self::default();
        for (index, gauge) in airframe.gauges.iter().enumerate() {
            shapes.gauge(index, gauge, derived);
        }
        shapes.way_off(airframe, derived);
        shapes
    }

    fn stroke(&mut self, view: View, pen: Pen, item: Item, points: Vec<[f64; 2]>) {
        let target = Some(Selected::Bench { item, view });
        self.strokes.push(Stroke { view, kind: StrokeKind::Airframe(pen), target, points });
    }

    /// The same line in every view.
    fn line(&mut self, pen: Pen, item: Item, points: &[[f64; 3]]) {
        for view in DRAWN_IN {
            self.stroke(view, pen, item, points.iter().map(|p| seen(view, *p)).collect());
        }
        self.shaded(pen, points.to_vec());
    }

    /// In the shaded view alone.
    fn shaded(&mut self, pen: Pen, points: Vec<[f64; 3]>) {
        self.in_space.push(SpaceLine { pen, points });
    }

    fn handle(&mut self, view: View, item: Item, at: [f64; 2], shape: HandleShape, label: impl Into<String>) {
        let target = Selected::Bench { item, view };
        self.handles.push(Handle { view, at, shape, target, label: label.into(), locked: false });
    }
}

/// What a view is called behind the name of a handle.
pub(crate) fn behind(view: View) -> &'static str {
    match view {
        View::Side => "side view",
        View::Plan => "plan",
        View::Face => "face view",
        View::Body => "body plan",
    }
}

pub(crate) fn top(outline: &Outline) -> f64 {
    outline.points().first().map_or(0.0, |p| p[1])
}

pub(crate) fn bottom(outline: &Outline) -> f64 {
    outline.points().last().map_or(0.0, |p| p[1])
}

/// Height half way between crown and keel; the datum waterline where there is no form.
pub(crate) fn middle_height(derived: &Derived, x: f64) -> f64 {
    let ends = derived.value(LineName::Crown, x).zip(derived.value(LineName::Keel, x));
    ends.map_or(0.0, |(crown, keel)| f64::midpoint(crown, keel))
}

/// The views in which the airframe is drawn.
const DRAWN_IN: [View; 4] = [View::Side, View::Plan, View::Face, View::Body];
/// The views in which it can be taken hold of: the body plan is only read.
const HELD_IN: [View; 3] = [View::Side, View::Plan, View::Face];
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

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{Gauge, GaugeMeasure, KeepOut, KeepOutPlace, Solid};

    const HELD: Held = Held { which: Which::End, points: false };

    fn drawn(airframe: Airframe) -> AirframeShapes {
        let mut shapes = AirframeShapes::default();
        shapes.add_to(&mut Scene::default(), &Arc::new(airframe), &Derived::default(), HELD);
        shapes
    }

    fn reach(shapes: &AirframeShapes, view: View, axis: usize) -> [f64; 2] {
        let places = shapes
            .shapes()
            .flat_map(|s| &s.strokes)
            .filter(|s| s.view == view)
            .flat_map(|s| s.points.iter().map(|p| p[axis]));
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
        shapes.add_to(&mut Scene::default(), &airframe, &Derived::default(), HELD);
        let first = shapes.revision();
        shapes.add_to(&mut Scene::default(), &airframe, &Derived::default(), HELD);
        assert_eq!(shapes.revision(), first);
        let mut other = Derived::default();
        other.revision += 1;
        shapes.add_to(&mut Scene::default(), &airframe, &other, HELD);
        assert_eq!(shapes.revision(), first + 1, "what lies where the form is, and that alone");
        shapes.add_to(&mut Scene::default(), &Arc::new((*airframe).clone()), &other, HELD);
        assert_eq!(shapes.revision(), first + 3);
    }
}
