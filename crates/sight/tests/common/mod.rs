//! The known form and its five views, and what tests share: seeded noise, errors against the truth.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used)] // a module of several tests, of which none uses everything

pub mod other;
pub mod planted;

use geometry::line::{Line, LineEnd, LinePoint, Pass};
use nalgebra::{Matrix3, Vector3};
use photo::Camera;
use sight::shape::Model;
use sight::sketch::{Priors, Sketch};
use sight::solution::Solution;
use sight::task::{CameraTrust, Landmark, Photograph, Seam, Sighting, Task};
use std::f64::consts::PI;

pub const LENGTH: f64 = 1440.0;
/// Figures are told at this scale.
pub const SCALE: f64 = 4.0;

/// Numbers from a seed: SplitMix64 (Steele, Lea and Flood 2014) and the polar method's plain relative (Box and Muller 1958).
pub struct Dice(pub u64);

impl Dice {
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (2.0 * PI * self.even()).cos()
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }
}

/// A smooth line through the values of a function at 61 stations of the form.
pub fn line(f: impl Fn(f64) -> f64) -> Line {
    let point = |i: i32| {
        let x = LENGTH * f64::from(i) / 60.0;
        LinePoint { x, value: f(1.0 - x / LENGTH), pass: Pass::Smooth }
    };
    Line::new(&(0..=60).map(point).collect::<Vec<_>>(), LineEnd::Free, LineEnd::Free).unwrap()
}

/// Half-breadth, crown, keel and breadth height of the smooth guess, for t from 0 at the rear to 1 at the front.
pub fn drawn(t: f64) -> [f64; 4] {
    let breadth = 600.0 - 330.0 * (0.35 * t * t + 0.65 * t.powi(6));
    let height = 470.0 - 200.0 * (0.5 * t * t + 0.5 * t.powi(5));
    let middle = -50.0 * t * t;
    [breadth, middle + height, middle - height, middle]
}

/// The true half-breadth.
pub fn true_breadth(t: f64) -> f64 {
    drawn(t)[0] + 18.0 * (PI * t).sin().powi(2)
}

pub fn sketch(breadth_known: bool) -> Sketch {
    let exponent = |t: f64| 2.6 - 0.6 * t * t * (3.0 - 2.0 * t);
    Sketch {
        crown: line(|t| drawn(t)[1]),
        keel: line(|t| drawn(t)[2]),
        breadth: if breadth_known { line(true_breadth) } else { line(|t| drawn(t)[0]) },
        breadth_height: line(|t| drawn(t)[3]),
        above: line(exponent),
        below: line(exponent),
    }
}

pub fn model(breadth_known: bool) -> Model {
    Model::new(sketch(breadth_known), Priors::usual(1.0, breadth_known)).unwrap()
}

/// With sections that may depart from a superellipse by this share of their half box.
pub fn departing(breadth_known: bool, departure: f64) -> Model {
    Model::new(sketch(breadth_known), Priors { departure, ..Priors::usual(1.0, breadth_known) }).unwrap()
}

/// With sections that may depart so far, or less, or not at all.
pub fn perhaps_departing(breadth_known: bool, departure: f64) -> Model {
    let priors = Priors { departure, departure_learnt: true, ..Priors::usual(1.0, breadth_known) };
    Model::new(sketch(breadth_known), priors).unwrap()
}

/// One view of the vectors.
#[derive(Clone)]
pub struct View {
    pub elevation: f64,
    pub azimuth: f64,
    pub camera: Camera,
    pub outline: Vec<[f64; 2]>,
    pub seams: Vec<Seam>,
    pub landmarks: Vec<([f64; 3], [f64; 2])>,
}

/// The truth at a station.
#[derive(Clone, Copy, Debug)]
pub struct True {
    pub station: f64,
    pub exponents: [f64; 2],
    pub middle: f64,
    pub breadth: f64,
    pub crown: f64,
    pub keel: f64,
}

impl True {
    pub fn half_breadth(&self, z: f64) -> f64 {
        let up = z >= self.middle;
        let v = if up {
            (z - self.middle) / (self.crown - self.middle)
        } else {
            (self.middle - z) / (self.middle - self.keel)
        };
        let n = self.exponents[usize::from(!up)];
        self.breadth * (1.0 - v.powf(n)).max(0.0).powf(1.0 / n)
    }
}

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers<const N: usize>(value: &serde_json::Value) -> [f64; N] {
    std::array::from_fn(|i| number(&value[i]))
}

fn pixels(value: &serde_json::Value) -> Vec<[f64; 2]> {
    value.as_array().unwrap().iter().map(numbers).collect()
}

fn file() -> serde_json::Value {
    serde_json::from_str(include_str!("../vectors/views.json")).unwrap()
}

