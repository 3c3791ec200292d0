//! All findings together: nothing panics on half-drawn projects, and every offer can be applied.

use super::*;
use crate::testing::{cylinder, forms, lofted, master};
use form::{Part, Severity};
use project::airframe::{
    FuselageSection, Gauge, GaugeMeasure, GaugeRule, KeepOutPlace, Lap, LapSide, Ring, ScrewSpacing, Screws, Spinner,
    ThrustLine,
};
use project::document::{LineEnd, MeasuredSection};
use proptest::prelude::*;
use std::sync::Arc;

fn thrust_line(diameter: f64, down: f64, side: f64) -> ThrustLine {
    ThrustLine {
        firewall: 120.0,
        hub_distance: 125.0,
        hub_height: 0.0,
        down_thrust_deg: down,
        side_thrust_deg: side,
        spinner: Spinner { diameter, gap: 2.0 },
        ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
    }
}

fn measured(points: Vec<[f64; 2]>) -> FuselageSection {
    FuselageSection::Measured(MeasuredSection {
        points,
        knuckles: vec![],
        crown_ridge: false,
        keel_ridge: false,
        breadth_point: None,
        breadth_girth: None,
    })
}

fn airframe(section: FuselageSection, diameter: f64, gauge: f64) -> Airframe {
    let keep_out = |shape, place| KeepOut { name: "Motor".into(), shape, place, clearance: 4.8 };
    Airframe {
        fuselage: Some(FuselageEnd {
            station: 200.0,
            section: section.clone(),
            further: Some((230.0, section)),
            lap: Lap { side: LapSide::Over, length: 10.0, clearance: 0.4 },
            screws: Some(Screws { spacing: ScrewSpacing::Pitch(80.0), edge_distance: 5.0, hole: 3.0 }),
            allowed_gap: 0.5,
            allowed_break_deg: 3.0,
            pinned: None,
        }),
        thrust: Some(thrust_line(diameter, 2.0, 2.5)),
        keep_outs: vec![
            keep_out(Solid::Cylinder { diameter, length: 40.0 }, KeepOutPlace::OnThrustLine { behind_hub: 20.0 }),
            keep_out(
                Solid::Box { length: 60.0, breadth: diameter, height: 30.0 },
                KeepOutPlace::Free { front: [100.0, 10.0, -20.0], pitch_deg: 5.0, yaw_deg: -3.0 },
            ),
        ],
        gauges: vec![Gauge {
            name: "Landing gear".into(),
            station: 180.0,
            measure: GaugeMeasure::WidthAt { height: -10.0 },
            rule: GaugeRule::AtLeast,
            value: gauge,
            tolerance: 0.5,
        }],
        draw_off: DrawOff::ThrustLine,
    }
}

fn told(airframe: &Airframe, form: &Form) -> Vec<Finding> {
    findings(airframe, &Build::default(), form, &form::loft(form))
}

#[test]
fn an_empty_airframe_on_a_plain_form_finds_nothing() {
    assert_eq!(told(&Airframe::default(), &cylinder(50.0, 200.0)), []);
}

#[test]
fn a_fitting_airframe_leaves_only_the_back_plate() {
    let circle = FuselageSection::Circle { diameter: 98.0, centre_height: 0.0 };
    let mut fitting = airframe(circle, 50.0, 90.0);
    fitting.keep_outs.truncate(1);
    fitting.thrust =
        Some(ThrustLine { spinner: Spinner { diameter: 100.0, gap: 2.0 }, ..thrust_line(100.0, 0.0, 0.0) });
    if let Some(end) = &mut fitting.fuselage {
        end.allowed_gap = 1.2;
        end.screws = None;
    }
    let form = cylinder(50.0, 200.0);
    assert_eq!(told(&fitting, &form), []);
    let coated = Build { coat: project::build::Coat { laminate: 0.4, filler: 0.1, paint: 0.1 }, ..Build::default() };
    let found = findings(&fitting, &coated, &form, &form::loft(&form));
    assert!(
        found.len() == 1 && found[0].place.part == Part::DrawOff && found[0].severity == Severity::Note,
        "{found:?}"
    );
    assert!((found[0].measured.unwrap().value - 0.6).abs() < 0.02, "{found:?}");
}

