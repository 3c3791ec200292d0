//! Handles of the airframe, dragged by the pointer in each view in which they can be seen.

use super::*;
use crate::floor::layout::View;
use project::airframe::{KeepOut, Solid, ThrustLine};

/// Drags a handle and gives how far that is in mm of its view, to the right and up.
fn pull(window: &mut Window<'_>, label: &str, view: View, by: [f32; 2]) -> [f64; 2] {
    // Less than a few points is a click.
    let by = by.map(|v| 3.0 * v);
    let from = rect(window, label).center();
    let scale = window.state().layout().expect("drawn").window(view).scale;
    drag(window, from, vec2(by[0], -by[1]));
    [f64::from(by[0]) / scale[0], f64::from(by[1]) / scale[1]]
}

fn line(window: &Window<'_>) -> ThrustLine {
    airframe(window).thrust.expect("added")
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 0.05, "{found} instead of {wanted}");
}

#[test]
fn the_fuselage_end_is_dragged_in_side_view_plan_and_face_view() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Fuselage section section: rounded box");
    let end = |window: &Window<'_>| airframe(window).fuselage.clone().expect("added");
    let size = |window: &Window<'_>| match end(window).section {
        FuselageSection::RoundedBox { width, height, radius, centre_height } => [width, height, radius, centre_height],
        other => panic!("{other:?}"),
    };
    for (label, view) in [("Fuselage end, side view", View::Side), ("Fuselage end, plan", View::Plan)] {
        let before = end(&window).station;
        let by = pull(&mut window, label, view, [-5.0, 0.0]);
        near(end(&window).station, before + by[0]);
    }
    for (label, view) in [("Lap, side view", View::Side), ("Lap, plan", View::Plan)] {
        let before = end(&window).lap.length;
        let by = pull(&mut window, label, view, [9.0, 0.0]);
        near(end(&window).lap.length, before + by[0]);
    }
    let [width, ..] = size(&window);
    let by = pull(&mut window, "Fuselage section, width, face view", View::Face, [-8.0, 0.0]);
    near(size(&window)[0], width - 2.0 * by[0]);
    let [width, height, ..] = size(&window);
    let by = pull(&mut window, "Fuselage section, width, plan", View::Plan, [0.0, 6.0]);
    near(size(&window)[0], width + 2.0 * by[1]);
    let by = pull(&mut window, "Fuselage section, height, face view", View::Face, [0.0, 7.0]);
    near(size(&window)[1], height + 2.0 * by[1]);
    let height = size(&window)[1];
    let by = pull(&mut window, "Fuselage section, height, side view", View::Side, [0.0, -5.0]);
    near(size(&window)[1], height + 2.0 * by[1]);
    let centre = size(&window)[3];
    let by = pull(&mut window, "Fuselage section, up and down, face view", View::Face, [0.0, 9.0]);
    near(size(&window)[3], centre + by[1]);
    let radius = size(&window)[2];
    // Along the diagonal the corner's middle moves by (√2 - 1) of what the radius changes.
    let by = pull(&mut window, "Fuselage section, corner radius, face view", View::Face, [-8.0, -8.0]);
    near(size(&window)[2], radius - by[0] / (1.0 - std::f64::consts::FRAC_1_SQRT_2));
    press(&mut window, "Fuselage end screws around it");
    let edge = |window: &Window<'_>| end(window).screws.expect("there are some").edge_distance;
    for (label, view) in [("Screws, side view", View::Side), ("Screws, plan", View::Plan)] {
        let before = edge(&window);
        let by = pull(&mut window, label, view, [-6.0, 0.0]);
        near(edge(&window), before - by[0]);
    }
}

