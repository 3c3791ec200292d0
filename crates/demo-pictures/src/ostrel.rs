//! The form that the demo is about: the nose cowl of the Ostrel, a light two-seater that has never existed, at 1:4.
//!
//! Every number here was invented for it. Lengths are mm at the model; x = 0 is the face behind the spinner, z = 0 the
//! thrust line.

use crate::{bench, cover, openings, shell};
use project::document::{
    ArcKind, ControlSection, Document, Form, Lengthwise, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines,
    PaperSetup, PointRole, SectionShape, UnitPoint, UnitSection,
};
use std::sync::Arc;

/// Full size divided by model.
pub const SCALE: f64 = 4.0;
/// Length of the cowl at the model, mm: its rear face is the firewall.
pub const LENGTH: f64 = 360.0;
/// Where the cowl is widest, mm at the model.
pub const WIDEST: f64 = 216.0;

/// The project without its pictures.
pub fn document() -> Document {
    let build = bench::build();
    Document {
        name: "Ostrel nose cowl".into(),
        model_scale: SCALE,
        forms: vec![Arc::new(cowl()), Arc::new(cover::form(&build))],
        pictures: Vec::new(),
        paper: PaperSetup::default(),
        airframe: Arc::new(bench::airframe()),
        build: Arc::new(build),
        shell: Arc::new(shell::shell()),
    }
}

/// The nose cowl.
pub fn cowl() -> Form {
    Form {
        name: "Nose cowl".into(),
        lines: lines(),
        sections: sections().into_iter().map(Arc::new).collect(),
        stations: (0..=12).map(|i| 30.0 * f64::from(i)).collect(),
        lengthwise: Lengthwise::Fair,
        front_edge_radius: 0.0,
        rear_edge_radius: 0.0,
        openings: openings::all().into_iter().map(Arc::new).collect(),
        mount: None,
        build: None,
    }
}

/// Crown and keel leave a nearly round ring of 66 mm steeply and flatten: a rounded nose with a full chin.
fn lines() -> MasterLines {
    MasterLines {
        crown: line(&[
            [0.0, 33.0],
            [9.0, 38.6],
            [28.0, 44.2],
            [68.0, 50.4],
            [125.0, 55.2],
            [195.0, 58.6],
            [275.0, 60.8],
            [360.0, 62.0],
        ]),
        keel: line(&[
            [0.0, -33.0],
            [9.0, -42.0],
            [28.0, -54.6],
            [68.0, -73.2],
            [125.0, -90.4],
            [195.0, -102.4],
            [265.0, -107.0],
            [315.0, -106.2],
            [360.0, -103.0],
        ]),
        breadth: line(&[
            [0.0, 33.0],
            [9.0, 39.2],
            [28.0, 47.2],
            [68.0, 59.1],
            [120.0, 70.9],
            [168.0, 77.2],
            [216.0, 79.2],
            [285.0, 77.8],
            [360.0, 73.6],
        ]),
        breadth_height: line(&[
            [0.0, 0.0],
            [28.0, -2.2],
            [68.0, -6.0],
            [140.0, -13.0],
            [216.0, -18.0],
            [290.0, -20.4],
            [360.0, -20.6],
        ]),
    }
}

/// From a round ring through conics to a full, flat-sided rear. Knuckle 1 is the cheek: the edge between the engine's
/// top cover and its sides, which comes out of the smooth nose and runs aft along the shoulder.
fn sections() -> Vec<ControlSection> {
    let conic = |rho| ArcKind::Conic { rho };
    let lame = |exponent| ArcKind::Superelliptic { exponent };
    vec![
        section(0.0, vec![CROWN, BREADTH, KEEL], vec![conic(0.414); 2]),
        section(28.0, vec![CROWN, BREADTH, KEEL], vec![conic(0.418), conic(0.43)]),
        section(
            72.0,
            vec![CROWN, smooth(0.42, 0.925), cheek(0.775, 0.66, true), BREADTH, KEEL],
            vec![ArcKind::Cubic, ArcKind::Cubic, ArcKind::Cubic, conic(0.45)],
        ),
        section(
            144.0,
            vec![CROWN, smooth(0.42, 0.945), cheek(0.80, 0.685, false), BREADTH, KEEL],
            vec![ArcKind::Cubic, ArcKind::Cubic, conic(0.46), lame(2.35)],
        ),
        section(
            WIDEST,
            vec![CROWN, smooth(0.42, 0.955), cheek(0.825, 0.705, false), BREADTH, KEEL],
            vec![ArcKind::Cubic, ArcKind::Cubic, conic(0.48), lame(2.5)],
        ),
        section(
            288.0,
            vec![CROWN, smooth(0.43, 0.96), cheek(0.85, 0.72, false), BREADTH, KEEL],
            vec![ArcKind::Cubic, ArcKind::Cubic, conic(0.50), lame(2.65)],
        ),
        section(
            LENGTH,
            vec![CROWN, smooth(0.44, 0.962), cheek(0.87, 0.735, false), BREADTH, KEEL],
            vec![ArcKind::Cubic, ArcKind::Cubic, conic(0.52), lame(2.8)],
        ),
    ]
}

const CROWN: UnitPoint = UnitPoint { u: 0.0, v: 1.0, role: PointRole::Crown };
const BREADTH: UnitPoint = UnitPoint { u: 1.0, v: 0.0, role: PointRole::Breadth { knuckle: None } };
const KEEL: UnitPoint = UnitPoint { u: 0.0, v: -1.0, role: PointRole::Keel };

fn smooth(u: f64, v: f64) -> UnitPoint {
    UnitPoint { u, v, role: PointRole::Smooth }
}

fn cheek(u: f64, v: f64, faded: bool) -> UnitPoint {
    UnitPoint { u, v, role: PointRole::Knuckle { number: 1, faded } }
}

/// A control section that leaves the centre plane square at both ends.
pub(crate) fn section(station: f64, points: Vec<UnitPoint>, arcs: Vec<ArcKind>) -> ControlSection {
    let unit = UnitSection { points, arcs, crown_ridge: false, keel_ridge: false };
    ControlSection { station, shape: SectionShape::Shaped(unit) }
}

/// A section of two arcs, one above and one below the breadth.
pub(crate) fn two_arcs(station: f64, above: ArcKind, below: ArcKind) -> ControlSection {
    section(station, vec![CROWN, BREADTH, KEEL], vec![above, below])
}

/// A smooth line through [x, value] points.
pub(crate) fn line(points: &[[f64; 2]]) -> Arc<MasterLine> {
    let points = points.iter().map(|&[x, value]| LinePoint { x, value, kind: LinePointKind::Smooth }).collect();
    Arc::new(MasterLine { points, front: LineEnd::Free, rear: LineEnd::Free })
}
