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
