//! Forms and cameras drawn from the priors of the solve, and what photographs show of them.

use super::{Dice, SCALE, departing, noisy, off, perhaps_departing};
use nalgebra::Vector3;
use photo::Camera;
use sight::edge::edge;
use sight::shape::{Model, Shape};
use sight::sketch::Function;
use sight::solution::Solution;
use sight::task::{CameraTrust, Landmark, Photograph, Seam, Sighting, Task};
use std::f64::consts::TAU;

/// A drawn form with the task that looks for it.
pub struct Planted {
    pub task: Task,
    pub unknowns: Vec<f64>,
}

/// What is traced of a planted form.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    pub breadth_known: bool,
    pub elevations: &'static [f64],
    pub seams: bool,
    pub joint: bool,
    /// How far sections may depart from superelliptic arcs, as a share of the half box.
    pub departure: f64,
    /// Deviation of the departure as a share of its prior's, which the solve is left to learn; `None` where it knows it.
    pub departs: Option<f64>,
    /// Deviation of the split, as a share of its prior's.
    pub split: f64,
}

/// Draws until the form is possible and its edge runs along it in two curves.
pub fn plant(kind: Kind, dice: &mut Dice) -> Planted {
    let model = match kind.departs {
        None => departing(kind.breadth_known, kind.departure),
        Some(_) => perhaps_departing(kind.breadth_known, kind.departure),
    };
    loop {
        let unknowns = draw(&model, kind, dice);
        let shape = model.shape(&unknowns);
        if (1..48).any(|i| shape.frame(30.0 * f64::from(i)).is_none()) {
            continue;
        }
        let cameras: Vec<Camera> = kind.elevations.iter().map(|e| camera(*e, dice)).collect();
        let photographs = cameras.iter().map(|c| photograph(&shape, c, kind.seams, dice)).collect::<Option<Vec<_>>>();
        let Some(photographs) = photographs else { continue };
        let mut task = Task { model: model.clone(), landmarks: Vec::new(), photographs };
        if kind.joint {
            seek(&mut task, &cameras, dice);
        }
        return Planted { task, unknowns };
    }
}

fn draw(model: &Model, kind: Kind, dice: &mut Dice) -> Vec<f64> {
    let each = model.unknowns() / model.functions().len();
    let scale = |f: &Function| match f {
        Function::Split => kind.split,
        Function::Exponent | Function::BreadthHeight | Function::Breadth => 1.0,
        _ => kind.departs.unwrap_or(1.0),
    };
    let of = |f: &Function| (0..each).map(|_| scale(f) * dice.normal()).collect::<Vec<_>>();
    model.functions().to_vec().iter().flat_map(of).collect()
}

/// About 8 m off, near 42 degrees before the beam, at this height give or take 3 degrees.
fn camera(elevation: f64, dice: &mut Dice) -> Camera {
    let azimuth = (42.0 + 6.0 * dice.normal()).to_radians();
    let up = (elevation + 3.0 * dice.normal()).to_radians();
    let far = 8000.0 * dice.between(0.85, 1.2);
    let eye = [720.0 - far * azimuth.cos() * up.cos(), -far * azimuth.sin() * up.cos(), far * up.sin()];
    Camera::look_at(eye, [720.0, 0.0, 0.0], 14166.0, [3000.0, 2000.0]).unwrap()
}

fn photograph(shape: &Shape<'_>, camera: &Camera, seams: bool, dice: &mut Dice) -> Option<Photograph> {
    let curves = edge(shape, camera);
    let mut photograph = Photograph::new(*camera, CameraTrust::Exact);
    if curves.len() != 2 {
        return None;
    }
    for curve in curves {
        let inner: Vec<[f64; 2]> = curve.iter().filter(|(s, _)| s.x > 45.0 && s.x < 1395.0).map(|(_, q)| *q).collect();
        let chosen: Vec<[f64; 2]> = (0..30).map(|i| inner[i * inner.len() / 30]).collect();
        photograph.outline.extend(noisy(&chosen, 1.0, dice));
    }
    if seams {
        photograph.seams = [480.0, 960.0].iter().map(|x| seam(shape, camera, *x, dice)).collect();
    }
    Some(photograph)
}

/// Twenty points of the section where it faces the camera.
fn seam(shape: &Shape<'_>, camera: &Camera, station: f64, dice: &mut Dice) -> Seam {
    let eye = Vector3::from(camera.eye());
    let place = |i: usize| shape.place(station, TAU * i as f64 / 200.0).unwrap();
    let faces = |i: &usize| place(*i).normal().dot(&(place(*i).point - eye)) < 0.0;
    let seen: Vec<[f64; 2]> = (0..200).filter(faces).map(|i| camera.project(place(i).point.into()).unwrap()).collect();
    let chosen: Vec<[f64; 2]> = (0..20).map(|i| seen[i * seen.len() / 20]).collect();
    Seam { station, pixels: noisy(&chosen, 1.0, dice) }
}

/// Ten landmarks, 5 mm wrong along each axis and marked to 1 px; cameras start off, focal length within its trust.
fn seek(task: &mut Task, cameras: &[Camera], dice: &mut Dice) {
    let ends = [(0.0, 270.0, 220.0, -320.0), (1440.0, 600.0, 470.0, -470.0)];
    let mut places: Vec<[f64; 3]> = ends
        .iter()
        .flat_map(|&(x, b, c, k)| [[x, 0.0, c], [x, 0.0, k], [x, b, 0.5 * (c + k)], [x, -b, 0.5 * (c + k)]])
        .collect();
    places.extend([[720.0, 0.0, 429.0], [1440.0, -399.0, 399.0]]);
    for (i, place) in places.iter().enumerate() {
        let said = place.map(|c| c + 5.0 * dice.normal());
        task.landmarks.push(Landmark { name: format!("{i}"), place: said, sigma: [5.0; 3] });
    }
    for (photograph, camera) in task.photographs.iter_mut().zip(cameras) {
        let seen: Vec<[f64; 2]> = places.iter().map(|p| camera.project(*p).unwrap()).collect();
        let marked = noisy(&seen, 1.0, dice);
        photograph.sightings =
            marked.iter().enumerate().map(|(landmark, q)| Sighting { landmark, pixel: *q }).collect();
        photograph.camera = off(camera, dice);
        photograph.trust = CameraTrust::Sought { focal_share: 0.02 };
    }
}

/// Errors against the planted form and their predicted deviations, mm at the scale.
pub fn planted_errors(solution: &Solution, unknowns: &[f64]) -> Vec<(f64, f64)> {
    let model = &solution.task().model;
    let truth = model.shape(unknowns);
    let of = |i: i32| {
        let station = 120.0 * f64::from(i);
        let frame = truth.frame(station).unwrap();
        let rows = solution.section(station, 49).unwrap().rows;
        let error =
            |r: &sight::solution::HeightRow| ((r.after - frame.half_breadth(r.z).unwrap()) / SCALE, r.sigma / SCALE);
        rows.iter().map(error).collect::<Vec<_>>()
    };
    (1..12).flat_map(of).collect()
}
