//! Whatever is given, a solve answers: with a form whose numbers are finite, or with a reason.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::{Dice, departing, photographs, seek_cameras, view};
use geometry::line::{Line, LineEnd, LinePoint, Pass};
use proptest::prelude::*;
use sight::Model;
use sight::edge::edge;
use sight::sketch::{Priors, Sketch, blend};
use sight::task::{CameraTrust, Photograph, Task};

fn finite(task: &Task) -> Result<(), TestCaseError> {
    let Ok(solution) = sight::solve(task, &|_| true) else { return Ok(()) };
    let (low, high) = task.model.range();
    for share in [0.0, 0.1, 0.5, 0.93, 1.0] {
        if let Some(section) = solution.section(low + (high - low) * share, 15) {
            for row in &section.rows {
                prop_assert!([row.after, row.before, row.sigma, row.prior_sigma].iter().all(|v| v.is_finite()));
                prop_assert!(row.after >= 0.0 && row.sigma >= 0.0);
            }
        }
        prop_assert!(solution.trust(low + (high - low) * share).iter().all(|t| t.sigma.is_finite()));
    }
    for camera in solution.cameras() {
        prop_assert!(camera.camera.focal_px.is_finite() && camera.camera.rotation.iter().all(|v| v.is_finite()));
    }
    prop_assert!(solution.advice().iter().all(|a| a.then.is_finite() && a.then <= a.now * 1.001));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// Parts of a good task left out, doubled, moved anywhere.
    #[test]
    fn a_spoilt_task_has_an_answer(
        seed in 0..1000_u64, known: bool, seams: bool, sought: bool, departure in prop_oneof![Just(0.0), Just(0.01)],
        keep in 0..60_usize, doubled in 0..20_usize, moved in proptest::collection::vec((0..60_usize, -3000.0..3000.0_f64), 0..20),
        shift in prop_oneof![Just(0.0), -400.0..400.0_f64], landmarks in 0..10_usize
    ) {
        let views = [view(42.0, 10.0)];
        let mut dice = Dice(seed);
        let mut task =
            Task { model: departing(known, departure), landmarks: Vec::new(), photographs: photographs(&views, seams, &mut dice) };
        if sought {
            seek_cameras(&mut task, &views, 5.0, &mut dice);
            task.photographs[0].sightings.truncate(landmarks);
        }
        let outline = &mut task.photographs[0].outline;
        outline.truncate(keep);
        outline.extend(outline.first().copied().iter().cycle().take(doubled).copied().collect::<Vec<_>>());
        let count = outline.len().max(1);
        for (at, by) in moved {
            if let Some(q) = outline.get_mut(at % count) {
                q[1] += by;
            }
        }
        outline.iter_mut().for_each(|q| q[0] += shift);
        finite(&task)?;
    }

    /// A spinner: pointed and blunt at the front, where nothing is given.
    #[test]
    fn a_pointed_form_has_an_answer(
        seed in 0..1000_u64, known: bool, given: bool, azimuth in 0.0..6.2_f64, up in -0.6..0.6_f64, far in 900.0..6000.0_f64
    ) {
        let point = |x: f64, value: f64| LinePoint { x, value, pass: Pass::Smooth };
        let nose = |sign: f64| {
            let at = |x: f64| point(x, sign * 100.0 * (1.0 - (1.0 - x / 200.0).powi(2)).sqrt());
            let points: Vec<LinePoint> = [0.0, 20.0, 50.0, 100.0, 150.0, 200.0].into_iter().map(at).collect();
            Line::new(&points, LineEnd::Upright, LineEnd::Free).unwrap()
        };
        let flat = |value: f64| blend((0.0, value), (200.0, value)).unwrap();
        let sketch = Sketch {
            crown: nose(1.0), keel: nose(-1.0), breadth: nose(1.0),
            breadth_height: flat(0.0), above: flat(2.0), below: flat(2.0),
        };
        let priors = Priors { ends_given: [given, true], ..Priors::usual(4.0, known) };
        let model = Model::new(sketch, priors).unwrap();
        let eye = [100.0 + far * azimuth.cos() * up.cos(), far * azimuth.sin() * up.cos(), far * up.sin()];
        let camera = photo::Camera::look_at(eye, [100.0, 0.0, 0.0], 4000.0, [2000.0, 1500.0]).unwrap();
        let curves = edge(&model.shape(&[]), &camera);
        let mut photograph = Photograph::new(camera, CameraTrust::Exact);
        let all: Vec<[f64; 2]> = curves.into_iter().flatten().map(|(_, q)| q).collect();
        photograph.outline = common::noisy(&all, 1.0, &mut Dice(seed)).into_iter().step_by(3).collect();
        let task = Task { model, landmarks: Vec::new(), photographs: vec![photograph] };
        finite(&task)?;
    }
}
