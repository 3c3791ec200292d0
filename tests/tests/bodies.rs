//! Whole bodies given as tables of offsets, 13 stations equal in x and 25 points from crown to keel, held against closed
//! forms and quadrature with mpmath (`vectors/loft.json`).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use desk::output::form_from_offsets;
use geometry::loft::Loft;
use plugwright_tests::tables::{self, Station, ellipsoid, hull, nose, nose_section, superellipse_area};
use plugwright_tests::vectors::{list, load, number};
use std::f64::consts::PI;

fn loft(stations: &[Station]) -> Loft {
    let document = form_from_offsets(&tables::text(stations), "body").unwrap();
    let lofted = form::loft(&document.forms[0]);
    assert!(lofted.findings.is_empty(), "{:?}", lofted.findings);
    lofted.skin.unwrap().loft().clone()
}

fn exact(body: &str) -> (f64, f64, f64) {
    let file = load("loft.json");
    let found = list(&file["bodies"]).iter().find(|b| b["body"] == body).unwrap().clone();
    let e = &found["exact"];
    (number(&e["volume"]), number(&e["lateral_area"]), number(&e["centroid"][0]))
}

fn assert_share(got: f64, want: f64, share: f64, what: &str) {
    let miss = got / want - 1.0;
    println!("{what}: {miss:+.2e}");
    assert!(miss.abs() <= share, "{what}: {got} against {want}, off by {miss:+.2e}, allowed {share:e}");
}

/// Areas midway between control sections; the two bays at the small end have `at_small_end`.
fn areas_between(loft: &Loft, xs: &[f64], area: impl Fn(f64) -> f64, small_end: [usize; 2], at_small_end: f64) {
    for (i, w) in xs.windows(2).enumerate() {
        for share in [0.25, 0.5, 0.75] {
            let x = w[0] + share * (w[1] - w[0]);
            let allowed = if small_end.contains(&i) { at_small_end } else { 1e-4 };
            assert_share(loft.section(x).unwrap().area(), area(x), allowed, &format!("area at {x:.2}"));
        }
    }
}

#[test]
fn ellipsoid_cut_at_both_ends() {
    let xs: Vec<f64> = (0..13).map(|i| -72.0 + 14.0 * f64::from(i)).collect();
    let loft = loft(&ellipsoid(xs.clone(), 25));
    let (volume, surface, centroid) = exact("ellipsoid");
    let m = loft.measures(1e-7);
    assert_share(m.volume, volume, 3e-5, "ellipsoid volume");
    assert_share(m.lateral_surface, surface, 1e-4, "ellipsoid surface");
    assert!((m.centroid[0] - centroid).abs() < 2e-3, "{}", m.centroid[0]);
    areas_between(&loft, &xs, |x| PI * 70.0 * 55.0 * (1.0 - x * x / 14400.0), [10, 11], 5e-3);
}

#[test]
fn whole_wigley_hull() {
    let loft = loft(&hull());
    let (volume, surface, _) = exact("wigley");
    let m = loft.measures(1e-7);
    assert_share(m.volume, volume, 5e-6, "hull volume");
    assert_share(m.lateral_surface, surface, 1e-4, "hull surface");
    // Wigley's closed forms: volume 4/9 L B T for each half, waterplane 2/3 L B.
    assert_share(volume, 2.0 * 4.0 / 9.0 * 1000.0 * 100.0 * 62.5, 1e-12, "the reference itself");
    let waterline = loft.cut(geometry::cuts::CutPlane::Waterline(0.0), 0.01);
    let half: f64 = waterline[0].windows(2).map(|w| 0.5 * (w[0][1] + w[1][1]) * (w[1][0] - w[0][0])).sum();
    assert_share(2.0 * half, 2.0 / 3.0 * 1000.0 * 100.0, 2e-4, "waterplane");
}

#[test]
fn nose_bowl() {
    let loft = loft(&nose());
    let (volume, surface, centroid) = exact("nosebowl");
    let m = loft.measures(1e-7);
    assert_share(m.volume, volume, 4e-5, "nose volume");
    assert_share(m.lateral_surface, surface, 1e-4, "nose surface");
    // The reference counts x forward from the joint.
    assert!((360.0 - m.centroid[0] - centroid).abs() < 5e-3, "{}", m.centroid[0]);
    let xs: Vec<f64> = (0..13).map(|i| 30.0 * f64::from(i)).collect();
    let area = |x: f64| {
        let (b, h, _, n) = nose_section(x);
        superellipse_area(b, h, n)
    };
    areas_between(&loft, &xs, area, [0, 1], 5e-4);
}

#[test]
fn whole_ellipsoid_with_both_points() {
    let loft = loft(&ellipsoid((0..13).map(|i| -120.0 + 20.0 * f64::from(i)), 25));
    let m = loft.measures(1e-7);
    // Closed form; a blunt point is followed by its upright pieces.
    assert_share(m.volume, 4.0 / 3.0 * PI * 120.0 * 70.0 * 55.0, 1e-4, "whole ellipsoid volume");
    assert!(m.centroid[0].abs() < 1e-9 && m.centroid[2].abs() < 1e-9);
}

