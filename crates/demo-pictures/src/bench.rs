//! What lies on the bench of the demo's builder, and how the plug is built: invented like the cowl, in mm at the model.
//!
//! The cowl goes over the fuselage: all round it stands proud of what was measured there by the coat of nearly 0.8 mm, the
//! clearance of 0.75 mm and a little. The fuselage narrows aft by up to 0.72 mm over the lap of 12 mm, so with less the
//! lap would not come off forward. The spinner of 70 mm stands 2 mm over the ring of 66 mm all round. The motor is canted
//! by 2 degrees down and 2.5 to starboard, and mounted so far to port and up that its hub lies on the centre plane.

use crate::ostrel::LENGTH;
use crate::shell::shell;
use project::airframe::{
    Airframe, DrawOff, FuselageEnd, FuselageSection, Gauge, GaugeMeasure, GaugeRule, KeepOut, KeepOutPlace, Lap,
    LapSide, Ring, ScrewSpacing, Screws, Solid, Spinner, ThrustLine,
};
use project::build::{Build, Formers, Process, Sanding, Stack};
use project::document::{MeasuredKnuckle, MeasuredSection};

/// Distance from the firewall to the spinner's back plate along the shaft: the ring's rear face, tilted with the shaft, just
/// touches the cowl's front face at its lower starboard edge.
const HUB_DISTANCE: f64 = 367.5;
/// Diameter of the spinner that was bought.
const SPINNER: f64 = 70.0;

/// What the cowl must fit.
pub fn airframe() -> Airframe {
    Airframe {
        fuselage: Some(fuselage()),
        thrust: Some(thrust()),
        keep_outs: keep_outs(),
        gauges: vec![landing_gear()],
        draw_off: DrawOff::Datum,
    }
}

/// Its section as measured to a tenth of a millimetre at the firewall and 40 mm behind it.
fn fuselage() -> FuselageEnd {
    FuselageEnd {
        station: LENGTH,
        section: FuselageSection::Measured(measured(&[
            [0.0, 60.3],
            [17.1, 59.7],
            [33.9, 56.7],
            [49.5, 50.0],
            [62.6, 39.2],
            [67.8, 19.1],
            [71.0, -1.6],
            [71.9, -22.6],
            [71.1, -43.6],
            [67.1, -64.1],
            [57.4, -82.4],
            [41.0, -95.0],
            [20.9, -100.4],
            [0.0, -101.3],
        ])),
        further: Some((LENGTH + 40.0, FuselageSection::Measured(measured(&FURTHER)))),
        lap: Lap { side: LapSide::Over, length: 12.0, clearance: 0.75 },
        screws: Some(Screws { spacing: ScrewSpacing::Count(6), edge_distance: 8.0, hole: 3.2 }),
        allowed_gap: 2.0,
        allowed_break_deg: 2.0,
        pinned: None,
    }
}

const FURTHER: [[f64; 2]; 14] = [
    [0.0, 60.7],
    [16.7, 60.0],
    [33.1, 57.0],
    [48.2, 50.2],
    [60.4, 39.1],
    [65.9, 19.5],
    [69.0, -0.8],
    [69.9, -21.4],
    [69.2, -41.9],
    [65.5, -62.1],
    [56.2, -80.2],
    [40.2, -92.7],
    [20.5, -98.0],
    [0.0, -98.9],
];

/// Fourteen points from crown to keel, the fifth on the cheek's edge.
fn measured(points: &[[f64; 2]; 14]) -> MeasuredSection {
    MeasuredSection {
        points: points.to_vec(),
        knuckles: vec![MeasuredKnuckle { point: 4, number: 1 }],
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    }
}

fn thrust() -> ThrustLine {
    ThrustLine {
        firewall: LENGTH,
        hub_distance: HUB_DISTANCE,
        // So that the ring, which stands a little behind the hub, is centred on the front in height.
        hub_height: -0.2,
        down_thrust_deg: 2.0,
        side_thrust_deg: 2.5,
        spinner: Spinner { diameter: SPINNER, gap: 2.0 },
        ring: Ring { thickness: 3.0, step: 2.0, square_to_thrust: true },
    }
}

/// The motor and the box it stands on.
fn keep_outs() -> Vec<KeepOut> {
    vec![
        KeepOut {
            name: "Motor".into(),
            shape: Solid::Cylinder { diameter: 63.0, length: 65.0 },
            place: KeepOutPlace::OnThrustLine { behind_hub: 30.0 },
            clearance: 3.0,
        },
        KeepOut {
            name: "Motor box".into(),
            shape: Solid::Box { length: 270.0, breadth: 60.0, height: 60.0 },
            place: KeepOutPlace::OnThrustLine { behind_hub: 95.0 },
            clearance: 3.0,
        },
    ]
}

/// The legs of the landing gear leave the fuselage here.
fn landing_gear() -> Gauge {
    Gauge {
        name: "Landing gear".into(),
        station: 330.0,
        measure: GaugeMeasure::WidthAt { height: -70.0 },
        rule: GaugeRule::AtLeast,
        value: 130.0,
        tolerance: 0.5,
    }
}

/// Cloth over a plug of ten boards that were sold as 30 mm, and a thicker one at the rear that is planed down to what is left.
pub fn build() -> Build {
    let plain = Build::default();
    Build {
        process: Process::OverPlug,
        coat: shell().coat().unwrap_or(plain.coat),
        stack: Stack {
            used: true,
            boards: vec![29.6, 30.2, 30.1, 29.8, 30.3, 29.9, 30.0, 30.2, 29.7, 30.1, 40.2],
            card: 2.0,
            glue: 0.1,
            foam_front: true,
            ..plain.stack
        },
        formers: Formers { shaft_hole: 10.0, dowels: vec![[24.0, -20.0]], ..plain.formers },
        foam: plain.foam,
        sanding: Sanding { stations: vec![60.0, 120.0, 216.0, 300.0], ..plain.sanding },
    }
}
