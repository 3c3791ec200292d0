//! Lenses from straight lines, against planted ones.

#![allow(clippy::unwrap_used, reason = "the lint knows test functions, not what they call")]

mod common;

use approx::assert_abs_diff_eq;
use common::Chance;
use photo::Lens;
use photo::plumb_line::{PlumbLine, PlumbLineError, Radial, lens_from_lines};

const FOCAL: f64 = 4000.0;
const CENTRE: [f64; 2] = [3000.0, 2000.0];

/// Straight lines from edge to edge, `marks` on each, as the lens shows them with `noise` px.
fn lines(lens: &Lens, ends: &[[[f64; 2]; 2]], marks: usize, noise: f64, chance: &mut Chance) -> Vec<Vec<[f64; 2]>> {
    let line = |[from, to]: &[[f64; 2]; 2]| {
        let mark = |k: usize| {
            let share = k as f64 / (marks - 1) as f64;
            let ideal = [0, 1].map(|i| (from[i] + share * (to[i] - from[i]) - CENTRE[i]) / FOCAL);
            let shown = lens.distorted(ideal);
            [0, 1].map(|i| CENTRE[i] + FOCAL * shown[i] + noise * chance.normal())
        };
        (0..marks).map(mark).collect()
    };
    ends.iter().map(line).collect()
}

const FRAME: [[[f64; 2]; 2]; 4] = [
    [[100.0, 180.0], [5900.0, 300.0]],
    [[200.0, 3800.0], [5800.0, 3700.0]],
    [[250.0, 100.0], [180.0, 3900.0]],
    [[4400.0, 150.0], [5700.0, 3800.0]],
];

#[test]
fn exact_marks_give_the_exact_lens() {
    for (lens, radial) in [
        (Lens::radial(-0.12, 0.0), Radial::K1),
        (Lens::radial(0.08, 0.0), Radial::K1),
        (Lens::radial(-0.15, 0.06), Radial::K1AndK2),
    ] {
        let marked = lines(&lens, &FRAME, 9, 0.0, &mut Chance(1));
        let found = lens_from_lines(&marked, CENTRE, FOCAL, radial, 0.5).unwrap();
        assert_abs_diff_eq!(found.lens.k1, lens.k1, epsilon = 1e-8);
        assert_abs_diff_eq!(found.lens.k2, lens.k2, epsilon = 1e-7);
        assert!(found.before_px > 5.0 && found.after_px < 1e-5, "{} {}", found.before_px, found.after_px);
    }
}

/// One line is enough for k1, and a rough focal length changes the unit, not the picture.
#[test]
fn another_focal_length_gives_the_same_picture() {
    let lens = Lens::radial(-0.12, 0.0);
    let marked = lines(&lens, &FRAME[..1], 12, 0.0, &mut Chance(1));
    let found = lens_from_lines(&marked, CENTRE, 1.25 * FOCAL, Radial::K1, 0.5).unwrap();
    assert_abs_diff_eq!(found.lens.at_focal(1.25 * FOCAL, FOCAL).k1, -0.12, epsilon = 1e-8);
}

/// Of normal errors 68.3 % lie within one standard deviation.
#[test]
fn the_foretold_deviation_is_honest() {
    let (mut chance, mut within, mut all) = (Chance(29), 0, 0);
    for _ in 0..300 {
        let lens = Lens::radial(chance.between(-0.15, 0.1), chance.between(-0.02, 0.04));
        let marked = lines(&lens, &FRAME, 8, 0.7, &mut chance);
        let PlumbLine { lens: found, sigmas, .. } =
            lens_from_lines(&marked, CENTRE, FOCAL, Radial::K1AndK2, 0.7).unwrap();
        for (error, sigma) in [(found.k1 - lens.k1, sigmas[0]), (found.k2 - lens.k2, sigmas[1])] {
            within += i32::from(error.abs() < sigma);
            all += 1;
        }
    }
    let share = f64::from(within) / f64::from(all);
    assert!((share - 0.683).abs() < 0.05, "{share}");
}

#[test]
fn a_line_that_is_not_straight_shows() {
    let mut marked = lines(&Lens::radial(-0.1, 0.0), &FRAME, 8, 0.0, &mut Chance(1));
    for (k, mark) in marked[2].iter_mut().enumerate() {
        mark[0] += 12.0 * (k as f64 * 2.0).sin();
    }
    let found = lens_from_lines(&marked, CENTRE, FOCAL, Radial::K1, 0.5).unwrap();
    let largest = |k: usize| found.residuals[k].iter().fold(0.0_f64, |m, r| m.max(r.abs()));
    assert!(largest(2) > 8.0 && [0, 1, 3].iter().all(|k| largest(*k) < 3.0));
    let honest = lens_from_lines(&marked[..2], CENTRE, FOCAL, Radial::K1, 0.5).unwrap();
    assert!(found.sigmas[0] > 2.0 * honest.sigmas[0], "crooked lines make the lens less certain");
}

#[test]
fn lines_that_tell_nothing_are_refused() {
    let lens = Lens::radial(-0.1, 0.0);
    let through = [[[100.0, 100.0 * 2.0 / 3.0], [5900.0, 5900.0 * 2.0 / 3.0]], [[0.0, 2000.0], [6000.0, 2000.0]]];
    let marked = lines(&lens, &through, 9, 0.3, &mut Chance(2));
    let tried = |lines: &[Vec<[f64; 2]>]| lens_from_lines(lines, CENTRE, FOCAL, Radial::K1, 0.5);
    assert_eq!(tried(&marked), Err(PlumbLineError::Undetermined));
    let pairs = lines(&lens, &FRAME, 2, 0.0, &mut Chance(2));
    assert_eq!(tried(&pairs), Err(PlumbLineError::TooFew { found: 0, needed: 1 }));
    assert_eq!(tried(&[]), Err(PlumbLineError::TooFew { found: 0, needed: 1 }));
    assert_eq!(tried(&[vec![[5.0, 5.0]; 4]]), Err(PlumbLineError::NoLine { line: 1 }));
    let mut nan = lines(&lens, &FRAME, 5, 0.0, &mut Chance(2));
    nan[1][1][0] = f64::NAN;
    assert!(matches!(tried(&nan), Err(PlumbLineError::NotANumber { .. })));
    let none = lens_from_lines(&marked, CENTRE, 0.0, Radial::K1, 0.5);
    assert_eq!(none, Err(PlumbLineError::NotANumber { what: "The focal length" }));
}
