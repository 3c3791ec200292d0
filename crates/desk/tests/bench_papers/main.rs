//! The build book and the sheets for machines, read back from the bytes that are written.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests may stop at the first surprise, as tests do")]

mod book;
mod cut;
mod wire;
mod words;

use form::Lofted;
use project::document::{Document, Paper};
use project::starter::{blank_form, new_document};
use std::sync::Arc;

fn lofted(document: &Document) -> Vec<Arc<Lofted>> {
    document.forms.iter().map(|f| Arc::new(form::loft(f))).collect()
}

/// A project with one form and a stack that suits its length.
fn with_stack(length: f64, half_breadth: f64, high: f64, boards: usize) -> Document {
    let mut document = new_document("Random <cowl> & co");
    document.forms = vec![Arc::new(blank_form(length, half_breadth, high, 0.8 * high))];
    let build = Arc::make_mut(&mut document.build);
    build.stack.used = true;
    let cards = 2.0 * (boards as f64 - 1.0);
    build.stack.boards = vec![(length - cards) / boards as f64; boards];
    build.sanding.stations = vec![0.5 * length];
    document
}

/// The same without a stack.
fn without_stack(paper: Paper) -> Document {
    let mut document = new_document("Plain cowl");
    document.forms = vec![Arc::new(blank_form(240.0, 90.0, 110.0, 80.0))];
    document.paper.paper = paper;
    document
}
