//! Where a blister meets a cowl, as while it is being dragged: the blister moves, or both lofts are new. Target: under 15 ms.
//!
//! `cargo bench -p plugwright-form --bench meeting`
#![allow(clippy::unwrap_used, clippy::expect_used)] // a bench may stop at the first surprise

use divan::{Bencher, black_box};
use form::meeting::{Plane, cut_by_plane, meeting};
use geometry::loft::Loft;
use project::document::{Form, LineEnd, LineName, LinePoint, LinePointKind, MasterLine};
use project::mount::Mount;
use project::starter::blank_form;
use std::sync::Arc;

fn main() {
    divan::main();
}

fn lofted(form: &Form) -> Loft {
    form::loft(form).skin.expect("drawn whole").loft().clone()
}

fn cowl() -> Loft {
    lofted(&blank_form(360.0, 110.0, 100.0, 90.0))
}

/// 120 mm long, blunt ahead and pointed aft.
fn blister() -> Loft {
    let mut form = blank_form(120.0, 30.0, 25.0, 15.0);
    for (name, full) in [(LineName::Crown, 25.0), (LineName::Keel, -15.0), (LineName::Breadth, 30.0)] {
        let point = |(x, share)| LinePoint { x, value: share * full, kind: LinePointKind::Smooth };
        let points = [(0.0, 0.0), (40.0, 1.0), (80.0, 0.8), (120.0, 0.0)].map(point).to_vec();
        *form.lines.get_mut(name) = Arc::new(MasterLine { points, front: LineEnd::Upright, rear: LineEnd::Free });
    }
    lofted(&form)
}

fn mount(x: f64) -> Mount {
    Mount { place: [x, 100.0, 10.0], roll_deg: 90.0, yaw_deg: 2.0, mirrored: true, ..Mount::default() }
}

#[divan::bench]
fn moved(bencher: Bencher) {
    let (cowl, blister) = (cowl(), blister());
    let mut step = 0_u32;
    bencher.bench_local(|| {
        step = (step + 1) % 100;
        meeting(black_box(&cowl), &blister, &mount(100.0 + 0.01 * f64::from(step)), 0.02).lines.len()
    });
}

/// The lofts remember nothing yet.
#[divan::bench]
fn of_new_lofts(bencher: Bencher) {
    let inputs = || (cowl(), blister());
    bencher
        .with_inputs(inputs)
        .bench_local_values(|(cowl, blister)| meeting(&cowl, &blister, &mount(100.0), 0.02).lines.len());
}

#[divan::bench]
fn a_plane_near_a_blister(bencher: Bencher) {
    let cowl = cowl();
    let plane = Plane { at: [140.0, 0.0, 0.0], normal: [1.0, 0.1, 0.0] };
    let near = Some([[130.0, 60.0, -20.0], [150.0, 130.0, 40.0]]);
    bencher.bench_local(|| cut_by_plane(black_box(&cowl), &plane, 0.0, near, 0.02).len());
}
