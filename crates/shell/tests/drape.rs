//! The net held against closed forms and an independent solution.
#![allow(clippy::unwrap_used)] // a test may stop at the first surprise

mod common;

use common::{Given, NoseBowl, POLE, Sphere, area, cone, cylinder, ring};
use form::space::{length, sub};
use proptest::prelude::*;
use serde_json::Value;
use shell::drape::{Net, Start, Surface};
use std::f64::consts::{FRAC_PI_2, PI};

fn vectors() -> Value {
    serde_json::from_str(include_str!("vectors/drape.json")).unwrap()
}

fn rows(value: &Value) -> Vec<Vec<f64>> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect())
        .collect()
}

fn draped(surface: &impl Surface, at: [f64; 2], warp: [f64; 3], cell: f64) -> Net {
    let net = Net::drape(surface, &Start { at, warp }, cell).unwrap();
    assert!(net.worst_link() < 1e-9, "a link is off by {} mm", net.worst_link());
    net
}

/// Shear of a sphere's net as a function of s = u v / R², degrees: s f'' + f' = cos f, f(0) = 0, by its power series' first term and
/// then the classical Runge-Kutta rule (net angle w with w_uv = -K sin w: C. Mack and H. M. Taylor 1956).
fn sphere_shear(s: f64) -> f64 {
    let (mut at, steps) = (1e-4_f64, 4000);
    let (mut f, mut slope) = (at, 1.0);
    let h = (s - at) / f64::from(steps);
    let rate = |at: f64, f: f64, slope: f64| (f.cos() - slope) / at;
    for _ in 0..steps {
        let (k1, m1) = (slope, rate(at, f, slope));
        let (k2, m2) = (slope + 0.5 * h * m1, rate(at + 0.5 * h, f + 0.5 * h * k1, slope + 0.5 * h * m1));
        let (k3, m3) = (slope + 0.5 * h * m2, rate(at + 0.5 * h, f + 0.5 * h * k2, slope + 0.5 * h * m2));
        let (k4, m4) = (slope + h * m3, rate(at + h, f + h * k3, slope + h * m3));
        f += h * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0;
        slope += h * (m1 + 2.0 * m2 + 2.0 * m3 + m4) / 6.0;
        at += h;
    }
    f.to_degrees()
}

#[test]
fn the_reference_for_the_sphere_gives_the_published_table() {
    let vectors = vectors();
    for row in rows(&vectors["hemisphere"]["table[s,shear_deg]"]).iter().skip(1) {
        assert!((sphere_shear(row[0]) - row[1]).abs() < 1e-4, "s = {}", row[0]);
    }
    // phi at s = 0.1, 0.25, 0.5, 1 by the series and by an independent solution.
    for (s, shear) in [(0.1, 5.7264), (0.25, 14.2744), (0.5, 28.2568), (1.0, 54.3183)] {
        assert!((sphere_shear(s) - shear).abs() < 1e-4);
    }
}

#[test]
fn a_sphere_shears_as_its_closed_form_says_and_better_with_smaller_cells() {
    let mut before = f64::INFINITY;
    for cell in [5.0, 2.5, 1.25] {
        let net = draped(&Sphere { radius: 100.0, to: FRAC_PI_2, over: 20.0 }, POLE, [1.0, 0.0, 0.0], cell);
        let exact = |[i, j]: [i32; 2]| {
            let s = (f64::from(i) + 0.5) * (f64::from(j) + 0.5) * cell * cell / 1e4;
            s.signum() * sphere_shear(s.abs())
        };
        let cells: Vec<_> = net.cells().filter(|c| c.on_part == 1.0).collect();
        assert!(cells.len() as f64 > 60_000.0 / (cell * cell));
        let worst = cells.iter().map(|c| (c.shear_deg - exact(c.number)).abs()).fold(0.0, f64::max);
        assert!(worst < 0.1 && worst < 0.5 * before, "cell {cell}: {worst} degrees off");
        before = worst;
    }
}

#[test]
fn the_diagonal_of_a_sphere_reaches_each_shear_where_the_closed_form_says() {
    let cell = 0.5;
    let net = draped(&Sphere { radius: 100.0, to: FRAC_PI_2, over: 10.0 }, POLE, [1.0, 0.0, 0.0], cell);
    let polar = |p: [f64; 3]| (p[2] / length(p)).acos().to_degrees();
    let mut diagonal: Vec<(f64, f64)> = net
        .cells()
        .filter(|c| c.number[0] == c.number[1] && c.number[0] >= 0)
        .map(|c| (polar(c.middle), c.shear_deg))
        .collect();
    diagonal.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at = |angle: f64| {
        let k = diagonal.partition_point(|d| d.0 < angle);
        let (a, b) = (diagonal[k - 1], diagonal[k]);
        a.1 + (b.1 - a.1) * (angle - a.0) / (b.0 - a.0)
    };
    // Polar angles at which the net on a sphere reaches these shears; the last is the equator.
    for (angle, shear) in [(63.86, 30.0), (75.85, 40.0), (81.61, 45.0), (87.28, 50.0), (90.0, 52.425)] {
        assert!((at(angle) - shear).abs() < 0.1, "{} at {angle}", at(angle));
    }
}

