//! Forms to plan plugs for: a cylinder of elliptic section, a cone, a barrel of arcs, and random ones.

use form::{FinishedSkin, loft};
use project::document::{
    ArcKind, ControlSection, Form, LineName, LinePoint, LinePointKind, MasterLine, PointRole, SectionShape, UnitPoint,
    UnitSection,
};
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use proptest::prelude::*;
use std::sync::Arc;

/// Length of every form here, mm.
pub(crate) const LENGTH: f64 = 300.0;

pub(crate) fn skin(form: &Form) -> FinishedSkin {
    loft(form).skin.expect("a complete form")
}

/// A form of elliptic sections whose half-breadth and half-height are given as functions of x.
pub(crate) fn elliptic(half_breadth: impl Fn(f64) -> f64, half_height: impl Fn(f64) -> f64, points: usize) -> Form {
    let xs: Vec<f64> = (0..points).map(|i| LENGTH * i as f64 / (points - 1) as f64).collect();
    let line = |value: &dyn Fn(f64) -> f64| {
        let point = |&x: &f64| LinePoint { x, value: value(x), kind: LinePointKind::Smooth };
        Arc::new(MasterLine { points: xs.iter().map(point).collect(), ..MasterLine::default() })
    };
    let mut form = empty_form("elliptic");
    form.lines.crown = line(&half_height);
    form.lines.keel = line(&|x| -half_height(x));
    form.lines.breadth = line(&half_breadth);
    form.lines.breadth_height = line(&|_| 0.0);
    let section = |station| ControlSection { station, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) };
    form.sections = vec![Arc::new(section(0.0)), Arc::new(section(LENGTH))];
    form
}

/// A random form: uneven points on its lines, two to four control sections of mixed arcs, perhaps with a knuckle.
pub(crate) fn any_form() -> impl Strategy<Value = Form> {
    let line = |low: f64, high: f64| prop::collection::vec((low..high, 0.5..1.0_f64), 3..5);
    let lines = (line(35.0, 60.0), line(-70.0, -35.0), line(35.0, 80.0), line(-8.0, 8.0));
    let sections = prop::collection::vec((any_arc(), any_arc(), 0.75..0.95_f64, 0.3..0.6_f64), 2..5);
    (lines, sections, any::<bool>()).prop_map(|(lines, sections, knuckle)| {
        let mut form = empty_form("random");
        for (name, points) in LineName::ALL.into_iter().zip([lines.0, lines.1, lines.2, lines.3]) {
            *form.lines.get_mut(name) = Arc::new(master_line(&points));
        }
        let last = (sections.len() - 1) as f64;
        let shaped = sections.iter().enumerate().map(|(i, s)| ControlSection {
            station: LENGTH * i as f64 / last,
            shape: SectionShape::Shaped(unit_section(s, knuckle)),
        });
        form.sections = shaped.map(Arc::new).collect();
        form
    })
}

fn any_arc() -> impl Strategy<Value = ArcKind> {
    prop_oneof![
        Just(ArcKind::Cubic),
        (0.35..0.7_f64).prop_map(|rho| ArcKind::Conic { rho }),
        (1.8..3.5_f64).prop_map(|exponent| ArcKind::Superelliptic { exponent }),
    ]
}

/// Points over the length whose distances are in the given ratios.
fn master_line(points: &[(f64, f64)]) -> MasterLine {
    let total: f64 = points[1..].iter().map(|p| p.1).sum();
    let mut sum = 0.0;
    let point = |(i, p): (usize, &(f64, f64))| {
        if i > 0 {
            sum += p.1;
        }
        LinePoint { x: LENGTH * (sum / total), value: p.0, kind: LinePointKind::Smooth }
    };
    MasterLine { points: points.iter().enumerate().map(point).collect(), ..MasterLine::default() }
}

fn unit_section((above, below, u, v): &(ArcKind, ArcKind, f64, f64), knuckle: bool) -> UnitSection {
    let point = |u: f64, v: f64, role: PointRole| UnitPoint { u, v, role };
    let mut points = vec![
        point(0.0, 1.0, PointRole::Crown),
        point(1.0, 0.0, PointRole::Breadth { knuckle: None }),
        point(0.0, -1.0, PointRole::Keel),
    ];
    let mut arcs = vec![*above, *below];
    if knuckle {
        points.insert(2, point(*u, -*v, PointRole::Knuckle { number: 1, faded: false }));
        arcs = vec![*above, ArcKind::Cubic, ArcKind::Cubic];
    }
    UnitSection { points, arcs, crown_ridge: false, keel_ridge: false }
}
