//! Pictures that are not what they should be: each is found all the same, or refused with words that say what is wrong.

use crate::dice::Dice;
use crate::forms::Kind;
use crate::{SIZE, errors, planted, rms};
use desk::photographs::words::{Spot, findings};
use desk::photographs::{Breadth, CameraFailure, SolveFailure, Solved, WhyLeftOut, camera, solve};
use geometry::loft::Loft;
use project::document::{Document, Picture};
use project::photograph::{LandmarkPlace, Traced};
use std::sync::Arc;

/// A cowl in one picture with two seams, its picture changed.
fn with(seed: u64, change: impl Fn(&mut Picture)) -> (Document, Loft) {
    let (mut document, truth) = planted(Kind::Cowl, &[10.0], &[120.0, 230.0], &mut Dice(seed));
    change(Arc::make_mut(&mut document.pictures[0]));
    (document, truth)
}

fn solved(document: &Document) -> Solved {
    solve(document, Breadth::Sought, &|_| true).unwrap()
}

fn error(solved: &Solved, truth: &Loft) -> f64 {
    rms(errors(solved, truth).iter().map(|e| e.0))
}

fn move_pixels(picture: &mut Picture, to: impl Fn([f64; 2]) -> [f64; 2]) {
    let photograph = &mut picture.photograph;
    photograph.landmarks.iter_mut().for_each(|l| l.pixel = to(l.pixel));
    photograph.traces.iter_mut().flat_map(|t| &mut t.points).for_each(|p| *p = to(*p));
}

#[test]
fn a_picture_turned_left_to_right_is_told() {
    let mirror = |p: &mut Picture| move_pixels(p, |[x, y]| [f64::from(SIZE[0]) - x, y]);
    let (document, _) = with(1, mirror);
    assert_eq!(camera(&document, &document.pictures[0]).unwrap_err(), CameraFailure::Mirrored);
    let why = solve(&document, Breadth::Sought, &|_| true).unwrap_err().to_string();
    assert!(why.contains("View 1: The landmarks fit this picture only as in a mirror"), "{why}");
}

/// A fifth cut off the left and a tenth off the top: the middle of what is left is not what the camera had straight ahead.
#[test]
fn a_cropped_picture_is_found_all_the_same() {
    let crop = |p: &mut Picture| {
        move_pixels(p, |[x, y]| [x - 1200.0, y - 400.0]);
        p.size_px = [SIZE[0] - 1200, SIZE[1] - 400];
    };
    for seed in 2..5 {
        let (document, truth) = with(seed, crop);
        let solved = solved(&document);
        assert!(error(&solved, &truth) < 2.0 * solved.band, "{} of {}", error(&solved, &truth), solved.band);
    }
}

/// A picture brought in on its side, as its camera's orientation was lost.
#[test]
fn a_picture_on_its_side_is_found_all_the_same() {
    let turn = |p: &mut Picture| {
        move_pixels(p, |[x, y]| [f64::from(SIZE[1]) - y, x]);
        p.size_px = [SIZE[1], SIZE[0]];
    };
    let (document, truth) = with(5, turn);
    let solved = solved(&document);
    assert!(error(&solved, &truth) < 2.0 * solved.band, "{} of {}", error(&solved, &truth), solved.band);
}

/// 30 mm mistyped: it is named and does not count.
#[test]
fn a_wrong_landmark_is_left_out() {
    let wrong = |p: &mut Picture| {
        if let LandmarkPlace::At(at) = &mut p.photograph.landmarks[5].place {
            at[2] += 30.0;
        }
    };
    let (document, truth) = with(6, wrong);
    let solved = solved(&document);
    let suspects = &solved.used[0].camera.resection.suspects;
    assert!(suspects.len() == 1 && suspects[0].name == "mark 5" && suspects[0].certain, "{suspects:?}");
    assert!(error(&solved, &truth) < 2.0 * solved.band);
}

#[test]
fn a_seam_outside_of_the_form_is_named_with_its_picture_and_the_stations_that_there_are() {
    let outside = |p: &mut Picture| p.photograph.traces[2].of = Traced::Seam { station: 400.0 };
    let (document, _) = with(7, outside);
    let why = solve(&document, Breadth::Sought, &|_| true).unwrap_err();
    assert!(matches!(&why, SolveFailure::Picture { picture, .. } if picture == "View 1"), "{why}");
    let text = why.to_string();
    assert!(text.contains("station 400.0 mm") && text.contains("from 0.0 to 360.0 mm"), "{text}");
}

/// Traced on along what stands behind the form: points that do not follow it are left out, and where they are is said.
#[test]
fn an_outline_traced_past_the_end_is_told_point_by_point() {
    let past = |p: &mut Picture| {
        let upper = &mut p.photograph.traces[0].points;
        let (a, b) = (upper[upper.len() - 2], upper[upper.len() - 1]);
        let step = [b[0] - a[0], b[1] - a[1]];
        let on = |k: i32| [b[0] + f64::from(k) * step[0], b[1] + f64::from(k) * step[1] - 30.0 * f64::from(k)];
        upper.extend((1..=4).map(on));
    };
    let (document, truth) = with(8, past);
    let solved = solved(&document);
    let told = findings(&document, &solved);
    let last = document.pictures[0].photograph.traces[0].points.len() - 1;
    let marked = told.iter().any(|w| match &w.spot {
        Spot::Picture { picture: 0, points } => points.contains(&(0, last)) || w.what.contains("beyond an end"),
        _ => false,
    });
    assert!(marked, "{told:?}");
    assert!(told.iter().all(|w| !w.hint.is_empty() && !w.place.is_empty()));
    assert!(error(&solved, &truth) < 2.5 * solved.band, "{} of {}", error(&solved, &truth), solved.band);
}

/// The outline of something else in the picture.
#[test]
fn what_is_not_this_form_is_refused_by_name() {
    let elsewhere = |p: &mut Picture| {
        p.photograph.traces.truncate(2);
        p.photograph.traces.iter_mut().flat_map(|t| &mut t.points).for_each(|q| q[1] += 900.0);
    };
    let (document, _) = with(9, elsewhere);
    let why = solve(&document, Breadth::Sought, &|_| true).unwrap_err().to_string();
    assert!(why.contains("View 1: what is traced lies"), "{why}");
}

/// A picture with traces and no landmarks takes no part, and is told; the other is solved.
#[test]
fn a_picture_without_a_camera_is_told_beside_one_that_is_solved() {
    let (mut document, _) = planted(Kind::Cowl, &[10.0, -8.0], &[120.0], &mut Dice(10));
    Arc::make_mut(&mut document.pictures[1]).photograph.landmarks.clear();
    let solved = solved(&document);
    assert_eq!((solved.used.len(), solved.left_out.len()), (1, 1));
    assert_eq!(solved.left_out[0].why, WhyLeftOut::NoCamera(CameraFailure::NoLandmarks));
}
