use super::bodies::*;
use form::openings::{CutPlane, Passage, Target, Wall};
use project::opening::{Opening, Seen};
use std::f64::consts::PI;

fn area(ring: &[[f64; 2]]) -> f64 {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum::<f64>().abs()
}

fn length(p: Vector) -> f64 {
    p.iter().map(|c| c * c).sum::<f64>().sqrt()
}

fn sub(a: Vector, b: Vector) -> Vector {
    std::array::from_fn(|k| a[k] - b[k])
}

fn with_duct(seen: Seen, outline: project::opening::Outline, duct: project::opening::Duct) -> Opening {
    Opening { duct: Some(duct), ..opening(seen, outline) }
}

fn passage(target: &Target<'_>, opening: &Opening) -> Passage {
    form::openings::Hole::cut(target, 0, opening, false, 0.005).unwrap().passage(target).unwrap()
}

/// Closed forms: in the flat front of a cylinder a duct from a circle of radius 20 to one of radius 10, 40 mm deep, is the frustum of
/// a cone; half way in its radius is 15, and its wall, 1.5 mm thick square to itself, is thicker across by √(1 + 1/16).
#[test]
fn a_duct_between_two_circles_is_a_frustum() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let duct = duct(40.0, Some(circle([5.0, 10.0], 10.0)));
    let passage = passage(&target, &with_duct(Seen::Ahead, circle([5.0, 10.0], 20.0), duct));
    let half = passage.cut(CutPlane::Station(20.0), Wall::Air);
    assert_eq!(half.len(), 1);
    close(area(&half[0]), PI * 225.0, 2e-3, "half way in");
    let outside = passage.cut(CutPlane::Station(20.0), Wall::Outside);
    let thick = 15.0 + 1.5 * f64::sqrt(1.0 + 1.0 / 16.0);
    close(area(&outside[0]), PI * thick * thick, 2e-2, "outside half way in");
    // Through its axis: a trapezium, reaching ahead of the front by what the tube begins there.
    let along = passage.cut(CutPlane::Buttock(5.0), Wall::Air);
    assert_eq!(along.len(), 1);
    close(area(&along[0]), 40.0 * 30.0 + 5.0 * 40.0, 1e-3, "along the axis");
    let level = passage.cut(CutPlane::Height(10.0), Wall::Air);
    close(area(&level[0]), 40.0 * 30.0 + 5.0 * 40.0, 1e-3, "on the level");
    assert!(passage.cut(CutPlane::Station(41.0), Wall::Air).is_empty());
    assert!(passage.cut(CutPlane::Buttock(40.0), Wall::Air).is_empty());
    let narrow = passage.narrowest();
    assert!((narrow.share - 1.0).abs() < 1e-9);
    close(narrow.area, PI * 100.0, 2e-3, "narrowest");
}

/// A box that narrows along and widens across is narrowest where the quadratic (30 - 20 t)(10 + 20 t) is not: at one of its ends; one
/// from 30 × 10 to 10 × 30 is widest in the middle.
#[test]
fn the_narrowest_place_is_the_quadratics_own() {
    let form = bar(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let opening = with_duct(
        Seen::Starboard,
        rectangle([100.0, 0.0], [30.0, 10.0]),
        duct(50.0, Some(rectangle([100.0, 0.0], [10.0, 30.0]))),
    );
    let passage = passage(&target, &opening);
    close(passage.narrowest().area, 300.0, 1e-9, "at an end");
    // A cross plane through it: from 10 high outside to 30 inside, over 50, and straight on 5 beyond the side.
    let cut = passage.cut(CutPlane::Station(100.0), Wall::Air);
    close(area(&cut[0]), 50.0 * 20.0 + 5.0 * 10.0, 1e-9, "across");
    // Where the plane passes the narrow inner end at x = 92: in from 12 of 50 mm on only a part is left; the cut closes.
    let aside = passage.cut(CutPlane::Station(90.0), Wall::Air);
    assert_eq!(aside.len(), 1);
    assert!(area(&aside[0]) > 5.0 * 10.0 && area(&aside[0]) < 50.0 * 20.0);
}

/// A plain hole's bore keeps its outline all the way in.
#[test]
fn a_bore_keeps_its_outline() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let hole = hole(&target, &opening(Seen::Starboard, circle([150.0, 10.0], 20.0)));
    let bore = hole.bore(8.0).unwrap();
    let cut = bore.cut(CutPlane::Station(150.0), Wall::Air);
    assert_eq!(cut.len(), 1);
    let z: Vec<f64> = cut[0].iter().map(|p| p[1]).collect();
    let (low, high) =
        (z.iter().copied().fold(f64::INFINITY, f64::min), z.iter().copied().fold(-f64::INFINITY, f64::max));
    assert!((low + 10.0).abs() < 0.05 && (high - 30.0).abs() < 0.05, "{low} {high}");
    close(bore.narrowest().area, PI * 400.0, 5e-3, "narrowest");
}

/// The ball of a lip touches the skin and the wall, and both normals there point from its middle. In a plane with a straight duct it
/// touches r beside the edge and r below it; on a cylinder of radius R, where the wall lies in an axial plane through its side,
/// the middle lies R - r from the axis.
#[test]
fn a_lip_touches_skin_and_wall() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let mut straight = duct(40.0, None);
    straight.lip_radius = 4.0;
    let flat = passage(&target, &with_duct(Seen::Ahead, circle([0.0, 10.0], 20.0), straight.clone()));
    for strip in &flat.strips {
        let lip = strip.lip.expect("it fits");
        let out = |p: Vector| (p[1]).hypot(p[2] - 10.0);
        assert!((out(lip.on_skin) - 24.0).abs() < 2e-3 && lip.on_skin[0].abs() < 1e-9, "{lip:?}");
        assert!((out(lip.on_wall) - 20.0).abs() < 1e-6 && (lip.on_wall[0] - 4.0).abs() < 1e-6);
    }
    let round = passage(&target, &with_duct(Seen::Starboard, circle([150.0, 5.0], 20.0), straight.clone()));
    assert!(round.strips.iter().all(|s| s.lip.is_some()));
    for strip in &round.strips {
        let lip = strip.lip.unwrap();
        assert!((lip.on_skin[1].hypot(lip.on_skin[2]) - 60.0).abs() < 1e-6, "{lip:?}");
        assert!((lip.centre[1].hypot(lip.centre[2]) - 56.0).abs() < 1e-6);
        assert!((length(sub(lip.on_wall, lip.centre)) - 4.0).abs() < 1e-9);
        // The wall is the straight cylinder of the outline.
        assert!(((lip.on_wall[0] - 150.0).hypot(lip.on_wall[2] - 5.0) - 20.0).abs() < 0.01);
        assert!(((lip.centre[0] - 150.0).hypot(lip.centre[2] - 5.0) - 24.0).abs() < 0.01);
        for p in lip.arc(6) {
            assert!((length(sub(p, lip.centre)) - 4.0).abs() < 1e-9);
        }
        let arc = lip.arc(6);
        assert!(length(sub(arc[0], lip.on_skin)) < 1e-7 && length(sub(arc[6], lip.on_wall)) < 1e-7);
    }
    let mut huge = straight;
    huge.lip_radius = 50.0;
    let none = passage(&target, &with_duct(Seen::Starboard, circle([150.0, 5.0], 20.0), huge));
    assert!(none.strips.iter().any(|s| s.lip.is_none()));
}
