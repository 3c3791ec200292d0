//! A random project, made of the engine's bytes, through every stage to sheets and book.
#![no_main]

#[path = "../../tests/tests/stages/mod.rs"]
mod stages;

use libfuzzer_sys::fuzz_target;
use plugwright_tests::documents::any_document;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

fuzz_target!(|bytes: &[u8]| {
    let rng = TestRng::from_seed(RngAlgorithm::PassThrough, bytes);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    // Too few bytes make no project.
    let Ok(tree) = any_document().new_tree(&mut runner) else { return };
    let document = tree.current();
    stages::every_stage(&document, &mut |_, run| run());
});
