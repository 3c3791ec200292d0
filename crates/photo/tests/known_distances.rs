//! Scales from known distances, against closed forms and planted mistakes.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

mod common;

use approx::assert_abs_diff_eq;
use common::Chance;
use photo::known_distances::{KnownDistance, ScaleError, picture_scale};

fn known(name: &str, px: f64, mm: f64) -> KnownDistance {
    let ends = [[100.0, 50.0], [100.0 + 0.6 * px, 50.0 - 0.8 * px]];
    KnownDistance { name: name.into(), ends, mm, sigma_mm: 0.0, sigma_px: 0.5 }
}

/// Exact lengths marked equally well: the scale is Σ px mm / Σ px² and its deviation √2 σ scale / √Σ px². Source: closed form
/// of the straight line through zero.
#[test]
fn the_scale_is_that_of_the_line_through_zero() {
    let all = [known("a", 400.0, 1000.0), known("b", 200.0, 501.0), known("c", 100.0, 249.0)];
    let found = picture_scale(&all).unwrap();
    let squares = 160_000.0 + 40_000.0 + 10_000.0;
    let scale = (400_000.0 + 100_200.0 + 24_900.0) / squares;
    assert_abs_diff_eq!(found.mm_per_px, scale, epsilon = 1e-12);
    assert_abs_diff_eq!(found.sigma, 2.0_f64.sqrt() * 0.5 * scale / squares.sqrt(), epsilon = 1e-12);
    for (fit, (px, mm)) in found.distances.iter().zip([(400.0, 1000.0), (200.0, 501.0), (100.0, 249.0)]) {
        assert_abs_diff_eq!(fit.px, px, epsilon = 1e-10);
        assert_abs_diff_eq!(fit.residual_mm, mm - scale * px, epsilon = 1e-9);
        assert!(!fit.out);
    }
}

#[test]
fn the_odd_one_out_is_marked_and_left_out() {
    for wrong in 0..4 {
        let mut all =
            [known("a", 400.0, 1000.4), known("b", 210.0, 524.0), known("c", 300.0, 750.5), known("d", 350.0, 874.6)];
        all[wrong].mm *= 1.1;
        let found = picture_scale(&all).unwrap();
        let out: Vec<usize> = (0..4).filter(|i| found.distances[*i].out).collect();
        assert_eq!(out, [wrong]);
        assert_abs_diff_eq!(found.mm_per_px, 2.5, epsilon = 0.005);
        assert!(found.distances[wrong].deviations.unwrap() > 5.0);
        assert!(found.misfit.unwrap() < 1.0);
    }
}

/// Of three, two agree and the third is out, even though it is the longest.
#[test]
fn of_three_the_two_that_agree_stand() {
    let found =
        picture_scale(&[known("a", 800.0, 2200.0), known("b", 200.0, 500.5), known("c", 210.0, 524.5)]).unwrap();
    assert_eq!(found.distances.iter().map(|d| d.out).collect::<Vec<_>>(), [true, false, false]);
    assert_abs_diff_eq!(found.mm_per_px, 2.5, epsilon = 0.005);
}

#[test]
fn two_distances_accuse_neither() {
    let found = picture_scale(&[known("a", 400.0, 1000.0), known("b", 200.0, 560.0)]).unwrap();
    assert!(found.distances.iter().all(|d| !d.out && d.deviations.is_none()));
    assert!(found.disagreement.unwrap() > 10.0);
    // The scale's own deviation covers the disagreement.
    assert!(found.sigma > 0.05, "{}", found.sigma);
    let agree = picture_scale(&[known("a", 400.0, 1000.0), known("b", 200.0, 500.4)]).unwrap();
    assert_eq!(agree.disagreement, None);
    let one = picture_scale(&[known("a", 400.0, 1000.0)]).unwrap();
    assert_eq!((one.mm_per_px, one.misfit, one.disagreement), (2.5, None, None));
}

/// Over many pictures the true scale lies within one foretold deviation as often as a normal error does, 68.3 %, and honest
/// distances are rarely called out.
#[test]
fn the_foretold_deviation_is_honest() {
    let mut chance = Chance(23);
    let (mut within, mut called_out) = (0, 0);
    for _ in 0..2000 {
        let distance = |k: usize| {
            let px = chance.between(150.0, 900.0);
            let mut all = known(&k.to_string(), px, 2.5 * px + 1.5 * chance.normal());
            all.sigma_mm = 1.5;
            all.ends = all.ends.map(|end| end.map(|c| c + 0.5 * chance.normal()));
            all
        };
        let found = picture_scale(&(0..5).map(distance).collect::<Vec<_>>()).unwrap();
        within += i32::from((found.mm_per_px - 2.5).abs() < found.sigma);
        called_out += i32::from(found.distances.iter().any(|d| d.out));
    }
    let share = f64::from(within) / 2000.0;
    // The deviation never shrinks below what was given, so it errs to the safe side.
    assert!((0.66..0.78).contains(&share), "{share}");
    assert!(called_out < 40, "{called_out} of 2000");
}

#[test]
fn what_gives_no_scale_is_refused() {
    assert_eq!(picture_scale(&[]), Err(ScaleError::None));
    let name = || "b".to_owned();
    let with = |change: fn(&mut KnownDistance)| {
        let mut all = [known("a", 400.0, 1000.0), known("b", 200.0, 500.0)];
        change(&mut all[1]);
        picture_scale(&all).unwrap_err()
    };
    assert_eq!(with(|d| d.mm = 0.0), ScaleError::NoLength { name: name() });
    assert_eq!(with(|d| d.mm = f64::NAN), ScaleError::NoLength { name: name() });
    assert_eq!(with(|d| d.ends[1] = d.ends[0]), ScaleError::NoLength { name: name() });
    assert_eq!(with(|d| d.ends[1][0] = f64::INFINITY), ScaleError::NoLength { name: name() });
    assert_eq!(with(|d| d.sigma_px = 0.0), ScaleError::NoDeviation { name: name() });
    assert_eq!(with(|d| d.sigma_mm = -1.0), ScaleError::NoDeviation { name: name() });
}
