//! Forms to plan plugs for: a cylinder of elliptic section, a cone, a barrel of arcs, and random ones.

use form::{FinishedSkin, loft};
use plugwright_tests::forms::Bounds;
use project::document::{ControlSection, Form, LinePoint, LinePointKind, MasterLine, SectionShape};
use project::starter::{ELLIPSE_RHO, empty_form, two_conics};
use proptest::prelude::*;
use std::sync::Arc;

/// Length of every form here, mm.
pub(crate) use plugwright_tests::forms::LENGTH;

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

/// A random form that somebody would build a plug of.
pub(crate) fn any_form() -> impl Strategy<Value = Form> {
    plugwright_tests::forms::any_form(&Bounds::built())
}
