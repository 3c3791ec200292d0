//! The exhaust cover: a small blister that sits, half sunk in, on either side of the demo's cowl, ahead of its exhaust hole.
//!
//! Both of its flat ends lie below the cowl's skin, so that what is seen of it is closed all round. It lies on its side: its own up
//! points outward, its own breadth runs up and down. Lengths are mm at the model.

use crate::ostrel::{line, two_arcs};
use project::build::{Build, Formers, Sanding, Stack};
use project::document::{ArcKind, Form, Lengthwise, MasterLines};
use project::mount::Mount;
use std::sync::Arc;

/// Its length.
pub const LENGTH: f64 = 96.0;

/// The form with its place on the cowl and its own stack; the coat of its plug is the cowl's.
pub fn form(cowl: &Build) -> Form {
    let round = ArcKind::Conic { rho: project::starter::ELLIPSE_RHO };
    Form {
        name: "Exhaust cover".into(),
        lines: MasterLines {
            crown: line(&[[0.0, 3.0], [14.0, 9.4], [32.0, 13.4], [52.0, 13.6], [76.0, 9.0], [LENGTH, 3.4]]),
            keel: line(&[[0.0, -5.0], [32.0, -7.6], [64.0, -7.6], [LENGTH, -5.0]]),
            breadth: line(&[[0.0, 5.0], [14.0, 9.2], [32.0, 12.0], [52.0, 12.2], [76.0, 9.2], [LENGTH, 5.4]]),
            breadth_height: line(&[[0.0, 0.0], [LENGTH, 0.0]]),
        },
        sections: [0.0, 44.0, LENGTH].map(|x| Arc::new(two_arcs(x, round, round))).to_vec(),
        stations: Vec::new(),
        lengthwise: Lengthwise::Fair,
        front_edge_radius: 0.0,
        rear_edge_radius: 0.0,
        openings: Vec::new(),
        mount: Some(mount()),
        build: Some(Arc::new(build(cowl))),
    }
}

fn mount() -> Mount {
    Mount { place: [146.0, 70.0, -37.5], roll_deg: 90.0, pitch_deg: 0.0, yaw_deg: 2.2, mirrored: true }
}

/// Five thin boards and a rest.
fn build(cowl: &Build) -> Build {
    let plain = Build::default();
    let stack = Stack {
        used: true,
        boards: vec![14.7, 14.8, 14.6, 14.7, 14.8, 25.0],
        card: 1.0,
        glue: 0.1,
        allowed_sagitta: 0.6,
        ..plain.stack
    };
    Build {
        coat: cowl.coat,
        stack,
        formers: Formers { least_web: 3.0, ..plain.formers },
        sanding: Sanding { stations: vec![44.0], ..plain.sanding },
        ..plain
    }
}
