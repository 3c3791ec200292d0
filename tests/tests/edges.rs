//! Rounded edges of flat ends, against closed forms.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use form::loft;
use project::document::{Form, LineName, LinePoint, LinePointKind};
use project::starter::blank_form;
use std::f64::consts::PI;
use std::sync::Arc;

/// A round bar of radius 40 mm, 200 mm long.
fn bar(front: f64, rear: f64) -> Form {
    let mut form = blank_form(200.0, 80.0, 40.0, 40.0);
    for (name, value) in LineName::ALL.into_iter().zip([40.0, -40.0, 40.0, 0.0]) {
        let point = |x: f64| LinePoint { x, value, kind: LinePointKind::Smooth };
        Arc::make_mut(form.lines.get_mut(name)).points = vec![point(0.0), point(100.0), point(200.0)];
    }
    let circle = project::starter::two_conics(2f64.sqrt() - 1.0);
    for section in &mut form.sections {
        Arc::make_mut(section).shape = project::document::SectionShape::Shaped(circle.clone());
    }
    (form.front_edge_radius, form.rear_edge_radius) = (front, rear);
    form
}

#[test]
fn a_rounded_bar_by_pappus() {
    // Pappus: a quarter-round edge of radius r on a bar of radius R takes away a square ring less the ring of a quarter disc,
    // whose centroid lies 4 r / (3 π) outside the circle's centre line at R - r.
    let (big, r) = (40.0, 12.0);
    let square = PI * (big * big - (big - r) * (big - r)) * r;
    let quarter = 2.0 * PI * (PI * r * r / 4.0) * (big - r + 4.0 * r / (3.0 * PI));
    let gone = square - quarter;
    let skin = loft(&bar(r, 0.0)).skin.unwrap();
    let m = skin.loft().measures(1e-8);
    let want = PI * big * big * 200.0 - gone;
    assert!((m.volume / want - 1.0).abs() < 1e-7, "{} against {want}", m.volume);
    // Lateral surface: cylinder from r on, and the quarter torus: arc length π r / 2 at centroid R - r + 2 r / π (Pappus).
    let torus = 2.0 * PI * (PI * r / 2.0) * (big - r + 2.0 * r / PI);
    let want = 2.0 * PI * big * (200.0 - r) + torus;
    assert!((m.lateral_surface / want - 1.0).abs() < 1e-6, "{} against {want}", m.lateral_surface);
    let mesh = skin.loft().mesh(0.05);
    assert_eq!(mesh.open_edges(), 0);
    assert!((mesh.volume() / m.volume - 1.0).abs() < 2e-3);
}

#[test]
fn both_ends_and_no_room() {
    let lofted = loft(&bar(5.0, 8.0));
    assert!(lofted.findings.is_empty());
    let skin = lofted.skin.unwrap();
    let section = |x: f64| skin.loft().section(x).unwrap().half_breadth();
    assert!((section(0.0) - 35.0).abs() < 1e-9 && (section(200.0) - 32.0).abs() < 1e-9);
    assert!((section(5.0) - 40.0).abs() < 1e-9 && (section(192.0) - 40.0).abs() < 1e-9);
    let lofted = loft(&bar(60.0, 0.0));
    assert!(lofted.findings.iter().any(|f| f.what.contains("edge radius")), "{:?}", lofted.findings);
    assert!((lofted.skin.unwrap().loft().section(0.0).unwrap().half_breadth() - 40.0).abs() < 1e-9);
}

/// Chords that a half circle needs within 0.01 mm, and as many again: more would be a curve that is torn.
fn most_chords(radius: f64) -> usize {
    2 * (PI / (2.0 * (1.0 - 0.01 / radius).acos())).ceil() as usize + 8
}

#[test]
fn what_is_taken_off_a_rounded_edge_is_a_pipe_about_the_corner_and_a_smaller_torus() {
    // Ahead of the flat end the bar goes on level, R - r thick. Moved inward by t, that cylinder and the torus are joined by the
    // pipe of radius t about the corner between them, and the torus is one of the radius r - t.
    let (big, r, t) = (40.0, 12.0, 3.0);
    let skin = loft(&bar(r, r)).skin.unwrap();
    let neck = big - r;
    for x in [0.0, 1e-7, 0.02, 0.7, 1.9, 2.9, 2.9999, 3.1, 5.0, 11.0, 40.0] {
        let want = match x {
            x if x <= t => neck - f64::sqrt(t * t - x * x),
            x if x <= r => neck + f64::sqrt((r - t) * (r - t) - (r - x) * (r - x)),
            _ => big - t,
        };
        for x in [x, 200.0 - x] {
            let found = skin.loft().offset_section(x, t, 0.01);
            assert!(found.folded.is_empty() && found.outline.len() < most_chords(want), "{x}: {}", found.outline.len());
            for [y, z] in found.outline {
                assert!((y.hypot(z) - want).abs() < 1e-6, "{x}: {} against {want}", y.hypot(z));
            }
        }
    }
}

#[test]
fn at_a_blunt_end_nothing_is_left_until_what_is_taken_off_lies_behind() {
    let mut form = bar(0.0, 0.0);
    for name in [LineName::Crown, LineName::Keel, LineName::Breadth] {
        let line = Arc::make_mut(form.lines.get_mut(name));
        line.points.last_mut().unwrap().value = 0.0;
        line.rear = project::document::LineEnd::Upright;
    }
    let (skin, t) = (loft(&form).skin.unwrap(), 2.0);
    let radius = |x: f64| skin.loft().section(x).unwrap().half_breadth();
    // The profile near the end, by its own depth: x = 200 - 40 w².
    let profile: Vec<[f64; 2]> =
        (0..4000).map(|i| 200.0 - 40.0 * (f64::from(i) / 4000.0).powi(2)).map(|x| [x, radius(x)]).collect();
    for k in [0.0, 1e-7, 1e-3, 0.1, 0.5, 0.9, 0.99] {
        let found = skin.loft().offset_section(200.0 - k * t, t, 0.01);
        assert!(found.outline.is_empty() && found.folded.len() < 10, "{k}: {}", found.folded.len());
    }
    for k in [1.01, 1.1, 1.5, 2.0, 4.0] {
        let x = 200.0 - k * t;
        let found = skin.loft().offset_section(x, t, 0.01);
        assert!(found.outline.len() > 5 && found.outline.len() < most_chords(40.0), "{k}: {}", found.outline.len());
        for [y, z] in found.outline {
            let away = |p: &[f64; 2]| (p[0] - x).hypot(p[1] - y.hypot(z));
            let nearest = profile.iter().map(away).fold(f64::INFINITY, f64::min);
            assert!((nearest - t).abs() < 2e-3, "{k}: {nearest}");
        }
    }
}
