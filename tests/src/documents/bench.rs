//! Random airframes and builds.

use project::airframe::{
    Airframe, DrawOff, FuselageEnd, FuselageSection, Gauge, GaugeMeasure, GaugeRule, KeepOut, KeepOutPlace, Lap,
    LapSide, Ring, ScrewSpacing, Screws, Solid, Spinner, ThrustLine,
};
use project::build::{Build, Closing, Coat, Formers, PrintedOutline, Process, Sanding, Stack};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

use crate::forms::LENGTH;

/// What may stand on the bench beside a form of `scale` times the usual length.
pub(super) fn any_airframe(scale: f64) -> impl Strategy<Value = Airframe> {
    let draw = prop_oneof![Just(DrawOff::ThrustLine), Just(DrawOff::Datum)];
    let gauges = vec(any_gauge(scale), 0..3);
    (option::of(any_fuselage(scale)), option::of(any_thrust(scale)), vec(any_keep_out(scale), 0..3), gauges, draw)
        .prop_map(|(fuselage, thrust, keep_outs, gauges, draw_off)| Airframe {
            fuselage,
            thrust,
            keep_outs,
            gauges,
            draw_off,
        })
}

fn any_fuselage(scale: f64) -> impl Strategy<Value = FuselageEnd> {
    let size = move || 40.0 * scale..170.0 * scale;
    let section = prop_oneof![
        size().prop_map(|diameter| FuselageSection::Circle { diameter, centre_height: 0.0 }),
        (size(), size()).prop_map(|(width, height)| FuselageSection::Ellipse { width, height, centre_height: 0.0 }),
        (size(), size(), 0.0..0.5_f64).prop_map(|(width, height, share)| FuselageSection::RoundedBox {
            width,
            height,
            radius: share * width.min(height),
            centre_height: 2.0,
        }),
    ];
    let lap = (any::<bool>(), 0.0..30.0_f64, 0.0..1.0_f64);
    let screws = option::of((1_u32..20, 2.0..20.0_f64, 1.0..5.0_f64));
    (0.8..1.1_f64, section, lap, screws).prop_map(move |(at, section, (over, length, clearance), screws)| FuselageEnd {
        station: at * LENGTH * scale,
        section,
        further: None,
        lap: Lap { side: if over { LapSide::Over } else { LapSide::Into }, length, clearance },
        screws: screws.map(|(count, edge_distance, hole)| Screws {
            spacing: ScrewSpacing::Count(count),
            edge_distance,
            hole,
        }),
        allowed_gap: 0.3,
        allowed_break_deg: 1.0,
        pinned: None,
    })
}

fn any_thrust(scale: f64) -> impl Strategy<Value = ThrustLine> {
    let cant = (-6.0..6.0_f64, -6.0..6.0_f64);
    let ring = (0.0..8.0_f64, -3.0..3.0_f64, any::<bool>());
    (cant, 20.0..120.0_f64, 0.0..5.0_f64, ring).prop_map(
        move |((down, side), diameter, gap, (thickness, step, square))| ThrustLine {
            firewall: 200.0 * scale,
            hub_distance: 205.0 * scale,
            hub_height: 0.0,
            down_thrust_deg: down,
            side_thrust_deg: side,
            spinner: Spinner { diameter: diameter * scale + 8.0, gap },
            ring: Ring { thickness, step, square_to_thrust: square },
        },
    )
}

fn any_keep_out(scale: f64) -> impl Strategy<Value = KeepOut> {
    let size = move || 5.0 * scale..120.0 * scale;
    let shape = prop_oneof![
        (size(), size()).prop_map(|(diameter, length)| Solid::Cylinder { diameter, length }),
        (size(), size(), size()).prop_map(|(length, breadth, height)| Solid::Box { length, breadth, height }),
        (0.0..40.0_f64, size(), size()).prop_map(|(front_diameter, rear_diameter, length)| Solid::Cone {
            front_diameter,
            rear_diameter,
            length,
        }),
    ];
    let place = prop_oneof![
        (-20.0..200.0_f64).prop_map(|behind_hub| KeepOutPlace::OnThrustLine { behind_hub }),
        ((-50.0..300.0_f64, -60.0..60.0_f64, -60.0..60.0_f64), -90.0..90.0_f64, -180.0..180.0_f64).prop_map(
            move |((x, y, z), pitch_deg, yaw_deg)| KeepOutPlace::Free {
                front: [x * scale, y * scale, z * scale],
                pitch_deg,
                yaw_deg,
            }
        ),
    ];
    (shape, place, 0.0..10.0_f64).prop_map(|(shape, place, clearance)| KeepOut {
        name: "Part".into(),
        shape,
        place,
        clearance,
    })
}

