//! A random project, drawn from a seed that the engine gives, through every stage to sheets and book.
#![no_main]

#[path = "../../tests/tests/stages/mod.rs"]
mod stages;

use libfuzzer_sys::fuzz_target;
use plugwright_tests::documents::any_document;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

fuzz_target!(|bytes: &[u8]| {
    // The engine's bytes themselves would do for the first draws only: every strategy takes half of what is left for its parts, and a draw
    // that finds nothing but zeros is repeated for ever.
    let mut seed = [0; 32];
    seed.iter_mut().zip(bytes).for_each(|(to, from)| *to = *from);
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let Ok(tree) = any_document().new_tree(&mut runner) else { return };
    let document = tree.current();
    stages::every_stage(&document, &mut |_, run| run());
});