#[test]
fn the_further_section_has_handles_of_its_own_once_it_is_taken_hold_of() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the fuselage end");
    press(&mut window, "Add a further section");
    let further =
        |window: &Window<'_>| airframe(window).fuselage.as_ref().and_then(|e| e.further.clone()).expect("added");
    let width = |window: &Window<'_>| match further(window).1 {
        FuselageSection::Ellipse { width, .. } => width,
        other => panic!("{other:?}"),
    };
    for (label, view) in
        [("Further fuselage section, side view", View::Side), ("Further fuselage section, plan", View::Plan)]
    {
        let before = further(&window).0;
        let by = pull(&mut window, label, view, [7.0, 0.0]);
        near(further(&window).0, before + by[0]);
    }
    let before = width(&window);
    let by = pull(&mut window, "Further section, width, face view", View::Face, [-7.0, 0.0]);
    near(width(&window), before - 2.0 * by[0]);
    let own = airframe(&window).fuselage.as_ref().map(|end| end.section.clone());
    assert!(matches!(own, Some(FuselageSection::Ellipse { width, .. }) if (width - before).abs() < 1e-9));
}

#[test]
fn shaft_spinner_and_ring_are_dragged_in_every_view() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    let hub = |window: &Window<'_>| fit::thrust::shaft(&line(window)).hub;
    for (label, view) in [("Hub, side view", View::Side), ("Hub, plan", View::Plan)] {
        let before = hub(&window)[0];
        let by = pull(&mut window, label, view, [-9.0, 0.0]);
        near(hub(&window)[0], before + by[0]);
    }
    for (label, view) in [("Firewall, side view", View::Side), ("Firewall, plan", View::Plan)] {
        let (before, held) = (line(&window).firewall, hub(&window));
        let by = pull(&mut window, label, view, [-13.0, 0.0]);
        near(line(&window).firewall, before + by[0]);
        near(hub(&window)[0], held[0]);
    }
    // The drawn end of the shaft follows the pointer, and the hub stays: down-thrust in the side view, side-thrust in the plan,
    // both by the mount in the face view.
    let held = hub(&window);
    pull(&mut window, "Thrust line, side view", View::Side, [0.0, 14.0]);
    let down = line(&window).down_thrust_deg;
    assert!(down > 0.5, "{down}");
    pull(&mut window, "Thrust line, plan", View::Plan, [0.0, -14.0]);
    let side = line(&window).side_thrust_deg;
    assert!(side > 0.5 && (line(&window).down_thrust_deg - down).abs() < 0.02, "{side}");
    let before = fit::thrust::shaft(&line(&window)).mount;
    let by = pull(&mut window, "Mount, face view", View::Face, [-6.0, 5.0]);
    let mount = fit::thrust::shaft(&line(&window)).mount;
    near(mount[1], before[1] - by[0]);
    near(mount[2], before[2] + by[1]);
    near(hub(&window)[0], held[0]);
    near(hub(&window)[2], held[2]);
    // What was dragged ahead has left the view.
    window.state_mut().view.fit_wanted = true;
    window.run_ok();
    // Spinner and ring, across the shaft.
    let diameter = |window: &Window<'_>| line(window).spinner.diameter;
    for (label, view, by, along) in [
        ("Spinner diameter, side view", View::Side, [0.0, 6.0], 1),
        ("Spinner diameter, plan", View::Plan, [0.0, 6.0], 1),
        ("Spinner diameter, face view", View::Face, [-6.0, 0.0], 0),
    ] {
        let before = diameter(&window);
        let by = pull(&mut window, label, view, by);
        // Across the shaft, which is canted by a few degrees in every view.
        let cant = fit::thrust::shaft(&line(&window)).total_deg.to_radians().cos();
        let wider = diameter(&window) - before;
        // In side view and plan the handle lies 30 degrees round the rim.
        let round = if view == View::Face { 1.0 } else { 30_f64.to_radians().cos() };
        let pulled = 2.0 * by[along].abs() / round;
        assert!(wider > cant * pulled - 0.1 && wider < pulled / cant + 0.1, "{label}: {wider} for {pulled}");
    }
    for (label, view, by) in [
        ("Ring, side view", View::Side, [0.0, 6.0]),
        ("Ring, plan", View::Plan, [0.0, -6.0]),
        ("Ring, face view", View::Face, [-4.0, 4.0]),
    ] {
        let before = line(&window).ring.step;
        pull(&mut window, label, view, by);
        assert!(line(&window).ring.step > before + 1.0, "{label}: {} after {before}", line(&window).ring.step);
    }
    let gap = line(&window).spinner.gap;
    let by = pull(&mut window, "Ring, side view", View::Side, [7.0, 0.0]);
    assert!((line(&window).spinner.gap - gap - by[0]).abs() < 0.3, "{} after {gap}", line(&window).spinner.gap);
}

