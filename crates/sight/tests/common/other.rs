//! Forms that the model cannot take, and what photographs show of them. The edge is found on the surface itself, without the
//! crate's own search: where the facing changes sign round a section, by bisection.

use super::{Dice, LENGTH, SCALE, True, drawn, noisy, true_breadth};
use nalgebra::Vector3;
use photo::Camera;
use sight::solution::Solution;
use sight::task::{CameraTrust, Photograph, Seam};
use std::f64::consts::{PI, TAU};

/// (y, z) at a station and an angle from the crown.
pub type Surface = fn(f64, f64) -> [f64; 2];

/// The truth of the vectors in closed form.
pub fn true_at(x: f64) -> True {
    let t = 1.0 - x / LENGTH;
    let [_, crown, keel, middle] = drawn(t);
    let n = 2.6 - 0.6 * t * t * (3.0 - 2.0 * t) + 0.35 * (PI * t).sin().powi(2);
    let middle = middle - 70.0 * (PI * t).sin() * (1.0 - 0.3 * t);
    True { station: x, exponents: [n, n], middle, breadth: true_breadth(t), crown, keel }
}

fn superellipse(t: &True, angle: f64) -> [f64; 2] {
    let (s, c) = angle.sin_cos();
    let (n, h) = if c >= 0.0 { (t.exponents[0], t.crown - t.middle) } else { (t.exponents[1], t.middle - t.keel) };
    let r = (s.abs().powf(n) + c.abs().powf(n)).powf(-1.0 / n);
    [t.breadth * r * s, t.middle + h * r * c]
}

/// The model's own kind of form.
pub fn plain(x: f64, angle: f64) -> [f64; 2] {
    superellipse(&true_at(x), angle)
}

/// Shoulders: fuller by up to 3 % of the half box between crown and breadth, hollower between breadth and keel, as no
/// superellipse is.
pub fn shouldered(x: f64, angle: f64) -> [f64; 2] {
    let t = true_at(x);
    let [y, z] = superellipse(&t, angle);
    let swell = 1.0 + 0.03 * (PI * x / LENGTH).sin() * (4.0 * angle.sin().abs() * angle.cos()).powi(3) / 8.0;
    [y * swell, t.middle + (z - t.middle) * swell]
}

/// Flat sides at the full breadth with a knuckle above and below.
pub fn knuckled(x: f64, angle: f64) -> [f64; 2] {
    let t = true_at(x);
    let [y, z] = superellipse(&t, angle);
    let wider = 1.0 + 0.06 * (PI * x / LENGTH).sin();
    if y.abs() * wider <= t.breadth {
        return [y * wider, z];
    }
    [t.breadth * y.signum(), t.middle + (z - t.middle) * t.breadth / (y.abs() * wider)]
}

/// Short waves along the form in the exponent, which the correlation length does not allow.
pub fn waved(x: f64, angle: f64) -> [f64; 2] {
    let mut t = true_at(x);
    let wave = 0.35 * (5.0 * TAU * x / LENGTH).sin() * (PI * x / LENGTH).sin();
    t.exponents = t.exponents.map(|n| n + wave);
    superellipse(&t, angle)
}

/// The crown 8 mm (full size) higher amidships than the line that counts as known.
pub fn raised(x: f64, angle: f64) -> [f64; 2] {
    let mut t = true_at(x);
    t.crown += 8.0 * (PI * x / LENGTH).sin().powi(2);
    superellipse(&t, angle)
}

fn facing(surface: Surface, x: f64, angle: f64, eye: &Vector3<f64>) -> f64 {
    const H: f64 = 1e-5;
    let point = |x: f64, a: f64| {
        let [y, z] = surface(x, a);
        Vector3::new(x, y, z)
    };
    let by_x = point(x + H * LENGTH, angle) - point(x - H * LENGTH, angle);
    let by_angle = point(x, angle + H) - point(x, angle - H);
    by_x.cross(&by_angle).dot(&(point(x, angle) - eye))
}

/// Thirty points of each of the two curves of the edge, with noise.
pub fn outlined(surface: Surface, camera: &Camera, sigma: f64, dice: &mut Dice) -> Photograph {
    let eye = Vector3::from(camera.eye());
    let mut photograph = Photograph::new(*camera, CameraTrust::Exact);
    for top in [true, false] {
        let mut curve = Vec::new();
        for i in 0..30 {
            let x = LENGTH * (0.035 + 0.93 * f64::from(i) / 29.0);
            let at = |j: i32| TAU * (f64::from(j) + 0.5) / 360.0;
            let crossings =
                (0..360).filter(|&j| facing(surface, x, at(j), &eye) * facing(surface, x, at(j + 1), &eye) < 0.0);
            let roots: Vec<f64> =
                crossings.map(|j| bisect(at(j), at(j + 1), |a| facing(surface, x, a, &eye))).collect();
            let pixel = |a: &f64| {
                let [y, z] = surface(x, *a);
                camera.project([x, y, z]).unwrap()
            };
            let pixels = roots.iter().map(pixel);
            let pick = if top {
                pixels.min_by(|a, b| a[1].total_cmp(&b[1]))
            } else {
                pixels.max_by(|a, b| a[1].total_cmp(&b[1]))
            };
            curve.extend(pick);
        }
        photograph.outline.extend(noisy(&curve, sigma, dice));
    }
    photograph
}

fn bisect(mut a: f64, mut b: f64, f: impl Fn(f64) -> f64) -> f64 {
    let fa = f(a);
    for _ in 0..50 {
        let m = 0.5 * (a + b);
        if f(m) * fa > 0.0 { a = m } else { b = m }
    }
    0.5 * (a + b)
}

/// Half-breadth of the surface at a height: the widest place of the section there.
fn half_breadth(surface: Surface, x: f64, z: f64) -> Option<f64> {
    let height = |a: f64| surface(x, a)[1] - z;
    let at = |j: i32| PI * (f64::from(j) + 0.003) / 720.0;
    let crossing = (0..719).filter(|&j| height(at(j)) * height(at(j + 1)) <= 0.0);
    crossing.map(|j| surface(x, bisect(at(j), at(j + 1), height))[0].abs()).max_by(f64::total_cmp)
}

/// Errors against the surface and their predicted deviations, mm at the scale.
pub fn other_errors(solution: &Solution, surface: Surface) -> Vec<(f64, f64)> {
    let of = |i: i32| {
        let x = 120.0 * f64::from(i);
        let rows = solution.section(x, 49).unwrap().rows;
        let error = |r: &sight::solution::HeightRow| {
            half_breadth(surface, x, r.z).map(|y| ((r.after - y) / SCALE, r.sigma / SCALE))
        };
        rows.iter().filter_map(error).collect::<Vec<_>>()
    };
    (1..12).flat_map(of).collect()
}

/// Twenty points of the section where it faces the camera, with noise.
pub fn seam_of(surface: Surface, camera: &Camera, x: f64, sigma: f64, dice: &mut Dice) -> Seam {
    let eye = Vector3::from(camera.eye());
    let angle = |i: i32| TAU * (f64::from(i) + 0.5) / 400.0;
    let seen: Vec<f64> = (0..400).map(angle).filter(|a| facing(surface, x, *a, &eye) < 0.0).collect();
    let pixel = |i: usize| {
        let [y, z] = surface(x, seen[i * seen.len() / 20]);
        camera.project([x, y, z]).unwrap()
    };
    let pixels: Vec<[f64; 2]> = (0..20).map(pixel).collect();
    Seam { station: x, pixels: noisy(&pixels, sigma, dice) }
}
