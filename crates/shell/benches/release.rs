//! Drawing the demo's cowling off its plug, and weighing its shell. Targets: the answer with its map under 0.5 s, all joints under 1 s.
//!
//! `cargo bench -p plugwright-shell --bench release`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

#[path = "../tests/common/mod.rs"]
mod common;

use common::demo;
use divan::{Bencher, black_box};
use form::PlugSurface;
use shell::drape::Cover;
use shell::laminate::{Fabric, Ply, Schedule};
use shell::mass::{ShellLayers, ShellSurface};
use shell::release::{Parting, Survey, Wanted};

fn main() {
    divan::main();
}

/// Side of the cells, mm.
const CELL: f64 = 6.0;

fn taken_off() -> f64 {
    let (skin, build) = demo();
    PlugSurface::of(&skin, &build).taken_off()
}

#[divan::bench(sample_count = 10)]
fn survey(bencher: Bencher) {
    let (skin, off) = (demo().0, taken_off());
    bencher.bench_local(|| Survey::new(black_box(skin.loft()), off, &Cover::default(), CELL));
}

#[divan::bench(sample_count = 10)]
fn release(bencher: Bencher) {
    let (skin, off) = (demo().0, taken_off());
    let survey = Survey::new(skin.loft(), off, &Cover::default(), CELL);
    bencher.bench_local(|| black_box(&survey).release(&Wanted::default()).unwrap());
}

#[divan::bench(sample_count = 5)]
fn best_way(bencher: Bencher) {
    let (skin, off) = (demo().0, taken_off());
    let survey = Survey::new(skin.loft(), off, &Cover::default(), CELL);
    bencher.bench_local(|| black_box(&survey).best_way());
}

#[divan::bench(sample_count = 3)]
fn joint_along_the_breadth_line(bencher: Bencher) {
    let (skin, off) = (demo().0, taken_off());
    let survey = Survey::new(skin.loft(), off, &Cover::default(), CELL);
    bencher.bench_local(|| black_box(&survey).joint(Parting::Breadth));
}

#[divan::bench(sample_count = 3)]
fn joints(bencher: Bencher) {
    let (skin, off) = (demo().0, taken_off());
    let survey = Survey::new(skin.loft(), off, &Cover::default(), CELL);
    bencher.bench_local(|| black_box(&survey).joints());
}

#[divan::bench(sample_count = 10)]
fn masses_of_two_plies(bencher: Bencher) {
    let skin = demo().0;
    let plies = vec![Ply::whole(Fabric::usual(), 0.0), Ply::whole(Fabric::usual(), 45.0)];
    let schedule = Schedule { plies, ..Schedule::default() };
    bencher.bench_local(|| {
        let surface = ShellSurface::new(black_box(skin.loft()), &Cover::default());
        ShellLayers::new(&surface, &schedule).unwrap().parts(&[]).unwrap()
    });
}
