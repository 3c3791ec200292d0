use super::bodies::*;
use form::openings::{Developed, Flattening, Hole, MarkKind, NotDeveloped, Target, develop};
use project::opening::{Outline, Seen};

fn how(inset: f64) -> Flattening {
    Flattening { inset, margin: 15.0, stations: vec![100.0, 160.0] }
}

fn laid(target: &Target<'_>, seen: Seen, outline: Outline, inset: f64) -> (Hole, Developed) {
    let hole = hole(target, &opening(seen, outline));
    let flat = develop(target, &hole, &how(inset)).unwrap();
    (hole, flat)
}

fn far(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// Every length between two places of the edge against the surface's own.
fn worst(hole: &Hole, flat: &Developed, real: impl Fn(Vector, Vector) -> f64) -> f64 {
    let places: Vec<Vector> = hole.places().map(|p| p.point).collect();
    let line = &flat.edges[0].1;
    assert_eq!(places.len(), line.len());
    let mut worst = 0.0_f64;
    for i in 0..places.len() {
        for j in 0..i {
            worst = worst.max((far(line[i], line[j]) - real(places[i], places[j])).abs());
        }
    }
    worst
}

/// A cylinder of radius R unrolls to x and R φ.
#[test]
fn a_cylinder_unrolls_exactly() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    for (seen, outline, inset) in [
        (Seen::Starboard, circle([150.0, 10.0], 30.0), 0.0),
        (Seen::Port, kidney([150.0, -10.0], 30.0), 0.0),
        (Seen::Above, circle([120.0, 5.0], 45.0), 0.0),
        (Seen::Below, rectangle([120.0, 0.0], [50.0, 40.0]), 1.2),
    ] {
        let (hole, flat) = laid(&target, seen, outline, inset);
        let r = 60.0 - inset;
        let real = |a: Vector, b: Vector| {
            let turn = (b[2].atan2(b[1]) - a[2].atan2(a[1])).rem_euclid(std::f64::consts::TAU);
            let turn = turn.min(std::f64::consts::TAU - turn);
            (b[0] - a[0]).hypot(r * turn)
        };
        let off = worst(&hole, &flat, real);
        assert!(off < 5e-5, "{seen:?}: {off}");
        assert!(flat.strain < 1e-6 && flat.length_error < 1e-4, "{} {}", flat.strain, flat.length_error);
        let station =
            flat.marks.iter().find(|m| matches!(m.kind, MarkKind::Station(x) if x == 160.0 || x == 100.0)).unwrap();
        // A station unrolls to a straight line, square to x, which runs aft.
        let MarkKind::Station(x) = station.kind else { panic!("a station") };
        let middle = hole.centre.unwrap().point[0];
        assert!(station.line.iter().all(|p| (p[0] - (x - middle)).abs() < 1e-4), "{station:?}");
        let over_the_plane = flat.marks.iter().any(|m| m.kind == MarkKind::CentrePlane);
        assert_eq!(over_the_plane, matches!(seen, Seen::Above | Seen::Below));
    }
}

/// A cone of half angle α unrolls to polar coordinates: the distance from its tip, and φ sin α.
#[test]
fn a_cone_unrolls_exactly() {
    let form = cone(0.0, 100.0, 150.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let sin = 100.0 / f64::hypot(100.0, 150.0);
    let flat_place = |p: Vector| {
        let (r, a) = ((p[0] * p[0] + p[1] * p[1] + p[2] * p[2]).sqrt(), p[2].atan2(p[1]) * sin);
        [r * a.cos(), r * a.sin()]
    };
    for (seen, outline) in [
        (Seen::Ahead, circle([50.0, 10.0], 20.0)),
        (Seen::Starboard, circle([110.0, 5.0], 25.0)),
        (Seen::Ahead, kidney([55.0, -5.0], 22.0)),
    ] {
        let (hole, flat) = laid(&target, seen, outline, 0.0);
        let off = worst(&hole, &flat, |a, b| far(flat_place(a), flat_place(b)));
        assert!(off < 1e-4, "{seen:?}: {off}");
    }
}

/// Over the edge of a square bar: two planes, hinged.
#[test]
fn a_crease_unfolds_exactly() {
    let form = bar(40.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let (hole, flat) = laid(&target, Seen::Starboard, circle([100.0, 10.0], 20.0), 0.0);
    let off = worst(&hole, &flat, |a, b| (b[0] - a[0]).hypot(b[2] - a[2]));
    assert!(off < 1e-7, "{off}");
    assert!(flat.strain < 1e-7, "{}", flat.strain);
    // The net runs on over the edge to the top: its border reaches farther round than the side does.
    let high = flat.sheet.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let low = flat.sheet.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    assert!(high - low > 65.0 && (high - low - 70.0).abs() < 6.0, "{low} {high}");
}

/// On a sphere nothing is exact: what is told bounds every length across the hole (great circles are the true ones), and is not
/// told in vain.
#[test]
fn on_a_sphere_the_error_that_is_told_bounds_the_true_one() {
    let form = sphere(80.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let mut before = 0.0;
    for radius in [10.0, 20.0, 30.0] {
        let (hole, flat) = laid(&target, Seen::Starboard, circle([0.0, 0.0], radius), 0.0);
        let arc = |a: Vector, b: Vector| {
            let dot: f64 = (0..3).map(|k| a[k] * b[k]).sum();
            80.0 * (dot / 6400.0).clamp(-1.0, 1.0).acos()
        };
        let off = worst(&hole, &flat, arc);
        assert!(off <= flat.length_error && off > 0.01 * flat.length_error, "{radius}: {off} {}", flat.length_error);
        assert!(flat.length_error > before, "larger holes lie less flat");
        before = flat.length_error;
    }
}

#[test]
fn the_flat_front_is_flat_and_what_cannot_be_laid_flat_is_told() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let (hole, flat) = laid(&target, Seen::Ahead, kidney([10.0, 5.0], 20.0), 0.0);
    assert!(worst(&hole, &flat, |a, b| (b[1] - a[1]).hypot(b[2] - a[2])) < 1e-9);
    let missed = self::hole(&target, &opening(Seen::Above, circle([100.0, 200.0], 10.0)));
    assert_eq!(develop(&target, &missed, &how(0.0)), Err(NotDeveloped::Missed));
    let tip = cone(0.0, 100.0, 150.0);
    let lofted = self::lofted(&tip);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let round = self::hole(&target, &opening(Seen::Ahead, circle([0.0, 0.0], 20.0)));
    assert_eq!(develop(&target, &round, &how(0.0)), Err(NotDeveloped::AllRound));
}
