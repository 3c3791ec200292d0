//! The demo's build book from its document to the PDF's bytes, and its sheets for machines. Target: the book under 1 s; most of its
//! time is the plan's, which is timed by itself as well.
//!
//! `cargo bench -p plugwright-desk --bench book`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

use divan::{Bencher, black_box};
use form::Lofted;
use project::document::Document;
use std::sync::Arc;

fn main() {
    divan::main();
}

fn demo() -> (Document, Vec<Arc<Lofted>>) {
    let document = desk::demo::document().expect("the demo is built in");
    let lofted = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    (document, lofted)
}

#[divan::bench(sample_count = 5)]
fn book_as_pdf(bencher: Bencher) {
    let (document, lofted) = demo();
    bencher.bench_local(|| {
        let book = desk::output::book(black_box(&document), &lofted).unwrap();
        sheets::pdf::write_pdf(&book).unwrap()
    });
}

#[divan::bench(sample_count = 5)]
fn plan_alone(bencher: Bencher) {
    let (document, lofted) = demo();
    bencher.bench_local(|| desk::output::plug_plan(black_box(&document), &lofted[0]).unwrap());
}

#[divan::bench(sample_count = 5)]
fn sheets_to_cut(bencher: Bencher) {
    let (document, lofted) = demo();
    bencher.bench_local(|| desk::output::cut_sheets(black_box(&document), &lofted, 0.2).unwrap());
}
