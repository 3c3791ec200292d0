//! Random forms for laws that hold of every form.

use project::document::{
    ArcKind, ControlSection, Form, LineName, LinePoint, LinePointKind, MasterLine, PointRole, SectionShape, UnitPoint,
    UnitSection,
};
use project::starter::empty_form;
use proptest::prelude::*;
use std::ops::Range;
use std::sync::Arc;

/// Length of every random form, from 0, mm.
pub const LENGTH: f64 = 300.0;

/// How far random forms go.
#[derive(Clone, Debug)]
pub struct Bounds {
    /// How many points a master line has.
    pub points: Range<usize>,
    /// Least ratio of two distances between neighbouring points.
    pub spacing: f64,
    /// Least crown height, keel depth and half-breadth, mm.
    pub least: f64,
    /// How many control sections there are.
    pub sections: Range<usize>,
    /// Fullness of conic arcs.
    pub rho: Range<f64>,
    /// Exponent of superelliptic arcs.
    pub exponent: Range<f64>,
}

impl Bounds {
    /// What may be drawn: lines that swing from point to point, and arcs from nearly flat to nearly square.
    pub fn drawn() -> Self {
        Self { points: 3..7, spacing: 0.4, least: 30.0, sections: 2..6, rho: 0.3..0.8, exponent: 1.6..4.0 }
    }

    /// What somebody would build a plug of.
    pub fn built() -> Self {
        Self { points: 3..5, spacing: 0.5, least: 35.0, sections: 2..5, rho: 0.35..0.7, exponent: 1.8..3.5 }
    }
}

/// A random form without stations: uneven points on its lines, control sections of mixed arcs, perhaps with a knuckle below the
/// breadth.
pub fn any_form(bounds: &Bounds) -> impl Strategy<Value = Form> + use<> {
    let (least, spacing, points) = (bounds.least, bounds.spacing, bounds.points.clone());
    let line = |low: f64, high: f64| prop::collection::vec((low..high, spacing..1.0_f64), points.clone());
    let lines = (line(least, 60.0), line(-70.0, -least), line(least, 80.0), line(-8.0, 8.0));
    let section = (any_arc(bounds), any_arc(bounds), 0.75..0.95_f64, 0.3..0.6_f64);
    let sections = prop::collection::vec(section, bounds.sections.clone());
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

fn any_arc(bounds: &Bounds) -> impl Strategy<Value = ArcKind> + Clone + use<> {
    prop_oneof![
        Just(ArcKind::Cubic),
        bounds.rho.clone().prop_map(|rho| ArcKind::Conic { rho }),
        bounds.exponent.clone().prop_map(|exponent| ArcKind::Superelliptic { exponent }),
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

/// Crown, breadth and keel, and with `knuckle` a corner below the breadth.
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
