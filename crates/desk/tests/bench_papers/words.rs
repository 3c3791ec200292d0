//! Words and marks on the parts: what every former must say is there, and no words lie on a cut line or on other words.

use super::{lofted, with_stack};
use desk::output::parts;
use project::airframe::{Airframe, KeepOut, KeepOutPlace, Ring, Solid, Spinner, ThrustLine};
use project::document::Document;
use sheets::{Item, Part, Path, Purpose, Rect, Text};
use std::sync::Arc;

/// Boxes of words may share this much: the box of a line is taller than its letters, mm.
const SHARED: f64 = 0.05;

fn texts(part: &Part) -> Vec<&Text> {
    part.drawing.items.iter().filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None }).collect()
}

fn cut(item: &Item) -> Option<&Path> {
    match item {
        Item::Path(p) if p.stroke.as_ref().is_some_and(|s| s.purpose == Purpose::Cut) => Some(p),
        _ => None,
    }
}

/// Whether a chord has a place inside a box: it is walked in steps finer than letters are.
fn enters(a: [f64; 2], b: [f64; 2], r: &Rect) -> bool {
    let steps = ((b[0] - a[0]).hypot(b[1] - a[1]) / 0.1).ceil().max(1.0) as usize;
    let inside = |p: [f64; 2]| (0..2).all(|k| p[k] > r.min[k] && p[k] < r.max[k]);
    (0..=steps).any(|i| {
        let share = i as f64 / steps as f64;
        inside([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])])
    })
}

fn check(part: &Part) {
    let texts = texts(part);
    let boxes: Vec<Rect> = texts.iter().map(|t| t.bounds()).collect();
    for i in 0..boxes.len() {
        for j in 0..i {
            let apart = !boxes[i].overlaps(&boxes[j], SHARED);
            assert!(apart, "{}: \"{}\" lies on \"{}\"", part.title, texts[i].text, texts[j].text);
        }
    }
    for path in part.drawing.items.iter().filter_map(cut) {
        let points: Vec<[f64; 2]> = path.points().collect();
        for (k, a) in points.iter().enumerate() {
            let b = points[(k + 1) % points.len()];
            for (text, bounds) in texts.iter().zip(&boxes) {
                assert!(!enters(*a, b, bounds), "{}: \"{}\" lies on a cut line", part.title, text.text);
            }
        }
    }
}

fn says(part: &Part, word: &str) -> bool {
    texts(part).iter().any(|t| t.text.contains(word))
}

/// A slender form with a thrust line, a motor and a breadth template: its foremost formers are small.
fn small(half_breadth: f64, high: f64) -> Document {
    let mut document = with_stack(160.0, half_breadth, high, 5);
    let thrust = ThrustLine {
        firewall: 120.0,
        hub_distance: 122.0,
        hub_height: 2.0,
        down_thrust_deg: 2.0,
        side_thrust_deg: 2.0,
        spinner: Spinner { diameter: 20.0, gap: 1.5 },
        ring: Ring { thickness: 2.0, step: 0.0, square_to_thrust: true },
    };
    let motor = KeepOut {
        name: "Motor".into(),
        shape: Solid::Cylinder { diameter: 12.0, length: 60.0 },
        place: KeepOutPlace::OnThrustLine { behind_hub: 30.0 },
        clearance: 2.0,
    };
    document.airframe = Arc::new(Airframe { thrust: Some(thrust), keep_outs: vec![motor], ..Airframe::default() });
    let formers = &mut Arc::make_mut(&mut document.build).formers;
    (formers.shaft_hole, formers.breadth_template, formers.dowels) = (5.0, Some(0.0), vec![[9.0, 6.0]]);
    document
}

#[test]
fn no_words_lie_on_cuts_or_on_other_words() {
    let mut documents = vec![desk::demo::document().unwrap()];
    documents.extend([(25.0, 30.0), (40.0, 35.0), (18.0, 24.0), (70.0, 90.0)].map(|(b, h)| small(b, h)));
    for document in &documents {
        for part in parts(document, &lofted(document)).unwrap() {
            check(&part);
        }
    }
}

#[test]
fn every_former_says_what_it_is_and_how_it_stands() {
    for document in [desk::demo::document().unwrap(), small(25.0, 30.0)] {
        let parts = parts(&document, &lofted(&document)).unwrap();
        let formers: Vec<&Part> = parts.iter().filter(|p| p.id.contains("former-")).collect();
        assert!(!formers.is_empty());
        for part in &formers {
            for word in [part.title.as_str(), "front face at", "this is the front face", "STARBOARD", "PORT"] {
                assert!(says(part, word), "{} does not say {word}", part.title);
            }
            assert!(says(part, "UP") || says(part, "upper edge up"), "{}", part.title);
        }
        for name in ["datum waterline", "breadth", "thrust line", "Motor"] {
            assert!(formers.iter().any(|p| says(p, name)), "no former names {name}");
        }
    }
}

/// Screws stand on the rearmost former, keep-outs only on the formers that they pass.
#[test]
fn screws_and_keep_outs_stand_where_they_are() {
    let document = desk::demo::document().unwrap();
    let parts = parts(&document, &lofted(&document)).unwrap();
    let with = |word: &str| -> Vec<&str> {
        parts.iter().filter(|p| p.id.contains("former-") && says(p, word)).map(|p| p.id.as_str()).collect()
    };
    assert_eq!(with("screw 6"), ["form-1-former-11"]);
    // The motor's front stands 30 mm behind the hub, its rear 95 mm: between stations 22 and 88 or so.
    assert!(
        with("Motor").contains(&"form-1-former-1") && with("Motor").contains(&"form-1-former-2"),
        "{:?}",
        with("Motor")
    );
}