fn any_gauge(scale: f64) -> impl Strategy<Value = Gauge> {
    let measure = prop_oneof![
        (-40.0..40.0_f64).prop_map(move |height| GaugeMeasure::WidthAt { height: height * scale }),
        (0.0..40.0_f64).prop_map(move |half_breadth| GaugeMeasure::HeightAt { half_breadth: half_breadth * scale }),
    ];
    let rule = prop_oneof![Just(GaugeRule::AtLeast), Just(GaugeRule::AtMost), Just(GaugeRule::Exactly)];
    (measure, rule, 0.0..LENGTH, 10.0..160.0_f64).prop_map(move |(measure, rule, station, value)| Gauge {
        name: "Width".into(),
        station: station * scale,
        measure,
        rule,
        value: value * scale,
        tolerance: 0.5,
    })
}

/// How a form of `scale` times the usual length may be built.
pub(super) fn any_build(scale: f64) -> impl Strategy<Value = Build> {
    let coat = (0.0..1.5_f64, 0.0..0.3_f64, 0.0..0.2_f64);
    let sanding = (vec(1.0..299.0_f64, 0..3), any::<bool>(), 5.0..20.0_f64);
    (any::<bool>(), coat, any_stack(scale), any_formers(scale), sanding).prop_map(
        move |(mould, (laminate, filler, paint), stack, formers, (mut stations, lines, land))| {
            stations.sort_by(f64::total_cmp);
            stations.dedup_by(|b, a| *b - *a < 1.0);
            stations.iter_mut().for_each(|x| *x *= scale);
            Build {
                process: if mould { Process::FemaleMould } else { Process::OverPlug },
                coat: Coat { laminate, filler, paint },
                stack,
                formers,
                sanding: Sanding { stations, lines, land, measured: Vec::new() },
                ..Build::default()
            }
        },
    )
}

fn any_stack(scale: f64) -> impl Strategy<Value = Stack> {
    let closing = prop_oneof![Just(Closing::LastBoard), Just(Closing::MoveDatum), Just(Closing::Spread)];
    let thin = (0.3..5.0_f64, 0.0..0.5_f64);
    let front = (any::<bool>(), 0.0..40.0_f64, 0.0..8.0_f64);
    (any::<bool>(), 15.0..60.0_f64, 3_usize..12, thin, front, closing).prop_map(
        move |(used, board, count, (card, glue), (foam_front, nose_foam, ring_plate), closing)| Stack {
            used,
            boards: vec![board * scale; count],
            card,
            glue,
            foam_front,
            nose_foam,
            ring_plate,
            closing,
            allowed_sagitta: 0.3,
        },
    )
}

fn any_formers(scale: f64) -> impl Strategy<Value = Formers> {
    let outline = prop_oneof![Just(PrintedOutline::Smaller), Just(PrintedOutline::Front), Just(PrintedOutline::Rear)];
    let breadth = option::of(-20.0..20.0_f64);
    let dowels = vec((0.0..30.0_f64, -30.0..30.0_f64).prop_map(move |(y, z)| [y * scale, z * scale]), 0..3);
    let holes = (0.0..30.0_f64, 2.0..8.0_f64, prop_oneof![Just(0.0), 5.0..20.0_f64]);
    (0.0..3.0_f64, outline, any::<bool>(), breadth, dowels, holes).prop_map(
        move |(inset, outline, centre_opens_up, breadth, dowels, (shaft_hole, dowel_diameter, lightening_web))| {
            Formers {
                inset,
                outline,
                centre_opens_up,
                breadth_template: breadth.map(|z| z * scale),
                dowels,
                shaft_hole,
                dowel_diameter,
                lightening_web,
                ..Build::default().formers
            }
        },
    )
}
