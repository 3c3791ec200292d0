//! What dragging a handle of the airframe changes: one edit, from where the handle is now.

mod fuselage;
mod keep_outs;
mod shaft;

use crate::derived::Derived;
use crate::floor::airframe::gauges::{ARM, is_end_on};
use crate::floor::airframe::{middle_height, way_off};
use crate::floor::item::Item;
use crate::floor::layout::View;
use fit::thrust;
use project::airframe::{Airframe, Gauge, GaugeMeasure};
use project::edit::Edit;
use project::promise::MIN_SIZE;

pub(crate) use fuselage::{add_point, centre_height, move_point, remove_point};

/// The edit that brings an item's handle of a view to a place of that view, mm.
pub(crate) fn edit_for(airframe: &Airframe, derived: &Derived, item: Item, view: View, at: [f64; 2]) -> Option<Edit> {
    match item {
        Item::Fuselage | Item::FuselageFurther | Item::Section(..) | Item::Lap | Item::Screws => {
            let mut end = airframe.fuselage.clone()?;
            fuselage::moved(&mut end, item, view, at)?;
            Some(Edit::SetFuselage(Some(end)))
        }
        Item::Firewall | Item::Hub | Item::Cant | Item::Spinner | Item::Ring => {
            let mut line = airframe.thrust?;
            shaft::moved(&mut line, item, view, at)?;
            Some(Edit::SetThrust(Some(line)))
        }
        Item::KeepOut(index) | Item::KeepOutFront(index) | Item::KeepOutRear(index) | Item::KeepOutRearSize(index) => {
            let mut with = airframe.keep_outs.get(index)?.clone();
            let shaft = airframe.thrust.as_ref().map(thrust::shaft);
            keep_outs::moved(&mut with, shaft.as_ref(), item, view, at)?;
            Some(Edit::ReplaceKeepOut { index, with })
        }
        Item::WayOff => way_off::nearest(airframe, derived, view, at).map(Edit::SetDrawOff),
        Item::Gauge(index) => {
            let mut with = airframe.gauges.get(index)?.clone();
            move_gauge(&mut with, derived, view, at);
            Some(Edit::ReplaceGauge { index, with })
        }
    }
}

/// Along the body the station, across the tips of the calipers apart.
fn move_gauge(gauge: &mut Gauge, derived: &Derived, view: View, [a, b]: [f64; 2]) {
    if matches!(view, View::Side | View::Plan) {
        gauge.station = if is_end_on(gauge.measure, view) { a - ARM } else { a };
    }
    match (&mut gauge.measure, view) {
        (GaugeMeasure::WidthAt { height }, View::Side) => *height = b,
        (GaugeMeasure::WidthAt { .. }, View::Plan) => gauge.value = 2.0 * (b.abs() - ARM),
        (GaugeMeasure::WidthAt { height }, _) => {
            *height = b;
            gauge.value = 2.0 * (a.abs() - ARM);
        }
        (GaugeMeasure::HeightAt { half_breadth }, View::Plan) => *half_breadth = b.abs(),
        (GaugeMeasure::HeightAt { half_breadth }, view) => {
            if view == View::Face {
                *half_breadth = a.abs();
            }
            gauge.value = 2.0 * ((b - middle_height(derived, gauge.station)).abs() - ARM);
        }
    }
    gauge.value = gauge.value.max(MIN_SIZE);
}

#[cfg(test)]
mod tests {
    use super::*;
    use project::airframe::{KeepOut, KeepOutPlace, Ring, Solid, Spinner, ThrustLine};

    fn line() -> ThrustLine {
        ThrustLine {
            firewall: 300.0,
            hub_distance: 310.0,
            hub_height: 4.0,
            down_thrust_deg: 2.0,
            side_thrust_deg: 3.0,
            spinner: Spinner { diameter: 70.0, gap: 2.0 },
            ring: Ring { thickness: 3.0, step: 1.0, square_to_thrust: true },
        }
    }

