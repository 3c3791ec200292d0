//! How one step of a drag grows: with the form's control sections, with the stations whose sections are shown, with the closeness of the
//! display mesh. Everything else is as in the demo.

use super::{DISPLAY, demo, drag, look_closely};
use divan::black_box;
use form::{UnitMemory, loft_remembering};
use project::document::{ControlSection, Document};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Stations of the plain step.
const STATIONS: usize = 13;
/// Steps of which the best and the median are told.
const STEPS: usize = 31;

/// Prints a table for each of the three, with the slope of the best times in log-log: 1 where cost grows in proportion, 0 where it does
/// not grow. Tolerance counts as its inverse.
pub(super) fn tell() {
    println!("\n{:34} {:>8} {:>9} {:>9}", "one step of a drag", "", "best ms", "median");
    let sections = [2, 4, 8, 16, 32, 64];
    table("control sections", &sections.map(|n| (n as f64, step(&with_sections(n), STATIONS, DISPLAY))), 1.0);
    let stations = [13, 26, 52, 104, 208];
    table("stations shown", &stations.map(|n| (n as f64, step(&demo(), n, DISPLAY))), 1.0);
    let tolerances = [2.0, 1.0, 0.5, 0.25, 0.125, 0.0625];
    table("tolerance of the mesh, mm", &tolerances.map(|t| (t, step(&demo(), STATIONS, t))), -1.0);
}

/// The best and the median of many steps, in the order of a drag.
fn step(document: &Document, stations: usize, tolerance: f64) -> [Duration; 2] {
    let mut memory = UnitMemory::default();
    let mut once = |k: usize| {
        let begun = Instant::now();
        let next = drag(document, 50.0 + 0.1 * (k % 10) as f64);
        let skin = loft_remembering(&next.forms[0], &mut memory).skin.expect("complete");
        black_box(look_closely(&skin, stations, tolerance));
        begun.elapsed()
    };
    // The first step of a drag fills the memory.
    once(0);
    let mut took: Vec<Duration> = (1..=STEPS).map(&mut once).collect();
    took.sort();
    [took[0], took[STEPS / 2]]
}

/// The demo with so many control sections, evenly between its ends, each shaped as the nearest one of its own.
fn with_sections(count: usize) -> Document {
    let mut document = demo();
    let form = Arc::make_mut(&mut document.forms[0]);
    let own = form.sections.clone();
    let (first, last) = (own[0].station, own[own.len() - 1].station);
    let section = |i: usize| {
        let station = first + (last - first) * i as f64 / (count - 1) as f64;
        let off = |s: &&Arc<ControlSection>| (s.station - station).abs();
        let near = own.iter().min_by(|a, b| off(a).total_cmp(&off(b))).expect("the demo has control sections");
        Arc::new(ControlSection { station, shape: near.shape.clone() })
    };
    form.sections = (0..count).map(section).collect();
    document
}

fn table<const N: usize>(what: &str, rows: &[(f64, [Duration; 2]); N], sense: f64) {
    for (value, [best, median]) in rows {
        let [best, median] = [best, median].map(|t| t.as_secs_f64() * 1e3);
        println!("{what:34} {value:>8} {best:>9.2} {median:>9.2}");
    }
    let logs = rows.map(|(value, [best, _])| [sense * value.ln(), best.as_secs_f64().ln()]);
    println!("{what:34} {:>8} {:>9.2}", "slope", slope(&logs));
}

/// The slope of the line of least squares.
fn slope(points: &[[f64; 2]]) -> f64 {
    let count = points.len() as f64;
    let [x, y] = [0, 1].map(|k| points.iter().map(|p| p[k]).sum::<f64>() / count);
    let (both, across) =
        points.iter().fold((0.0, 0.0), |s, p| (s.0 + (p[0] - x) * (p[1] - y), s.1 + (p[0] - x).powi(2)));
    both / across
}