#[test]
fn uneven_stations_and_uneven_counts_of_points() {
    let xs = [-72.0, -61.0, -40.0, -33.0, -12.0, 9.0, 21.0, 44.0, 58.0, 71.0, 83.0, 90.0, 96.0];
    let counts = [25, 31, 27, 41, 25, 33, 29, 26, 48, 25, 30, 37, 25];
    let stations: Vec<Station> = xs.iter().zip(counts).flat_map(|(&x, n)| ellipsoid([x], n)).collect();
    let loft = loft(&stations);
    let (volume, surface, _) = exact("ellipsoid");
    let m = loft.measures(1e-7);
    assert_share(m.volume, volume, 1e-4, "uneven volume");
    assert_share(m.lateral_surface, surface, 1e-4, "uneven surface");
}

#[test]
fn nose_series_of_revolution() {
    // Haack's bodies: volume / (π R² L) = 1/2 + 3 C / 16 (closed form, recomputed); R 40, L 160, 33 stations closer at the tip.
    for (c, share) in [(0.0, 0.5), (1.0 / 3.0, 0.5625), (2.0 / 3.0, 0.625)] {
        let radius = |x: f64| {
            let theta = (1.0 - 2.0 * x / 160.0).clamp(-1.0, 1.0).acos();
            let sum = (theta - (2.0 * theta).sin() / 2.0 + c * theta.sin().powi(3)) / PI;
            40.0 * sum.max(0.0).sqrt()
        };
        let stations: Vec<Station> = (0..=32)
            .map(|i| {
                let x = 160.0 * (f64::from(i) / 32.0).powi(2);
                (x, tables::superellipse(radius(x), radius(x), 0.0, 2.0, 25))
            })
            .collect();
        let m = loft(&stations).measures(1e-7);
        assert_share(m.volume, share * PI * 40.0 * 40.0 * 160.0, 1e-4, &format!("Haack C = {c:.3}"));
    }
}

#[test]
fn a_frustum_is_exact() {
    // r 30 and 50, height 100: V 513126.800 mm³, lateral surface 25630.4676 mm² (closed forms).
    let stations: Vec<Station> =
        [(0.0, 30.0), (100.0, 50.0)].into_iter().map(|(x, r)| (x, tables::superellipse(r, r, 0.0, 2.0, 97))).collect();
    let m = loft(&stations).measures(1e-7);
    assert_share(m.volume, 513_126.800, 1e-7, "frustum volume");
    assert_share(m.lateral_surface, 25_630.467_6, 1e-7, "frustum surface");
}

#[test]
fn the_curve_of_areas_and_its_slope() {
    let loft = loft(&ellipsoid((0..13).map(|i| -72.0 + 14.0 * f64::from(i)), 25));
    for a in loft.curve_of_areas(41) {
        let slope = -2.0 * PI * 70.0 * 55.0 * a.x / 14400.0;
        // The slope at an end is that of a spline's end.
        assert!((a.slope - slope).abs() < 2.0, "at {}: {} against {slope}", a.x, a.slope);
        let h = 1e-4;
        if let (Some(low), Some(high)) = (loft.section(a.x - h), loft.section(a.x + h)) {
            let difference = (high.area() - low.area()) / (high.x() - low.x());
            assert!(
                (a.slope - difference).abs() < 1e-3 * a.slope.abs().max(1.0),
                "at {}: {} {difference}",
                a.x,
                a.slope
            );
        }
    }
}

#[test]
fn a_section_that_is_given_comes_back_exactly() {
    let stations = nose();
    let loft = loft(&stations);
    for (x, points) in &stations {
        let outline = loft.section(*x).unwrap().polyline(1e-4);
        for p in points {
            let away = outline
                .windows(2)
                .map(|w| geometry::flatten::distance_to_chord(*p, w[0], w[1]))
                .fold(f64::INFINITY, f64::min);
            assert!(away < 2e-4, "station {x}: {p:?} is {away} mm off");
        }
    }
}

#[test]
fn the_mesh_is_closed_and_as_close_as_it_says() {
    for (name, stations) in [
        ("ellipsoid", ellipsoid((0..13).map(|i| -72.0 + 14.0 * f64::from(i)), 25)),
        ("points", ellipsoid((0..13).map(|i| -120.0 + 20.0 * f64::from(i)), 25)),
        ("hull", hull()),
        ("nose", nose()),
    ] {
        let loft = loft(&stations);
        let m = loft.measures(1e-7);
        for tolerance in [1.0, 0.1, 0.02] {
            let mesh = loft.mesh(tolerance);
            assert_eq!(mesh.open_edges(), 0, "{name}");
            let off = (mesh.volume() - m.volume).abs();
            println!("{name} at {tolerance}: {} triangles, off {off:.1}", mesh.triangles.len());
            assert!(mesh.volume() > 0.0 && off <= tolerance * m.lateral_surface, "{name} {tolerance}: off by {off}");
        }
    }
}
