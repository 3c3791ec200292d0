//! Forms for the tests of this crate.

use form::{Lofted, loft};
use project::document::{
    ControlSection, Form, LineEnd, LinePoint, LinePointKind, MasterLine, MasterLines, SectionShape,
};
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use proptest::prelude::*;
use std::sync::Arc;

pub(crate) fn master(points: &[[f64; 2]], front: LineEnd, rear: LineEnd) -> Arc<MasterLine> {
    let point = |p: &[f64; 2]| LinePoint { x: p[0], value: p[1], kind: LinePointKind::Smooth };
    Arc::new(MasterLine { points: points.iter().map(point).collect(), front, rear })
}

pub(crate) fn free(points: &[[f64; 2]]) -> Arc<MasterLine> {
    master(points, LineEnd::Free, LineEnd::Free)
}

pub(crate) fn section(station: f64, rho: f64) -> Arc<ControlSection> {
    Arc::new(ControlSection { station, shape: SectionShape::Shaped(two_conics(rho)) })
}

/// Round bodies about the datum axis: radius at stations.
pub(crate) fn round(radii: &[[f64; 2]]) -> Form {
    let below: Vec<[f64; 2]> = radii.iter().map(|[x, r]| [*x, -r]).collect();
    let ends = [radii[0][0], radii[radii.len() - 1][0]];
    Form {
        lines: MasterLines {
            crown: free(radii),
            keel: free(&below),
            breadth: free(radii),
            breadth_height: free(&ends.map(|x| [x, 0.0])),
        },
        sections: ends.iter().map(|x| section(*x, ELLIPSE_RHO)).collect(),
        stations: ends.to_vec(),
        ..empty_form("Round")
    }
}

/// A circular cylinder about the datum axis.
pub(crate) fn cylinder(radius: f64, length: f64) -> Form {
    round(&[[0.0, radius], [length, radius]])
}

/// A sphere about the origin, so closely pointed that its lines are within a thousandth of a millimetre.
pub(crate) fn sphere(radius: f64) -> Form {
    let points: Vec<[f64; 2]> = (0..=24)
        .map(|i| {
            let a = std::f64::consts::PI * f64::from(i) / 24.0;
            [-radius * a.cos(), if i % 24 == 0 { 0.0 } else { radius * a.sin() }]
        })
        .collect();
    let below: Vec<[f64; 2]> = points.iter().map(|[x, r]| [*x, -r]).collect();
    let upright = |p: &[[f64; 2]]| master(p, LineEnd::Upright, LineEnd::Upright);
    Form {
        lines: MasterLines {
            crown: upright(&points),
            keel: upright(&below),
            breadth: upright(&points),
            breadth_height: free(&[[-radius, 0.0], [radius, 0.0]]),
        },
        sections: vec![section(0.0, ELLIPSE_RHO)],
        ..empty_form("Sphere")
    }
}

pub(crate) fn lofted(form: &Form) -> Lofted {
    let lofted = loft(form);
    assert!(lofted.skin.is_some(), "{:?}", lofted.findings);
    lofted
}

/// Random cowling-like forms, 120 to 400 mm long.
pub(crate) fn forms() -> impl Strategy<Value = Form> {
    let value = || prop::collection::vec(30.0..90.0_f64, 4);
    (120.0..400.0_f64, value(), value(), value(), prop::collection::vec(0.3..0.8_f64, 3)).prop_map(
        |(length, crown, keel, breadth, rho)| {
            let at = |values: &[f64], sign: f64| {
                let points: Vec<[f64; 2]> =
                    values.iter().enumerate().map(|(i, v)| [length * i as f64 / 3.0, sign * v]).collect();
                free(&points)
            };
            Form {
                lines: MasterLines {
                    crown: at(&crown, 1.0),
                    keel: at(&keel, -1.0),
                    breadth: at(&breadth, 1.0),
                    breadth_height: free(&[[0.0, 2.0], [length, -3.0]]),
                },
                sections: rho.iter().enumerate().map(|(i, r)| section(length * i as f64 / 2.0, *r)).collect(),
                stations: (0..5).map(|i| length * f64::from(i) / 4.0).collect(),
                ..empty_form("Random")
            }
        },
    )
}
