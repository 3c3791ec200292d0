//! Gross mistakes: points off the outline, a landmark mistyped, forms that the model cannot take, input that no solve can use.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::other::{knuckled, other_errors, outlined, raised, seam_of, shouldered, waved};
use common::{Dice, View, departing, errors, model, photographs, rms, seek_cameras, truth, view};
use sight::error::SightError;
use sight::finding::Finding;
use sight::task::{CameraTrust, Landmark, Seam, Task};
use sight::traced::Trace;

fn task(views: &[View], seams: bool, breadth_known: bool, dice: &mut Dice) -> Task {
    Task { model: model(breadth_known), landmarks: Vec::new(), photographs: photographs(views, seams, dice) }
}

fn left_out(findings: &[Finding]) -> Vec<(Trace, usize)> {
    let of = |f: &Finding| match f {
        Finding::LeftOut { trace, index, .. } => Some((*trace, *index)),
        _ => None,
    };
    findings.iter().filter_map(of).collect()
}

#[test]
fn outliers_are_named_and_cost_little() {
    let views = [view(42.0, 10.0)];
    for seed in 0..6 {
        let mut dice = Dice(seed);
        let mut task = task(&views, true, false, &mut dice);
        let clean = rms(errors(&sight::solve(&task, &|_| true).unwrap(), &truth()).iter().map(|e| e.0));
        for (index, off) in [(5, 40.0), (22, -15.0), (41, 25.0), (50, -90.0)] {
            task.photographs[0].outline[index][1] += off;
        }
        task.photographs[0].seams[1].pixels[7][0] += 30.0;
        let solution = sight::solve(&task, &|_| true).unwrap();
        let mut found = left_out(solution.findings());
        found.sort();
        let outline = Trace::Outline;
        let planted = vec![(outline, 5), (outline, 22), (outline, 41), (outline, 50), (Trace::Seam(1), 7)];
        assert_eq!(found, planted, "seed {seed}");
        let dirty = rms(errors(&solution, &truth()).iter().map(|e| e.0));
        assert!(dirty < 1.5 * clean + 0.05, "{dirty} {clean}");
    }
}

#[test]
fn clean_points_are_seldom_left_out() {
    let views = [view(42.0, 2.0)];
    let count = |seed| {
        let task = task(&views, true, false, &mut Dice(seed));
        left_out(sight::solve(&task, &|_| true).unwrap().findings()).len()
    };
    let all: usize = (0..30).map(count).sum();
    assert!(all <= 1, "{all} of 3000 points");
}

#[test]
fn a_landmark_mistyped_is_named() {
    let views = [view(42.0, 10.0)];
    let mut dice = Dice(3);
    let mut task = task(&views, false, true, &mut dice);
    seek_cameras(&mut task, &views, 5.0, &mut dice);
    let clean = rms(errors(&sight::solve(&task, &|_| true).unwrap(), &truth()).iter().map(|e| e.0));
    task.landmarks[4].place[2] += 100.0;
    let solution = sight::solve(&task, &|_| true).unwrap();
    let named = |f: &Finding| match f {
        Finding::Landmark { landmark, moved_mm, .. } => Some((*landmark, moved_mm[2])),
        _ => None,
    };
    let found: Vec<(usize, f64)> = solution.findings().iter().filter_map(named).collect();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, 4);
    assert!((found[0].1 + 100.0).abs() < 25.0, "{found:?}");
    let dirty = rms(errors(&solution, &truth()).iter().map(|e| e.0));
    assert!(dirty < 2.0 * clean + 0.2, "{dirty} {clean}");
}

fn is_strained(finding: &Finding) -> bool {
    matches!(finding, Finding::Strained(_))
}

/// Short waves along the form, and a crown that is not where the known line has it, with two outlines: told, and the band is
/// several times as wide as for a form that the model takes.
#[test]
fn forms_that_the_model_cannot_take_strain_the_outline() {
    for (surface, elevations) in [(waved as common::other::Surface, &[10.0][..]), (raised, &[10.0, -8.0])] {
        for seed in 0..5 {
            let mut dice = Dice(900 + seed);
            let solved = |surface, dice: &mut Dice| {
                let of = |e: &f64| outlined(surface, &view(42.0, *e).camera, 1.0, dice);
                let photographs = elevations.iter().map(of).collect();
                sight::solve(&Task { model: model(true), landmarks: Vec::new(), photographs }, &|_| true).unwrap()
            };
            let plain = solved(common::other::plain, &mut dice);
            assert!(!plain.findings().iter().any(is_strained), "{:?}", plain.findings());
            let strange = solved(surface, &mut dice);
            assert!(strange.findings().iter().any(is_strained));
            let band = |s: &sight::solution::Solution, f| rms(other_errors(s, f).iter().map(|e| e.1));
            assert!(band(&strange, surface) > 1.5 * band(&plain, common::other::plain));
        }
    }
}

