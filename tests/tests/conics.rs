//! Conic arcs against closed forms: Liming's conics as told by Raymer, *Aircraft Design: A Conceptual Approach*, ch. 7, and
//! Piegl & Tiller, *The NURBS Book*, ch. 7; the figures were recomputed in closed form and numerically.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)] // tests may stop at the first surprise

use geometry::arc::Arc;
use geometry::chain::Chain;
use geometry::conic::ConicArc;
use geometry::superellipse::SuperellipticArc;
use std::f64::consts::PI;

const A: [f64; 2] = [0.0, 50.0];
const C: [f64; 2] = [60.0, 50.0];
const B: [f64; 2] = [60.0, 0.0];

fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} against {want}");
}

#[test]
fn the_worked_example_at_rho_0_6() {
    let conic = ConicArc::new(A, C, B, 0.6);
    near(conic.w, 1.5, 1e-15);
    near(conic.shoulder()[0], 48.0, 1e-12);
    near(conic.shoulder()[1], 40.0, 1e-12);
    let points = [
        (0.1, 15.41284, 49.54128),
        (0.25, 31.57895, 47.36842),
        (0.5, 48.0, 40.0),
        (0.75, 56.84211, 26.31579),
        (0.9, 59.44954, 12.84404),
    ];
    for (t, x, y) in points {
        let p = conic.jet(t).p;
        near(p[0], x, 5e-6);
        near(p[1], y, 5e-6);
        // The integer implicit form of the same conic.
        let implicit = p[0] * p[0] - 8.4 * p[0] * p[1] + 1.44 * p[1] * p[1] + 420.0 * p[0] + 504.0 * p[1] - 28800.0;
        near(implicit, 0.0, 1e-9);
        near(conic.implicit(p) / 27000.0, 0.0, 1e-9);
    }
    // Pascal's construction: any line through C cuts AS at m and BS at n; An and Bm cross on the conic.
    near(conic.implicit([16.101_265_822_784_8, 49.493_670_886_075_9]) / 27000.0, 0.0, 1e-9);
    let (at_a, at_b) = conic.end_radii();
    near(at_a, 324.0, 1e-9);
    near(at_b, 187.5, 1e-9);
}

#[test]
fn fullness_decides_area_length_and_radii() {
    // rho, quarter area on the side of C's opposite corner, arc length, radii at A and B.
    let table = [
        (0.35, 2240.35882, 84.61754, 41.7515, 24.1617),
        (2f64.sqrt() - 1.0, PI * 60.0 * 50.0 / 4.0, 86.57239, 72.0, 41.6667),
        (0.5, 2500.0, 89.42239, 144.0, 83.3333),
        (0.6, 2650.52781, 93.04395, 324.0, 187.5),
        (0.75, 2836.93580, 98.98838, 1296.0, 750.0),
    ];
    for (rho, area, length, radius_a, radius_b) in table {
        let conic = ConicArc::new(A, C, B, rho);
        near(1500.0 + conic.area_over_chord(), area, 1e-5);
        near(Chain::new(vec![Arc::Conic(conic)]).length(), length, 1e-5);
        let radii = conic.end_radii();
        near(radii.0 / radius_a, 1.0, 2e-6);
        near(radii.1 / radius_b, 1.0, 2e-6);
    }
}

#[test]
fn a_right_angle_and_equal_legs_make_a_circle() {
    let conic = ConicArc::new([0.0, 1.0], [1.0, 1.0], [1.0, 0.0], 2f64.sqrt() - 1.0);
    for i in 0..=20 {
        let p = conic.jet(f64::from(i) / 20.0).p;
        near(p[0].hypot(p[1]), 1.0, 1e-15);
    }
}

#[test]
fn a_chain_is_run_through_by_length() {
    let chain = Chain::new(vec![Arc::Conic(ConicArc::new(A, C, B, 0.75))]);
    let length = chain.length();
    let mut before = chain.at(0.0, 0.0, length).p;
    let mut sum = 0.0;
    for i in 1..=20_000 {
        let p = chain.at(length * f64::from(i) / 20_000.0, 0.0, length).p;
        let step = (p[0] - before[0]).hypot(p[1] - before[1]);
        near(step, length / 20_000.0, 1e-6);
        sum += step;
        before = p;
    }
    near(sum, length, 1e-5);
}

#[test]
fn superelliptic_perimeters() {
    // |x/60|^n + |y/50|^n = 1; the ellipse by its exact elliptic integral, the others by quadrature with mpmath, 25 digits.
    let table = [
        (2.0, 346.289_559_79),
        (2.5, 360.633_812_090),
        (3.0, 371.442_075_247),
        (4.0, 386.321_152_851),
        (6.0, 402.705_297_134),
    ];
    for (n, perimeter) in table {
        let arc = SuperellipticArc::in_box(A, B, true, n);
        near(4.0 * Chain::new(vec![Arc::Superelliptic(arc)]).length(), perimeter, 1e-6);
    }
}

#[test]
fn a_superellipse_and_a_conic_share_the_shoulder() {
    // rho = 2 · 2^(-1/n) - 1 (closed form).
    for (n, rho) in [(2.0, 0.414_214), (2.5, 0.515_717), (3.0, 0.587_401), (4.0, 0.681_793)] {
        near(2.0 * 2f64.powf(-1.0 / n) - 1.0, rho, 1e-6);
        let (quarter, conic) =
            (SuperellipticArc::in_box(A, B, true, n), ConicArc::new(A, C, B, 2.0 * 2f64.powf(-1.0 / n) - 1.0));
        let p = conic.shoulder();
        near((p[0] / 60.0).powf(n) + (p[1] / 50.0).powf(n), 1.0, 1e-12);
        near(quarter.jet(0.5).p[0] / 60.0, quarter.jet(0.5).p[1] / 50.0, 1e-12);
    }
}