    #[test]
    fn a_dragged_firewall_leaves_the_hub_where_it_is() {
        let mut moved = line();
        shaft::moved(&mut moved, Item::Firewall, View::Side, [325.0, 0.0]).unwrap();
        let (before, after) = (thrust::shaft(&line()), thrust::shaft(&moved));
        assert!((before.hub[0] - after.hub[0]).abs() < 1e-9 && (after.mount[0] - 325.0).abs() < 1e-9);
    }

    #[test]
    fn a_dragged_hub_comes_to_the_pointer() {
        let mut moved = line();
        shaft::moved(&mut moved, Item::Hub, View::Side, [-20.0, 11.0]).unwrap();
        let hub = thrust::shaft(&moved).hub;
        assert!((hub[0] + 20.0).abs() < 1e-9 && hub[2] == 11.0);
        shaft::moved(&mut moved, Item::Hub, View::Side, [400.0, 11.0]).unwrap();
        assert_eq!(moved.hub_distance, 0.0, "the hub does not pass the firewall");
    }

    #[test]
    fn a_keep_out_on_the_thrust_line_slides_along_it() {
        let mut motor = KeepOut {
            name: "Motor".into(),
            shape: Solid::Cylinder { diameter: 40.0, length: 50.0 },
            place: KeepOutPlace::OnThrustLine { behind_hub: 20.0 },
            clearance: 2.0,
        };
        let shaft = thrust::shaft(&line());
        keep_outs::moved(&mut motor, Some(&shaft), Item::KeepOut(0), View::Side, [60.0, 99.0]).unwrap();
        let placed = fit::solid::Placed::of(&motor, Some(&shaft)).unwrap();
        assert!((placed.surface(0.0, 0.0)[0] - 60.0).abs() < 1e-9);
    }

    /// Every handle that is drawn, dragged to where it is, changes nothing; dragged on, it comes to where it was dragged, along
    /// the ways it can go.
    #[test]
    fn every_handle_stays_under_the_pointer() {
        use crate::floor::airframe::{AirframeShapes, Held};
        use crate::floor::scene::Scene;
        use crate::view::{Selected, Tab, ViewState};
        use std::sync::Arc;
        let airframe = Arc::new(everything());
        let derived = Derived::default();
        let held = Held::of(&ViewState { tab: Tab::Bench, ..ViewState::default() });
        let handles = |airframe: &Arc<Airframe>| {
            let mut scene = Scene::default();
            AirframeShapes::default().add_to(&mut scene, airframe, &derived, held);
            scene.handles
        };
        let document = |airframe: &Arc<Airframe>| project::document::Document {
            airframe: airframe.clone(),
            ..project::starter::new_document("Test")
        };
        let all = handles(&airframe);
        assert!(all.len() > 30, "{}", all.len());
        for handle in &all {
            let Selected::Bench { item, view } = handle.target else { panic!("{handle:?}") };
            let place = |at: [f64; 2]| {
                let edit = edit_for(&airframe, &derived, item, view, at).unwrap_or_else(|| panic!("{}", handle.label));
                let next = edit.apply(&document(&airframe)).unwrap_or_else(|e| panic!("{}: {e}", handle.label));
                let handles = handles(&next.airframe);
                handles.iter().find(|h| h.target == handle.target).map(|h| h.at).unwrap()
            };
            let still = place(handle.at);
            let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
            assert!(apart(still, handle.at) < 0.01, "{}: {:?} went to {still:?}", handle.label, handle.at);
            // One way at least moves it, and in that way it follows the pointer: a corner along its diagonal.
            let follows = [[3.0, 0.0], [0.0, 3.0], [-2.1, -2.1], [2.1, -2.1]].map(|by: [f64; 2]| {
                let to = place([handle.at[0] + by[0], handle.at[1] + by[1]]);
                let length = by[0].hypot(by[1]);
                let along = ((to[0] - handle.at[0]) * by[0] + (to[1] - handle.at[1]) * by[1]) / length;
                (along - length).abs() < 0.35
            });
            assert!(follows.contains(&true), "{} does not follow", handle.label);
        }
    }

