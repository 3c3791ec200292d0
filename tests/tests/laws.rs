//! Laws that need no reference: scaling, mirroring, splitting, and what a loft promises, over random forms.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use form::loft;
use geometry::loft::Loft;
use plugwright_tests::forms::Bounds;
use project::document::{Form, LineName};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::sync::Arc;

/// A random form with stations at both ends and between.
fn any_form() -> impl Strategy<Value = Form> {
    plugwright_tests::forms::any_form(&Bounds::drawn()).prop_map(|mut form| {
        form.stations = vec![0.0, 77.0, 150.0, 300.0];
        form
    })
}

fn lofted(form: &Form) -> Loft {
    loft(form).skin.expect("a complete form").loft().clone()
}

/// Every length of the form times k, and x mirrored if asked.
fn changed(form: &Form, k: f64, mirrored: bool) -> Form {
    let mut out = form.clone();
    let x = |x: f64| if mirrored { 300.0 * k - k * x } else { k * x };
    for name in LineName::ALL {
        let line = Arc::make_mut(out.lines.get_mut(name));
        line.points.iter_mut().for_each(|p| (p.x, p.value) = (x(p.x), k * p.value));
        line.points.sort_by(|a, b| a.x.total_cmp(&b.x));
    }
    out.sections.iter_mut().for_each(|s| Arc::make_mut(s).station = x(s.station));
    out.sections.sort_by(|a, b| a.station.total_cmp(&b.station));
    out
}

fn close(a: f64, b: f64, share: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= share * b.abs().max(1.0), "{a} against {b}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, rng_seed: RngSeed::Fixed(20), ..ProptestConfig::with_cases(48) })]

    #[test]
    fn scaling(form in any_form(), k in 0.3..3.0_f64) {
        // The allowance for overshoot is an absolute length, so a bay may be limited at one size only: no law there.
        let (one, many) = (lofted(&form), lofted(&changed(&form, k, false)));
        prop_assume!(one.limited_bays().count() == 0 && many.limited_bays().count() == 0);
        let (a, b) = (one.measures(1e-6), many.measures(1e-6));
        close(b.volume, a.volume * k.powi(3), 1e-6)?;
        close(b.lateral_surface, a.lateral_surface * k * k, 1e-6)?;
        close(b.centroid[0], a.centroid[0] * k, 1e-6)?;
        close(b.centroid[2], a.centroid[2] * k, 1e-6)?;
    }

    #[test]
    fn mirroring_front_to_rear(form in any_form()) {
        let (a, b) = (lofted(&form).measures(1e-6), lofted(&changed(&form, 1.0, true)).measures(1e-6));
        close(b.volume, a.volume, 1e-6)?;
        close(b.lateral_surface, a.lateral_surface, 1e-6)?;
        close(b.centroid[0], 300.0 - a.centroid[0], 1e-6)?;
    }

    #[test]
    fn parts_add_up(form in any_form(), at in 5.0..295.0_f64) {
        let loft = lofted(&form);
        let whole = loft.measures(1e-6);
        let (front, rear) = (loft.measures_between((0.0, at), 1e-6), loft.measures_between((at, 300.0), 1e-6));
        close(front.volume + rear.volume, whole.volume, 1e-6)?;
        close(front.lateral_surface + rear.lateral_surface, whole.lateral_surface, 1e-6)?;
    }

    #[test]
    fn every_section_meets_the_four_lines_and_the_mesh_the_volume(form in any_form(), x in 0.0..300.0_f64) {
        let loft = lofted(&form);
        let section = loft.section(x).expect("inside");
        let outline = section.polyline(0.01);
        let (first, last) = (outline[0], outline[outline.len() - 1]);
        let lines = loft.lines();
        prop_assert!(first[0].abs() < 1e-9 && (first[1] - lines.crown.at(x).value).abs() < 1e-9);
        prop_assert!(last[0].abs() < 1e-9 && (last[1] - lines.keel.at(x).value).abs() < 1e-9);
        let mark = [lines.breadth.at(x).value, lines.breadth_height.at(x).value];
        prop_assert!(outline.iter().any(|p| (p[0] - mark[0]).abs() < 1e-9 && (p[1] - mark[1]).abs() < 1e-9));
        let m = loft.measures(1e-6);
        let mesh = loft.mesh(0.5);
        prop_assert_eq!(mesh.open_edges(), 0);
        prop_assert!((mesh.volume() - m.volume).abs() <= 0.5 * m.lateral_surface);
    }

    #[test]
    fn a_control_section_is_the_section_at_its_station(form in any_form()) {
        let loft = lofted(&form);
        for control in &form.sections {
            let (shape, _) = form::control_shape(control);
            let shape = shape.expect("a shape");
            let section = loft.section(control.station).expect("inside");
            let b = section.breadth();
            for (half, chain, height) in [
                ("above", shape.upper.expect("upper").chain, section.crown() - section.breadth_height()),
                ("below", shape.lower.expect("lower").chain, section.breadth_height() - section.keel()),
            ] {
                let outline = section.polyline(0.002);
                for i in 0..=10 {
                    let p = chain.at(chain.length() * f64::from(i) / 10.0, 0.0, chain.length()).p;
                    let p = [p[0] * b, section.breadth_height() + p[1] * height];
                    let away = outline.windows(2).map(|w| geometry::flatten::distance_to_chord(p, w[0], w[1]));
                    let away = away.fold(f64::INFINITY, f64::min);
                    prop_assert!(away < 0.004, "{} at {}: {} mm", half, control.station, away);
                }
            }
        }
    }

    #[test]
    fn through_a_table_and_back(form in any_form()) {
        let mut form = form;
        // Random lines swing from point to point, and a table knows only its stations: so they are close.
        form.stations = (0..=60).map(|i| 5.0 * f64::from(i)).collect();
        let first = loft(&form);
        prop_assume!(first.findings.is_empty());
        let table = desk::output::offsets(&form, &first).expect("complete");
        let document = desk::output::form_from_offsets(&table, "back").expect("our own table");
        let again = lofted(&document.forms[0]);
        prop_assume!(again.limited_bays().count() == 0);
        let (a, b) = (first.skin.as_ref().expect("complete").loft().measures(1e-6), again.measures(1e-6));
        close(b.volume, a.volume, 1e-4)?;
    }
}
