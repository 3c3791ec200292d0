//! Random forms of every kind and size, from 20 mm to 3 m, and what of them is covered.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used)] // a module of several tests, of which none uses everything

use super::form_of;
use form::FinishedSkin;
use plugwright_tests::forms::{Bounds, any_form};
use project::document::{Form, SectionShape};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use shell::drape::{Cover, End, Outside, Portion, is_closed, shallowest_parting};
use std::sync::Arc;

/// A form and what of it is covered.
#[derive(Clone)]
pub struct Case {
    pub skin: FinishedSkin,
    pub cover: Cover,
    pub size: f64,
}

impl std::fmt::Debug for Case {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let loft = self.skin.loft();
        let (low, high) = loft.x_range();
        let sections = (0..=4).filter_map(|k| loft.section(low + 0.25 * f64::from(k) * (high - low)));
        let sizes: Vec<[f64; 3]> = sections.map(|s| [s.x(), s.half_breadth(), s.top() - s.bottom()]).collect();
        write!(f, "size {}, {:?}, stations with half-breadths and heights {sizes:?}", self.size, self.cover)
    }
}

/// Which ends run into points.
pub fn shaped() -> impl Strategy<Value = Case> {
    let size = (20f64.ln()..3000f64.ln()).prop_map(f64::exp);
    let ends = prop_oneof![Just([false, false]), Just([true, false]), Just([true, true])];
    let proportions = (0.15..1.2_f64, 0.3..2.5_f64, 1.7..4.0_f64, any::<bool>());
    (size, ends, proportions, prop::collection::vec(-0.15..0.15_f64, 12)).prop_map(
        |(size, [front, rear], (high, broad, exponent, ridge), bumps)| {
            let count = 12;
            let point = |k: usize| {
                let t = k as f64 / count as f64;
                // Close together at an end that is a point, where the line stands upright.
                let x = match (front, rear) {
                    (true, true) => 0.5 - 0.5 * (std::f64::consts::PI * t).cos(),
                    (true, false) => t * t,
                    _ => t,
                };
                let round = match (front, rear) {
                    (true, true) => (1.0 - (2.0 * x - 1.0).powi(2)).max(0.0).sqrt(),
                    (true, false) => (x * (2.0 - x)).sqrt(),
                    _ => 0.7 + 0.3 * t,
                };
                let uneven = 1.0 + bumps[0] * (3.0 * x).sin() + bumps[1] * (5.0 * x).cos();
                [size * x, if round < 1e-9 { 0.0 } else { 0.5 * high * size * round * uneven }]
            };
            let points: Vec<[f64; 2]> = (0..=count).map(point).collect();
            let open = End::Open(0.02 * size);
            let cover = Cover { front: if front { End::Closed } else { open }, rear: open, trim: None };
            Case { skin: form_of(&points, broad, exponent, ridge), cover, size }
        },
    )
}

/// Forms with uneven lines, mixed arcs and perhaps a knuckle, made larger or smaller.
pub fn knuckled() -> impl Strategy<Value = Case> {
    let closed = [any::<bool>(), any::<bool>()];
    (any_form(&Bounds::built()), (0.1_f64.ln()..8f64.ln()).prop_map(f64::exp), closed).prop_map(
        |(form, scale, closed)| {
            let end = |closed: bool| if closed { End::Closed } else { End::Open(5.0 * scale) };
            let cover = Cover { front: end(closed[0]), rear: end(closed[1]), trim: None };
            let skin = form::loft(&scaled(&form, scale)).skin.unwrap();
            let (low, high) = skin.loft().x_range();
            Case { skin, cover, size: high - low }
        },
    )
}

fn scaled(form: &Form, scale: f64) -> Form {
    let mut form = form.clone();
    for name in project::document::LineName::ALL {
        let line = Arc::make_mut(form.lines.get_mut(name));
        line.points.iter_mut().for_each(|p| (p.x, p.value) = (scale * p.x, scale * p.value));
    }
    for section in &mut form.sections {
        let section = Arc::make_mut(section);
        assert!(matches!(section.shape, SectionShape::Shaped(_)));
        section.station *= scale;
    }
    form
}

pub fn any_case() -> impl Strategy<Value = Case> {
    prop_oneof![2 => shaped(), 1 => knuckled()]
}

/// The parts in which a form is covered: itself, or two halves.
pub fn parts(case: &Case) -> Vec<Outside> {
    let outside = Outside::new(case.skin.loft(), 0.0, &case.cover).unwrap();
    let overlap = 0.03 * case.size;
    if is_closed(case.skin.loft(), 0.0, &case.cover) {
        let parting = shallowest_parting(case.skin.loft());
        let half = |first| outside.clone().with_portion(Some(Portion { parting, first, overlap, aside: 0.0 }));
        return vec![half(true), half(false)];
    }
    let seam = outside.seam_opposite(outside.natural_start(), overlap);
    vec![outside.with_seam(seam)]
}

/// The case of a seed, and three numbers from 0 to 1 of the same draw.
pub fn drawn(seed: u64) -> (Case, [f64; 3]) {
    let mut runner = TestRunner::new(Config { rng_seed: RngSeed::Fixed(seed), ..Config::default() });
    let case = if seed % 3 < 2 {
        shaped().new_tree(&mut runner).unwrap().current()
    } else {
        knuckled().new_tree(&mut runner).unwrap().current()
    };
    let numbers = [(); 3].map(|()| (0.0..1.0_f64).new_tree(&mut runner).unwrap().current());
    (case, numbers)
}
