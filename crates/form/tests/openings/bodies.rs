//! Bodies whose openings are known, and what is measured on them.

use form::Lofted;
use form::openings::{Hole, Target};
use project::document::{
    ControlSection, Form, LineEnd, LinePoint, LinePointKind, MasterLine, MeasuredSection, SectionShape,
};
use project::opening::{Duct, Opening, Outline, OutlinePoint, Purpose, Seen};
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use std::f64::consts::PI;
use std::sync::Arc;

pub(crate) type Vector = [f64; 3];

pub(crate) fn line(points: &[[f64; 2]], kind: LinePointKind, end: LineEnd) -> Arc<MasterLine> {
    let point = |p: &[f64; 2]| LinePoint { x: p[0], value: p[1], kind };
    Arc::new(MasterLine { points: points.iter().map(point).collect(), front: end, rear: end })
}

fn round(radii: &[[f64; 2]], end: LineEnd) -> Form {
    let mut form = empty_form("round");
    let of = |sign: f64| radii.iter().map(|[x, r]| [*x, sign * r]).collect::<Vec<_>>();
    let (front, rear) = (radii[0][0], radii[radii.len() - 1][0]);
    form.lines.crown = line(&of(1.0), LinePointKind::Smooth, end);
    form.lines.keel = line(&of(-1.0), LinePointKind::Smooth, end);
    form.lines.breadth = line(&of(1.0), LinePointKind::Smooth, end);
    form.lines.breadth_height = line(&[[front, 0.0], [rear, 0.0]], LinePointKind::Smooth, LineEnd::Free);
    let section =
        ControlSection { station: 0.5 * (front + rear), shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) };
    form.sections = vec![Arc::new(section)];
    form
}

/// About the datum axis from 0 to 300.
pub(crate) fn cylinder(radius: f64) -> Form {
    round(&[[0.0, radius], [150.0, radius], [300.0, radius]], LineEnd::Free)
}

/// A cone or its frustum, from radius to radius over 0 to `length`.
pub(crate) fn cone(front: f64, rear: f64, length: f64) -> Form {
    round(&[[0.0, front], [length, rear]], LineEnd::Free)
}

/// About the origin; its lines follow the circle within 1e-5 mm.
pub(crate) fn sphere(radius: f64) -> Form {
    let at = |i: u32| PI * f64::from(i) / 96.0;
    let radii: Vec<[f64; 2]> =
        (0..=96).map(|i| [-radius * at(i).cos(), if i % 96 == 0 { 0.0 } else { radius * at(i).sin() }]).collect();
    round(&radii, LineEnd::Upright)
}

/// A square bar with sharp edges, ±`half` across, from 0 to 200.
pub(crate) fn bar(half: f64) -> Form {
    let mut form = round(&[[0.0, half], [200.0, half]], LineEnd::Free);
    let points = vec![[0.0, half], [half, half], [half, 0.0], [half, -half], [0.0, -half]];
    let knuckle = |point: usize, number: u32| project::document::MeasuredKnuckle { point, number };
    let section = |station: f64| {
        let measured = MeasuredSection {
            points: points.clone(),
            knuckles: vec![knuckle(1, 1), knuckle(3, 2)],
            crown_ridge: false,
            keel_ridge: false,
            breadth_point: Some(2),
            breadth_girth: None,
        };
        Arc::new(ControlSection { station, shape: SectionShape::Pinned(measured) })
    };
    form.sections = vec![section(0.0), section(200.0)];
    form
}

pub(crate) fn lofted(form: &Form) -> Lofted {
    let lofted = form::loft(form);
    assert!(lofted.skin.is_some(), "{:?}", lofted.findings);
    lofted
}

pub(crate) fn opening(seen: Seen, outline: Outline) -> Opening {
    Opening { name: "Hole".into(), purpose: Purpose::Intake, seen, mirrored: false, outline, duct: None }
}

pub(crate) fn circle(centre: [f64; 2], radius: f64) -> Outline {
    Outline::Ellipse { centre, size: [2.0 * radius, 2.0 * radius], turn_deg: 0.0 }
}

pub(crate) fn rectangle(centre: [f64; 2], size: [f64; 2]) -> Outline {
    Outline::Box { centre, size, radius: 0.0, turn_deg: 0.0 }
}

/// A kidney: a drawn outline, hollow on one side.
pub(crate) fn kidney(centre: [f64; 2], size: f64) -> Outline {
    let shape = [[0.0, 0.9], [0.9, 0.6], [1.0, -0.4], [0.4, -0.9], [0.1, -0.3], [-0.5, -0.2], [-0.9, 0.3]];
    let point = |p: &[f64; 2]| OutlinePoint { at: [centre[0] + size * p[0], centre[1] + size * p[1]], corner: false };
    Outline::Drawn { points: shape.iter().map(point).collect() }
}

pub(crate) fn duct(depth: f64, inner: Option<Outline>) -> Duct {
    Duct { depth, lip_radius: 0.0, wall: 1.5, inner }
}

pub(crate) fn hole(target: &Target<'_>, opening: &Opening) -> Hole {
    Hole::cut(target, 0, opening, false, 0.1).unwrap()
}

pub(crate) fn close(got: f64, expected: f64, within: f64, what: &str) {
    assert!((got - expected).abs() <= within * expected.abs().max(1e-12), "{what}: {got} instead of {expected}");
}
