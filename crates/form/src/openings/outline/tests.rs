use super::*;
use std::f64::consts::PI;

fn ellipse_outline() -> Outline {
    Outline::Ellipse { centre: [12.0, -7.0], size: [40.0, 24.0], turn_deg: 30.0 }
}

fn slot(radius: f64) -> Outline {
    Outline::Box { centre: [5.0, 9.0], size: [30.0, 12.0], radius, turn_deg: -20.0 }
}

fn drawn(points: &[[f64; 2]], corners: &[usize]) -> Outline {
    let point = |(i, at): (usize, &[f64; 2])| OutlinePoint { at: *at, corner: corners.contains(&i) };
    Outline::Drawn { points: points.iter().enumerate().map(point).collect() }
}

/// Closed forms: π a b; a box less the four corners of its radius, (4 - π) r².
#[test]
fn areas_and_middles_are_exact() {
    let curve = OutlineCurve::of(&ellipse_outline()).unwrap();
    assert!((curve.area() / (PI * 20.0 * 12.0) - 1.0).abs() < 1e-14);
    for radius in [0.0, 2.0, 6.0] {
        let curve = OutlineCurve::of(&slot(radius)).unwrap();
        let exact = 30.0 * 12.0 - (4.0 - PI) * radius * radius;
        assert!((curve.area() / exact - 1.0).abs() < 1e-13, "{} against {exact}", curve.area());
        let girth = 2.0 * (30.0 + 12.0 - 4.0 * radius) + 2.0 * PI * radius;
        assert!((curve.girth() / girth - 1.0).abs() < 1e-12);
        let c = curve.centre();
        assert!((c[0] - 5.0).abs() < 1e-10 && (c[1] - 9.0).abs() < 1e-10, "{c:?}");
    }
}

#[test]
fn chords_stay_within_the_tolerance_and_the_inside_is_the_curves_own() {
    for outline in [ellipse_outline(), slot(6.0), slot(1.0)] {
        let curve = OutlineCurve::of(&outline).unwrap();
        for tolerance in [0.5, 0.1, 0.01] {
            let us = curve.parameters(tolerance);
            for (i, u) in us.iter().enumerate() {
                let v = us.get(i + 1).copied().unwrap_or(curve.pieces() as f64);
                let (a, b) = (curve.at(*u).p, curve.at(v).p);
                for k in 1..10 {
                    let p = curve.at(u + (v - u) * f64::from(k) / 10.0).p;
                    assert!(geometry::flatten::distance_to_chord(p, a, b) <= tolerance * 1.0001);
                }
            }
        }
        for k in 0..200 {
            let at = curve.at(curve.pieces() as f64 * f64::from(k) / 200.0);
            let size = at.d[0].hypot(at.d[1]);
            let aside = |by: f64| [at.p[0] - by * at.d[1] / size, at.p[1] + by * at.d[0] / size];
            for by in [1e-7, 1e-3, 0.05, 1.0] {
                assert!(curve.inside(aside(by)) && !curve.inside(aside(-by)), "{k} {by}");
            }
        }
    }
}

/// A circle through twelve points as a periodic cubic: fourth order, so within about 1e-4 of its radius and 1e-4 of its area.
#[test]
fn a_drawn_outline_goes_through_its_points_and_breaks_at_corners_only() {
    let ring: Vec<[f64; 2]> =
        (0..12).map(|i| f64::from(i) * PI / 6.0).map(|a| [10.0 * a.cos(), 10.0 * a.sin()]).collect();
    let curve = OutlineCurve::of(&drawn(&ring, &[])).unwrap();
    assert!((curve.area() / (100.0 * PI) - 1.0).abs() < 4e-4, "{}", curve.area());
    assert!((0..12).all(|j| !curve.is_corner(j)));
    for p in &ring {
        assert!(curve.nearest(*p).1 < 1e-12);
    }
    let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
    let box_like = OutlineCurve::of(&drawn(&square, &[0, 1, 2, 3])).unwrap();
    assert!((box_like.area() - 100.0).abs() < 1e-12);
    assert!((0..4).all(|j| box_like.is_corner(j)));
    // Backwards is the same outline.
    let back: Vec<[f64; 2]> = square.iter().rev().copied().collect();
    assert!((OutlineCurve::of(&drawn(&back, &[0, 1, 2, 3])).unwrap().area() - 100.0).abs() < 1e-12);
    assert!(curve.crosses_itself().is_none());
    let eight = [[0.0, 0.0], [10.0, 9.0], [10.0, 0.0], [0.0, 10.0]];
    assert!(OutlineCurve::of(&drawn(&eight, &[0, 1, 2, 3])).unwrap().crosses_itself().is_some());
}

#[test]
fn the_mirror_image_is_the_same_turned_round() {
    let curve = OutlineCurve::of(&ellipse_outline()).unwrap();
    let (seen, image) = mirror_image(Seen::Ahead, &curve);
    assert_eq!(seen, Seen::Ahead);
    assert!((image.area() - curve.area()).abs() < 1e-10);
    for k in 0..40 {
        let [a, b] = curve.at(f64::from(k) / 10.0).p;
        assert!(image.nearest([-a, b]).1 < 1e-9);
    }
    assert_eq!(mirror_image(Seen::Port, &curve).0, Seen::Starboard);
}

#[test]
fn shares_of_the_length_are_shares_of_the_length() {
    let curve = OutlineCurve::of(&slot(3.0)).unwrap();
    let girth = curve.girth();
    for k in 0..16 {
        let share = f64::from(k) / 16.0;
        let u = curve.at_share(share);
        let i = u as usize;
        let before: f64 = (0..i).map(|j| curve.pieces[j].length(0.0, 1.0)).sum();
        let length = before + curve.pieces.get(i).map_or(0.0, |p| p.length(0.0, u - i as f64));
        assert!((length - share * girth).abs() < 1e-8, "{share}: {length}");
    }
}

#[test]
fn what_encloses_nothing_is_told() {
    let flat = drawn(&[[0.0, 0.0], [5.0, 0.0], [10.0, 0.0]], &[0, 1, 2]);
    assert_eq!(OutlineCurve::of(&flat), Err(OutlineError::NoArea));
}
