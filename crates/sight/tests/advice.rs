//! Whether what is said to help does help: the band foreseen is compared with the band after solving with the observation.
#![allow(clippy::unwrap_used, clippy::expect_used)] // a test may stop at the first surprise

mod common;
use common::planted::{Kind, plant};
use common::{Dice, rms};
use sight::advice::{Advice, More};
use sight::solution::Solution;
use sight::task::Task;

/// Root mean square of the band over the stations and heights that advice is about.
fn band(solution: &Solution) -> f64 {
    let rows = (1..12).flat_map(|i| {
        let section = solution.section(120.0 * f64::from(i), 21).unwrap();
        section.rows.into_iter().skip(1).take(19).map(|r| r.sigma)
    });
    rms(rows)
}

const KIND: Kind = Kind {
    breadth_known: false,
    elevations: &[10.0],
    seams: false,
    joint: false,
    departure: 0.0,
    departs: None,
    split: 1.0,
};

fn best(advice: &[Advice], of: impl Fn(&More) -> bool) -> Advice {
    *advice.iter().find(|a| of(&a.more)).unwrap()
}

#[test]
fn a_seam_does_what_was_foreseen() {
    for joint in [false, true] {
        for seed in 0..6 {
            let kind = Kind { seams: true, joint, ..KIND };
            let mut task = plant(kind, &mut Dice(300 + seed)).task;
            let seams = std::mem::take(&mut task.photographs[0].seams);
            let without = sight::solve(&task, &|_| true).unwrap();
            // The planted seams lie at thirds; the band with one at the middle is bracketed by trying both.
            let foreseen = best(&without.advice(), |m| matches!(m, More::Seam { station, .. } if *station == 720.0));
            let with = |seam: usize| {
                let mut task: Task = task.clone();
                task.photographs[0].seams = vec![seams[seam].clone()];
                band(&sight::solve(&task, &|_| true).unwrap())
            };
            let (a, b) = (with(0), with(1));
            let (low, high) = (a.min(b), a.max(b));
            let share = foreseen.then / foreseen.now;
            let (low, high) = (low / band(&without), high / band(&without));
            assert!(share < 1.25 * high && share > 0.5 * low, "{share} against {low}..{high}");
        }
    }
}

#[test]
fn a_lower_view_does_what_was_foreseen() {
    for joint in [false, true] {
        let mut ratios = Vec::new();
        for seed in 0..6 {
            let kind = Kind { elevations: &[10.0, -12.0], joint, ..KIND };
            let both = plant(kind, &mut Dice(500 + seed)).task;
            let mut one = both.clone();
            one.photographs.truncate(1);
            let one = sight::solve(&one, &|_| true).unwrap();
            let lower = |m: &More| matches!(m, More::View { elevation_deg, .. } if *elevation_deg == -12.0);
            let foreseen = best(&one.advice(), lower);
            let both = sight::solve(&both, &|_| true).unwrap();
            ratios.push((foreseen.then / foreseen.now) / (band(&both) / band(&one)));
        }
        // The real second photograph was taken from a place of its own, 3 degrees and 6 degrees round from the tried one.
        let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
        assert!((0.7..1.4).contains(&mean), "{ratios:.2?}");
    }
}

/// From low down with the breadth unknown, the weak case: another view from well above, or a seam amidships, helps more than
/// the same view from the other side, which by symmetry shows the same.
#[test]
fn the_other_side_helps_least_when_the_camera_is_exact() {
    let kind = Kind { elevations: &[2.0], ..KIND };
    for seed in 0..4 {
        let task = plant(kind, &mut Dice(700 + seed)).task;
        let advice = sight::solve(&task, &|_| true).unwrap().advice();
        let then = |of: &dyn Fn(&More) -> bool| best(&advice, of).then;
        let mirrored = then(&|m| matches!(m, More::View { mirrored: true, .. }));
        let seam = then(&|m| matches!(m, More::Seam { station, .. } if *station == 720.0));
        let above = then(&|m| matches!(m, More::View { elevation_deg, .. } if *elevation_deg == 25.0));
        assert!(seam < 0.8 * mirrored && above < 0.8 * mirrored, "{seam} {above} {mirrored}");
        assert!(advice.iter().all(|a| a.then <= a.now * (1.0 + 1e-9)), "more never hurts");
    }
}
