//! Tables of offsets of known bodies, as text, so that every test goes the way that a builder's table goes.

use std::f64::consts::PI;
use std::fmt::Write as _;

/// The first line of a table.
pub const HEADER: &str = "station_mm,half_breadth_mm,height_mm\n";

/// A station and its points from crown to keel.
pub type Station = (f64, Vec<[f64; 2]>);

/// The text of a table.
pub fn text(stations: &[Station]) -> String {
    let mut out = String::from(HEADER);
    for (x, points) in stations {
        for [y, z] in points {
            // Writing to a string does not fail.
            let _ = writeln!(out, "{x:.12},{y:.12},{z:.12}");
        }
    }
    out
}

/// `count` points of half a superellipse at equal eccentric angle, from crown to keel.
pub fn superellipse(half_breadth: f64, half_height: f64, centre: f64, exponent: f64, count: usize) -> Vec<[f64; 2]> {
    let power = |c: f64| c.signum() * c.abs().powf(2.0 / exponent);
    let at = |i: usize| {
        let a = PI * i as f64 / (count - 1) as f64;
        let y = if i == 0 || i + 1 == count { 0.0 } else { half_breadth * power(a.sin()) };
        [y, centre + half_height * power(a.cos())]
    };
    (0..count).map(at).collect()
}

/// The ellipsoid of semi-axes 120, 70 and 55 at these stations.
pub fn ellipsoid(xs: impl IntoIterator<Item = f64>, count: usize) -> Vec<Station> {
    let at = |x: f64| {
        let k = (1.0 - (x / 120.0) * (x / 120.0)).max(0.0).sqrt();
        (x, superellipse(70.0 * k, 55.0 * k, 0.0, 2.0, count))
    };
    xs.into_iter().map(at).collect()
}

/// The whole Wigley hull, L 1000, B 100, T 62.5, mirrored about its waterline: y = B/2 (1 - (2x/L)²)(1 - (z/T)²). Its
/// sections leave the centre plane at an angle, so the first and last row are doubled.
pub fn hull() -> Vec<Station> {
    let at = |i: usize| {
        let x = -500.0 + 1000.0 * i as f64 / 12.0;
        let b = 50.0 * (1.0 - (x / 500.0) * (x / 500.0)).max(0.0);
        let point = |j: usize| {
            let a = PI * j as f64 / 24.0;
            [if j == 0 || j == 24 { 0.0 } else { b * a.sin().powi(2) }, 62.5 * a.cos()]
        };
        let mut points: Vec<[f64; 2]> = (0..25).map(point).collect();
        points.insert(0, points[0]);
        points.push(points[25]);
        (x, points)
    };
    (0..13).map(at).collect()
}

/// The nose bowl of the reference values, x aft from the ring: breadth, height, centre and exponent all change along it.
pub fn nose() -> Vec<Station> {
    let at = |i: usize| {
        let x = 30.0 * i as f64;
        let (b, h, zc, n) = nose_section(x);
        (x, superellipse(b, h, zc, n, 25))
    };
    (0..13).map(at).collect()
}

/// Half-breadth, half-height, centre height and exponent of the nose bowl at x aft of the ring.
pub fn nose_section(x: f64) -> (f64, f64, f64, f64) {
    let t = (360.0 - x) / 360.0;
    let b = 70.0 - 38.0 * (0.35 * t * t + 0.65 * t.powi(6));
    let h = 55.0 - 23.0 * (0.5 * t * t + 0.5 * t.powi(5));
    (b, h, -6.0 * t * t, 2.6 - 0.6 * (3.0 * t * t - 2.0 * t * t * t))
}

/// Area of a superellipse of half-axes a and b: 4 a b Γ(1 + 1/n)² / Γ(1 + 2/n).
pub fn superellipse_area(a: f64, b: f64, n: f64) -> f64 {
    4.0 * a * b * (2.0 * ln_gamma(1.0 + 1.0 / n) - ln_gamma(1.0 + 2.0 / n)).exp()
}

/// ln Γ(x) for x ≥ 1, by Stirling's series after shifting x above 12 (Abramowitz & Stegun 6.1.41).
fn ln_gamma(x: f64) -> f64 {
    let mut x = x;
    let mut below = 0.0;
    while x < 12.0 {
        below += x.ln();
        x += 1.0;
    }
    let i = 1.0 / (x * x);
    let series = (1.0 / 12.0 - i * (1.0 / 360.0 - i * (1.0 / 1260.0 - i / 1680.0))) / x;
    (x - 0.5) * x.ln() - x + 0.5 * (2.0 * PI).ln() + series - below
}