#[test]
fn cylinder_and_cone_do_not_shear() {
    for angle in [0.0, 0.3, 0.8, 1.4_f64] {
        let warp = [angle.cos(), angle.sin(), 0.0];
        // The links are chords, so that a cell on a bent yarn is not quite flat: it shears by less than the square of cell by radius.
        let net = draped(&cylinder(60.0, 300.0), [140.0, 0.2], warp, 5.0);
        let worst = net.cells().map(|c| c.shear_deg.abs()).fold(0.0, f64::max);
        assert!(net.cells().count() > 4000 && worst < 1e-3, "cylinder: {worst} degrees");
        let net = draped(&cone(0.35, 120.0, 320.0), [220.0, 0.1], warp, 2.5);
        let worst = net.cells().filter(|c| c.of_cloth > 0.0).map(|c| c.shear_deg.abs()).fold(0.0, f64::max);
        assert!(net.cells().count() > 10_000 && worst < 0.1, "cone: {worst} degrees");
    }
}

#[test]
fn the_nose_bowl_is_the_independent_solution_node_by_node() {
    let vectors = vectors();
    let given = &vectors["nosebowl"];
    let number = |key: &str| given[key].as_f64().unwrap();
    let bowl = NoseBowl {
        length: number("L"),
        breadth: [number("Ba"), number("Bf")],
        height: [number("Ha"), number("Hf")],
        drop: number("drop"),
        exponent: [number("na"), number("nf")],
    };
    let surface = Given {
        place: |at| bowl.place(at),
        inside: |[x, a], _| (x + 12.0).min(372.0 - x).min(80.0 * (PI - f64::abs(a))),
        over: 0.0,
    };
    let net = draped(&surface, [number("start_x"), 0.0], [1.0, 0.0, 0.0], number("cell"));
    let mut compared = 0;
    for row in rows(&given["axis_lay_mid"]["net_half[i,j,x,y,z]"]) {
        // Their second yarn runs to port, to the right of the first here.
        let node =
            [1, -1].iter().find_map(|side| net.node([row[0] as i32, side * row[1] as i32]).filter(|n| n.p[1] >= -1e-9));
        let Some(node) = node else { continue };
        compared += 1;
        let off = length(sub(node.p, [row[2], row[3], row[4]]));
        assert!(off < 1e-6, "node ({}, {}) is {off} mm off", row[0], row[1]);
    }
    assert!(compared > 250, "only {compared} nodes compared");
}

#[test]
fn covered_area_goes_to_the_area_of_the_surface() {
    let mut off = Vec::new();
    for cell in [8.0, 4.0, 2.0] {
        let net = draped(&Sphere { radius: 100.0, to: 1.1, over: 30.0 }, POLE, [0.6, 0.8, 0.0], cell);
        let exact = 2.0 * PI * 1e4 * (1.0 - 1.1_f64.cos());
        off.push((net.covered_area() / exact - 1.0).abs());
    }
    assert!(off[0] < 0.01 && off[2] < 5e-4, "{off:?}");
    let ring = ring(90.0, 40.0, 1.2);
    let net = draped(&ring, [0.0, 0.0], [1.0, 1.0, 0.0], 1.5);
    let exact = area(&ring, [-1.0, 1.0], [-1.2, 1.2], 400);
    assert!((net.covered_area() / exact - 1.0).abs() < 2e-3, "{} against {exact}", net.covered_area());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Gauss and Bonnet: between two geodesic starting yarns that cross at a right angle and a node, shear is the integral of
    /// the Gaussian curvature, here cos b / (r (R + r cos b)) of a ring, over the patch of net.
    #[test]
    fn shear_is_the_integral_of_curvature(angle in 0.0..1.5_f64, tilt in -0.5..0.5_f64, radius in 60.0..120.0_f64, section in 25.0..50.0_f64) {
        let cell = 0.5;
        let ring = ring(radius, section, 2.0);
        let net = draped(&ring, [0.05, tilt], [angle.cos(), angle.sin(), 0.0], cell);
        let curvature = |p: [f64; 3]| {
            let out = p[1].hypot(p[2]) - radius;
            let cos = out / section;
            cos / (section * (radius + section * cos))
        };
        let mut sum = 0.0;
        let n = 40;
        for i in 0..n {
            for j in 0..n {
                let cell_of = net.corners([i, j]).unwrap().map(|c| c.p);
                let middle = [0, 1, 2].map(|k| 0.25 * cell_of.iter().map(|p| p[k]).sum::<f64>());
                let (d, e) = (sub(cell_of[2], cell_of[0]), sub(cell_of[3], cell_of[1]));
                sum += curvature(middle) * 0.5 * length(form::space::cross(d, e));
            }
        }
        // Shear at the corner node, as the mean over the four cells around it.
        let shear = |i: i32, j: i32| net.cells().find(|c| c.number == [i, j]).unwrap().shear_deg;
        let at_node = 0.25 * (shear(n - 1, n - 1) + shear(n, n - 1) + shear(n - 1, n) + shear(n, n));
        prop_assert!((at_node - sum.to_degrees()).abs() < 0.02 + 0.003 * at_node.abs(), "{} against {}", at_node, sum.to_degrees());
    }
}
