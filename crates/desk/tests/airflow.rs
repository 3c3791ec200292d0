//! Air in and out, held against closed forms: circles in flat fronts and on cylinders, lenses of two circles.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise

use desk::Reckoned;
use desk::shell::airflow::{Airflow, airflow, findings};
use form::{Part, Severity};
use project::airframe::{Airframe, KeepOut, KeepOutPlace, Ring, Solid, Spinner, ThrustLine};
use project::document::{
    ControlSection, Document, Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine, SectionShape,
};
use project::mount::Mount;
use project::opening::{Duct, Opening, Outline, Purpose, Seen};
use project::starter::{ELLIPSE_RHO, empty_form, new_document, two_conics};
use std::f64::consts::PI;
use std::sync::Arc;

fn line(points: &[[f64; 2]]) -> Arc<MasterLine> {
    let point = |p: &[f64; 2]| LinePoint { x: p[0], value: p[1], kind: LinePointKind::Smooth };
    Arc::new(MasterLine { points: points.iter().map(point).collect(), front: LineEnd::Free, rear: LineEnd::Free })
}

/// A cylinder of radius 80 about the datum axis, from 0 to 300.
fn cylinder() -> Form {
    let mut form = empty_form("Cylinder");
    form.lines.crown = line(&[[0.0, 80.0], [300.0, 80.0]]);
    form.lines.keel = line(&[[0.0, -80.0], [300.0, -80.0]]);
    form.lines.breadth = line(&[[0.0, 80.0], [300.0, 80.0]]);
    form.lines.breadth_height = line(&[[0.0, 0.0], [300.0, 0.0]]);
    let section = ControlSection { station: 150.0, shape: SectionShape::Shaped(two_conics(ELLIPSE_RHO)) };
    form.sections = vec![Arc::new(section)];
    form
}

fn hole(name: &str, purpose: Purpose, seen: Seen, centre: [f64; 2], diameter: f64) -> Opening {
    let outline = Outline::Ellipse { centre, size: [diameter, diameter], turn_deg: 0.0 };
    Opening { name: name.into(), purpose, seen, mirrored: false, outline, duct: None }
}

/// The hub on the datum axis 20 mm ahead of the front.
fn thrust(diameter: f64, gap: f64) -> ThrustLine {
    ThrustLine {
        firewall: 200.0,
        hub_distance: 220.0,
        hub_height: 0.0,
        down_thrust_deg: 0.0,
        side_thrust_deg: 0.0,
        spinner: Spinner { diameter, gap },
        ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
    }
}

fn document(openings: Vec<Opening>, airframe: Airframe) -> Document {
    let form = Form { openings: openings.into_iter().map(Arc::new).collect(), ..cylinder() };
    Document { forms: vec![Arc::new(form)], airframe: Arc::new(airframe), ..new_document("Test") }
}

fn air(document: &Document) -> Airflow {
    airflow(document, 0, &form::loft(&document.forms[0])).unwrap()
}

fn close(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within * expected.abs(), "{got} instead of {expected}");
}

/// The lens of two circles (elementary geometry).
fn lens(r: f64, s: f64, d: f64) -> f64 {
    let angle = |r: f64, s: f64| ((d * d + r * r - s * s) / (2.0 * d * r)).acos();
    let kite = 0.5 * ((-d + r + s) * (d + r - s) * (d - r + s) * (d + r + s)).sqrt();
    r * r * angle(r, s) + s * s * angle(s, r) - kite
}

