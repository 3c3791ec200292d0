//! One section and its offsets: superellipse n = 2.6, a = 70, b = 55, against Gamma functions (mpmath), Steiner's formulae and
//! exact offset points (`vectors/section.json`).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use geometry::line::{Line, LineEnd, LinePoint, Pass};
use geometry::loft::{Lengthwise, Lines, Loft};
use geometry::shaped::{Shaped, ShapedArc, ShapedCurve, ShapedRole};
use plugwright_tests::vectors::{list, load, number};
use std::f64::consts::PI;

/// A straight body of one shape: half-axes a and b, all the same from 0 to 400 mm.
fn cylinder(a: f64, b: f64, arc: ShapedArc) -> Loft {
    let line = |value: f64| {
        let point = |x: f64| LinePoint { x, value, pass: Pass::Smooth };
        Line::new(&[point(0.0), point(400.0)], LineEnd::Free, LineEnd::Free).unwrap()
    };
    let lines = Lines { crown: line(b), keel: line(-b), breadth: line(a), breadth_height: line(0.0) };
    Loft::new(lines, &[quarters(arc).control_shape(200.0)], Lengthwise::Fair).unwrap()
}

fn quarters(arc: ShapedArc) -> ShapedCurve {
    ShapedCurve::new(&Shaped {
        points: &[[0.0, 1.0], [1.0, 0.0], [0.0, -1.0]],
        roles: &[ShapedRole::Smooth, ShapedRole::Breadth, ShapedRole::Smooth],
        arcs: &[arc; 2],
        crown_ridge: false,
        keel_ridge: false,
    })
    .unwrap()
}

fn assert_share(got: f64, want: f64, share: f64, what: &str) {
    assert!((got / want - 1.0).abs() <= share, "{what}: {got} against {want}");
}

#[test]
fn area_girth_and_moments_of_the_superellipse() {
    let file = load("section.json");
    let e = &file["exact"];
    let loft = cylinder(70.0, 55.0, ShapedArc::Superelliptic(2.6));
    let section = loft.section(123.0).unwrap();
    let m = section.measures();
    assert_share(m.area, number(&e["area"]), 1e-9, "area");
    assert_share(m.girth, number(&e["perimeter"]), 1e-9, "girth");
    assert_share(m.second_moment_zz, number(&e["I_about_y (int z^2 dA)"]), 1e-9, "second moment about y");
    assert_share(m.second_moment_yy, number(&e["I_about_z (int y^2 dA)"]), 1e-9, "second moment about z");
    assert!(m.centroid_z.abs() < 1e-9);
    assert!((section.half_breadth() - 70.0).abs() < 1e-9 && (section.top() - 55.0).abs() < 1e-9);
    assert!((section.bottom() + 55.0).abs() < 1e-9);
}

#[test]
fn offsets_of_the_superellipse() {
    let file = load("section.json");
    let loft = cylinder(70.0, 55.0, ShapedArc::Superelliptic(2.6));
    for case in list(&file["offsets"]) {
        let d = number(&case["d"]);
        let offset = loft.offset_section(200.0, -d, 0.0005);
        assert_eq!(offset.folded, Vec::<[f64; 2]>::new(), "offset {d}");
        let (area, girth) = polygon(&offset.outline);
        assert_share(area, number(&case["steiner"]["area"]), 3e-5, &format!("area of offset {d}"));
        assert_share(girth, number(&case["steiner"]["perimeter"]), 3e-5, &format!("girth of offset {d}"));
        for row in list(&case["points"]) {
            let (y, z) = (number(&row[5]), number(&row[6]));
            if y < 0.0 {
                continue;
            }
            let away = offset
                .outline
                .windows(2)
                .map(|w| geometry::flatten::distance_to_chord([y, z], w[0], w[1]))
                .fold(f64::INFINITY, f64::min);
            assert!(away < 0.002, "offset {d}: ({y}, {z}) is {away} mm off");
        }
    }
}

/// Area and girth of a whole section from the polyline of its half.
fn polygon(half: &[[f64; 2]]) -> (f64, f64) {
    let area: f64 = half.windows(2).map(|w| -(w[0][0] + w[1][0]) * (w[1][1] - w[0][1])).sum();
    let girth: f64 = half.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).sum();
    (area, 2.0 * girth)
}

#[test]
fn an_inset_ellipse_is_not_a_smaller_ellipse() {
    // Steiner's formulae for the ellipse 60 x 50 inset by 1.2 mm: area 9013.7545, girth 338.74974, where the ellipse 58.8 x 48.8
    // has 9014.6116 (closed forms).
    let loft = cylinder(60.0, 50.0, ShapedArc::Conic(2f64.sqrt() - 1.0));
    let (area, girth) = polygon(&loft.offset_section(200.0, 1.2, 0.0002).outline);
    assert!((area - 9013.7545).abs() < 0.05, "{area}");
    assert!((girth - 338.74974).abs() < 0.005, "{girth}");
    assert!((area - 9014.6116).abs() > 0.5);
}