/// No section counts as known better than the form follows what was traced, seams that happen to agree included.
#[test]
fn the_band_holds_what_the_form_cannot_follow() {
    for seams in [false, true] {
        let (mut within, mut all) = (0, 0);
        for seed in 0..4 {
            let (camera, mut dice) = (view(42.0, 10.0).camera, Dice(900 + seed));
            let mut photograph = outlined(waved, &camera, 1.0, &mut dice);
            if seams {
                photograph.seams = [480.0, 960.0].iter().map(|x| seam_of(waved, &camera, *x, 1.0, &mut dice)).collect();
            }
            let task = Task { model: model(true), landmarks: Vec::new(), photographs: vec![photograph] };
            let solution = sight::solve(&task, &|_| true).unwrap();
            assert!(solution.misfit() > 4.0, "{}", solution.misfit());
            let errors = other_errors(&solution, waved);
            within += errors.iter().filter(|e| e.0.abs() < e.1).count();
            all += errors.len();
        }
        let share = within as f64 / all as f64;
        assert!((0.58..=0.78).contains(&share), "{share}");
    }
}

/// An outline touches a section in two places and cannot show a flat side between them; a seam can.
#[test]
fn a_knuckle_strains_a_seam() {
    for seed in 0..5 {
        let mut dice = Dice(400 + seed);
        let camera = view(42.0, 2.0).camera;
        let mut photograph = outlined(knuckled, &camera, 1.0, &mut dice);
        photograph.seams = [480.0, 960.0].iter().map(|x| seam_of(knuckled, &camera, *x, 1.0, &mut dice)).collect();
        let task = Task { model: model(false), landmarks: Vec::new(), photographs: vec![photograph] };
        let solution = sight::solve(&task, &|_| true).unwrap();
        let seam = |f: &Finding| matches!(f, Finding::Strained(fit) if !fit.outline);
        assert!(solution.findings().iter().any(seam), "{:?}", solution.fits());
    }
}

/// Shoulders, 3 % of the half box, which no superellipse has and which an outline does not show: told as taken on trust; with
/// a prior departure the band holds, and with seams the shoulders are found.
#[test]
fn shoulders_are_on_trust_or_in_the_band_or_found() {
    let camera = view(42.0, 10.0).camera;
    let solved = |departure: f64, seams: bool, seed: u64| {
        let mut dice = Dice(600 + seed);
        let mut photograph = outlined(shouldered, &camera, 1.0, &mut dice);
        if seams {
            photograph.seams =
                [480.0, 960.0].iter().map(|x| seam_of(shouldered, &camera, *x, 1.0, &mut dice)).collect();
        }
        let task = Task { model: departing(true, departure), landmarks: Vec::new(), photographs: vec![photograph] };
        sight::solve(&task, &|_| true).unwrap()
    };
    let (mut within, mut all, mut error) = (0, 0, [0.0; 3]);
    for seed in 0..6 {
        let plain = solved(0.0, false, seed);
        assert!(plain.findings().contains(&Finding::ShapeOnTrust));
        let cautious = solved(0.01, false, seed);
        assert!(!cautious.findings().contains(&Finding::ShapeOnTrust));
        let errors = other_errors(&cautious, shouldered);
        within += errors.iter().filter(|e| e.0.abs() < e.1).count();
        all += errors.len();
        let seamed = solved(0.01, true, seed);
        assert!(!seamed.findings().iter().any(is_strained), "{:?}", seamed.findings());
        for (sum, solution) in error.iter_mut().zip([&plain, &cautious, &seamed]) {
            *sum += rms(other_errors(solution, shouldered).iter().map(|e| e.0)) / 6.0;
        }
    }
    assert!(within as f64 > 0.68 * all as f64, "{within} of {all}");
    assert!(error[2] < 0.35 && error[0] > 3.0 * error[2], "{error:?}");
}

