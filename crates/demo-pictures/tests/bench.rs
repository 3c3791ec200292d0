//! What lies on the demo's bench fits its cowl, by numbers computed here and not by the program's own checks.

#![allow(clippy::unwrap_used, clippy::panic, reason = "the lint knows test functions, not what they call")]

use plugwright_demo_pictures::airframe::skin_of;
use plugwright_demo_pictures::bench;
use plugwright_demo_pictures::ostrel::{LENGTH, cowl};
use project::airframe::{FuselageSection, GaugeMeasure};
use project::promise::{check_airframe, check_build};

/// Half the cowl's outline at a station, chords within 0.005 mm.
fn outline(x: f64) -> Vec<[f64; 2]> {
    skin_of(&cowl()).unwrap().loft().section(x).unwrap().polyline(0.005)
}

/// Distance from a point to a line through points.
fn distance(p: [f64; 2], line: &[[f64; 2]]) -> f64 {
    let to_chord = |w: &[[f64; 2]]| {
        let along = [w[1][0] - w[0][0], w[1][1] - w[0][1]];
        let square = along[0].powi(2) + along[1].powi(2);
        let share = ((p[0] - w[0][0]) * along[0] + (p[1] - w[0][1]) * along[1]) / square;
        let share = share.clamp(0.0, 1.0);
        (p[0] - w[0][0] - share * along[0]).hypot(p[1] - w[0][1] - share * along[1])
    };
    line.windows(2).map(to_chord).fold(f64::INFINITY, f64::min)
}

#[test]
fn the_bench_keeps_its_promises() {
    assert_eq!(check_airframe(&bench::airframe()), Ok(()));
    assert_eq!(check_build(&bench::build()), Ok(()));
}

/// Coat and clearance find room all round between the cowl and the curve through the measured points.
#[test]
fn the_cowl_goes_over_the_fuselage() {
    let end = bench::airframe().fuselage.unwrap();
    assert_eq!(end.station, LENGTH);
    let FuselageSection::Measured(measured) = &end.section else { panic!("not measured") };
    let curve = project::measured::curve(measured).unwrap();
    let cowl = outline(LENGTH);
    let least = bench::build().coat.total() + end.lap.clearance;
    for arc in curve.arcs() {
        for step in 0..=20 {
            let p = arc.jet(f64::from(step) / 20.0).p;
            let room = distance(p, &cowl);
            assert!((least..=end.allowed_gap).contains(&room), "{room:.3} mm at {p:?}");
        }
    }
}

/// The ring's edge is the cowl's front edge, and its tilted rear face just touches the front face. Closed form: a face that
/// is tilted by t in all reaches r sin t fore and aft of its centre; cos t = 1 / √(1 + tan² 2° + tan² 2.5°).
#[test]
fn spinner_and_ring_meet_the_front() {
    let thrust = bench::airframe().thrust.unwrap();
    let radius = thrust.spinner.diameter / 2.0 - thrust.ring.step;
    for [y, z] in outline(0.0) {
        assert!((y.hypot(z) - radius).abs() < 0.05, "({y}, {z})");
    }
    let [down, side] = [thrust.down_thrust_deg, thrust.side_thrust_deg].map(|degrees: f64| degrees.to_radians().tan());
    let cos = 1.0 / (1.0 + down * down + side * side).sqrt();
    let behind_hub = thrust.spinner.gap + thrust.ring.thickness;
    let centre = thrust.firewall - (thrust.hub_distance - behind_hub) * cos;
    let reach = radius * (1.0 - cos * cos).sqrt();
    assert!((-0.3..=0.0).contains(&(centre + reach)), "{}", centre + reach);
}

/// Ten boards, ten cards behind them and one more behind the last board, and a joint between each two layers leave 36 mm
/// for the last board, which is thicker before it is planed.
#[test]
fn the_last_board_fills_the_stack() {
    let stack = bench::build().stack;
    let (last, others) = stack.boards.split_last().unwrap();
    let layers = 2.0 * (others.len() as f64 + 1.0);
    let rest = LENGTH - others.iter().sum::<f64>() - stack.card * layers / 2.0 - stack.glue * (layers - 1.0);
    assert!((rest - 36.0).abs() < 1e-9 && *last > rest, "{rest}");
}

#[test]
fn the_cowl_is_wide_enough_for_the_landing_gear() {
    let gauge = &bench::airframe().gauges[0];
    let GaugeMeasure::WidthAt { height } = gauge.measure else { panic!("not a width") };
    let section = outline(gauge.station);
    let at = section.windows(2).find(|w| w[0][1] >= height && w[1][1] < height).unwrap();
    assert!(2.0 * at[1][0] > gauge.value, "{at:?}");
}
