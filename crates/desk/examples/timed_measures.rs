//! Loft a table of offsets, its volume and lateral surface, and twelve sections with area and girth, timed: for `comparison`.
//!
//! `timed_measures TABLE.csv ROUNDS` prints the numbers and the best and median time of a round, in seconds, as JSON.
#![allow(clippy::print_stdout, clippy::expect_used, reason = "a tool for those who measure, not for builders")]

use desk::output::form_from_offsets;
use std::hint::black_box;
use std::time::Instant;

/// Estimated error of volume over surface, and of surface over length, mm: as `measure` asks for.
const TOLERANCE: f64 = 1e-6;
const SECTIONS: u32 = 12;

struct Measured {
    volume: f64,
    surface: f64,
    sections: Vec<[f64; 3]>,
}

fn measured(form: &project::document::Form) -> Measured {
    let lofted = form::loft(form);
    let loft = lofted.whole_skin().expect("the table makes a body").loft();
    let (low, high) = loft.x_range();
    let body = loft.measures(TOLERANCE);
    let at = |n: u32| low + (high - low) * (f64::from(n) + 0.5) / f64::from(SECTIONS);
    let sections = (0..SECTIONS).filter_map(|n| loft.section(at(n))).map(|section| {
        let measures = section.measures();
        [section.x(), measures.area, measures.girth]
    });
    Measured { volume: body.volume, surface: body.lateral_surface, sections: sections.collect() }
}

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(arguments.get(1).expect("a table")).expect("the table can be read");
    let rounds: usize = arguments.get(2).and_then(|n| n.parse().ok()).unwrap_or(50);
    let document = form_from_offsets(&text, "Table").expect("a table of offsets");
    let mut times = Vec::new();
    for _ in 0..rounds {
        let begun = Instant::now();
        black_box(measured(black_box(&document.forms[0])));
        times.push(begun.elapsed().as_secs_f64());
    }
    times.sort_by(f64::total_cmp);
    let last = measured(&document.forms[0]);
    let (best, median) = (times[0], times[times.len() / 2]);
    println!(
        "{{\"best_s\":{best},\"median_s\":{median},\"volume\":{},\"surface\":{},\"sections\":{:?}}}",
        last.volume, last.surface, last.sections
    );
}
