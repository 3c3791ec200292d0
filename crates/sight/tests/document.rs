//! The solved form put into a document: control sections, breadth and breadth height, lofted by the crates that will loft it.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::other::{outlined, seam_of, shouldered};
use common::{Dice, departing, model, photographs, view};
use project::document::{
    ArcKind, ControlSection, Form, LinePoint, LinePointKind, MasterLine, PointRole, SectionShape, UnitPoint,
    UnitSection,
};
use project::starter::empty_form;
use sight::control::{Control, ControlOutline};
use sight::solution::Solution;
use sight::task::Task;
use std::sync::Arc;

fn line(values: impl Iterator<Item = (f64, f64)>) -> Arc<MasterLine> {
    let point = |(x, value)| LinePoint { x, value, kind: LinePointKind::Smooth };
    Arc::new(MasterLine { points: values.map(point).collect(), ..MasterLine::default() })
}

fn section(control: &Control) -> Arc<ControlSection> {
    let point = |u, v, role| UnitPoint { u, v, role };
    let crown = point(0.0, 1.0, PointRole::Crown);
    let breadth = point(1.0, 0.0, PointRole::Breadth { knuckle: None });
    let keel = point(0.0, -1.0, PointRole::Keel);
    let (points, arcs) = match &control.outline {
        ControlOutline::Arcs => {
            let arc = |exponent| ArcKind::Superelliptic { exponent };
            (vec![crown, breadth, keel], vec![arc(control.numbers.above), arc(control.numbers.below)])
        }
        ControlOutline::Points { above, below } => {
            let smooth =
                |all: &[[f64; 2]]| all.iter().map(|p| point(p[0], p[1], PointRole::Smooth)).collect::<Vec<_>>();
            let points = [vec![crown], smooth(above), vec![breadth], smooth(below), vec![keel]].concat();
            let arcs = vec![ArcKind::Cubic; points.len() - 1];
            (points, arcs)
        }
    };
    let unit = UnitSection { points, arcs, crown_ridge: false, keel_ridge: false };
    Arc::new(ControlSection { station: control.station, shape: SectionShape::Shaped(unit) })
}

/// Greatest distance of half-breadths between the solved form and its loft.
fn worst(solution: &Solution, tolerance: f64) -> f64 {
    let controls = solution.controls(&solution.control_stations(tolerance), tolerance);
    let sketch = solution.task().model.sketch();
    let fine = || (0..=30).map(|i| 48.0 * f64::from(i));
    let mut form = Form { stations: vec![720.0], ..empty_form("solved") };
    form.lines.crown = line(fine().map(|x| (x, sketch.crown.at(x).value)));
    form.lines.keel = line(fine().map(|x| (x, sketch.keel.at(x).value)));
    form.lines.breadth = line(controls.iter().map(|c| (c.station, c.numbers.breadth)));
    form.lines.breadth_height = line(controls.iter().map(|c| (c.station, c.numbers.breadth_height)));
    form.sections = controls.iter().map(section).collect();
    let lofted = form::loft(&form);
    let skin = lofted.skin.expect("a complete form");
    let mut worst = 0.0_f64;
    for i in 1..48 {
        let x = 30.0 * f64::from(i);
        let frame = solution.shape().frame(x).unwrap();
        for [y, z] in skin.loft().section(x).unwrap().polyline(0.02) {
            // Away from crown and keel, where a section lies level and its half-breadth says little.
            let (crown, keel) = frame.span();
            if z < crown - 0.03 * (crown - keel) && z > keel + 0.03 * (crown - keel) {
                worst = worst.max((frame.half_breadth(z).unwrap() - y).abs());
            }
        }
    }
    worst
}

#[test]
fn the_lofted_document_is_the_solved_form() {
    let photographs = photographs(&[view(42.0, 10.0)], true, &mut Dice(4));
    let task = Task { model: model(false), landmarks: Vec::new(), photographs };
    let solution = sight::solve(&task, &|_| true).unwrap();
    assert!(solution.controls(&[480.0], 0.4).iter().all(|c| c.outline == ControlOutline::Arcs));
    let found = worst(&solution, 0.4);
    assert!(found < 1.2, "{found}");
}

/// A form with shoulders, solved with sections that may depart from superelliptic arcs, comes out as points.
#[test]
fn a_form_that_departs_from_arcs_is_drawn_by_points() {
    let (camera, mut dice) = (view(42.0, 10.0).camera, Dice(4));
    let mut photograph = outlined(shouldered, &camera, 1.0, &mut dice);
    photograph.seams = [480.0, 960.0].iter().map(|x| seam_of(shouldered, &camera, *x, 1.0, &mut dice)).collect();
    let task = Task { model: departing(false, 0.01), landmarks: Vec::new(), photographs: vec![photograph] };
    let solution = sight::solve(&task, &|_| true).unwrap();
    let middle = solution.controls(&[720.0], 0.4);
    assert!(middle.iter().all(|c| matches!(c.outline, ControlOutline::Points { .. })));
    let found = worst(&solution, 0.4);
    assert!(found < 1.2, "{found}");
}
