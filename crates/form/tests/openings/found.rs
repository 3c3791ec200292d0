use super::bodies::*;
use form::{Finding, Part, Severity};
use project::airframe::{Airframe, Ring, Spinner, ThrustLine};
use project::document::{Document, Form};
use project::opening::{Opening, Outline, OutlinePoint, Seen};
use project::starter::new_document;
use std::sync::Arc;

fn found(form: Form, openings: Vec<Opening>) -> Vec<Finding> {
    let form = Form { openings: openings.into_iter().map(Arc::new).collect(), ..form };
    let document = Document { forms: vec![Arc::new(form)], ..new_document("Test") };
    form::openings::findings(&document, 0, &lofted(&document.forms[0]))
}

fn named(name: &str, seen: Seen, outline: Outline) -> Opening {
    Opening { name: name.into(), ..opening(seen, outline) }
}

fn told<'a>(found: &'a [Finding], words: &str) -> &'a Finding {
    found.iter().find(|f| f.what.contains(words)).unwrap_or_else(|| panic!("\"{words}\" in {found:#?}"))
}

#[test]
fn a_hole_with_room_all_round_is_let_be() {
    let all = found(cylinder(60.0), vec![named("Slot", Seen::Starboard, circle([150.0, 0.0], 20.0))]);
    assert_eq!(all, Vec::new());
}

#[test]
fn what_misses_the_form_or_steps_is_told_where() {
    let all = found(
        cylinder(60.0),
        vec![
            named("Gone", Seen::Above, circle([150.0, 200.0], 20.0)),
            named("Notch", Seen::Below, rectangle([295.0, 0.0], [40.0, 30.0])),
            named("Tall", Seen::Starboard, circle([150.0, 55.0], 20.0)),
            named("Ahead", Seen::Starboard, circle([5.0, 0.0], 20.0)),
        ],
    );
    assert_eq!(told(&all, "Gone misses the form").severity, Severity::Error);
    let notch = told(&all, "Notch runs over the rear edge");
    assert!(notch.severity == Severity::Note && notch.place.station.unwrap() > 300.0);
    assert!(!all.iter().any(|f| f.what.contains("Notch comes within")), "a notch is meant");
    assert_eq!(told(&all, "A part of the outline of Tall").place.part, Part::Opening(2));
    assert_eq!(told(&all, "Ahead runs over the front edge").severity, Severity::Warning);
    assert!(all.iter().all(|f| f.place.form == Some(0) && !f.hint.is_empty()));
}

#[test]
fn edges_and_neighbours_are_kept_away_from() {
    let all = found(
        cylinder(60.0),
        vec![
            named("One", Seen::Starboard, circle([276.0, 0.0], 20.0)),
            named("Two", Seen::Starboard, circle([233.0, 0.0], 20.0)),
            named("Three", Seen::Starboard, circle([225.0, 10.0], 20.0)),
        ],
    );
    let rear = told(&all, "One comes within 4.0 mm of the rear edge");
    assert!((rear.measured.unwrap().value - 4.0).abs() < 0.05 && rear.allowed.unwrap().value == 10.0);
    let bridge = told(&all, "Between One and Two only 3.0 mm");
    assert!((bridge.measured.unwrap().value - 3.0).abs() < 0.1);
    assert_eq!(told(&all, "Two and Three run into each other").severity, Severity::Error);
    let mut twice = named("Own", Seen::Below, circle([150.0, 5.0], 20.0));
    twice.mirrored = true;
    told(&found(cylinder(60.0), vec![twice]), "Own and its own mirror image run into each other");
}

#[test]
fn the_ring_is_kept_away_from() {
    let line = ThrustLine {
        firewall: 200.0,
        hub_distance: 170.0,
        hub_height: 0.0,
        down_thrust_deg: 0.0,
        side_thrust_deg: 0.0,
        spinner: Spinner { diameter: 40.0, gap: 2.0 },
        ring: Ring { thickness: 3.0, step: 0.0, square_to_thrust: true },
    };
    let holes = vec![named("Near", Seen::Starboard, circle([62.0, 0.0], 20.0))];
    let form = Form { openings: holes.into_iter().map(Arc::new).collect(), ..cone(0.0, 100.0, 250.0) };
    let airframe = Arc::new(Airframe { thrust: Some(line), ..Airframe::default() });
    let document = Document { forms: vec![Arc::new(form)], airframe, ..new_document("Test") };
    let all = form::openings::findings(&document, 0, &lofted(&document.forms[0]));
    // The ring's rear face stands at 30 + 2 + 3 = 35; the hole begins at 42.
    told(&all, "Near comes within 7.0 mm of the ring");
}

#[test]
fn ducts_that_leave_the_form_and_lips_that_do_not_fit_are_told() {
    let mut deep = named("Deep", Seen::Starboard, circle([150.0, 10.0], 15.0));
    deep.duct = Some(duct(125.0, None));
    let mut thick = named("Thick", Seen::Port, circle([150.0, 10.0], 15.0));
    let mut lip = duct(20.0, None);
    lip.lip_radius = 40.0;
    thick.duct = Some(lip);
    let all = found(cylinder(60.0), vec![deep, thick]);
    assert_eq!(told(&all, "The duct of Deep leaves the form").severity, Severity::Error);
    assert_eq!(told(&all, "A lip of 40.0 mm radius does not fit Thick").place.part, Part::Opening(1));
}

#[test]
fn an_outline_that_crosses_itself_is_told() {
    let point = |at: [f64; 2]| OutlinePoint { at, corner: true };
    let eight = [[140.0, 0.0], [160.0, 18.0], [160.0, 0.0], [140.0, 20.0]].map(point).to_vec();
    let all = found(cylinder(60.0), vec![named("Eight", Seen::Starboard, Outline::Drawn { points: eight })]);
    told(&all, "The outline of Eight crosses itself");
}
