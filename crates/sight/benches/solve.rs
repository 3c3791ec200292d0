//! Sections from one photograph: 60 outline points, 9 knots. Target: under 0.5 s, and under 1 s with the camera sought as well.
//!
//! `cargo bench -p plugwright-sight`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

#[path = "../tests/common/mod.rs"]
mod common;

use common::{Dice, model, photographs, seek_cameras, view};
use divan::{Bencher, black_box};
use sight::task::Task;

fn main() {
    divan::main();
}

fn task(elevations: &[f64], seams: bool, breadth_known: bool, sought: bool) -> Task {
    let views: Vec<_> = elevations.iter().map(|e| view(42.0, *e)).collect();
    let mut dice = Dice(5);
    let photographs = photographs(&views, seams, &mut dice);
    let mut task = Task { model: model(breadth_known), landmarks: Vec::new(), photographs };
    if sought {
        seek_cameras(&mut task, &views, 5.0, &mut dice);
    }
    task
}

#[divan::bench]
fn one_outline(bencher: Bencher) {
    let task = task(&[10.0], false, false, false);
    bencher.bench_local(|| sight::solve(black_box(&task), &|_| true).unwrap());
}

#[divan::bench]
fn one_outline_and_its_camera(bencher: Bencher) {
    let task = task(&[10.0], false, false, true);
    bencher.bench_local(|| sight::solve(black_box(&task), &|_| true).unwrap());
}

#[divan::bench]
fn two_outlines_four_seams_and_their_cameras(bencher: Bencher) {
    let task = task(&[10.0, -8.0], true, false, true);
    bencher.bench_local(|| sight::solve(black_box(&task), &|_| true).unwrap());
}

#[divan::bench]
fn advice(bencher: Bencher) {
    let solution = sight::solve(&task(&[10.0], false, false, true), &|_| true).unwrap();
    bencher.bench_local(|| black_box(&solution).advice());
}
