//! Runs of neighbouring points that show something else than the form: a strut or an exhaust traced along.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;
use common::planted::{Kind, plant, planted_errors};
use common::{Dice, rms};
use std::f64::consts::PI;

/// How a run leaves the outline.
#[derive(Clone, Copy, Debug)]
enum Way {
    /// All points by as much.
    Step,
    /// Rising and falling back.
    Hump,
    /// Rising to the end.
    Ramp,
}

const ONE_VIEW: Kind = Kind {
    breadth_known: true,
    elevations: &[10.0],
    seams: false,
    joint: true,
    departure: 0.0,
    departs: None,
    split: 0.3,
};

struct Outcome {
    /// Root mean square error and band, mm.
    error: f64,
    band: f64,
    weak: bool,
    /// Of the planted points, left out; and of all others.
    out: [usize; 2],
}

/// Solves a planted form of which `count` neighbours are moved by `px` away from the outline or into it.
fn outcome(seed: u64, count: usize, px: f64, way: Way) -> Outcome {
    let mut dice = Dice(seed);
    let mut planted = plant(ONE_VIEW, &mut dice);
    let outline = &mut planted.task.photographs[0].outline;
    // Each of the two curves has thirty points.
    let first = 30 * (dice.even() * 2.0) as usize + (dice.even() * (31 - count) as f64) as usize;
    let sign = if dice.even() < 0.5 { -1.0 } else { 1.0 };
    for k in 0..count {
        let along = (k as f64 + 1.0) / (count as f64 + 1.0);
        let share = match way {
            Way::Step => 1.0,
            Way::Hump => (PI * along).sin(),
            Way::Ramp => along,
        };
        outline[first + k][1] += sign * px * share;
    }
    let Ok(solution) = sight::solve(&planted.task, &|_| true) else {
        return Outcome { error: 0.0, band: 0.0, weak: true, out: [0; 2] };
    };
    let errors = planted_errors(&solution, &planted.unknowns);
    let foreign = |i: usize| (first..first + count).contains(&i);
    let left_out =
        |inside: bool| solution.observations().iter().filter(|o| o.left_out && foreign(o.index) == inside).count();
    let (error, band) = (rms(errors.iter().map(|e| e.0)), rms(errors.iter().map(|e| e.1)));
    Outcome { error, band, weak: solution.is_doubtful(), out: [left_out(true), left_out(false)] }
}

impl Outcome {
    /// Two deviations hold the form as a whole.
    fn is_held(&self) -> bool {
        self.error < 2.0 * self.band
    }
}

const SEEDS: std::ops::Range<u64> = 100..108;

#[test]
fn runs_are_found_or_the_result_is_called_doubtful() {
    let kinds = [
        (3, 10.0, Way::Hump),
        (4, 25.0, Way::Ramp),
        (6, 25.0, Way::Step),
        (6, 60.0, Way::Hump),
        (8, 25.0, Way::Step),
        (8, 60.0, Way::Step),
    ];
    let mut lost = 0;
    for (count, px, way) in kinds {
        let all: Vec<Outcome> = SEEDS.map(|seed| outcome(seed, count, px, way)).collect();
        let held = all.iter().filter(|o| o.is_held()).count();
        let out = [0, 1].map(|k| all.iter().filter(|o| o.is_held()).map(|o| o.out[k]).sum::<usize>());
        let told = format!("{count} points by {px} px, {way:?}: {held} held, left out {out:?}");
        assert!(2 * held > all.len(), "{told}");
        assert!(2 * out[0] > count * held && 5 * out[1] < out[0], "{told}");
        lost += all.iter().filter(|o| !o.is_held() && !o.weak).count();
    }
    assert!(lost <= 2, "{lost} of 48 neither held nor called doubtful");
}

#[test]
fn without_a_run_nothing_is_left_out_or_doubted() {
    for seed in SEEDS {
        let clean = outcome(seed, 0, 0.0, Way::Step);
        assert!(clean.is_held() && !clean.weak && clean.out == [0, 0], "seed {seed}");
    }
}