#[test]
fn on_a_slope_the_section_shrinks_by_more_than_the_thickness() {
    // A cone sloping at 45 degrees: in the plane of the section the inset is t / cos 45° (closed form).
    let line = |sign: f64| {
        let point = |x: f64| LinePoint { x, value: sign * (20.0 + x), pass: Pass::Smooth };
        Line::new(&[point(0.0), point(100.0)], LineEnd::Free, LineEnd::Free).unwrap()
    };
    let zero = {
        let point = |x: f64| LinePoint { x, value: 0.0, pass: Pass::Smooth };
        Line::new(&[point(0.0), point(100.0)], LineEnd::Free, LineEnd::Free).unwrap()
    };
    let lines = Lines { crown: line(1.0), keel: line(-1.0), breadth: line(1.0), breadth_height: zero };
    let circle = quarters(ShapedArc::Conic(2f64.sqrt() - 1.0)).control_shape(50.0);
    let loft = Loft::new(lines, &[circle], Lengthwise::Fair).unwrap();
    for x in [0.0, 30.0, 100.0] {
        for p in loft.offset_section(x, 1.5, 0.001).outline {
            let want = 20.0 + x - 1.5 * 2f64.sqrt();
            assert!((p[0].hypot(p[1]) - want).abs() < 0.0015, "at {x}: {} against {want}", p[0].hypot(p[1]));
        }
    }
}

#[test]
fn the_inset_of_a_sphere_is_a_sphere() {
    // R 100, t 1.5: every station between 10 and 90 % of the length gives the sphere of R - t within 0.01 mm. Given as a table.
    let stations: Vec<(f64, Vec<[f64; 2]>)> = (0..=40)
        .map(|i| {
            let x = -100.0 * (PI * f64::from(i) / 40.0).cos();
            let r = (1e4 - x * x).max(0.0).sqrt();
            (x, plugwright_tests::tables::superellipse(r, r, 0.0, 2.0, 49))
        })
        .collect();
    let document = desk::output::form_from_offsets(&plugwright_tests::tables::text(&stations), "sphere").unwrap();
    let loft = form::loft(&document.forms[0]).skin.unwrap().loft().clone();
    for i in 0..=80 {
        let x = -80.0 + 2.0 * f64::from(i);
        let offset = loft.offset_section(x, 1.5, 0.001);
        assert!(offset.folded.is_empty());
        for p in &offset.outline {
            let r = (x * x + p[0] * p[0] + p[1] * p[1]).sqrt();
            assert!((r - 98.5).abs() < 0.01, "at {x}: {p:?} lies at {r}");
        }
    }
}

#[test]
fn a_thickness_above_the_local_radius_is_told_and_leaves_no_loop() {
    // A flat ellipse of half-axes 60 and 15: least radius 15² / 60 = 3.75 mm at the breadth.
    let loft = cylinder(60.0, 15.0, ShapedArc::Conic(2f64.sqrt() - 1.0));
    assert!(loft.offset_section(200.0, 3.5, 0.001).folded.is_empty());
    let offset = loft.offset_section(200.0, 8.0, 0.001);
    assert!(offset.folded.iter().any(|p| p[0] > 50.0), "{:?}", offset.folded);
    assert!(geometry::crossing::self_crossings(&offset.outline).is_empty());
    for p in &offset.outline {
        let exact = (0..=20_000)
            .map(|i| {
                let a = PI * f64::from(i) / 20_000.0;
                (60.0 * a.sin() - p[0]).hypot(15.0 * a.cos() - p[1])
            })
            .fold(f64::INFINITY, f64::min);
        assert!(exact > 8.0 - 0.01, "{p:?} lies only {exact} mm inside");
    }
}

#[test]
fn corners_under_offset() {
    // A diamond: knuckle at the breadth, ridges at crown and keel; all edges at 45 degrees. Inset by t, each edge moves by
    // t √2 along the axes and stays sharp; outset, each corner is closed by an arc of radius t.
    let line = |value: f64| {
        let point = |x: f64| LinePoint { x, value, pass: Pass::Smooth };
        Line::new(&[point(0.0), point(400.0)], LineEnd::Free, LineEnd::Free).unwrap()
    };
    let shape = ShapedCurve::new(&Shaped {
        points: &[[0.0, 1.0], [1.0, 0.0], [0.0, -1.0]],
        roles: &[ShapedRole::Smooth, ShapedRole::BreadthKnuckle(1), ShapedRole::Smooth],
        arcs: &[ShapedArc::Cubic; 2],
        crown_ridge: true,
        keel_ridge: true,
    })
    .unwrap();
    let lines = Lines { crown: line(40.0), keel: line(-40.0), breadth: line(40.0), breadth_height: line(0.0) };
    let loft = Loft::new(lines, &[shape.control_shape(200.0)], Lengthwise::Fair).unwrap();
    let inset = loft.offset_section(200.0, 2.0, 0.001).outline;
    let reach = 40.0 - 2.0 * 2f64.sqrt();
    let (area, _) = polygon(&inset);
    assert!((area - 2.0 * reach * reach).abs() < 1e-6, "{area}");
    assert!((inset[0][1] - reach).abs() < 1e-9 && inset[0][0].abs() < 1e-12, "{:?}", inset[0]);
    let outset = loft.offset_section(200.0, -2.0, 0.0005).outline;
    let (area, girth) = polygon(&outset);
    let side = 40.0 * 2f64.sqrt();
    // Steiner: A + P t + π t², P + 2 π t.
    assert!((area - (3200.0 + 4.0 * side * 2.0 + PI * 4.0)).abs() < 0.05, "{area}");
    assert!((girth - (4.0 * side + 2.0 * PI * 2.0)).abs() < 0.01, "{girth}");
}
