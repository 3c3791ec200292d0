//! The second demo: a deep bowl, the nose of a wheel spat, that no single piece of cloth lies down on without slits.
//!
//! Invented like the cowl; mm at the model. It is closed and round in front, x = 0, and joins the rest of the spat at its rear. Over
//! such a bowl a weave shears by more than 50 degrees (over half a sphere by 52.4, the chart of its net says), more than any cloth
//! bears: what shear one piece lacks, slits give.

use crate::ostrel::{SCALE, two_arcs};
use project::build::{Build, Coat, Formers, Process, Sanding, Stack};
use project::document::{
    ArcKind, Document, Form, Lengthwise, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines, PaperSetup,
};
use project::laminate::{Fabric, Film, Ply, Schedule};
use project::shell::{Draping, Shell};
use project::starter::ELLIPSE_RHO;
use std::sync::Arc;

/// Where it joins the rest of the spat.
pub const LENGTH: f64 = 78.0;
/// Where it would be widest.
const WHOLE: f64 = 86.0;

/// The project; it has no pictures.
pub fn document() -> Document {
    let shell = shell();
    Document {
        name: "Ostrel wheel bowl".into(),
        model_scale: SCALE,
        forms: vec![Arc::new(form())],
        pictures: Vec::new(),
        paper: PaperSetup::default(),
        airframe: Arc::default(),
        build: Arc::new(build(shell.coat())),
        shell: Arc::new(shell),
    }
}

fn form() -> Form {
    let round = ArcKind::Conic { rho: ELLIPSE_RHO };
    Form {
        name: "Wheel bowl".into(),
        lines: MasterLines {
            crown: quarter(64.0),
            keel: quarter(-60.0),
            breadth: quarter(52.0),
            breadth_height: straight(&[[0.0, 0.0], [LENGTH, 2.0]]),
        },
        sections: [0.0, LENGTH].map(|x| Arc::new(two_arcs(x, round, round))).to_vec(),
        stations: Vec::new(),
        lengthwise: Lengthwise::Fair,
        front_edge_radius: 0.0,
        rear_edge_radius: 0.0,
        openings: Vec::new(),
        mount: None,
        build: None,
    }
}

/// Part of a quarter of an ellipse from the front, where it stands upright, to the rear, where it still widens a little: so the shell
/// comes off.
fn quarter(reach: f64) -> Arc<MasterLine> {
    let height = |x: f64| (1.0 - (1.0 - x / WHOLE).powi(2)).sqrt();
    let point = |x: f64| {
        let value = reach * height(x) / height(LENGTH);
        LinePoint { x, value: (100.0 * value).round() / 100.0, kind: LinePointKind::Smooth }
    };
    let points = [0.0, 4.0, 14.0, 30.0, 52.0, LENGTH].map(point).to_vec();
    Arc::new(MasterLine { points, front: LineEnd::Upright, rear: LineEnd::Free })
}

fn straight(points: &[[f64; 2]]) -> Arc<MasterLine> {
    crate::ostrel::line(points)
}

/// Where the first yarns cross: on the crown a little aft of the tip. From there four slits do for the ply on the bias, six for the other.
const START: [f64; 2] = [15.3, 0.0];

/// Two plies of plain glass, the second turned by half a right angle: so its slits lie elsewhere without being staggered.
fn shell() -> Shell {
    let glass = Fabric::usual();
    Shell {
        laminate: Schedule {
            plies: vec![Ply::whole(glass.clone(), 45.0), Ply::whole(glass, 0.0)],
            filler: Film::usual_filler(),
            paint: Film::usual_paint(),
            ..Schedule::default()
        },
        feeds_coat: true,
        draping: Draping {
            start: Some(START),
            cell: Some(5.0),
            closed_front: true,
            overlap: 10.0,
            stagger: 0.0,
            ..Draping::default()
        },
        ..Shell::default()
    }
}

/// Cloth over a plug of thin boards: the front is too round for thick ones.
fn build(coat: Option<Coat>) -> Build {
    let plain = Build::default();
    let stack = Stack {
        used: true,
        boards: vec![9.9, 10.1, 9.8, 10.0, 9.9, 20.0],
        card: 1.5,
        glue: 0.1,
        foam_front: true,
        allowed_sagitta: 0.4,
        ..plain.stack
    };
    Build {
        process: Process::OverPlug,
        coat: coat.unwrap_or(plain.coat),
        stack,
        formers: Formers { least_web: 5.0, ..plain.formers },
        sanding: Sanding { stations: vec![40.0], ..plain.sanding },
        ..plain
    }
}
