//! Blocks of foam as drawn, against the ledger and what the finished form leaves room for.

use super::Plugged;
use super::flat::{Point, bounds, size};
use super::paper::Part;
use crate::folder::number;
use serde_json::Value;
use std::collections::BTreeSet;

/// Chords of the outline and the paper's rounding, mm.
const CLOSE: f64 = 0.05;

pub(crate) fn check(plug: &Plugged) {
    let said = plug.stack["blocks"].as_array().unwrap();
    let name = |b: &Value| b["name"].as_str().unwrap().to_owned();
    let is_starboard = |n: &String| n.trim_start_matches("nose ").trim_start_matches(char::is_numeric).starts_with('S');
    let planned: BTreeSet<String> = said.iter().map(name).filter(is_starboard).collect();
    let drawn: BTreeSet<String> = plug.set.blocks.keys().cloned().collect();
    assert_eq!(drawn, planned, "blocks on paper");
    assert_eq!(said.len(), 2 * planned.len(), "each with its twin");
    for block in said.iter().filter(|b| drawn.contains(&name(b))) {
        one(plug, &plug.set.blocks[&name(block)], block);
    }
}

/// The block holds both of its faces, with the allowance outside of them, and they are no larger than the form less its coat.
fn one(plug: &Plugged, part: &Part, said: &Value) {
    let name = &said["name"];
    let whole = bounds(&part.contours);
    let [w, h] = size(whole);
    let planned = [number(&said["size_mm"][0]), number(&said["size_mm"][1])];
    assert!((w - planned[0]).abs() < 0.01 && (h - planned[1]).abs() < 0.01, "{name}: {w} by {h}, not {planned:?}");
    let faces: Vec<(Point, Point)> = part.marks.iter().filter(|m| is_face(m)).map(|m| bounds([&m.points])).collect();
    assert!(!faces.is_empty(), "{name} shows no face");
    for (low, high) in &faces {
        let room = [low[0] - whole.0[0], whole.1[0] - high[0], low[1] - whole.0[1], whole.1[1] - high[1]];
        assert!(room.iter().all(|r| *r > -CLOSE), "{name}: a face stands out of its block: {room:?}");
        // Looking aft starboard lies at the left.
        assert!(room[0] > plug.wanted.allowance - CLOSE, "{name}: {} mm to sand outside", room[0]);
    }
    let sections = ["front_mm", "rear_mm"].map(|face| bounds(&plug.section(number(&said[face]))));
    let [broad, high] = [0, 1].map(|k| sections.iter().map(|s| size(*s)[k]).fold(0.0, f64::max));
    let off = plug.wanted.taken_off();
    for face in &faces {
        let [w, h] = size(*face);
        assert!(w <= 0.5 * broad - off + CLOSE, "{name}: a face {w} mm broad in a form of {broad}, {off} off");
        assert!(h <= high - 2.0 * off + CLOSE, "{name}: a face {h} mm high in a form of {high}, {off} off");
    }
}

/// A face is a closed line of many points.
fn is_face(mark: &super::paper::Mark) -> bool {
    mark.points.len() > 4 && mark.dashes.len() == 2 && mark.points.first() == mark.points.last()
}
