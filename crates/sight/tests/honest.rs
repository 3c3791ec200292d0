//! Whether predicted deviations are true: forms and cameras drawn from the priors, photographed, solved, compared. Of true errors 68 %
//! shall lie within one deviation (normal distribution), give or take 10 %.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::Dice;
use common::planted::{Kind, plant, planted_errors};

const FORMS: u64 = 50;

/// Shares of errors within one and within two predicted deviations.
fn shares(kind: Kind, splits: &[f64]) -> [f64; 2] {
    let (mut within, mut all) = ([0, 0], 0);
    for form in 0..FORMS {
        let mut dice = Dice(1000 + form);
        let split = splits[form as usize % splits.len()];
        let departs = kind.departs.map(|_| DEPARTS[form as usize / splits.len() % DEPARTS.len()]);
        let planted = plant(Kind { split, departs, ..kind }, &mut dice);
        let solution = sight::solve(&planted.task, &|_| true).unwrap();
        let errors = planted_errors(&solution, &planted.unknowns);
        for (count, times) in within.iter_mut().zip([1.0, 2.0]) {
            *count += errors.iter().filter(|(error, sigma)| error.abs() < times * sigma).count();
        }
        all += errors.len();
    }
    within.map(|count| count as f64 / all as f64)
}

/// The split's own deviation is drawn as the solve tries it: one of three, alike likely.
const DRAWN: [f64; 3] = [1.0, 0.3, 0.08];
/// And so is the departure's, where it is learnt.
const DEPARTS: [f64; 3] = [1.0, 0.3, 0.03];
const KIND: Kind = Kind {
    breadth_known: true,
    elevations: &[10.0],
    seams: false,
    joint: false,
    departure: 0.0,
    departs: None,
    split: 1.0,
};

fn check(kind: Kind) {
    let [one, two] = shares(kind, &DRAWN);
    assert!((0.58..=0.78).contains(&one), "{one}");
    assert!(two > 0.88, "{two}");
}

#[test]
fn one_outline_with_the_breadth_known() {
    check(KIND);
    check(Kind { joint: true, ..KIND });
}

#[test]
fn one_outline_alone() {
    check(Kind { breadth_known: false, ..KIND });
    check(Kind { breadth_known: false, joint: true, ..KIND });
}

#[test]
fn one_outline_with_two_seams() {
    let kind = Kind { breadth_known: false, elevations: &[2.0], seams: true, ..KIND };
    check(kind);
    check(Kind { joint: true, ..kind });
}

#[test]
fn two_outlines() {
    let kind = Kind { breadth_known: false, elevations: &[10.0, -8.0], ..KIND };
    check(kind);
    check(Kind { joint: true, ..kind });
}

/// Sections that depart from superelliptic arcs, known to the prior.
#[test]
fn sections_that_are_not_superelliptic() {
    check(Kind { departure: 0.01, ..KIND });
    check(Kind { breadth_known: false, seams: true, joint: true, departure: 0.01, ..KIND });
}

/// Sections that may depart or not: the solve is not told which.
#[test]
fn sections_that_may_be_superelliptic_or_not() {
    let kind = Kind { departure: 0.01, departs: Some(1.0), ..KIND };
    check(kind);
    check(Kind { breadth_known: false, elevations: &[10.0, -8.0], joint: true, ..kind });
}
