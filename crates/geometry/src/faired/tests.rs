//! Faired lines of points from known lines, circles and a published thickness form.

use super::*;
use crate::line::Line;

/// Even numbers of a fixed sequence (xorshift; G. Marsaglia 2003, from memory).
struct Dice(u64);

impl Dice {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.even()).ln()).sqrt() * (std::f64::consts::TAU * self.even()).cos()
    }
}

fn at(x: f64, value: f64) -> TracedPoint {
    TracedPoint { x, value, deviation: 0.0 }
}

/// `count` points of a function over x, with noise of a standard deviation.
fn sampled(f: impl Fn(f64) -> f64, (low, high): (f64, f64), count: usize, noise: f64, seed: u64) -> Vec<TracedPoint> {
    let mut dice = Dice(seed);
    let x = |i: usize| low + (high - low) * i as f64 / (count - 1) as f64;
    (0..count).map(|i| at(x(i), f(x(i)) + noise * dice.normal())).collect()
}

fn points(xy: &[[f64; 2]]) -> Vec<LinePoint> {
    xy.iter().map(|p| LinePoint { x: p[0], value: p[1], pass: Pass::Smooth }).collect()
}

fn line(xy: &[[f64; 2]]) -> Line {
    Line::new(&points(xy), LineEnd::Free, LineEnd::Free).unwrap()
}

/// Largest difference from a function between two stations.
fn off(line: &Line, f: impl Fn(f64) -> f64, (low, high): (f64, f64)) -> f64 {
    (0..=400)
        .map(|i| low + (high - low) * f64::from(i) / 400.0)
        .fold(0.0, |m: f64, x| m.max((line.at(x).value - f(x)).abs()))
}

#[test]
fn a_straight_line_needs_two_points() {
    let traced = sampled(|x| 40.0 + 0.3 * x, (0.0, 360.0), 90, 0.1, 7);
    let found = fair(&traced, &Fairing { tolerance: 0.5, ..Fairing::default() }).unwrap();
    assert_eq!((found.points.len(), found.outcome, found.inflections), (2, Outcome::Holds, 0));
    assert!(off(&found.line, |x| 40.0 + 0.3 * x, (0.0, 360.0)) < 0.1);
}

/// Lines through four to seven known points: no more are found, and the line under the noise is nearer than the noise.
#[test]
fn a_line_of_known_points_is_found_with_as_many_or_fewer() {
    let known: [&[[f64; 2]]; 3] = [
        &[[0.0, 30.0], [60.0, 52.0], [180.0, 66.0], [360.0, 62.0]],
        &[[0.0, 33.0], [30.0, 45.0], [90.0, 58.0], [200.0, 61.0], [360.0, 44.0]],
        &[[0.0, 10.0], [50.0, 24.0], [110.0, 20.0], [170.0, 36.0], [230.0, 33.0], [300.0, 51.0], [360.0, 50.0]],
    ];
    for (k, known) in known.into_iter().enumerate() {
        let truth = line(known);
        for noise in [0.0, 0.1, 0.3] {
            let traced = sampled(|x| truth.at(x).value, (0.0, 360.0), 120, noise, 11 + k as u64);
            let tolerance = 0.1 + 3.3 * noise;
            let found = fair(&traced, &Fairing { tolerance, ..Fairing::default() }).unwrap();
            let error = off(&found.line, |x| truth.at(x).value, (0.0, 360.0));
            println!(
                "{} known, noise {noise}: {} found, worst {:.3}, from truth {error:.3}, {} inflections",
                known.len(),
                found.points.len(),
                found.worst,
                found.inflections
            );
            assert_eq!(found.outcome, Outcome::Holds);
            assert!(found.points.len() <= known.len(), "{} for {}", found.points.len(), known.len());
            assert!(found.worst <= tolerance && error < tolerance);
        }
    }
}

