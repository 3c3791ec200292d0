//! Corners that run along the body, ridges, and forms whose ends are points or edges, all by way of tables of offsets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use desk::output::{form_from_offsets, offsets};
use geometry::loft::Loft;
use plugwright_tests::tables::{self, Station};
use std::f64::consts::PI;

fn loft(stations: &[Station]) -> Loft {
    let document = form_from_offsets(&tables::text(stations), "body").unwrap();
    let lofted = form::loft(&document.forms[0]);
    assert!(lofted.findings.is_empty(), "{:?}", lofted.findings);
    lofted.skin.unwrap().loft().clone()
}

/// A box with a half-round top: radius r above, upright sides of height h, flat bottom; the corner at the bottom is a knuckle.
fn arch(x: f64, r: f64, h: f64, points: usize) -> Station {
    let mut out: Vec<[f64; 2]> = (0..points)
        .map(|i| {
            let a = 0.5 * PI * i as f64 / (points - 1) as f64;
            [if i == 0 { 0.0 } else { r * a.sin() }, r * a.cos()]
        })
        .collect();
    out.extend([[r, -h / 3.0], [r, -2.0 * h / 3.0], [r, -h], [r, -h], [r / 2.0, -h], [0.0, -h], [0.0, -h]]);
    (x, out)
}

#[test]
fn a_knuckle_stays_sharp_between_stations() {
    let stations: Vec<Station> = [(0.0, 20.0), (37.0, 26.0), (80.0, 33.0), (100.0, 36.0)]
        .into_iter()
        .enumerate()
        .map(|(i, (x, r))| arch(x, r, 30.0, 15 + 4 * i))
        .collect();
    let loft = loft(&stations);
    for x in [10.0, 55.0, 93.0] {
        let section = loft.section(x).unwrap();
        let knuckles = section.knuckles();
        assert_eq!(knuckles.len(), 1);
        let k = knuckles[0].1;
        assert!((k[1] + 30.0).abs() < 1e-6, "{k:?}");
        let outline = section.polyline(0.01);
        let i = outline.iter().position(|p| (p[0] - k[0]).abs() < 1e-9 && (p[1] - k[1]).abs() < 1e-9);
        let i = i.expect("the knuckle is in the outline");
        let way = |a: [f64; 2], b: [f64; 2]| (b[1] - a[1]).atan2(b[0] - a[0]).to_degrees();
        let turn = (way(outline[i - 1], outline[i]) - way(outline[i], outline[i + 1])).rem_euclid(360.0);
        assert!((turn - 90.0).abs() < 3.0, "turns by {turn}");
        // Area of the arch: π r² / 2 + 2 r h.
        let r = k[0];
        let want = PI * r * r / 2.0 + 2.0 * r * 30.0;
        assert!((section.area() / want - 1.0).abs() < 2e-3, "{} against {want}", section.area());
    }
}

#[test]
fn knuckles_come_back_doubled_and_close_the_circle() {
    let stations: Vec<Station> = (0..7).map(|i| arch(20.0 * f64::from(i), 20.0 + f64::from(i), 30.0, 15)).collect();
    let document = form_from_offsets(&tables::text(&stations), "arch").unwrap();
    let lofted = form::loft(&document.forms[0]);
    let table = offsets(&document.forms[0], &lofted).unwrap();
    let rows: Vec<&str> = table.lines().skip(1).collect();
    // The knuckle of each of the seven stations; the flat bottom meets the centre plane square, so the keel is not doubled.
    assert_eq!(rows.windows(2).filter(|w| w[0] == w[1]).count(), 7);
    let again = form_from_offsets(&table, "arch").unwrap();
    let (a, b) = (lofted.skin.unwrap(), form::loft(&again.forms[0]).skin.unwrap());
    let (a, b) = (a.loft().measures(1e-6).volume, b.loft().measures(1e-6).volume);
    assert!((b / a - 1.0).abs() < 1e-4, "{a} {b}");
}

#[test]
fn unequal_counts_of_knuckles_are_an_error_that_names_both_stations() {
    let mut stations: Vec<Station> = (0..4).map(|i| arch(20.0 * f64::from(i), 20.0, 30.0, 15)).collect();
    stations[2].1.remove(17);
    let error = form_from_offsets(&tables::text(&stations), "arch").unwrap_err().to_string();
    assert!(error.contains("40"), "{error}");
    assert!(error.contains("20") || error.contains("0"), "{error}");
}

