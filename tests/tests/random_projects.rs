//! Random projects: each keeps its promises, comes back from its file as it was, and goes through every stage without a panic.
#![allow(clippy::unwrap_used)] // tests may stop at the first surprise

mod stages;

use plugwright_tests::documents::any_document;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngSeed, TestRunner};

/// Random projects, by their seed, that every stage is tried on.
const SEEDS: [u64; 2] = [1, 14];

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_project_is_written_and_read(document in any_document()) {
        let written = project::file::to_file(&document);
        prop_assert!(written.is_ok(), "{written:?}");
        let Ok(written) = written else { return Ok(()) };
        let read = project::file::from_file(&written.text, &mut |_| Err("there is none".into()));
        prop_assert!(read.is_ok(), "{read:?} of {}", written.text);
        if let Ok(read) = read {
            prop_assert_eq!(read.document, document, "{:?}", read.problems);
        }
    }

    /// The work of a plan goes with the points of its outlines, and a curve that is torn has no end of them: so they are counted
    /// where time may not be asserted on. A half section of a workbench's size needs some two hundred within 0.01 mm.
    #[test]
    fn what_is_taken_off_leaves_smooth_sections_up_to_both_ends(document in any_document(), off in 0.2..6.0_f64) {
        for form in &document.forms {
            let Some(skin) = form::loft(form).skin else { continue };
            let (low, high) = skin.loft().x_range();
            let near = [0.0, 0.001, 0.1, 0.5, 0.9, 0.999, 1.5].map(|k| k * off);
            for x in near.into_iter().flat_map(|d| [low + d, high - d]).filter(|x| (low..=high).contains(x)) {
                let section = skin.loft().offset_section(x, off, 0.01);
                prop_assert!(section.outline.len() < 1500, "{} points at {x} of {low} to {high}", section.outline.len());
                prop_assert!(section.folded.len() < 300, "{} folds at {x} of {low} to {high}", section.folded.len());
            }
        }
    }
}

/// As the fuzz target `pipeline`, for a few projects that are soon done; the example `slow_stages` goes through as many as one likes.
#[test]
fn every_stage_answers() {
    for seed in SEEDS {
        let mut runner = TestRunner::new(Config { rng_seed: RngSeed::Fixed(seed), ..Config::default() });
        let document = any_document().new_tree(&mut runner).unwrap().current();
        let mut last = "";
        stages::every_stage(&document, &mut |stage, run| {
            last = stage;
            run();
        });
        assert_eq!(last, "mass", "seed {seed}");
    }
}
