//! The edge and the seams as photographs show them, against exact projections made by an independent script.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::{LENGTH, line, sketch, true_breadth, truth, view, views};
use sight::edge::edge;
use sight::shape::Model;
use sight::sketch::{Priors, Sketch};
use sight::task::Task;
use std::f64::consts::PI;

/// The true form as a sketch: README of the vectors, n + 0.35 sin²(πt), breadth height - 70 sin(πt)(1 - 0.3 t).
fn true_form() -> Model {
    let exponent = |t: f64| 2.6 - 0.6 * t * t * (3.0 - 2.0 * t) + 0.35 * (PI * t).sin().powi(2);
    let lines = Sketch {
        breadth: line(true_breadth),
        breadth_height: line(|t| -50.0 * t * t - 70.0 * (PI * t).sin() * (1.0 - 0.3 * t)),
        above: line(exponent),
        below: line(exponent),
        ..sketch(true)
    };
    Model::new(lines, Priors::usual(1.0, true)).unwrap()
}

#[test]
fn the_sketch_of_the_truth_is_the_truth() {
    let model = true_form();
    for t in truth() {
        let frame = model.shape(&[]).frame(t.station).unwrap();
        assert!((frame.breadth.0 - t.breadth).abs() < 1e-3, "{t:?} {frame:?}");
        assert!((frame.middle.0 - t.middle).abs() < 1e-3);
        assert!((frame.exponents[0].0 - t.exponents[0]).abs() < 2e-5, "{t:?} {frame:?}");
        assert!((frame.span().0 - t.crown).abs() < 1e-3 && (frame.span().1 - t.keel).abs() < 1e-3);
    }
}

/// Outline points were found on the source's own grid to a few hundredths of a pixel along the edge; across it they are exact.
#[test]
fn outlines_and_seams_of_five_views_lie_on_the_true_form() {
    for view in views() {
        let mut photograph = sight::task::Photograph::new(view.camera, sight::task::CameraTrust::Exact);
        photograph.outline = view.outline.clone();
        photograph.seams = view.seams.clone();
        let task = Task { model: true_form(), landmarks: Vec::new(), photographs: vec![photograph] };
        for seen in sight::outline::residuals(&task.model.shape(&[]), &task.photographs[0]) {
            let seen = seen.expect("every point shows a place");
            assert!(seen.residual.abs() < 0.02, "{} {:?}", view.elevation, seen);
        }
    }
}

#[test]
fn the_edge_runs_in_two_curves_along_the_form() {
    let model = true_form();
    let shape = model.shape(&[]);
    let curves = edge(&shape, &view(42.0, 10.0).camera);
    assert_eq!(curves.len(), 2);
    for curve in curves {
        assert!(curve.len() > 60);
        for pair in curve.windows(2) {
            let step = (pair[1].1[0] - pair[0].1[0]).hypot(pair[1].1[1] - pair[0].1[1]);
            assert!(step < 0.1 * LENGTH, "neighbours lie together: {step} px");
        }
    }
}