#[test]
fn half_drawn_projects_give_findings_and_no_panic() {
    let sections = [
        measured(vec![]),
        measured(vec![[0.0, 5.0]]),
        measured(vec![[0.0, 50.0], [0.0, -50.0]]),
        FuselageSection::Circle { diameter: 0.0, centre_height: 0.0 },
        FuselageSection::RoundedBox { width: 10.0, height: -3.0, radius: 99.0, centre_height: 0.0 },
    ];
    let empty = project::starter::empty_form("Empty");
    let no_sections = Form { sections: vec![], ..cylinder(50.0, 200.0) };
    let point = Form {
        lines: project::document::MasterLines {
            crown: master(&[[0.0, 0.0], [200.0, 0.0]], LineEnd::Upright, LineEnd::Free),
            ..cylinder(50.0, 200.0).lines
        },
        ..cylinder(50.0, 200.0)
    };
    for form in [&empty, &no_sections, &point, &cylinder(50.0, 200.0)] {
        for section in &sections {
            for diameter in [0.0, -4.0, 60.0, 1e5] {
                let found = told(&airframe(section.clone(), diameter, 70.0), form);
                assert!(found.iter().all(|f| !f.what.is_empty() && !f.hint.is_empty()));
            }
        }
    }
    assert_eq!(document_findings(&project::starter::new_document("Test"), 7, &form::loft(&empty)), []);
}

#[test]
fn a_fuselage_without_outline_is_told() {
    let found = told(&airframe(measured(vec![]), 60.0, 70.0), &cylinder(50.0, 200.0));
    assert!(found.iter().any(|f| f.place.part == Part::Fuselage && f.severity == Severity::Note), "{found:?}");
}

#[test]
fn a_second_form_is_looked_at_for_its_shape_alone() {
    let mut document = project::starter::new_document("Test");
    let form = Arc::new(cylinder(50.0, 200.0));
    document.forms = vec![form.clone(), form.clone()];
    document.airframe = Arc::new(airframe(measured(vec![]), 60.0, 70.0));
    assert!(!document_findings(&document, 0, &lofted(&form)).is_empty());
    assert_eq!(document_findings(&document, 1, &lofted(&form)), []);
}

/// A shell of 60 mm on a tube of radius 50 folds back on itself; fuselage end, gauges and ring are no matter of a form that is put on.
#[test]
fn a_form_that_is_put_on_is_checked_as_it_is_built_and_not_against_the_airframe() {
    let plain = cylinder(50.0, 200.0);
    let mounted = Form { mount: Some(project::mount::Mount::default()), ..plain.clone() };
    let mut document = project::starter::new_document("Test");
    document.airframe = Arc::new(airframe(measured(vec![[0.0, 70.0], [70.0, 0.0], [0.0, -70.0]]), 80.0, 190.0));
    document.forms = vec![Arc::new(plain), Arc::new(mounted.clone())];
    assert_eq!(document_findings(&document, 1, &lofted(&mounted)), []);
    let mut thick = Build::default();
    thick.coat.laminate = 60.0;
    document.forms[1] = Arc::new(Form { build: Some(Arc::new(thick)), ..mounted.clone() });
    let found = document_findings(&document, 1, &lofted(&mounted));
    assert!(found.len() == 1 && found[0].place.form == Some(1), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn random_projects_give_finite_findings_and_edits_that_apply(
        form in forms(),
        diameter in 20.0..120.0_f64,
        width in 40.0..160.0_f64,
        wall in 0.0..3.0_f64,
    ) {
        let section = FuselageSection::Ellipse { width, height: 110.0, centre_height: -1.0 };
        let mut document = project::starter::new_document("Test");
        document.airframe = Arc::new(airframe(section, diameter, width));
        document.build = Arc::new(Build {
            coat: project::build::Coat { laminate: wall, filler: 0.0, paint: 0.0 },
            ..Build::default()
        });
        document.forms = vec![Arc::new(form)];
        let found = document_findings(&document, 0, &form::loft(&document.forms[0]));
        for f in &found {
            prop_assert_eq!(f.place.form, Some(0));
            let numbers = f.measured.iter().chain(&f.allowed).map(|q| q.value).chain(f.place.station);
            prop_assert!(numbers.chain(f.place.at.into_iter().flatten()).all(f64::is_finite), "{f:?}");
            if let Some(mend) = &f.mend {
                prop_assert!(mend.edit.apply(&document).is_ok(), "{f:?}");
            }
        }
    }
}
