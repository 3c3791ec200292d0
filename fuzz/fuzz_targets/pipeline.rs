//! A random project, made of the engine's bytes, through every stage to sheets and book.
#![no_main]

#[path = "../../tests/tests/stages/mod.rs"]
mod stages;

use libfuzzer_sys::fuzz_target;
use plugwright_tests::documents::any_document;
use proptest::prelude::Rng;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// The engine's bytes and many that follow from the first of them: a generator that finds nothing but zeros at their end would draw the
/// same again and again for ever.
fn drawn_on(bytes: &[u8]) -> Vec<u8> {
    let mut seed = [1; 16];
    seed.iter_mut().zip(bytes).for_each(|(to, from)| *to = from | 1);
    let mut all = vec![0; bytes.len() + (1 << 20)];
    let (own, more) = all.split_at_mut(bytes.len());
    own.copy_from_slice(bytes);
    TestRng::from_seed(RngAlgorithm::XorShift, &seed).fill_bytes(more);
    all
}

fuzz_target!(|bytes: &[u8]| {
    let rng = TestRng::from_seed(RngAlgorithm::PassThrough, &drawn_on(bytes));
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let Ok(tree) = any_document().new_tree(&mut runner) else { return };
    let document = tree.current();
    stages::every_stage(&document, &mut |_, run| run());
});
