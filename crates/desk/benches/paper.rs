//! The demo's sheets and its build book from the document to the PDF's bytes: stage by stage, cold (all from the document) and warm (what
//! the window has reckoned for its other pages is known). Targets: sheets under 150 ms, book under 1 s.
//!
//! `cargo bench -p plugwright-desk --bench paper`; how to read it stands in `README.md` beside this file.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout)] // a bench may stop at the first surprise, and tells

use desk::Reckoned;
use desk::output::{book_by, fit_parts, parts_by, plug_templates, sheets_by, trim_parts};
use divan::{Bencher, black_box};
use form::Lofted;
use project::document::Document;
use sheets::{CardTemplate, Layout, Part, SheetSet, Task, side_by_side};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Rounds of the table of stages.
const ROUNDS: usize = 7;

fn main() {
    divan::main();
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    // Only where the whole bench is run: not where some of it is asked for, or it is run as a test.
    if arguments == ["--bench"] {
        tell();
    }
}

struct Demo {
    document: Document,
    lofted: Vec<Arc<Lofted>>,
}

impl Demo {
    fn new() -> Self {
        let document = desk::demo::document().expect("the demo is built in");
        let lofted = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
        Self { document, lofted }
    }

    fn sheets(&self, known: &Reckoned) -> Layout {
        sheets_by(&self.document, &self.lofted, known, &self.document.paper, &mut |_| true).unwrap()
    }

    fn book(&self, known: &Reckoned) -> SheetSet {
        book_by(&self.document, &self.lofted, known, &mut |_| true).unwrap()
    }

    fn plan(&self, known: &Reckoned) {
        black_box(known.planned(&self.document, &self.lofted).unwrap());
    }

    fn cloth(&self, known: &Reckoned) {
        for (i, lofted) in self.lofted.iter().enumerate() {
            black_box(known.cloth(&self.document, i, lofted, &mut |_| true).ok());
        }
    }

    fn trims(&self, known: &Reckoned) -> Vec<Part> {
        let own = self.document.in_force();
        (0..self.lofted.len()).flat_map(|i| trim_parts(&own, i, &self.lofted[i], known)).collect()
    }

    fn fits(&self, known: &Reckoned) -> Vec<Part> {
        fit_parts(&self.document.in_force(), &self.lofted, known)
    }

    fn templates(&self, known: &Reckoned) -> Vec<CardTemplate> {
        let own = self.document.in_force();
        let planned = known.planned(&self.document, &self.lofted).unwrap().unwrap();
        plug_templates(&own, &own.forms[0], planned.used().expect("the demo has a stack"))
    }

    /// What the window has when its pages were looked at and the sheets are asked for: the plug's plan and the cloth.
    fn planned(&self) -> Reckoned {
        let known = Reckoned::default();
        self.plan(&known);
        self.cloth(&known);
        known
    }
}

fn pdf(set: &SheetSet) -> usize {
    sheets::pdf::write_pdf(set).unwrap().len()
}

#[divan::bench(sample_count = 7)]
fn sheets_cold(bencher: Bencher) {
    let demo = Demo::new();
    bencher.bench_local(|| pdf(&demo.sheets(&Reckoned::default()).set));
}

#[divan::bench(sample_count = 7)]
fn sheets_planned(bencher: Bencher) {
    let demo = Demo::new();
    bencher.with_inputs(|| demo.planned()).bench_local_refs(|known| pdf(&demo.sheets(known).set));
}

#[divan::bench(sample_count = 7)]
fn sheets_warm(bencher: Bencher) {
    let demo = Demo::new();
    let known = Reckoned::default();
    demo.sheets(&known);
    bencher.bench_local(|| pdf(&demo.sheets(&known).set));
}

#[divan::bench(sample_count = 5)]
fn book_cold(bencher: Bencher) {
    let demo = Demo::new();
    bencher.bench_local(|| pdf(&demo.book(&Reckoned::default())));
}

#[divan::bench(sample_count = 5)]
fn book_after_sheets(bencher: Bencher) {
    let demo = Demo::new();
    let sheets = || {
        let known = Reckoned::default();
        demo.sheets(&known);
        known
    };
    bencher.with_inputs(sheets).bench_local_refs(|known| pdf(&demo.book(known)));
}