fn keep_out(window: &Window<'_>) -> KeepOut {
    airframe(window).keep_outs[0].clone()
}

#[test]
fn a_keep_out_is_sized_stretched_and_turned_by_the_pointer() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add a keep-out");
    press(&mut window, "Keep-out 1 shape: box");
    type_into(&mut window, "Keep-out 1 breadth", "40");
    let sizes = |window: &Window<'_>| match keep_out(window).shape {
        Solid::Box { length, breadth, height } => [length, breadth, height],
        other => panic!("{other:?}"),
    };
    let [length, breadth, height] = sizes(&window);
    let by = pull(&mut window, "Motor, size, side view", View::Side, [0.0, 8.0]);
    near(sizes(&window)[2], height + 2.0 * by[1]);
    let by = pull(&mut window, "Motor, size, plan", View::Plan, [0.0, 6.0]);
    near(sizes(&window)[1], breadth + 2.0 * by[1]);
    let breadth = sizes(&window)[1];
    let by = pull(&mut window, "Motor, size, face view", View::Face, [6.0, 0.0]);
    near(sizes(&window)[1], breadth - 2.0 * by[0]);
    let by = pull(&mut window, "Motor, rear, side view", View::Side, [12.0, 0.0]);
    near(sizes(&window)[0], length + by[0]);
    pull(&mut window, "Motor, rear, side view", View::Side, [0.0, -9.0]);
    pull(&mut window, "Motor, rear, plan", View::Plan, [0.0, 9.0]);
    let KeepOutPlace::Free { front, pitch_deg, yaw_deg } = keep_out(&window).place else { panic!("freely placed") };
    assert!(pitch_deg > 1.0 && yaw_deg > 1.0, "{pitch_deg} {yaw_deg}");
    for (label, view, axes, sign) in [
        ("Motor, side view", View::Side, [0, 2], 1.0),
        ("Motor, plan", View::Plan, [0, 1], 1.0),
        ("Motor, face view", View::Face, [1, 2], -1.0),
    ] {
        let KeepOutPlace::Free { front: before, .. } = keep_out(&window).place else { panic!("freely placed") };
        let by = pull(&mut window, label, view, [5.0, 4.0]);
        let KeepOutPlace::Free { front: after, .. } = keep_out(&window).place else { panic!("freely placed") };
        near(after[axes[0]], before[axes[0]] + sign * by[0]);
        near(after[axes[1]], before[axes[1]] + by[1]);
    }
    assert!(front[0].is_finite());
}

#[test]
fn a_keep_out_on_the_thrust_line_and_a_cone_have_their_own_ways() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    press(&mut window, "Add a keep-out");
    press(&mut window, "Keep-out 1 shape: cone");
    let behind = |window: &Window<'_>| match keep_out(window).place {
        KeepOutPlace::OnThrustLine { behind_hub } => behind_hub,
        other => panic!("{other:?}"),
    };
    for (label, view) in [("Motor, side view", View::Side), ("Motor, plan", View::Plan)] {
        let before = behind(&window);
        let by = pull(&mut window, label, view, [10.0, 5.0]);
        near(behind(&window), before + by[0]);
    }
    let cone = |window: &Window<'_>| match keep_out(window).shape {
        Solid::Cone { front_diameter, rear_diameter, length } => [front_diameter, rear_diameter, length],
        other => panic!("{other:?}"),
    };
    let before = cone(&window);
    let by = pull(&mut window, "Motor, rear size, side view", View::Side, [0.0, 7.0]);
    near(cone(&window)[1], before[1] + 2.0 * by[1]);
    near(cone(&window)[0], before[0]);
    let by = pull(&mut window, "Motor, rear, plan", View::Plan, [9.0, 0.0]);
    near(cone(&window)[2], before[2] + by[0]);
}

