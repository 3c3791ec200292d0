//! Random projects by their seed, each stage of each timed: `cargo run --release -p plugwright-tests --example slow_stages -- 0 60`
//! tells the stages that took longer than two seconds, and the longest of each. Tests never assert on time; this is how it is seen.
#![allow(missing_docs, clippy::print_stdout)] // a program that prints

#[path = "../tests/stages/mod.rs"]
mod stages;

use plugwright_tests::documents::any_document;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngSeed, TestRunner};
use std::collections::BTreeMap;
use std::time::Instant;

/// Longer than this is told, s.
const SLOW: f64 = 2.0;

fn main() {
    let mut seeds = std::env::args().skip(1).filter_map(|a| a.parse::<u64>().ok());
    let (from, to) = (seeds.next().unwrap_or(0), seeds.next().unwrap_or(20));
    let mut longest: BTreeMap<&str, (f64, u64)> = BTreeMap::new();
    for seed in from..to {
        let mut runner = TestRunner::new(Config { rng_seed: RngSeed::Fixed(seed), ..Config::default() });
        let Ok(tree) = any_document().new_tree(&mut runner) else { continue };
        stages::every_stage(&tree.current(), &mut |stage, run| {
            let begun = Instant::now();
            run();
            let took = begun.elapsed().as_secs_f64();
            if took > SLOW {
                println!("seed {seed}: {stage} took {took:.1} s");
            }
            let most = longest.entry(stage).or_default();
            if took > most.0 {
                *most = (took, seed);
            }
        });
    }
    for (stage, (took, seed)) in longest {
        println!("{stage}: at most {took:.2} s (seed {seed})");
    }
}