#[test]
fn intakes_count_less_what_spinner_and_motor_take() {
    let motor = KeepOut {
        name: "Motor".into(),
        shape: Solid::Cylinder { diameter: 50.0, length: 60.0 },
        place: KeepOutPlace::Free { front: [60.0, 0.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 },
        clearance: 3.0,
    };
    let airframe = Airframe { thrust: Some(thrust(60.0, 0.0)), keep_outs: vec![motor], ..Airframe::default() };
    let mut intake = hole("Intake", Purpose::Intake, Seen::Ahead, [35.0, 0.0], 40.0);
    intake.mirrored = true;
    let outlet = hole("Outlet", Purpose::Outlet, Seen::Below, [200.0, 0.0], 30.0);
    let air = air(&document(vec![intake, outlet], airframe));
    assert_eq!(air.holes.len(), 3);
    let (spinner, behind) = (lens(20.0, 30.0, 35.0), lens(20.0, 25.0, 35.0));
    for hole in &air.holes[..2] {
        close(hole.areas.to_flow, PI * 400.0, 3e-4);
        assert_eq!(hole.blocked.iter().map(|b| b.name.as_str()).collect::<Vec<_>>(), ["Spinner", "Motor"]);
        close(hole.blocked[0].area, spinner, 3e-4);
        close(hole.blocked[1].area, behind, 3e-4);
        // The motor lies wholly in the spinner's shadow.
        close(hole.blocked_area, spinner, 3e-4);
        close(hole.effective, PI * 400.0 - spinner, 3e-4);
    }
    close(air.intake, 2.0 * (PI * 400.0 - spinner), 3e-4);
    // On a cylinder of radius 80 a hole of radius 15 is larger than its outline by 1 + k² / 8 and less than 1 + k² / 7, k = 15 / 80.
    let k2 = (15.0f64 / 80.0).powi(2);
    let outlet = &air.holes[2];
    assert!(outlet.effective > PI * 225.0 * (1.0 + k2 / 8.0) && outlet.effective < PI * 225.0 * (1.0 + k2 / 7.0));
    close(air.ratio.unwrap(), outlet.effective / air.intake, 1e-12);
}

#[test]
fn the_gap_at_the_ring_is_an_intake_of_its_own() {
    let airframe = Airframe { thrust: Some(thrust(100.0, 2.5)), ..Airframe::default() };
    let mut document = document(Vec::new(), airframe);
    let gap = air(&document).ring_gap.unwrap();
    close(gap.around, PI * 100.0 * 2.5, 1e-12);
    close(gap.effective, PI * 250.0, 1e-12);
    assert_eq!(air(&document).intake, gap.effective);
    // A ring with next to no bore lets through no more than that.
    let mut shell = (*document.shell).clone();
    shell.weights.ring_bore = 0.1;
    document.shell = Arc::new(shell);
    close(air(&document).ring_gap.unwrap().effective, 0.25 * PI * 100.0, 1e-12);
    assert!(
        findings(&document, 0, &[Arc::new(form::loft(&document.forms[0]))], &Reckoned::default()).is_empty(),
        "no opening, nothing to say"
    );
}

#[test]
fn the_ratio_is_held_against_the_rule_of_thumb() {
    let with = |diameter: f64| {
        let intake = hole("Intake", Purpose::Intake, Seen::Ahead, [40.0, 0.0], 30.0);
        let outlet = hole("Outlet", Purpose::Outlet, Seen::Below, [200.0, 0.0], diameter);
        let access = hole("Screwdriver", Purpose::Access, Seen::Starboard, [200.0, 0.0], 20.0);
        air(&document(vec![intake, outlet, access], Airframe::default()))
    };
    let small = with(30.0);
    let told = small.findings.iter().find(|f| f.severity == Severity::Warning).unwrap();
    assert!(told.what.contains("a ratio of 1.0") && told.hint.contains("rule of thumb"), "{told:?}");
    assert!(told.hint.contains("measure the temperature") && told.allowed.unwrap().value == 1.5);
    assert!(with(45.0).findings.is_empty(), "{:?}", with(45.0).findings);
    let note = |air: Airflow| air.findings.first().map(|f| f.severity);
    assert_eq!((note(with(39.0)), note(with(60.0))), (Some(Severity::Note), Some(Severity::Note)));
    assert_eq!(with(45.0).holes[2].effective, 0.0);
}

#[test]
fn a_duct_counts_by_its_narrowest_place_and_keeps_clear_of_keep_outs() {
    let inner = Outline::Ellipse { centre: [40.0, 0.0], size: [20.0, 20.0], turn_deg: 0.0 };
    let mut intake = hole("Intake", Purpose::Intake, Seen::Ahead, [40.0, 0.0], 40.0);
    intake.duct = Some(Duct { depth: 50.0, lip_radius: 0.0, wall: 1.0, inner: Some(inner) });
    let battery = KeepOut {
        name: "Battery".into(),
        shape: Solid::Box { length: 80.0, breadth: 40.0, height: 40.0 },
        place: KeepOutPlace::Free { front: [45.0, 40.0, 0.0], pitch_deg: 0.0, yaw_deg: 0.0 },
        clearance: 3.0,
    };
    let along = hole("Slot", Purpose::Intake, Seen::Starboard, [200.0, 0.0], 20.0);
    let airframe = Airframe { keep_outs: vec![battery], ..Airframe::default() };
    let air = air(&document(vec![intake, along], airframe));
    close(air.holes[0].narrowest.unwrap().area, PI * 100.0, 5e-3);
    assert!(air.holes[0].effective <= PI * 100.0);
    let told = |words: &str| {
        air.findings.iter().find(|f| f.what.contains(words)).unwrap_or_else(|| panic!("{words}: {air:#?}"))
    };
    assert_eq!(told("The duct of Intake runs into Battery").severity, Severity::Error);
    assert_eq!(told("Slot lies along the flow").place.part, Part::Opening(1));
    assert!(air.holes[1].effective < 1e-3);
}

/// A scoop under the cowl: a cylinder of radius 30 that faces the flow turned by so many degrees, with a round hole in its flat front.
/// What it shows square to the flow is the hole's area times the cosine; a mirrored one counts twice, and both with the first form's.
#[test]
fn openings_of_added_forms_count_with_the_first_form_s() {
    let mut scoop = cylinder();
    for (name, value) in LineName::ALL.into_iter().zip([30.0, -30.0, 30.0, 0.0]) {
        *scoop.lines.get_mut(name) = line(&[[0.0, value], [100.0, value]]);
    }
    scoop.sections =
        cylinder().sections.iter().map(|s| Arc::new(ControlSection { station: 50.0, ..(**s).clone() })).collect();
    scoop.name = "Scoop".into();
    scoop.openings = vec![Arc::new(hole("Mouth", Purpose::Intake, Seen::Ahead, [0.0, 0.0], 20.0))];
    let outlet = hole("Outlet", Purpose::Outlet, Seen::Below, [200.0, 0.0], 30.0);
    for (yaw_deg, mirrored) in [(0.0, false), (30.0, false), (-20.0, true)] {
        let mut document = document(vec![outlet.clone()], Airframe::default());
        let mount = Mount { place: [50.0, 40.0, -80.0], yaw_deg, mirrored, ..Mount::default() };
        document.forms.push(Arc::new(Form { mount: Some(mount), ..scoop.clone() }));
        let lofted: Vec<_> = document.forms.iter().map(|form| Arc::new(form::loft(form))).collect();
        let known = Reckoned::default();
        let air = known.airflow(&document, 0, &lofted).unwrap();
        let sides = if mirrored { 2.0 } else { 1.0 };
        let one = PI * 100.0 * f64::from(yaw_deg as f32).to_radians().cos();
        close(air.intake, sides * one, 1e-3);
        let added: Vec<_> = air.holes.iter().filter(|hole| hole.form == 1).collect();
        assert_eq!(added.len(), sides as usize);
        assert!(added[0].name.contains("Mouth") && added[0].name.contains("Scoop"));
        let alone = airflow(&document, 0, &lofted[0]).unwrap();
        close(air.outlet, alone.outlet, 1e-12);
        close(air.ratio.unwrap(), air.outlet / air.intake, 1e-12);
        assert_eq!(alone.ratio, None);
        // The scoop itself has no ratio of its own, but tells its areas.
        let own = known.airflow(&document, 1, &lofted).unwrap();
        assert_eq!((own.ratio, own.holes.len()), (None, 1));
        // Once is enough for all that ask.
        assert!(Arc::ptr_eq(&known.airflow(&document, 0, &lofted).unwrap(), &air));
    }
}
