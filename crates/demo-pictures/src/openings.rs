//! What is cut through the demo's cowl: invented like the rest, in mm at the model.
//!
//! The model breathes through two cheek intakes; the chin intake of the machine in the photographs stays painted on. Each cheek
//! stands outside the spinner's shadow, and its duct leads between motor and side of the cowl. Warm air leaves below, ahead of the
//! lap, and round the exhaust stub of either side.

use project::opening::{Duct, Opening, Outline, OutlinePoint, Purpose, Seen};

/// All of them, in the order in which a builder would cut them.
pub fn all() -> Vec<Opening> {
    vec![cheek_intake(), outlet(), exhaust_hole()]
}

fn cheek_intake() -> Opening {
    Opening {
        name: "Cheek intake".into(),
        purpose: Purpose::Intake,
        seen: Seen::Ahead,
        mirrored: true,
        outline: Outline::Ellipse { centre: [49.0, -8.0], size: [17.0, 34.0], turn_deg: 0.0 },
        duct: Some(Duct {
            depth: 62.0,
            lip_radius: 2.5,
            wall: 0.8,
            inner: Some(Outline::Box { centre: [50.0, -10.0], size: [20.0, 40.0], radius: 8.0, turn_deg: 0.0 }),
        }),
    }
}

/// Its front edge is straight, where a lip can be let in, and its rear edge round.
fn outlet() -> Opening {
    let point = |x: f64, y: f64, corner: bool| OutlinePoint { at: [x, y], corner };
    let points = vec![
        point(284.0, -33.0, true),
        point(284.0, 33.0, true),
        point(318.0, 33.0, false),
        point(330.0, 22.0, false),
        point(334.0, 0.0, false),
        point(330.0, -22.0, false),
        point(318.0, -33.0, false),
    ];
    Opening {
        name: "Outlet".into(),
        purpose: Purpose::Outlet,
        seen: Seen::Below,
        mirrored: false,
        outline: Outline::Drawn { points },
        duct: None,
    }
}

/// A stub of 12 mm leaves here, right behind the exhaust cover.
fn exhaust_hole() -> Opening {
    Opening {
        name: "Exhaust hole".into(),
        purpose: Purpose::Exhaust,
        seen: Seen::Starboard,
        mirrored: true,
        outline: Outline::Ellipse { centre: [256.0, -37.5], size: [16.0, 12.0], turn_deg: 0.0 },
        duct: None,
    }
}
