//! How closely sections are found on the vectors' views: half-breadth at quarter scale, mean over seeds of the rms error over
//! eleven stations and 49 heights, 1 px of noise. The figures asked for are those of a prototype by least squares with the
//! same priors, made by an independent script: exact cameras 0.2, 0.2 and 0.6; sought ones 0.55, 0.45 and 0.96.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::{Dice, View, departing, errors, model, perhaps_departing, photographs, rms, seek_cameras, truth, view};
use sight::shape::Model;
use sight::task::Task;

const SEEDS: u64 = 24;

struct Reached {
    /// Mean rms error, mm at the scale.
    error: f64,
    /// Mean rms of the predicted deviation, mm at the scale.
    predicted: f64,
}

fn reached(elevations: &[f64], seams: bool, breadth_known: bool, sought: bool) -> Reached {
    reached_by(&model(breadth_known), elevations, seams, sought)
}

fn reached_by(model: &Model, elevations: &[f64], seams: bool, sought: bool) -> Reached {
    let views: Vec<View> = elevations.iter().map(|e| view(42.0, *e)).collect();
    let (mut error, mut predicted) = (0.0, 0.0);
    for seed in 0..SEEDS {
        let mut dice = Dice(seed * 77 + 5);
        let photographs = photographs(&views, seams, &mut dice);
        let mut task = Task { model: model.clone(), landmarks: Vec::new(), photographs };
        if sought {
            seek_cameras(&mut task, &views, 5.0, &mut dice);
        }
        let solution = sight::solve(&task, &|_| true).unwrap();
        let all = errors(&solution, &truth());
        error += rms(all.iter().map(|e| e.0)) / SEEDS as f64;
        predicted += rms(all.iter().map(|e| e.1)) / SEEDS as f64;
    }
    Reached { error, predicted }
}

/// By smooth guessing alone 4.7 with the breadth known and 6.4 unknown.
#[test]
fn guessing_alone_is_what_it_was_for_the_prototype() {
    for (known, figure) in [(true, 4.717), (false, 6.442)] {
        let model = model(known);
        let drawn = model.shape(&[]);
        let truth = truth();
        let inner = truth.iter().filter(|t| t.station > 1.0 && t.station < 1439.0);
        let of = |t: &common::True| {
            let frame = drawn.frame(t.station).unwrap();
            let height = |i: i32| t.keel + (t.crown - t.keel) * f64::from(i) / 50.0;
            (1..50)
                .map(|i| (frame.half_breadth(height(i)).unwrap() - t.half_breadth(height(i))) / 4.0)
                .collect::<Vec<_>>()
        };
        let error = rms(inner.flat_map(of));
        assert!((error / figure - 1.0).abs() < 0.015, "{error}");
    }
}

#[test]
fn one_outline_with_the_breadth_known() {
    let found = reached(&[10.0], false, true, false);
    assert!(found.error < 0.2, "{}", found.error);
}

#[test]
fn one_outline_with_two_seams() {
    let found = reached(&[10.0], true, false, false);
    assert!(found.error < 0.2, "{}", found.error);
    // From 2 degrees only, where the prototype's own prediction was 0.40.
    let low = reached(&[2.0], true, false, false);
    assert!(low.error < 0.3 && low.predicted < 0.43, "{} {}", low.error, low.predicted);
}

#[test]
fn two_outlines() {
    let found = reached(&[10.0, -8.0], false, false, false);
    assert!(found.error < 0.6, "{}", found.error);
}

/// Weak, and the band says so.
#[test]
fn one_outline_alone() {
    for elevation in [2.0, 10.0, 20.0] {
        let found = reached(&[elevation], false, false, false);
        assert!(found.error < 2.5, "{}", found.error);
        assert!(found.predicted > 1.5 && found.predicted > 0.9 * found.error, "{}", found.predicted);
    }
}

#[test]
fn cameras_sought_together_with_the_form() {
    let outline = reached(&[10.0], false, true, true);
    let seams = reached(&[2.0], true, false, true);
    let two = reached(&[10.0, -8.0], false, false, true);
    // The mean over so many seeds is itself uncertain by a tenth.
    assert!(outline.error < 0.55 * 1.1, "{}", outline.error);
    assert!(seams.error < 0.45 * 1.1, "{}", seams.error);
    assert!(two.error < 0.96, "{}", two.error);
}

/// As a builder's project is solved: the sections may depart from superellipses, and that these do not is found from what is
/// traced. The figures asked for are reached but with one outline alone, where a third more remains, as it tells a departure from
/// an exponent only by what is likely; without learning four times as much remains.
#[test]
fn sections_that_might_depart_and_do_not() {
    for (elevations, seams, known, sought, asked, share) in [
        (&[10.0][..], false, true, false, 0.2, 1.4),
        (&[10.0], true, false, false, 0.2, 1.0),
        (&[10.0, -8.0], false, false, false, 0.6, 1.0),
        (&[10.0], false, true, true, 0.55, 1.2),
        (&[2.0], true, false, true, 0.45, 1.1),
        (&[10.0, -8.0], false, false, true, 0.96, 1.0),
    ] {
        let found = reached_by(&perhaps_departing(known, 0.01), elevations, seams, sought);
        assert!(found.error < asked * share, "{elevations:?} {seams} {sought}: {}", found.error);
    }
    let unlearnt = reached_by(&departing(true, 0.01), &[10.0], false, false);
    let learnt = reached_by(&perhaps_departing(true, 0.01), &[10.0], false, false);
    assert!(learnt.error < 0.5 * unlearnt.error && learnt.predicted < 0.5 * unlearnt.predicted, "{}", learnt.predicted);
}
