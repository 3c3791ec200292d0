use super::bodies::*;
use form::openings::{Hole, Target, Why, holes};
use form::shaft::RingTrim;
use project::opening::Seen;
use std::sync::Arc;

fn length(p: Vector) -> f64 {
    (p[0] * p[0] + p[1] * p[1] + p[2] * p[2]).sqrt()
}

#[test]
fn places_lie_on_the_surface_and_on_the_line_of_sight() {
    let form = sphere(80.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    for seen in Seen::ALL {
        let [a, b] = seen.axes();
        let hole = hole(&target, &opening(seen, circle([12.0, -9.0], 35.0)));
        assert!(hole.whole().is_some(), "{seen:?} {:?}", hole.missed);
        for p in hole.places() {
            assert!((p.point[a] - p.view[0]).abs() < 1e-9 && (p.point[b] - p.view[1]).abs() < 1e-9);
            assert!((length(p.point) - 80.0).abs() < 2e-5, "{seen:?} {}", length(p.point));
            // Outward, and towards the eye.
            assert!((0..3).all(|k| (p.normal[k] - p.point[k] / 80.0).abs() < 1e-4), "{seen:?} {p:?}");
            assert!((0..3).map(|k| p.normal[k] * seen.sight()[k]).sum::<f64>() < 0.0);
            assert!((length(p.moved_in(1.5)) - 78.5).abs() < 1e-3);
        }
    }
}

/// On a cylinder the edge of a drilled hole is known; no chord may miss it by more than the tolerance.
#[test]
fn chords_keep_to_the_edge() {
    let form = cylinder(60.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    for tolerance in [0.5, 0.1, 0.01] {
        let hole =
            Hole::cut(&target, 0, &opening(Seen::Starboard, circle([150.0, 20.0], 35.0)), false, tolerance).unwrap();
        let run = hole.whole().unwrap();
        let round = hole.curve.pieces() as f64;
        for (i, a) in run.places.iter().enumerate() {
            let b = run.places.get(i + 1).unwrap_or(&run.places[0]);
            let to = if b.u > a.u { b.u } else { b.u + round };
            for k in 1..8 {
                let [x, z] = hole.curve.at(a.u + (to - a.u) * f64::from(k) / 8.0).p;
                let p = [x, (3600.0 - z * z).sqrt(), z];
                let (d, e): (Vector, Vector) = (
                    std::array::from_fn(|k| b.place.point[k] - a.place.point[k]),
                    std::array::from_fn(|k| p[k] - a.place.point[k]),
                );
                let t = (0..3).map(|k| d[k] * e[k]).sum::<f64>() / (0..3).map(|k| d[k] * d[k]).sum::<f64>();
                let off = length(std::array::from_fn(|k| e[k] - t * d[k]));
                assert!(off < 1.3 * tolerance, "{off} for {tolerance}");
            }
        }
        assert!(run.places.len() < 400);
    }
}

#[test]
fn a_crease_has_a_place_of_its_own_on_both_sides() {
    let form = bar(40.0);
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    // From above over the edge there is only the edge; ahead of the bar its flat front.
    let over = hole(&target, &opening(Seen::Above, circle([100.0, 35.0], 20.0)));
    assert_eq!(over.missed.len(), 1);
    assert_eq!(over.missed[0].why, Why::Beyond);
    let ends = [over.runs[0].places.first().unwrap(), over.runs[0].places.last().unwrap()];
    assert!(ends.iter().all(|p| (p.place.point[1] - 40.0).abs() < 1e-6 && (p.place.point[2] - 40.0).abs() < 1e-6));
    let round = cone(30.0, 80.0, 100.0);
    let lofted = self::lofted(&round);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let rim = hole(&target, &opening(Seen::Ahead, circle([35.0, 0.0], 15.0)));
    let on_rim = rim.places().filter(|p| p.point[0].abs() < 1e-6 && (p.point[1].hypot(p.point[2]) - 30.0).abs() < 1e-6);
    assert!(on_rim.count() >= 4, "two crossings, from both sides each");
}

/// The ring's plane is met where it cuts the form; what lies ahead of it is gone.
#[test]
fn the_ring_trims_what_is_met() {
    let form = cone(0.0, 100.0, 200.0);
    let lofted = lofted(&form);
    let lean = 4f64.to_radians();
    let trim = RingTrim { point: [80.0, 0.0, 0.0], normal: [-lean.cos(), lean.sin(), 0.0] };
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), Some(trim));
    let inside = target.meet(Seen::Ahead, [10.0, 5.0]).unwrap();
    assert!(trim.ahead(inside.point).abs() < 1e-9 && inside.normal == trim.normal);
    let beyond = target.meet(Seen::Ahead, [60.0, 0.0]).unwrap();
    assert!((beyond.point[0] - 120.0).abs() < 1e-6, "{beyond:?}");
    // From starboard the plane, which leans towards starboard, is met ahead of the form's edge there.
    let edge = 80.0 / (1.0 - 0.5 * lean.tan());
    assert!(target.meet(Seen::Starboard, [edge + 0.01, 0.0]).unwrap().spot().is_some());
    let face = target.meet(Seen::Starboard, [edge - 0.01, 0.0]).unwrap();
    assert!(face.spot().is_none() && trim.ahead(face.point).abs() < 1e-9);
    assert!(target.meet(Seen::Starboard, [60.0, 0.0]).is_none() && target.meet(Seen::Port, [70.0, 0.0]).is_none());
    assert!(target.holds([100.0, 20.0, 5.0]) && !target.holds([60.0, 5.0, 5.0]) && !target.holds([100.0, 60.0, 5.0]));
}

#[test]
fn the_mirror_image_is_the_same_hole_on_the_other_side() {
    let mut form = cone(20.0, 90.0, 150.0);
    for (seen, outline) in [
        (Seen::Ahead, kidney([45.0, 10.0], 18.0)),
        (Seen::Starboard, kidney([90.0, 10.0], 18.0)),
        (Seen::Below, kidney([90.0, 20.0], 18.0)),
    ] {
        let mut opening = opening(seen, outline);
        opening.mirrored = true;
        form.openings.push(Arc::new(opening));
    }
    let lofted = lofted(&form);
    let target = Target::new(lofted.skin.as_ref().unwrap().loft(), None);
    let all: Vec<Hole> = holes(&target, &form, 0.1).into_iter().map(Result::unwrap).collect();
    assert_eq!(all.iter().map(|h| (h.opening, h.mirrored)).collect::<Vec<_>>().len(), 6);
    for pair in all.chunks(2) {
        let [own, image] = pair else { panic!("pairs") };
        assert!(!own.mirrored && image.mirrored && own.opening == image.opening);
        let (a, b) = (own.areas(&target), image.areas(&target));
        close(a.surface, b.surface, 1e-6, "mirror image");
        for p in image.places() {
            let [x, y, z] = p.point;
            let near = own
                .places()
                .map(|q| length([q.point[0] - x, q.point[1] + y, q.point[2] - z]))
                .fold(f64::INFINITY, f64::min);
            assert!(near < 6.0, "{near}");
        }
    }
}