#[test]
fn a_knuckle_that_is_the_widest_place_at_some_stations_only() {
    // A flared V with a hard corner: the corner is the widest place forward, the deck edge above it aft.
    let station = |x: f64, flare: f64| {
        let (y, top) = (30.0, 30.0 + flare);
        (
            x,
            vec![
                [0.0, 40.0],
                [top / 2.0, 39.0],
                [top, 30.0],
                [top, 30.0],
                [(top + y) / 2.0, 15.0],
                [y, 0.0],
                [y, 0.0],
                [15.0, -20.0],
                [0.0, -40.0],
                [0.0, -40.0],
            ],
        )
    };
    let stations: Vec<Station> =
        [0.0, 40.0, 80.0, 120.0].into_iter().map(|x| station(x, -8.0 + 16.0 * x / 120.0)).collect();
    let loft = loft(&stations);
    for x in [0.0, 20.0, 60.0, 100.0, 120.0] {
        let section = loft.section(x).unwrap();
        let outline = section.polyline(0.01);
        assert!(outline.iter().all(|p| p[0] > -1e-9));
        assert_eq!(section.knuckles().len(), 2, "at {x}");
        // The lower corner runs straight along at (30, 0), the upper one straight outward.
        let widest = 30.0_f64.max(30.0 - 8.0 + 16.0 * x / 120.0);
        assert!((section.half_breadth() - widest).abs() < 1e-3, "at {x}: {} against {widest}", section.half_breadth());
    }
}

#[test]
fn ends_without_breadth_or_height() {
    // A wedge: full section at 0, no height at 100 (a level edge): volume half of the prism's.
    let half = |h: f64| {
        vec![[0.0, h], [20.0, h], [40.0, h], [40.0, h], [40.0, 0.0], [40.0, -h], [40.0, -h], [20.0, -h], [0.0, -h]]
    };
    let wedge: Vec<Station> =
        vec![(0.0, half(30.0)), (50.0, half(15.0)), (100.0, vec![[0.0, 0.0], [40.0, 0.0], [0.0, 0.0]])];
    let loft = loft(&wedge);
    let m = loft.measures(1e-7);
    assert!((m.volume / (80.0 * 60.0 * 100.0 / 2.0) - 1.0).abs() < 1e-6, "{}", m.volume);
    let mesh = loft.mesh(0.05);
    assert_eq!(mesh.open_edges(), 0);
    assert!((mesh.volume() / m.volume - 1.0).abs() < 1e-6);
}

/// Distance of `p` from the flat face between two straight edges that start at the origin.
fn from_face(p: [f64; 3], edges: [[f64; 3]; 2]) -> f64 {
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let less = |a: [f64; 3], b: [f64; 3], k: f64| [0, 1, 2].map(|i| a[i] - k * b[i]);
    let from_edge = |e: [f64; 3]| dot(less(p, e, dot(p, e) / dot(e, e)), less(p, e, dot(p, e) / dot(e, e))).sqrt();
    let [e, f] = edges;
    let (ee, ef, ff, pe, pf) = (dot(e, e), dot(e, f), dot(f, f), dot(p, e), dot(p, f));
    let det = ee * ff - ef * ef;
    let (a, b) = ((pe * ff - pf * ef) / det, (pf * ee - pe * ef) / det);
    if a >= 0.0 && b >= 0.0 {
        let off = less(less(p, e, a), f, b);
        return dot(off, off).sqrt();
    }
    from_edge(e).min(from_edge(f))
}

/// A star-shaped pyramid: flat faces, straight edges that all meet in its apex, one of them hollow, and a hollow crown. Everywhere the
/// surface moved inward lies its thickness from the nearest place of the faces, about the hollow edges too (the definition of a parallel
/// surface; distances in closed form).
#[test]
fn about_a_hollow_edge_that_slopes_the_inset_keeps_its_distance() {
    let shape = [[0.0, 20.0], [30.0, 40.0], [22.0, 5.0], [45.0, -20.0], [0.0, -35.0]];
    let apex = -100.0;
    let at = |x: f64| -> Vec<[f64; 2]> {
        let k = (x - apex) / -apex;
        let doubled = shape.iter().flat_map(|p| [[p[0] * k, p[1] * k]; 2]);
        doubled.collect()
    };
    let loft = loft(&[(0.0, at(0.0)), (80.0, at(80.0))]);
    let edge = |p: [f64; 2]| [-apex, p[0], p[1]];
    for (x, t) in [(20.0, 2.0), (40.0, 3.5), (55.0, -2.0)] {
        let outline = loft.offset_section(x, t, 0.0005).outline;
        assert!(outline.len() > 12, "{outline:?}");
        for [y, z] in outline {
            let p = [x - apex, y, z];
            let faces = shape.windows(2).flat_map(|w| {
                let mirrored = w.iter().map(|q| [-q[0], q[1]]).collect::<Vec<_>>();
                [[edge(w[0]), edge(w[1])], [edge(mirrored[0]), edge(mirrored[1])]]
            });
            let nearest = faces.map(|f| from_face(p, f)).fold(f64::INFINITY, f64::min);
            assert!((nearest - t.abs()).abs() < 1e-6, "at {x}, {t}: {nearest} from ({y}, {z})");
        }
    }
}
