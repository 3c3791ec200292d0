//! The demo's form through the camera of its three-quarter photograph, as while it is being dragged: all lines, the silhouette alone,
//! the shaded overlay, and one step of a pull. Targets: lines under 2 ms, shaded overlay and pull a few ms.
//!
//! `cargo bench -p plugwright-desk --bench seen`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

use desk::pulled::{Grip, Hold};
use desk::shaded::{ShadedForm, Window};
use divan::{Bencher, black_box};
use form::Lofted;
use form::seen::{SeenPart, Sight, SilhouettePlace, Wanted, seen, silhouette};
use photo::PictureCamera;
use project::document::Document;
use std::sync::Arc;

fn main() {
    divan::main();
}

struct View {
    document: Arc<Document>,
    lofted: Lofted,
    camera: PictureCamera,
}

fn view() -> View {
    let document = Arc::new(desk::demo::document().expect("the demo is built in"));
    let with_most = document.pictures.iter().max_by_key(|p| p.photograph.landmarks.len()).expect("pictures");
    let camera = desk::photographs::camera(&document, with_most).expect("landmarks").resection.camera;
    let lofted = form::loft(&document.forms[0]);
    View { lofted, camera, document }
}

#[divan::bench]
fn all_lines(bencher: Bencher) {
    let View { document, lofted, camera } = view();
    bencher.bench_local(|| seen(&lofted, &document.forms[0], black_box(&camera), &Wanted::default()).lines.len());
}

/// As at a step of a drag: the memory of the loft is not there yet.
#[divan::bench]
fn all_lines_of_a_new_loft(bencher: Bencher) {
    let View { document, camera, .. } = view();
    let lofted = || form::loft(&document.forms[0]);
    bencher
        .with_inputs(lofted)
        .bench_local_values(|l| seen(&l, &document.forms[0], &camera, &Wanted::default()).lines.len());
}

#[divan::bench]
fn silhouette_alone(bencher: Bencher) {
    let View { document, lofted, camera } = view();
    bencher.bench_local(|| silhouette(&lofted, &document.forms[0], black_box(&camera)).len());
}

#[divan::bench(args = [false, true])]
fn shaded(bencher: Bencher, smooth_edges: bool) {
    let View { lofted, camera, .. } = view();
    let form = ShadedForm::new(lofted.skin.as_ref().unwrap().loft(), 0.5);
    let window = Window { least: [0.0; 2], scale: 900.0 / (2.0 * camera.camera.centre[0]), size: [900, 700] };
    bencher.bench_local(|| form.through(black_box(&camera), &window, &shade::Studio::default(), smooth_edges));
}

fn outline(view: &View) -> Vec<SilhouettePlace> {
    let curves = silhouette(&view.lofted, &view.document.forms[0], &view.camera);
    curves.into_iter().flatten().filter(|p| p.sight == Sight::Outline).collect()
}

#[divan::bench]
fn take_the_silhouette(bencher: Bencher) {
    let view = view();
    let places = outline(&view);
    let place = places[places.len() / 3];
    bencher.bench_local(|| Grip::take(&view.document, 0, &view.camera, &Hold::Silhouette(place)).unwrap());
}

#[divan::bench]
fn pull_the_silhouette(bencher: Bencher) {
    let view = view();
    let places = outline(&view);
    let place = places[places.len() / 3];
    let mut grip = Grip::take(&view.document, 0, &view.camera, &Hold::Silhouette(place)).unwrap();
    let from = place.pixel.unwrap();
    let mut step = 0.0;
    bencher.bench_local(|| {
        step = (step + 1.0) % 20.0;
        grip.pull([0, 1].map(|k| from[k] + step * place.outward[k])).unwrap().miss_px
    });
}

#[divan::bench]
fn near_the_pointer(bencher: Bencher) {
    let View { document, lofted, camera } = view();
    let seen = seen(&lofted, &document.forms[0], &camera, &Wanted::default());
    let crown = seen.lines.iter().find(|l| l.part == SeenPart::Crown).unwrap();
    let at = crown.runs[0].places[0].pixel;
    bencher.bench_local(|| seen.near(black_box(at), 8.0).len());
}