#[test]
fn a_circle_arc_is_held_with_few_points_and_no_inflection() {
    let circle = |x: f64| (250.0_f64.powi(2) - (x - 150.0).powi(2)).sqrt() - 150.0;
    let traced = sampled(circle, (0.0, 300.0), 100, 0.0, 3);
    for (tolerance, most) in [(1.2, 3), (0.1, 5), (0.01, 7)] {
        let found = fair(&traced, &Fairing { tolerance, ..Fairing::default() }).unwrap();
        println!("circle to {tolerance}: {} points, worst {:.4}", found.points.len(), found.worst);
        assert_eq!((found.outcome, found.inflections), (Outcome::Holds, 0));
        assert!(found.points.len() <= most && found.worst <= tolerance);
    }
}

/// Half thickness of the NACA four-digit series (E. N. Jacobs, K. E. Ward, R. M. Pinkerton, NACA Report 460, 1933), 18 % of a
/// chord of 400 mm, over the first 200 mm: a nose of radius 1.1019 t² c = 14.3 mm, upright at the front.
#[test]
fn a_blunt_nose_of_published_form_is_held_upright() {
    let half = |x: f64| {
        let s = x / 400.0;
        5.0 * 0.18 * 400.0 * (0.2969 * s.sqrt() - 0.1260 * s - 0.3516 * s * s + 0.2843 * s.powi(3) - 0.1015 * s.powi(4))
    };
    let mut dice = Dice(5);
    // Traced evenly along the edge, not along x: s² crowds points at the nose.
    let place = |i: i32| 200.0 * (f64::from(i) / 100.0).powi(2);
    let traced: Vec<TracedPoint> =
        (0..=100).map(|i| at(place(i) + 0.05 * dice.normal(), half(place(i)) + 0.05 * dice.normal())).collect();
    let how = Fairing { tolerance: 0.2, front: LineEnd::Upright, ..Fairing::default() };
    let found = fair(&traced, &how).unwrap();
    println!("nose: {} points, worst {:.3}, rms {:.3}", found.points.len(), found.worst, found.rms);
    assert_eq!(found.outcome, Outcome::Holds);
    assert!(found.line.is_upright(true) && found.points.len() <= 5);
    assert!(off(&found.line, half, (2.0, 200.0)) < 0.2);
    assert!(found.points[0].x.abs() < 0.2, "the nose itself was sought: {}", found.points[0].x);
    let fixed = LinePoint { x: 0.0, value: 0.0, pass: Pass::Smooth };
    let found = fair(&traced, &Fairing { fixed_front: Some(fixed), ..how }).unwrap();
    assert_eq!((found.outcome, found.points[0]), (Outcome::Holds, fixed));
}

/// Half ellipses 60 and 90 mm high over 360 mm (closed form), both ends upright and fixed, at heights that differ by what a
/// tracing differs: the line that the search begins with is nearly level, and moving a point along it changes hardly anything.
#[test]
fn a_line_upright_at_both_fixed_ends_leaves_the_level_that_it_begins_with() {
    for (height, drop, noise) in [(60.0, 0.0, 0.0), (60.0, 0.4, 0.05), (-90.0, 0.02, 0.1), (60.0, -3.0, 0.1)] {
        let ellipse = |x: f64| {
            let s = (x - 180.0) / 180.0;
            height * (1.0 - s * s).max(0.0).sqrt() - drop * x / 360.0
        };
        let mut dice = Dice(17);
        let place = |i: i32| 180.0 - 180.0 * (std::f64::consts::PI * f64::from(i) / 60.0).cos();
        let traced: Vec<TracedPoint> =
            (1..60).map(|i| at(place(i) + noise * dice.normal(), ellipse(place(i)) + noise * dice.normal())).collect();
        let fixed = |x: f64, value: f64| Some(LinePoint { x, value, pass: Pass::Smooth });
        let how = Fairing {
            front: LineEnd::Upright,
            rear: LineEnd::Upright,
            fixed_front: fixed(0.0, 0.0),
            fixed_rear: fixed(360.0, -drop),
            ..Fairing::default()
        };
        let found = fair(&traced, &how).unwrap();
        println!("{height} and {drop}: {} points, worst {:.3}", found.points.len(), found.worst);
        assert_eq!(found.outcome, Outcome::Holds);
        assert!(found.points.len() <= 6 && off(&found.line, ellipse, (5.0, 355.0)) < 0.5);
        let sought = fair(&traced, &Fairing { fixed_front: None, fixed_rear: None, ..how }).unwrap();
        assert_eq!(sought.outcome, Outcome::Holds);
    }
}