pub fn views() -> Vec<View> {
    let view = |v: &serde_json::Value| {
        let rows: [[f64; 3]; 3] = std::array::from_fn(|i| numbers(&v["R"][i]));
        let image: [f64; 2] = numbers(&v["image"]);
        let camera = Camera {
            rotation: Matrix3::from_fn(|i, j| rows[i][j]),
            translation: Vector3::from(numbers::<3>(&v["t"])),
            focal_px: number(&v["focal_px"]),
            centre: image.map(|s| 0.5 * s),
        };
        let list = |key: &str| v[key].as_array().unwrap().clone();
        View {
            elevation: number(&v["elevation_deg"]),
            azimuth: number(&v["azimuth_deg"]),
            camera,
            outline: pixels(&v["outline_uv"]),
            seams: list("seams")
                .iter()
                .map(|s| Seam { station: number(&s["station"]), pixels: pixels(&s["uv"]) })
                .collect(),
            landmarks: list("landmarks").iter().map(|l| (numbers(&l["xyz"]), numbers(&l["uv"]))).collect(),
        }
    };
    file()["views"].as_array().unwrap().iter().map(view).collect()
}

pub fn view(azimuth: f64, elevation: f64) -> View {
    views().into_iter().find(|v| v.azimuth == azimuth && v.elevation == elevation).unwrap()
}

pub fn truth() -> Vec<True> {
    let of = |s: &serde_json::Value| True {
        station: number(&s["station"]),
        exponents: [number(&s["exponent"]); 2],
        middle: number(&s["breadth_height"]),
        breadth: number(&s["half_breadth"]),
        crown: number(&s["crown"]),
        keel: number(&s["keel"]),
    };
    file()["sections"].as_array().unwrap().iter().map(of).collect()
}

/// Adds noise of this deviation to both coordinates.
pub fn noisy(pixels: &[[f64; 2]], sigma: f64, dice: &mut Dice) -> Vec<[f64; 2]> {
    pixels.iter().map(|p| p.map(|c| c + sigma * dice.normal())).collect()
}

/// The views as photographs with 1 px of noise and exact cameras.
pub fn photographs(views: &[View], seams: bool, dice: &mut Dice) -> Vec<Photograph> {
    let of = |v: &View| {
        let mut photograph = Photograph::new(v.camera, CameraTrust::Exact);
        photograph.outline = noisy(&v.outline, 1.0, dice);
        if seams {
            let seam = |s: &Seam| Seam { station: s.station, pixels: noisy(&s.pixels, 1.0, dice) };
            photograph.seams = v.seams.iter().map(seam).collect();
        }
        photograph
    };
    views.iter().map(of).collect()
}

/// Lets the cameras be sought, from a start that is off, with landmarks that are wrong by `wrong` mm along each axis.
pub fn seek_cameras(task: &mut Task, views: &[View], wrong: f64, dice: &mut Dice) {
    let mut place = |p: [f64; 3]| p.map(|c| c + wrong * dice.normal());
    let landmarks: Vec<[f64; 3]> = views[0].landmarks.iter().map(|l| place(l.0)).collect();
    let named = |(i, place): (usize, &[f64; 3])| Landmark { name: format!("{i}"), place: *place, sigma: [wrong; 3] };
    task.landmarks = landmarks.iter().enumerate().map(named).collect();
    for (photograph, view) in task.photographs.iter_mut().zip(views) {
        let pixels: Vec<[f64; 2]> = view.landmarks.iter().map(|l| l.1).collect();
        let marked = noisy(&pixels, 1.0, dice);
        photograph.sightings =
            marked.iter().enumerate().map(|(landmark, p)| Sighting { landmark, pixel: *p }).collect();
        photograph.camera = off(&view.camera, dice);
        photograph.trust = CameraTrust::Sought { focal_share: 0.02 };
    }
}

/// A camera about 2 degrees, 1 % of the distance and 2 % of the focal length off.
pub fn off(camera: &Camera, dice: &mut Dice) -> Camera {
    let turn = Vector3::from_fn(|_, _| 0.02 * dice.normal());
    let turn = nalgebra::Rotation3::new(turn);
    let far = camera.translation.norm();
    Camera {
        rotation: turn.matrix() * camera.rotation,
        translation: turn.matrix() * camera.translation + Vector3::from_fn(|_, _| 0.005 * far * dice.normal()),
        focal_px: camera.focal_px * (0.02 * dice.normal()).exp(),
        centre: camera.centre,
    }
}

/// Errors of the half-breadth and their predicted deviations, mm at the scale, at 49 heights of the inner true sections.
pub fn errors(solution: &Solution, truth: &[True]) -> Vec<(f64, f64)> {
    let (low, high) = solution.task().model.range();
    let inner = truth.iter().filter(|t| t.station > low + 1.0 && t.station < high - 1.0);
    let of = |t: &True| {
        let section = solution.section(t.station, 49).unwrap();
        let rows = section.rows.iter().map(|r| ((r.after - t.half_breadth(r.z)) / SCALE, r.sigma / SCALE));
        rows.collect::<Vec<_>>()
    };
    inner.flat_map(of).collect()
}

pub fn rms(values: impl Iterator<Item = f64>) -> f64 {
    let all: Vec<f64> = values.collect();
    (all.iter().map(|v| v * v).sum::<f64>() / all.len() as f64).sqrt()
}