#[divan::bench(sample_count = 5)]
fn book_warm(bencher: Bencher) {
    let demo = Demo::new();
    let known = Reckoned::default();
    demo.book(&known);
    bencher.bench_local(|| pdf(&demo.book(&known)));
}

/// A stage, and how long it took each time.
struct Stage(&'static str, Vec<Duration>);

impl Stage {
    fn of<R, T>(name: &'static str, ready: impl Fn() -> R, run: impl Fn(&R) -> T) -> Self {
        let once = |_| {
            let ready = ready();
            let begun = Instant::now();
            let made = run(&ready);
            let took = begun.elapsed();
            black_box(made);
            took
        };
        let mut took: Vec<Duration> = (0..ROUNDS).map(once).collect();
        took.sort();
        Self(name, took)
    }

    fn best(&self) -> f64 {
        self.1[0].as_secs_f64() * 1e3
    }

    fn median(&self) -> f64 {
        self.1[ROUNDS / 2].as_secs_f64() * 1e3
    }

    fn tell(&self, whole: &Self) {
        let share = self.best() / whole.best();
        println!("{:44} {:8.1} {:8.1} {share:8.2}", self.0, self.best(), self.median());
    }
}

/// The table of stages, and pages against the area bound.
fn tell() {
    let demo = Demo::new();
    let new = Reckoned::default;
    let planned = || demo.planned();
    let parted = || {
        let known = demo.planned();
        parts_by(&demo.document, &demo.lofted, &known).unwrap();
        known
    };
    let all = || {
        let known = new();
        demo.sheets(&known);
        known
    };
    let templates = demo.templates(&new());
    let words = |_: &()| side_by_side(templates.iter().map(|t| -> Task<'_, Part> { Box::new(|| t.part()) }));
    let layout = demo.sheets(&new());
    let book = demo.book(&new());
    let known = new();
    demo.book(&known);
    let sheets = Stage::of("sheets to PDF, cold", new, |known| pdf(&demo.sheets(known).set));
    let stages = [
        Stage::of("  plan of the plug", new, |known| demo.plan(known)),
        Stage::of("  cloth of all forms", new, |known| demo.cloth(known)),
        Stage::of("  templates of the plug, not drawn", planned, |known| demo.templates(known)),
        Stage::of("  words on them", || (), words),
        Stage::of("  trim templates, one core", planned, |known| demo.trims(known)),
        Stage::of("  fit lines, one core", planned, |known| demo.fits(known)),
        Stage::of("  nest, tiles and overview", parted, |known| demo.sheets(known)),
        Stage::of("  PDF written", || (), |_| pdf(&layout.set)),
        Stage::of("sheets to PDF, plan and cloth known", planned, |known| pdf(&demo.sheets(known).set)),
        Stage::of("sheets to PDF, all known", all, |known| pdf(&demo.sheets(known).set)),
    ];
    println!("\n{:44} {:>8} {:>8} {:>8}", "stage", "best ms", "median", "of cold");
    sheets.tell(&sheets);
    stages.iter().for_each(|stage| stage.tell(&sheets));
    let cold = Stage::of("book to PDF, cold", new, |known| pdf(&demo.book(known)));
    cold.tell(&cold);
    Stage::of("book to PDF, sheets known", all, |known| pdf(&demo.book(known))).tell(&cold);
    Stage::of("book to PDF, all known", || (), |_| pdf(&demo.book(&known))).tell(&cold);
    Stage::of("  PDF written", || (), |_| pdf(&book)).tell(&cold);
    let count = layout.count;
    let bound = count.area_bound as f64;
    println!(
        "\npages {}, area bound {} (ratio {:.2}), row by row {} (ratio {:.2}); PDF {} kB, book {} kB",
        count.pages,
        count.area_bound,
        count.pages as f64 / bound,
        count.naive_row_by_row,
        count.naive_row_by_row as f64 / bound,
        pdf(&layout.set) / 1000,
        pdf(&book) / 1000
    );
}