#[test]
fn a_corner_is_offered_and_kept_when_it_is_wanted() {
    let bent = |x: f64| if x < 130.0 { 30.0 + 0.15 * x } else { 49.5 - 0.25 * (x - 130.0) };
    let traced = sampled(bent, (0.0, 300.0), 120, 0.15, 21);
    let corners = find_corners(&traced);
    assert_eq!(corners.len(), 1, "{corners:?}");
    assert!((corners[0].x - 130.0).abs() < 2.0);
    // From 8.53° up to 14.04° down.
    assert!((corners[0].turn + 22.57).abs() < 3.0, "{corners:?}");
    let how = Fairing { tolerance: 0.6, corners: vec![130.0], ..Fairing::default() };
    let found = fair(&traced, &how).unwrap();
    assert_eq!((found.points.len(), found.points[1].pass, found.outcome), (3, Pass::Corner, Outcome::Holds));
    let smooth = fair(&traced, &Fairing { corners: Vec::new(), ..how }).unwrap();
    assert!(smooth.points.len() > 3);
}

#[test]
fn a_smooth_line_offers_no_corner() {
    let truth = line(&[[0.0, 33.0], [30.0, 45.0], [90.0, 58.0], [200.0, 61.0], [360.0, 44.0]]);
    for seed in 1..20 {
        let traced = sampled(|x| truth.at(x).value, (0.0, 360.0), 120, 0.2, seed);
        assert_eq!(find_corners(&traced), [], "seed {seed}");
    }
}

#[test]
fn fixed_ends_stand_fast() {
    let truth = line(&[[0.0, 33.0], [90.0, 58.0], [200.0, 61.0], [360.0, 44.0]]);
    let traced = sampled(|x| truth.at(x).value, (5.0, 355.0), 100, 0.1, 9);
    let front = LinePoint { x: 0.0, value: 33.0, pass: Pass::Slope(truth.at(0.0).slope.atan().to_degrees()) };
    let rear = LinePoint { x: 360.0, value: 44.0, pass: Pass::Smooth };
    let how = Fairing { tolerance: 0.5, fixed_front: Some(front), fixed_rear: Some(rear), ..Fairing::default() };
    let found = fair(&traced, &how).unwrap();
    assert_eq!(found.outcome, Outcome::Holds);
    assert_eq!((found.points[0], found.points[found.points.len() - 1]), (front, rear));
    assert!((found.line.at(0.0).slope - truth.at(0.0).slope).abs() < 1e-9);
    assert!(off(&found.line, |x| truth.at(x).value, (0.0, 360.0)) < 0.5);
}

#[test]
fn noise_above_the_tolerance_is_told_with_what_can_be_held() {
    let truth = line(&[[0.0, 30.0], [60.0, 52.0], [180.0, 66.0], [360.0, 62.0]]);
    let traced = sampled(|x| truth.at(x).value, (0.0, 360.0), 150, 1.0, 31);
    let found = fair(&traced, &Fairing { tolerance: 0.3, ..Fairing::default() }).unwrap();
    let Outcome::Noise { reachable } = found.outcome else { panic!("{:?}", found.outcome) };
    println!("noise: {} points, {reachable:.2} reachable, {} inflections", found.points.len(), found.inflections);
    assert!(found.points.len() <= 5, "noise is not followed");
    assert!(off(&found.line, |x| truth.at(x).value, (0.0, 360.0)) < 1.0);
    let again = fair(&traced, &Fairing { tolerance: reachable * 1.001, ..Fairing::default() }).unwrap();
    assert_eq!(again.outcome, Outcome::Holds);
    assert!(found.outcome.text().contains("mm holds"));
}

