//! Cameras to start from, without a guess of the pose.
//!
//! Triples of landmarks give poses for each focal length of a ladder; those that show all landmarks best come first, by a
//! sum that a single wrong landmark cannot rule. The triples are chosen so that whichever two landmarks are wrong, one
//! triple at least is free of both.

use super::three_points::{Pose, poses};
use super::{Landmark, Start};
use crate::{Camera, PictureCamera};
use nalgebra::{Matrix3, Rotation3, SymmetricEigen, Vector3};

/// How many starts are kept.
const KEPT: usize = 6;
/// Of more landmarks than this, those spread widest in the picture stand for the rest.
const MOST_FOR_TRIPLES: usize = 14;
/// What a landmark that is not before the camera adds to the misfit: as much as one that is off by e²⁰ deviations.
const BEHIND: f64 = 40.0;
/// Starts nearer to each other than this, radians, lead to the same minimum.
const SAME_DIRECTION: f64 = 0.1;

/// Starts, the most promising first; none if no triple of landmarks can have been seen so.
pub(super) fn starts(landmarks: &[&Landmark], start: &Start) -> Vec<PictureCamera> {
    let triples = triples(landmarks);
    let mut rated: Vec<(f64, PictureCamera)> = Vec::new();
    for focal in ladder(start) {
        for triple in &triples {
            let points = triple.map(|i| Vector3::from(landmarks[i].at));
            let sights = triple.map(|i| sight(landmarks[i].pixel, start, focal));
            for pose in poses(&points, &sights) {
                let camera = camera(&pose, focal, start);
                rated.push((misfit(&camera, landmarks), camera));
            }
        }
    }
    rated.retain(|(misfit, _)| misfit.is_finite());
    rated.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut kept: Vec<PictureCamera> = Vec::new();
    for (_, camera) in rated {
        if kept.len() < KEPT && !kept.iter().any(|k| alike(k, &camera)) {
            kept.push(camera);
        }
    }
    kept
}

/// The other pose from which a flat, distant set looks nearly the same: tilted away instead of towards.
pub(super) fn tilted_back(camera: &PictureCamera, landmarks: &[&Landmark]) -> PictureCamera {
    let points: Vec<Vector3<f64>> = landmarks.iter().map(|l| Vector3::from(l.at)).collect();
    let (middle, axes) = principal_axes(&points);
    let Camera { rotation, translation, .. } = camera.camera;
    let seen = rotation * middle + translation;
    // Axes with the line of sight to the middle as third.
    let level = Rotation3::rotation_between(&seen, &Vector3::z()).unwrap_or_else(Rotation3::identity).into_inner();
    let flip = |axis: Vector3<f64>| {
        let along = level * rotation * axis;
        Vector3::new(along.x, along.y, -along.z)
    };
    let (first, second) = (flip(axes.column(0).into()), flip(axes.column(1).into()));
    let third = first.cross(&second);
    let right = axes.column(0).cross(&axes.column(1));
    let from = Matrix3::from_columns(&[axes.column(0).into(), axes.column(1).into(), right]);
    let turned = level.transpose() * Matrix3::from_columns(&[first, second, third]) * from.transpose();
    let camera_turned = Camera { rotation: turned, translation: seen - turned * middle, ..camera.camera };
    PictureCamera { camera: camera_turned, ..*camera }
}

/// The middle of points and their principal axes, the longest first, as columns.
fn principal_axes(points: &[Vector3<f64>]) -> (Vector3<f64>, Matrix3<f64>) {
    let middle = points.iter().sum::<Vector3<f64>>() / points.len().max(1) as f64;
    let scatter: Matrix3<f64> = points.iter().map(|p| (p - middle) * (p - middle).transpose()).sum();
    let eigen = SymmetricEigen::new(scatter);
    let mut order = [0, 1, 2];
    order.sort_by(|a, b| eigen.eigenvalues[*b].total_cmp(&eigen.eigenvalues[*a]));
    (middle, Matrix3::from_columns(&order.map(|k| eigen.eigenvectors.column(k).into_owned())))
}

/// How long points are along their three principal axes (root mean squares, mm), the longest first.
pub(super) fn extents(points: &[[f64; 3]]) -> [f64; 3] {
    let points: Vec<Vector3<f64>> = points.iter().map(|p| Vector3::from(*p)).collect();
    let (middle, axes) = principal_axes(&points);
    [0, 1, 2].map(|k| {
        let sum: f64 = points.iter().map(|p| axes.column(k).dot(&(p - middle)).powi(2)).sum();
        (sum / points.len().max(1) as f64).sqrt()
    })
}

