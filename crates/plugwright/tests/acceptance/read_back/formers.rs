//! Each former as drawn: inside the plug and up to its surface, its holes where they were asked for.

use super::Plugged;
use super::bodies::Printed;
use super::flat::{Point, bounds, distance, holds, outer, size};
use super::set::Card;
use crate::folder::{number, points};
use serde_json::Value;

/// Chords of the outline, of the mesh, and the paper's rounding, mm.
const CLOSE: f64 = 0.05;

pub(crate) fn check(plug: &Plugged) {
    for said in plug.stack["formers"].as_array().unwrap() {
        let n = said["number"].as_u64().unwrap() as usize;
        let card = plug.set.formers.get(&n).unwrap_or_else(|| panic!("former {n} is not on paper"));
        as_planned(n, card, said);
        lies_inside(plug, n, card, said);
        reaches_the_surface(plug, n, card, said);
        dowels(plug, n, card, said);
        shaft(plug, n, card, said);
    }
    assert_eq!(plug.set.formers.len(), plug.stack["formers"].as_array().unwrap().len(), "formers on paper");
}

/// As broad and as high as the plan says, piece by piece.
fn as_planned(n: usize, card: &Card, said: &Value) {
    let pieces = said["pieces_mm"].as_array().unwrap();
    let drawn = outer(&card.contours);
    assert_eq!(drawn.len(), pieces.len(), "former {n}: pieces");
    for piece in pieces {
        let planned = points(piece);
        let off = |c: &&Vec<Point>| {
            let (low, high) = bounds([*c]);
            (0..2).map(|k| (low[k] - planned[0][k]).abs().max((high[k] - planned[1][k]).abs())).fold(0.0, f64::max)
        };
        let nearest = drawn.iter().map(off).fold(f64::INFINITY, f64::min);
        let there: Vec<_> = drawn.iter().map(|c| bounds([*c])).collect();
        assert!(nearest < 0.01, "former {n}: {planned:?} is {nearest} mm off what is drawn: {there:?}");
    }
    let halves = said["in_halves"].as_bool().unwrap();
    assert_eq!(halves, drawn.len() == 2, "former {n}: {} pieces", drawn.len());
}

/// The faces whose outline is printed, or counts with it.
fn faces(plug: &Plugged, said: &Value) -> Vec<f64> {
    let (front, rear) = (number(&said["front_mm"]), number(&said["rear_mm"]));
    match plug.wanted.outline {
        Printed::Smaller => vec![front, rear],
        Printed::Front => vec![front],
        Printed::Rear => vec![rear],
    }
}

/// A ball as large as coat and inset finds room in the finished form around every corner of the former.
fn lies_inside(plug: &Plugged, n: usize, card: &Card, said: &Value) {
    let off = plug.wanted.taken_off() + plug.wanted.inset;
    for x in faces(plug, said) {
        let section = plug.section(x);
        for p in outer(&card.contours).into_iter().flatten() {
            let away = plug.skin.distance([x, p[0], p[1]], off + 1.0);
            assert!(away > off - CLOSE, "former {n} at {p:?}: {away} mm inside the finished form at {x}, not {off}");
            let inside = holds(&section, *p) || distance(&section, *p) < CLOSE;
            assert!(inside, "former {n} at {p:?} stands out of the finished form at {x}");
        }
    }
}

/// What bounds a former is the plug's surface less the inset, or a slot, or the gap between halves, or the shaft's hole.
fn reaches_the_surface(plug: &Plugged, n: usize, card: &Card, said: &Value) {
    let off = plug.wanted.taken_off() + plug.wanted.inset;
    let faces = faces(plug, said);
    // Past a flat end there is no skin to measure to.
    if faces.iter().any(|x| (x - plug.skin.ends.0).abs().min((x - plug.skin.ends.1).abs()) < 2.0 * off + 1.0) {
        return;
    }
    let side = 0.5 * plug.wanted.slot() + 0.01;
    let bar = number_of(&plug.stack["breadth_template_mm"]);
    let shaft = said["shaft"].as_array().map(|s| [number(&s[0]), number(&s[1])]);
    for p in outer(&card.contours).into_iter().flatten() {
        let in_slot = p[0].abs() <= side || bar.is_some_and(|z| (p[1] - z).abs() <= side);
        let at_shaft = shaft.is_some_and(|s| (p[0] - s[0]).hypot(p[1] - s[1]) < plug.shaft_radius() + 0.2);
        if in_slot || at_shaft {
            continue;
        }
        let away = faces.iter().map(|&x| plug.skin.distance([x, p[0], p[1]], off + 5.0)).fold(f64::INFINITY, f64::min);
        assert!(away < off + CLOSE, "former {n} at {p:?}: {away} mm inside the finished form, more than {off}");
    }
}

fn number_of(value: &Value) -> Option<f64> {
    value.as_f64()
}

/// The centre and the diameter of what is round.
fn round(contour: &[Point]) -> Option<(Point, f64)> {
    let (low, high) = bounds([&contour.to_vec()]);
    let [w, h] = size((low, high));
    let centre = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
    let radii = || contour.iter().map(|p| (p[0] - centre[0]).hypot(p[1] - centre[1]));
    let even = radii().fold(0.0, f64::max) - radii().fold(f64::INFINITY, f64::min) < 0.02;
    ((w - h).abs() < 0.02 && even).then_some((centre, w))
}

/// Dowel holes lie at one place on all formers that have them, on both sides.
fn dowels(plug: &Plugged, n: usize, card: &Card, said: &Value) {
    let [y, z] = plug.wanted.dowel;
    let there = |side: f64| {
        card.contours.iter().filter_map(|c| round(c)).any(|(centre, diameter)| {
            (diameter - plug.wanted.dowel_diameter).abs() < 0.02 && (centre[0] - side * y).hypot(centre[1] - z) < 0.02
        })
    };
    let planned = !said["dowels"].as_array().unwrap().is_empty();
    assert_eq!([there(1.0), there(-1.0)], [planned; 2], "former {n}: dowel holes at ±{y}, {z}");
}

/// No card where the shaft passes; it passes where the thrust line says.
fn shaft(plug: &Plugged, n: usize, card: &Card, said: &Value) {
    let middle = 0.5 * (number(&said["front_mm"]) + number(&said["rear_mm"]));
    let Some(at) = plug.wanted.shaft_at(middle, plug.body.length) else { return };
    let radius = plug.shaft_radius();
    for k in 0..12 {
        let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 12.0).sin_cos();
        let p = [at[0] + (radius - 0.05) * cos, at[1] + (radius - 0.05) * sin];
        assert!(!holds(&card.contours, p), "former {n} has card at {p:?}, in the way of the shaft");
    }
}
