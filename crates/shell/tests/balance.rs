//! The balance held against worked cases, and ballast against the balance.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

use proptest::prelude::*;
use shell::balance::{Ballast, BallastPlace, Question, balance};
use shell::laminate::Span;
use shell::mass::{MassProperties, Part};

fn point(name: &str, grams: f64, x: f64) -> Part {
    Part::point(name, Span::exact(grams), [x, 0.0, 0.0])
}

fn tail(x: f64) -> Vec<BallastPlace> {
    vec![
        BallastPlace { name: "nose".into(), stations: (-50.0, 20.0) },
        BallastPlace { name: "tail".into(), stations: (x - 100.0, x) },
    ]
}

/// Worked by hand: 180 g 320 mm ahead of the centre of a model of 5 kg bring it 180 · 320 / 5180 = 11.12 mm ahead; 180 · 320 / 700 =
/// 82.29 g 700 mm aft restore it.
#[test]
fn a_nose_that_is_heavier() {
    let on = MassProperties::of(&[point("cowling", 180.0, 80.0)]).unwrap();
    let places = tail(1100.0);
    let mut question = Question {
        aircraft: point("aircraft", 5000.0, 400.0),
        taken_off: None,
        comes_on: &on,
        wanted: None,
        allowed: 1.0,
        places: &places,
    };
    let found = balance(&question).unwrap();
    assert!(
        (found.shift[0].likely + 180.0 * 320.0 / 5180.0).abs() < 1e-9 && (found.shift[0].likely + 11.1).abs() < 0.05
    );
    let Ballast::Add { place: 1, station, grams } = found.ballast else { panic!("{:?}", found.ballast) };
    assert!(station == 1100.0 && (grams.likely - 82.2857).abs() < 1e-4, "{grams:?}");
    question.allowed = 12.0;
    assert_eq!(balance(&question).unwrap().ballast, Ballast::None);
    question.allowed = 1.0;
    question.places = &places[..1];
    assert_eq!(balance(&question).unwrap().ballast, Ballast::NoPlace { aft: true });
}

/// The part that is replaced comes off first: the same part put on again changes nothing.
#[test]
fn the_same_part_again_changes_nothing() {
    let part = point("cowling", 150.0, 60.0);
    let on = MassProperties::of(std::slice::from_ref(&part)).unwrap();
    let question = Question {
        aircraft: point("aircraft", 6000.0, 420.0),
        taken_off: Some(part),
        comes_on: &on,
        wanted: None,
        allowed: 0.1,
        places: &[],
    };
    let found = balance(&question).unwrap();
    assert!(found.shift.iter().all(|s| s.low.abs() < 1e-9 && s.high.abs() < 1e-9));
    assert_eq!(found.ballast, Ballast::None);
}

#[test]
fn more_taken_off_than_there_is_is_told() {
    let on = MassProperties::of(&[point("new", 10.0, 0.0)]).unwrap();
    let taken_off = Some(point("old cowling", 900.0, 0.0));
    let question = Question {
        aircraft: point("aircraft", 800.0, 1.0),
        taken_off,
        comes_on: &on,
        wanted: None,
        allowed: 1.0,
        places: &[],
    };
    assert!(balance(&question).unwrap_err().to_string().contains("old cowling"));
}

fn span(low: std::ops::Range<f64>, wide: f64) -> impl Strategy<Value = Span> {
    (low, 0.0..wide, 0.0..wide).prop_map(|(low, a, b)| Span::new(low, low + a, low + a + b))
}

fn part(mass: std::ops::Range<f64>, place: std::ops::Range<f64>) -> impl Strategy<Value = Part> {
    (span(mass, 60.0), span(place, 8.0)).prop_map(|(mass, x)| Part {
        name: "part".into(),
        mass,
        centre: [x, Span::exact(0.0), Span::exact(0.0)],
        spread: [0.0; 6],
    })
}

fn within(span: Span, share: f64) -> f64 {
    span.low + share * (span.high - span.low)
}

proptest! {
    /// Whatever the six numbers are within their ranges, shift and ballast lie in theirs; and the ballast restores the centre.
    #[test]
    fn ranges_hold_every_case(aircraft in part(4000.0..9000.0, 380.0..460.0), off in part(50.0..200.0, 20.0..120.0),
                              on in part(150.0..400.0, 20.0..120.0), s in prop::array::uniform6(0.0..1.0_f64)) {
        let new = MassProperties::of(std::slice::from_ref(&on)).unwrap();
        let places = tail(1200.0);
        let question = Question { aircraft: aircraft.clone(), taken_off: Some(off.clone()), comes_on: &new, wanted: None,
                                  allowed: 0.0, places: &places };
        let found = balance(&question).unwrap();
        let [m, x, r, rx, n, nx] = [aircraft.mass, aircraft.centre[0], off.mass, off.centre[0], on.mass, on.centre[0]];
        let [m, x, r, rx, n, nx] =
            [within(m, s[0]), within(x, s[1]), within(r, s[2]), within(rx, s[3]), within(n, s[4]), within(nx, s[5])];
        let mass = m - r + n;
        let after = (m * x - r * rx + n * nx) / mass;
        prop_assert!(found.after[0].low - 1e-9 <= after && after <= found.after[0].high + 1e-9);
        prop_assert!(found.shift[0].low - 1e-9 <= after - x && after - x <= found.shift[0].high + 1e-9);
        prop_assert!(found.mass_after.low <= mass + 1e-9 && mass <= found.mass_after.high + 1e-9);
        if let Ballast::Add { station, grams, .. } = found.ballast {
            let needed = (after - x) * mass / (x - station);
            prop_assert!(grams.low - 1e-6 <= needed.max(0.0) && needed <= grams.high + 1e-6);
            let likely = found.after[0].likely * found.mass_after.likely + grams.likely * station;
            prop_assert!((likely / (found.mass_after.likely + grams.likely) - aircraft.centre[0].likely).abs() < 1e-9);
        }
    }
}
