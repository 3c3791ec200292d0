//! An opening on a cowling-like form: what follows a drag.
#![allow(clippy::unwrap_used)] // a bench may stop at the first surprise

use divan::{Bencher, black_box};
use form::Lofted;
use form::openings::{Hole, Target, findings};
use project::document::{Document, Form};
use project::opening::{Duct, Opening, Outline, Purpose, Seen};
use project::starter::{blank_form, new_document};
use std::sync::Arc;

fn main() {
    divan::main();
}

fn opening(seen: Seen, lip_radius: f64) -> Opening {
    let centre = if seen == Seen::Ahead { [30.0, 12.0] } else { [120.0, 12.0] };
    let outline = Outline::Ellipse { centre, size: [40.0, 26.0], turn_deg: 20.0 };
    let duct = Duct { depth: 30.0, lip_radius, wall: 1.5, inner: None };
    Opening { name: "Intake".into(), purpose: Purpose::Intake, seen, mirrored: true, outline, duct: Some(duct) }
}

/// A blunt body of a cowling's size.
fn form() -> Form {
    let mut form = blank_form(240.0, 90.0, 110.0, 80.0);
    form.openings = [Seen::Ahead, Seen::Starboard].map(|seen| Arc::new(opening(seen, 3.0))).to_vec();
    form
}

fn lofted() -> Lofted {
    form::loft(&form())
}

/// Edge and areas of one hole at 0.1 mm, the form's target anew.
#[divan::bench(args = [Seen::Ahead, Seen::Starboard, Seen::Below])]
fn edge_and_areas(bencher: Bencher, seen: Seen) {
    let (lofted, opening) = (lofted(), opening(seen, 0.0));
    let loft = lofted.skin.as_ref().unwrap().loft();
    bencher.bench_local(|| {
        let target = Target::new(loft, None);
        let hole = Hole::cut(&target, 0, black_box(&opening), false, 0.1).unwrap();
        hole.areas(&target)
    });
}

#[divan::bench(args = [Seen::Ahead, Seen::Starboard, Seen::Below])]
fn edge(bencher: Bencher, seen: Seen) {
    let (lofted, opening) = (lofted(), opening(seen, 0.0));
    let loft = lofted.skin.as_ref().unwrap().loft();
    bencher.bench_local(|| {
        let target = Target::new(loft, None);
        Hole::cut(&target, 0, black_box(&opening), false, 0.1).unwrap()
    });
}

#[divan::bench(args = [0.0, 3.0])]
fn duct(bencher: Bencher, lip_radius: f64) {
    let (lofted, opening) = (lofted(), opening(Seen::Starboard, lip_radius));
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let hole = Hole::cut(&target, 0, &opening, false, 0.1).unwrap();
    bencher.bench_local(|| hole.passage(&target));
}

#[divan::bench]
fn all_findings(bencher: Bencher) {
    let document = Document { forms: vec![Arc::new(form())], ..new_document("Bench") };
    let lofted = form::loft(&document.forms[0]);
    bencher.bench_local(|| findings(black_box(&document), 0, &lofted));
}
