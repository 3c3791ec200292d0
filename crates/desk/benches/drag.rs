//! One step of a drag: edit, loft, 13 sections, measures, mesh for display. Target: under 4 ms on one core.
//!
//! `cargo bench -p plugwright-desk --bench drag`; each part is timed by itself as well, so that ratios can be read off. After them comes
//! how a step grows.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout)] // a bench may stop at the first surprise, and tells

#[path = "drag/growth.rs"]
mod growth;

use divan::{Bencher, black_box};
use form::{FinishedSkin, UnitMemory, loft_remembering};
use geometry::loft::Loft;
use project::document::{Document, LineName};
use project::edit::Edit;

/// Closeness of the display mesh, as the editor asks for it, mm.
const DISPLAY: f64 = 0.5;
/// Closeness of the outlines on the floor, mm.
const OUTLINE: f64 = 0.05;

fn main() {
    divan::main();
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    // Only where the whole bench is run: not where some of it is asked for, or it is run as a test.
    if arguments == ["--bench"] {
        growth::tell();
    }
}

fn demo() -> Document {
    desk::demo::document().expect("the demo is built in")
}

/// The ellipsoid of 13 measured stations of 25 points each: much heavier than a drawn form.
fn measured() -> Document {
    let mut text = String::from("station_mm,half_breadth_mm,height_mm\n");
    for i in 0..13 {
        let x = -72.0 + 14.0 * f64::from(i);
        let k = (1.0 - (x / 120.0) * (x / 120.0_f64)).sqrt();
        for j in 0..25 {
            let a = std::f64::consts::PI * f64::from(j) / 24.0;
            let y = if j == 0 || j == 24 { 0.0 } else { 70.0 * k * a.sin() };
            text.push_str(&format!("{x},{y},{}\n", 55.0 * k * a.cos()));
        }
    }
    desk::output::form_from_offsets(&text, "measured").expect("a good table")
}

fn drag(document: &Document, value: f64) -> Document {
    let line = &document.forms[0].lines.crown;
    let x = line.points[3].x;
    let edit = Edit::MoveLinePoint { form: 0, line: LineName::Crown, point: 3, x, value };
    edit.apply(document).expect("a free point")
}

/// What the floor shows of 13 sections: their outlines and the numbers of the station table.
fn sections(loft: &Loft) -> f64 {
    so_many_sections(loft, 13)
}

fn so_many_sections(loft: &Loft, count: usize) -> f64 {
    let weave = loft.weave(OUTLINE);
    let (low, high) = loft.x_range();
    let at = |i: usize| low + (high - low) * i as f64 / (count - 1) as f64;
    (0..count)
        .filter_map(|i| loft.section(at(i)))
        .map(|s| {
            black_box(s.outline(&weave));
            s.measures().area + s.half_breadth()
        })
        .sum()
}

fn lofted(document: &Document) -> FinishedSkin {
    form::loft(&document.forms[0]).skin.expect("complete")
}

#[divan::bench]
fn whole_step_demo(bencher: Bencher) {
    whole_step(bencher, &demo());
}

#[divan::bench]
fn whole_step_measured(bencher: Bencher) {
    // A line of a measured form is locked at every station: its edit is one of a section instead.
    let document = measured();
    bencher.bench_local(|| look(&lofted(black_box(&document))));
}

/// As the editor does it: one desk, whose memory keeps what the edit did not touch.
fn whole_step(bencher: Bencher, document: &Document) {
    let mut value = 50.0;
    let mut memory = UnitMemory::default();
    bencher.bench_local(|| {
        value = 50.0 + (value - 49.9) % 1.0;
        let next = drag(document, value);
        look(&loft_remembering(&next.forms[0], &mut memory).skin.expect("complete"));
    });
}

/// Sections, measures, and the mesh of the shaded view.
fn look(skin: &FinishedSkin) {
    black_box(look_closely(skin, 13, DISPLAY));
}

fn look_closely(skin: &FinishedSkin, stations: usize, tolerance: f64) -> (f64, f64, usize) {
    let loft = skin.loft();
    (so_many_sections(loft, stations), loft.measures(1e-3).volume, loft.mesh(tolerance).triangles.len())
}

#[divan::bench]
fn loft_demo(bencher: Bencher) {
    let document = demo();
    bencher.bench_local(|| lofted(black_box(&document)));
}

#[divan::bench]
fn loft_measured(bencher: Bencher) {
    let document = measured();
    bencher.bench_local(|| lofted(black_box(&document)));
}

#[divan::bench]
fn thirteen_sections_demo(bencher: Bencher) {
    let skin = lofted(&demo());
    bencher.bench_local(|| sections(black_box(skin.loft())));
}

#[divan::bench]
fn thirteen_sections_measured(bencher: Bencher) {
    let skin = lofted(&measured());
    bencher.bench_local(|| sections(black_box(skin.loft())));
}

#[divan::bench(args = [1e-3, 1e-5, 1e-7])]
fn measures_demo(bencher: Bencher, tolerance: f64) {
    let skin = lofted(&demo());
    bencher.bench_local(|| black_box(skin.loft()).measures(tolerance));
}

#[divan::bench(args = [2.0, 0.5, 0.1])]
fn mesh_demo(bencher: Bencher, tolerance: f64) {
    let skin = lofted(&demo());
    bencher.bench_local(|| black_box(skin.loft()).mesh(tolerance).triangles.len());
}

#[divan::bench]
fn sheets_demo(bencher: Bencher) {
    let document = demo();
    let lofts = [std::sync::Arc::new(form::loft(&document.forms[0]))];
    bencher.bench_local(|| {
        let layout = desk::output::sheets(&document, &lofts, &document.paper, &mut |_| true).expect("fits");
        sheets::pdf::write_pdf(&layout.set).expect("a good set").len()
    });
}
