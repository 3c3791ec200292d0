//! The landmarks that agree, among many of which several may be wrong.
//!
//! Least trimmed squares: solved from the two thirds that fit best, again and again until those stay the same, from several
//! starts; then all that fit that camera are taken back. Source: P. J. Rousseeuw and K. Van Driessen, "Computing LTS
//! regression for large data sets", 1999 and 2006 (from memory).

use super::adjust::{Minimum, Task};
use super::solution::Solution;
use super::{Landmark, Start};
use crate::PictureCamera;
use crate::chi_squared::two_degrees_one_in_a_hundred;

/// How often the best two thirds are chosen anew.
const ROUNDS: usize = 8;

/// Landmarks that agree, by their place in the list, and the camera that was solved from them.
pub(super) struct Agreeing {
    pub(super) used: Vec<usize>,
    pub(super) minimum: Minimum,
}

/// The largest set that agrees, from the given starts; between sets of one size, the one that fits best.
pub(super) fn agreeing(landmarks: &[&Landmark], start: &Start, from: &[PictureCamera]) -> Option<Agreeing> {
    let sets = from.iter().filter_map(|camera| grown(landmarks, start, &concentrated(landmarks, start, camera)?));
    sets.min_by(|a, b| b.used.len().cmp(&a.used.len()).then(a.minimum.cost.total_cmp(&b.minimum.cost)))
}

/// The minimum over those two thirds of the landmarks that fit it best.
fn concentrated(landmarks: &[&Landmark], start: &Start, from: &PictureCamera) -> Option<PictureCamera> {
    let mut camera = *from;
    let mut chosen: Vec<usize> = Vec::new();
    for _ in 0..ROUNDS {
        let next = best_two_thirds(landmarks, &camera);
        if next == chosen {
            break;
        }
        chosen = next;
        camera = minimum(landmarks, start, &chosen, &camera)?.camera;
    }
    Some(camera)
}

fn best_two_thirds(landmarks: &[&Landmark], camera: &PictureCamera) -> Vec<usize> {
    let squares = |landmark: &&Landmark| {
        let Some([x, y]) = camera.project(landmark.at) else { return f64::INFINITY };
        let per_mm = camera.camera.focal_px / camera.camera.depth(landmark.at);
        let variance = landmark.sigma_px.powi(2) + (landmark.sigma_mm * per_mm).powi(2);
        ((x - landmark.pixel[0]).powi(2) + (y - landmark.pixel[1]).powi(2)) / variance
    };
    let squares: Vec<f64> = landmarks.iter().map(squares).collect();
    let mut order: Vec<usize> = (0..landmarks.len()).collect();
    order.sort_by(|a, b| squares[*a].total_cmp(&squares[*b]));
    order.truncate((2 * landmarks.len()).div_ceil(3));
    order.sort_unstable();
    order
}

/// All landmarks that fit a camera, solved together, until those are the same.
fn grown(landmarks: &[&Landmark], start: &Start, camera: &PictureCamera) -> Option<Agreeing> {
    let limit = two_degrees_one_in_a_hundred(landmarks.len());
    let mut used = best_two_thirds(landmarks, camera);
    let mut found = minimum(landmarks, start, &used, camera)?;
    for _ in 0..ROUNDS {
        let chosen: Vec<&Landmark> = used.iter().map(|i| landmarks[*i]).collect();
        let solution = Solution::new(&Task::new(&chosen, start), &found).ok()?;
        let fits =
            |i: &usize| solution.fit(landmarks[*i], used.contains(i)).is_some_and(|f| f.deviations.powi(2) <= limit);
        let next: Vec<usize> = (0..landmarks.len()).filter(fits).collect();
        if next == used {
            break;
        }
        found = minimum(landmarks, start, &next, &found.camera)?;
        used = next;
    }
    Some(Agreeing { used, minimum: found })
}

fn minimum(landmarks: &[&Landmark], start: &Start, chosen: &[usize], from: &PictureCamera) -> Option<Minimum> {
    let chosen: Vec<&Landmark> = chosen.iter().map(|i| landmarks[*i]).collect();
    Task::new(&chosen, start).minimise(from)
}
