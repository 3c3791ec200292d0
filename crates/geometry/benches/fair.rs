//! Traced points with noise to a line of the fewest points. Target: 200 points in a few milliseconds.
//!
//! `cargo bench -p plugwright-geometry`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

use divan::{Bencher, black_box};
use geometry::faired::{Fairing, TracedPoint, fair};
use geometry::line::{Line, LineEnd, LinePoint, Pass};

fn main() {
    divan::main();
}

/// A line through five points, with a steady saw of 0.2 mm on it.
fn traced(count: i32) -> Vec<TracedPoint> {
    let known = [[0.0, 33.0], [30.0, 45.0], [90.0, 58.0], [200.0, 61.0], [360.0, 44.0]];
    let known = known.map(|[x, value]| LinePoint { x, value, pass: Pass::Smooth });
    let line = Line::new(&known, LineEnd::Free, LineEnd::Free).unwrap();
    let point = |i: i32| {
        let x = 360.0 * f64::from(i) / f64::from(count - 1);
        let saw = f64::from(i * 7919 % 101) / 50.0 - 1.0;
        TracedPoint { x, value: line.at(x).value + 0.2 * saw, deviation: 0.0 }
    };
    (0..count).map(point).collect()
}

#[divan::bench(args = [50, 200, 10_000])]
fn faired(bencher: Bencher, count: i32) {
    let (traced, how) = (traced(count), Fairing { tolerance: 0.4, ..Fairing::default() });
    bencher.bench_local(|| fair(black_box(&traced), &how).unwrap());
}
