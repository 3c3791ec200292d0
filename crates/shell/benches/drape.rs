//! Draping the demo's cowling whole. Target: under 10 ms on one core at 5 mm cells.
//!
//! `cargo bench -p plugwright-shell`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

#[path = "../tests/common/mod.rs"]
mod common;

use common::demo;
use divan::{Bencher, black_box};
use form::PlugSurface;
use shell::drape::{Cover, Net, Outside, Seam, Start};

fn main() {
    divan::main();
}

fn outside() -> Outside {
    let (skin, build) = demo();
    let off = PlugSurface::of(&skin, &build).taken_off();
    let outside = Outside::new(skin.loft(), off, &Cover::default()).unwrap();
    let keel = outside.keel();
    outside.with_seam(Some(Seam { round: keel, overlap: 15.0 }))
}

fn start(outside: &Outside) -> Start {
    let [low, high] = outside.ends();
    Start { at: [0.5 * (low + high), 0.0], warp: [-1.0, 0.0, 0.0] }
}

#[divan::bench]
fn read_the_outside_once(bencher: Bencher) {
    let (skin, build) = demo();
    let off = PlugSurface::of(&skin, &build).taken_off();
    bencher.bench_local(|| Outside::new(black_box(skin.loft()), off, &Cover::default()).unwrap());
}

#[divan::bench]
fn whole_cowling_at_5_mm(bencher: Bencher) {
    let outside = outside();
    let start = start(&outside);
    bencher.bench_local(|| Net::drape(black_box(&outside), &start, 5.0).unwrap());
}

#[divan::bench(sample_count = 3)]
fn search_for_the_best_start(bencher: Bencher) {
    let outside = outside();
    let cloth = shell::cloth::Cloth { locking_deg: 45.0, width: 1000.0 };
    bencher.bench_local(|| shell::cloth::search(black_box(&outside), &cloth, 5.0, 15.0, &mut |_| true).unwrap());
}
