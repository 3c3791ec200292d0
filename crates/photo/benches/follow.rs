//! An edge followed over 1200 px of a 24 MP picture. Target: some milliseconds, whatever the size of the picture.
//!
//! `cargo bench -p plugwright-photo`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

use divan::{Bencher, black_box};
use photo::{Following, Photo, follow, snap};

fn main() {
    divan::main();
}

/// A disc of 1500 px across on 6000 x 4000 px, its edge two pixels wide.
fn picture() -> Photo {
    let (width, height) = (6000, 4000);
    let shade = |i: u32| {
        let (x, y) = (f64::from(i % width) - 3000.0, f64::from(i / width) - 2000.0);
        let level = (130.0 + 45.0 * (x.hypot(y) - 750.0)).clamp(40.0, 220.0) as u8;
        [level, level, level, 255]
    };
    Photo { width, height, rgba: (0..width * height).flat_map(shade).collect() }
}

fn picks() -> Vec<[f64; 2]> {
    let pick = |i: i32| {
        let (s, c) = (0.16 * f64::from(i)).sin_cos();
        let r = if i % 2 == 0 { 753.0 } else { 747.0 };
        [3000.0 + r * c, 2000.0 + r * s]
    };
    (0..11).map(pick).collect()
}

#[divan::bench]
fn one_edge_of_1200_px(bencher: Bencher) {
    let (picture, picks) = (picture(), picks());
    bencher.bench_local(|| follow(black_box(&picture), &picks, &Following::default()).unwrap());
}

#[divan::bench]
fn one_pick(bencher: Bencher) {
    let picture = picture();
    bencher.bench_local(|| snap(black_box(&picture), [3754.0, 2000.0], &Following::default()).unwrap());
}