/// Focal lengths to try, pixels: what is expected, or from 15 to 500 mm equivalent where nothing is.
fn ladder(start: &Start) -> Vec<f64> {
    match start.focal {
        Some((focal, sigma)) if sigma < 0.1 * focal => vec![focal],
        Some((focal, sigma)) => {
            [1.0, (sigma / focal).min(1.0).exp(), (-(sigma / focal).min(1.0)).exp()].map(|k| k * focal).into()
        }
        None => {
            let diagonal = f64::from(start.size_px[0]).hypot(f64::from(start.size_px[1]));
            (0..8).map(|k| 0.35 * diagonal * 1.65_f64.powi(k)).collect()
        }
    }
}

fn sight(pixel: [f64; 2], start: &Start, focal: f64) -> Vector3<f64> {
    Vector3::new((pixel[0] - start.centre[0]) / focal, (pixel[1] - start.centre[1]) / focal, 1.0).normalize()
}

fn camera((rotation, translation): &Pose, focal_px: f64, start: &Start) -> PictureCamera {
    Camera { rotation: *rotation, translation: *translation, focal_px, centre: start.centre }.into()
}

/// Cauchy's sum over the squared deviations: a wrong landmark adds little more the farther it is off. Source: P. J. Huber,
/// *Robust Statistics*, 1981 (from memory).
fn misfit(camera: &PictureCamera, landmarks: &[&Landmark]) -> f64 {
    let one = |landmark: &&Landmark| {
        let depth = camera.camera.depth(landmark.at);
        let Some([x, y]) = camera.project(landmark.at) else { return BEHIND };
        let off = (x - landmark.pixel[0]).hypot(y - landmark.pixel[1]);
        let sigma = landmark.sigma_px.hypot(landmark.sigma_mm * camera.camera.focal_px / depth);
        (1.0 + (off / (3.0 * sigma)).powi(2)).ln()
    };
    landmarks.iter().map(one).sum()
}

/// Whether two starts lead to the same minimum, most likely.
fn alike(a: &PictureCamera, b: &PictureCamera) -> bool {
    let ratio = a.camera.focal_px / b.camera.focal_px;
    turn_between(a, b) < SAME_DIRECTION && (0.75..1.34).contains(&ratio)
}

/// The angle between two cameras' poses as the world turns before them, radians.
pub(super) fn turn_between(a: &PictureCamera, b: &PictureCamera) -> f64 {
    // By the chord, which is exact near zero where the arc cosine of the trace is not.
    let chord = (a.camera.rotation - b.camera.rotation).norm() / 8.0_f64.sqrt();
    2.0 * chord.min(1.0).asin()
}

/// For every two landmarks, the triple of largest area in the picture that does without both.
fn triples(landmarks: &[&Landmark]) -> Vec<[usize; 3]> {
    let chosen = spread_out(landmarks);
    let n = chosen.len();
    let mut all: Vec<(f64, [usize; 3])> = Vec::new();
    for i in 0..n {
        for j in i + 1..n {
            for k in j + 1..n {
                let triple = [chosen[i], chosen[j], chosen[k]];
                all.push((area(triple.map(|i| landmarks[i].pixel)), triple));
            }
        }
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut kept: Vec<[usize; 3]> = all.iter().take(3).map(|(_, t)| *t).collect();
    for (a, i) in chosen.iter().enumerate() {
        for j in &chosen[a..] {
            let free = all.iter().find(|(_, t)| !t.contains(i) && !t.contains(j));
            if let Some((_, triple)) = free.filter(|(_, t)| !kept.contains(t)) {
                kept.push(*triple);
            }
        }
    }
    kept
}

/// At most [`MOST_FOR_TRIPLES`] landmarks, each in turn the one farthest in the picture from those chosen.
fn spread_out(landmarks: &[&Landmark]) -> Vec<usize> {
    let mut chosen = vec![0];
    while chosen.len() < landmarks.len().min(MOST_FOR_TRIPLES) {
        let nearest = |i: usize| {
            let to = |c: &usize| {
                let ([x, y], [u, v]) = (landmarks[i].pixel, landmarks[*c].pixel);
                (x - u).hypot(y - v)
            };
            chosen.iter().map(to).fold(f64::INFINITY, f64::min)
        };
        let rest = (0..landmarks.len()).filter(|i| !chosen.contains(i));
        let Some(next) = rest.max_by(|a, b| nearest(*a).total_cmp(&nearest(*b))) else { break };
        chosen.push(next);
    }
    chosen
}

fn area([a, b, c]: [[f64; 2]; 3]) -> f64 {
    ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs()
}