#[test]
fn the_outline_of_something_else_is_refused() {
    let views = [view(42.0, 10.0)];
    let mut task = task(&views, false, true, &mut Dice(1));
    for (i, q) in task.photographs[0].outline.iter_mut().enumerate() {
        let turn = i as f64 / 60.0 * std::f64::consts::TAU;
        *q = [3000.0 + 900.0 * turn.cos(), 2000.0 + 300.0 * turn.sin()];
    }
    let refused = sight::solve(&task, &|_| true).unwrap_err();
    assert!(matches!(refused, SightError::NotThisForm { photograph: 1, .. }), "{refused}");
}

#[test]
fn input_that_no_solve_can_use_is_refused_with_its_place() {
    let views = [view(42.0, 10.0)];
    let good = || task(&views, true, true, &mut Dice(2));
    let refused = |change: &dyn Fn(&mut Task)| {
        let mut task = good();
        change(&mut task);
        sight::solve(&task, &|_| true).map(drop).unwrap_err()
    };
    let nothing = refused(&|t| {
        t.photographs[0].outline.clear();
        t.photographs[0].seams.clear();
    });
    assert_eq!(nothing, SightError::NothingTraced);
    assert_eq!(refused(&|t| t.photographs.clear()), SightError::NothingTraced);
    let not_finite = refused(&|t| t.photographs[0].outline[3][1] = f64::NAN);
    assert_eq!(
        not_finite.to_string(),
        "photograph 1: its outline has a value that is not a finite number: enter it again"
    );
    let camera = refused(&|t| t.photographs[0].camera.translation.z = f64::INFINITY);
    assert!(matches!(camera, SightError::NotFinite(_)), "{camera}");
    let behind = refused(&|t| t.photographs[0].camera.translation *= -1.0);
    assert_eq!(behind, SightError::CameraBehind(1));
    let outside = refused(&|t| t.photographs[0].seams.push(Seam { station: 1500.0, pixels: vec![[1.0, 2.0]] }));
    assert_eq!(outside, SightError::SeamOutside { photograph: 1, station: 1500.0, low: 0.0, high: 1440.0 });
    assert_eq!(outside.photograph(), Some(1));
    let sigma = refused(&|t| t.photographs[0].outline_sigma = 0.0);
    assert!(matches!(sigma, SightError::NotPositive(_)), "{sigma}");
    let open = refused(&|t| t.photographs[0].trust = CameraTrust::Sought { focal_share: 0.02 });
    assert_eq!(open, SightError::CameraOpen { photograph: 1, sightings: 0 });
}

/// Six landmarks in one straight line leave the camera free to turn about it.
#[test]
fn landmarks_in_one_line_leave_the_camera_open() {
    let views = [view(42.0, 10.0)];
    let mut dice = Dice(2);
    let mut task = task(&views, false, true, &mut dice);
    seek_cameras(&mut task, &views, 5.0, &mut dice);
    task.landmarks.clear();
    task.photographs[0].sightings.clear();
    for i in 0..6 {
        let place = [200.0 * f64::from(i), 0.0, 40.0 * f64::from(i)];
        task.landmarks.push(Landmark { name: format!("{i}"), place, sigma: [5.0; 3] });
        let pixel = views[0].camera.project(place).unwrap();
        task.photographs[0].sightings.push(sight::task::Sighting { landmark: i as usize, pixel });
    }
    let refused = sight::solve(&task, &|_| true).map(drop).unwrap_err();
    assert_eq!(refused, SightError::CameraOpen { photograph: 1, sightings: 6 });
}

#[test]
fn progress_rises_and_the_solve_can_be_given_up() {
    let task = task(&[view(42.0, 10.0)], false, true, &mut Dice(2));
    let told = std::cell::RefCell::new(Vec::new());
    sight::solve(&task, &|share| {
        told.borrow_mut().push(share);
        true
    })
    .unwrap();
    let told = told.into_inner();
    assert!(told.len() > 3 && told.windows(2).all(|w| w[0] < w[1]) && told.iter().all(|s| (0.0..1.0).contains(s)));
    let given_up = sight::solve(&task, &|share| share < 0.2).map(drop).unwrap_err();
    assert_eq!(given_up, SightError::Cancelled);
}

/// The same task gives the same answer, to the last bit.
#[test]
fn nothing_depends_on_chance() {
    let task = task(&[view(42.0, 10.0)], true, false, &mut Dice(2));
    let solve = || sight::solve(&task, &|_| true).unwrap().unknowns().to_vec();
    assert_eq!(solve(), solve());
}