    fn everything() -> Airframe {
        let section = project::airframe::FuselageSection::RoundedBox {
            width: 150.0,
            height: 160.0,
            radius: 40.0,
            centre_height: 3.0,
        };
        let further = project::fuselage::points(&section, project::fuselage::COARSE, 1.0).unwrap();
        let keep_out = |shape, place| KeepOut { name: "Thing".into(), shape, place, clearance: 2.0 };
        let free = KeepOutPlace::Free { front: [60.0, 12.0, -20.0], pitch_deg: 8.0, yaw_deg: -5.0 };
        let on_line = KeepOutPlace::OnThrustLine { behind_hub: 20.0 };
        let gauge = |measure| Gauge {
            name: "Gear".into(),
            station: 200.0,
            measure,
            rule: project::airframe::GaugeRule::AtLeast,
            value: 120.0,
            tolerance: 0.5,
        };
        Airframe {
            fuselage: Some(project::airframe::FuselageEnd {
                station: 300.0,
                section,
                further: Some((340.0, project::airframe::FuselageSection::Measured(further))),
                lap: project::airframe::Lap { side: project::airframe::LapSide::Over, length: 15.0, clearance: 0.3 },
                screws: Some(project::airframe::Screws {
                    spacing: project::airframe::ScrewSpacing::Count(6),
                    edge_distance: 7.0,
                    hole: 3.0,
                }),
                allowed_gap: 0.5,
                allowed_break_deg: 2.0,
                pinned: None,
            }),
            thrust: Some(line()),
            keep_outs: vec![
                keep_out(Solid::Cylinder { diameter: 40.0, length: 50.0 }, on_line),
                keep_out(Solid::Box { length: 60.0, breadth: 30.0, height: 50.0 }, free),
                keep_out(Solid::Cone { front_diameter: 20.0, rear_diameter: 60.0, length: 70.0 }, free),
                keep_out(Solid::Cone { front_diameter: 20.0, rear_diameter: 60.0, length: 70.0 }, on_line),
            ],
            gauges: vec![
                gauge(GaugeMeasure::WidthAt { height: 5.0 }),
                gauge(GaugeMeasure::HeightAt { half_breadth: 10.0 }),
            ],
            draw_off: project::airframe::DrawOff::Datum,
        }
    }

    #[test]
    fn measured_points_are_moved_added_and_removed_and_stay_a_section() {
        let points = vec![[0.0, 60.0], [50.0, 40.0], [70.0, 0.0], [0.0, -60.0]];
        let measured = project::document::MeasuredSection {
            points,
            knuckles: vec![project::document::MeasuredKnuckle { point: 2, number: 4 }],
            crown_ridge: false,
            keel_ridge: false,
            breadth_point: None,
            breadth_girth: None,
        };
        let mut moved = measured.clone();
        move_point(&mut moved, 0, [7.0, 66.0]);
        assert_eq!(moved.points[0], [0.0, 66.0], "an end keeps to the centre plane");
        move_point(&mut moved, 1, [-3.0, 41.0]);
        assert_eq!(moved.points[1], [0.0, 41.0], "and no point crosses it");
        let mut added = measured.clone();
        assert_eq!(add_point(&mut added, [62.0, 25.0]), Some(2));
        assert_eq!(added.points[2], [62.0, 25.0]);
        assert_eq!(added.knuckles[0].point, 3, "a knuckle stays with its point");
        assert!(remove_point(&mut added, 2));
        assert_eq!(added, measured);
        assert!(!remove_point(&mut added, 0) && !remove_point(&mut added, 3), "ends stay");
        assert!(remove_point(&mut added, 2) && added.knuckles.is_empty());
        assert!(!remove_point(&mut added, 1), "three points are the least");
    }
}