#[test]
fn points_far_off_do_not_pull_where_a_share_is_enough() {
    let truth = line(&[[0.0, 30.0], [60.0, 52.0], [180.0, 66.0], [360.0, 62.0]]);
    let mut traced = sampled(|x| truth.at(x).value, (0.0, 360.0), 100, 0.1, 41);
    for i in [20, 21, 57] {
        traced[i].value += 6.0;
    }
    let found = fair(&traced, &Fairing { tolerance: 0.5, share: 0.95, ..Fairing::default() }).unwrap();
    assert_eq!(found.outcome, Outcome::Holds);
    assert!(found.worst > 5.0 && found.points.len() <= 5);
    assert!(off(&found.line, |x| truth.at(x).value, (0.0, 360.0)) < 0.3);
}

#[test]
fn the_limit_of_points_is_kept_and_told() {
    let traced = sampled(|x| 20.0 * (x / 20.0).sin(), (0.0, 400.0), 200, 0.0, 1);
    let found = fair(&traced, &Fairing { tolerance: 0.2, most_points: 6, ..Fairing::default() }).unwrap();
    assert!(found.points.len() <= 6);
    assert!(matches!(found.outcome, Outcome::TooFewPoints { .. } | Outcome::Noise { .. }), "{:?}", found.outcome);
}

#[test]
fn bad_input_is_refused() {
    let how = Fairing::default();
    assert_eq!(fair(&[], &how), Err(FairError::TooFew));
    assert_eq!(fair(&[at(1.0, 2.0)], &how), Err(FairError::TooFew));
    assert_eq!(fair(&[at(1.0, 2.0), at(1.0, 3.0), at(1.0, 4.0)], &how), Err(FairError::TooFew));
    assert_eq!(fair(&[at(1.0, 2.0), at(2.0, f64::NAN)], &how), Err(FairError::NotFinite(1)));
    let two = [at(0.0, 1.0), at(10.0, 2.0)];
    for tolerance in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(fair(&two, &Fairing { tolerance, ..how.clone() }), Err(FairError::Setting { .. })));
    }
    assert_eq!(fair(&two, &Fairing { corners: vec![20.0], ..Fairing::default() }), Err(FairError::Order(10.0)));
    let many = Fairing { corners: vec![2.0, 3.0, 4.0], most_points: 4, ..Fairing::default() };
    assert_eq!(fair(&two, &many), Err(FairError::TooManyCorners { needed: 5 }));
    assert_eq!(fair(&two, &how).unwrap().points.len(), 2);
    let three = [at(0.0, 1.0), at(10.0, 2.0), at(10.0, 9.0)];
    assert!(fair(&three, &how).is_ok());
}

#[test]
fn ten_thousand_points_and_the_same_points_in_any_order_give_the_same_line() {
    let truth = line(&[[0.0, 30.0], [60.0, 52.0], [180.0, 66.0], [360.0, 62.0]]);
    let mut traced = sampled(|x| truth.at(x).value, (0.0, 360.0), 10_000, 0.2, 51);
    let how = Fairing { tolerance: 1.0, ..Fairing::default() };
    let started = std::time::Instant::now();
    let found = fair(&traced, &how).unwrap();
    println!("10 000 points: {:?}, {} points", started.elapsed(), found.points.len());
    assert_eq!(found.outcome, Outcome::Holds);
    assert!(found.points.len() <= 4);
    traced.reverse();
    assert_eq!(fair(&traced, &how).unwrap().points, found.points);
    let few: Vec<TracedPoint> = traced.iter().step_by(50).copied().collect();
    let started = std::time::Instant::now();
    let found = fair(&few, &how).unwrap();
    println!("200 points: {:?}, {} points", started.elapsed(), found.points.len());
}