/// Placed freely it lies as it lay on the shaft: the same axis, so the same place of its rear.
#[test]
fn a_keep_out_taken_off_the_thrust_line_stays_where_it_is() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    type_into(&mut window, "Thrust line down-thrust", "3");
    type_into(&mut window, "Thrust line side-thrust", "2.5");
    press(&mut window, "Add a keep-out");
    let rear = |window: &Window<'_>| {
        let shaft = fit::thrust::shaft(&line(window));
        fit::solid::Placed::of(&keep_out(window), Some(&shaft)).expect("placed").surface(0.0, 3.0)
    };
    let before = rear(&window);
    press(&mut window, "Keep-out 1 placed: freely");
    assert!(matches!(keep_out(&window).place, KeepOutPlace::Free { .. }));
    (0..3).for_each(|k| near(rear(&window)[k], before[k]));
    press(&mut window, "Keep-out 1 placed: on the thrust line");
    (0..3).for_each(|k| near(rear(&window)[k], before[k]));
}

#[test]
fn the_way_off_is_drawn_chosen_by_its_arrow_and_says_what_is_in_the_way() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add the thrust line");
    type_into(&mut window, "Thrust line down-thrust", "8");
    type_into(&mut window, "Thrust line spinner diameter", "60");
    window.state_mut().view.fit_wanted = true;
    measured(&mut window);
    // The body is wider than its spinner all along, so nothing holds the shell.
    window.get_by_label("It comes off freely.");
    assert_eq!(airframe(&window).draw_off, project::airframe::DrawOff::ThrustLine);
    // From the canted arrow's tip up to the level one's: 45 mm sin 8 degrees, and as far again.
    pull(&mut window, "Way off, side view", View::Side, [0.0, 6.0]);
    assert_eq!(airframe(&window).draw_off, project::airframe::DrawOff::Datum);
    assert_eq!(window.state().view.selected.item(), Some(Item::WayOff));
    click(&mut window, "Undo");
    assert_eq!(airframe(&window).draw_off, project::airframe::DrawOff::ThrustLine);
    // Wider than the form's front, the back plate is in the way.
    type_into(&mut window, "Thrust line spinner diameter", "170");
    measured(&mut window);
    window.get_by_label_contains("the shell hits the spinner's back plate");
}

#[test]
fn gauges_are_dragged_in_every_view() {
    let mut window = on(Tab::Bench);
    press(&mut window, "Add a gauge");
    let gauge = |window: &Window<'_>| airframe(window).gauges[0].clone();
    let height = |window: &Window<'_>| match gauge(window).measure {
        GaugeMeasure::WidthAt { height } => height,
        other => panic!("{other:?}"),
    };
    let (station, high) = (gauge(&window).station, height(&window));
    let by = pull(&mut window, "Gauge 1, side view", View::Side, [8.0, -6.0]);
    near(gauge(&window).station, station + by[0]);
    near(height(&window), high + by[1]);
    let (station, value) = (gauge(&window).station, gauge(&window).value);
    let by = pull(&mut window, "Gauge 1, plan", View::Plan, [-7.0, -6.0]);
    near(gauge(&window).station, station + by[0]);
    near(gauge(&window).value, value + 2.0 * by[1]);
    let (high, value) = (height(&window), gauge(&window).value);
    let by = pull(&mut window, "Gauge 1, face view", View::Face, [-5.0, 5.0]);
    near(height(&window), high + by[1]);
    near(gauge(&window).value, value - 2.0 * by[0]);
    press(&mut window, "Gauge 1 measures: height");
    let value = gauge(&window).value;
    let by = pull(&mut window, "Gauge 1, side view", View::Side, [0.0, 6.0]);
    near(gauge(&window).value, value + 2.0 * by[1]);
}
