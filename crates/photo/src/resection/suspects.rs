//! Which landmarks contradict the rest.
//!
//! If all agree within their deviations, none does. Otherwise the smallest set is sought without which the others agree. Of few
//! landmarks, one is taken out, then two, every choice solved anew, so that wrong ones cannot hide behind each other; only a
//! choice that no other of its size comes near is certain. Of many, up to a third may be wrong: see `trimmed`.

use super::adjust::{Minimum, Task, scaled, spread, unit_diagonal};
use super::refusal::{self, MOST_RELATIVE, MOST_TURN_DEG, ResectionError};
use super::starts::{starts, tilted_back, turn_between};
use super::trimmed::agreeing;
use super::{Landmark, LandmarkFit, Resection, Sigmas, Start, Suspect};
use crate::PictureCamera;
use crate::chi_squared::{Z_95, Z_99, Z_999, chi_squared_quantile, two_degrees_one_in_a_hundred};
use crate::picture_camera::PARAMETERS;
use nalgebra::{DMatrix, Matrix2, SMatrix, SymmetricEigen, Vector2, Vector3};

/// A solution and the landmarks it was made from.
pub(super) struct Found {
    minimum: Minimum,
    /// Another camera that shows the landmarks alike.
    rival: Option<PictureCamera>,
    used: Vec<bool>,
    /// Landmarks that may be wrong though used.
    doubted: Vec<usize>,
}

/// Cameras that differ by more than this, radians, are different minima.
const DIFFERENT: f64 = 0.05;
/// A rival whose squared deviations are larger by less than this cannot be told from the best (chance 5 %).
const RIVAL_COST: f64 = 6.0;
/// Degrees of freedom that must be left when landmarks are taken out.
const LEAST_FREEDOM: usize = 2;
/// Of the choices that were refined from few starts, how many steps of cost apart are as good as the best.
const ALIKE_COST: f64 = 9.0;
/// A direction in which less than this share of an error shows is not checked by the other landmarks.
const LEAST_REDUNDANCY: f64 = 0.02;
/// Beyond this ratio the equations are solved by rounding errors.
const MOST_CONDITION: f64 = 1e7;

/// The camera from all landmarks, or from those that agree.
pub(super) fn solve(landmarks: &[&Landmark], start: &Start) -> Result<Found, ResectionError> {
    let from = starts(landmarks, start);
    let task = Task::new(landmarks, start);
    let (minimum, rival) = best(&task, &from, true).ok_or(ResectionError::NoView)?;
    let mut found = Found { minimum, rival, used: vec![true; landmarks.len()], doubted: Vec::new() };
    if found.agrees(&task)? {
        return Ok(found);
    }
    found.take_out(landmarks, start, &from)?;
    Ok(found)
}

/// The best minimum that the starts lead to, and its rival if there is one.
fn best(task: &Task<'_>, from: &[PictureCamera], thorough: bool) -> Option<(Minimum, Option<PictureCamera>)> {
    let mut minima: Vec<Minimum> = from.iter().filter_map(|camera| task.minimise(camera)).collect();
    minima.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    if thorough && let Some(first) = minima.first() {
        minima.extend(task.minimise(&tilted_back(&first.camera, task.landmarks)));
        minima.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    }
    let first = minima.first()?.clone();
    let rival = |m: &&Minimum| m.cost < first.cost + RIVAL_COST && turn_between(&m.camera, &first.camera) > DIFFERENT;
    let rival = minima[1..].iter().find(rival).map(|m| m.camera);
    Some((first, rival))
}

/// All ways to take `count` of `n`, in order.
fn choices(n: usize, count: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..count {
        let longer = |c: &Vec<usize>| {
            let c = c.clone();
            (c.last().map_or(0, |l| l + 1)..n).map(move |next| [c.clone(), vec![next]].concat())
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}

/// Up to so many landmarks every choice is tried.
const FEW: usize = 11;

/// How many of few landmarks may be taken out: a quarter, more or less.
fn most_taken_out(n: usize) -> usize {
    match n {
        0..=4 => 0,
        5..=7 => 1,
        _ => 2,
    }
}

impl Found {
    fn agrees(&self, task: &Task<'_>) -> Result<bool, ResectionError> {
        let freedom = freedom(task);
        if freedom > 0 && self.minimum.cost > chi_squared_quantile(freedom, Z_999) {
            return Ok(false);
        }
        let solution = Solution::new(task, &self.minimum)?;
        let limit = two_degrees_one_in_a_hundred(task.landmarks.len());
        Ok(task.landmarks.iter().all(|l| solution.fit(l, true).is_some_and(|f| f.deviations.powi(2) <= limit)))
    }

    /// Seeks the smallest set to take out.
    fn take_out(
        &mut self,
        landmarks: &[&Landmark],
        start: &Start,
        from: &[PictureCamera],
    ) -> Result<(), ResectionError> {
        let from: Vec<PictureCamera> =
            from.iter().take(4).copied().chain(std::iter::once(self.minimum.camera)).collect();
        let settled = if landmarks.len() > FEW {
            self.take_out_of_many(landmarks, start, &from)
        } else {
            self.take_out_of_few(landmarks, start, &from)
        };
        if settled { Ok(()) } else { self.doubt_the_worst(landmarks, start) }
    }

    /// Keeps the largest set that agrees; whether there is one of two thirds or more.
    fn take_out_of_many(&mut self, landmarks: &[&Landmark], start: &Start, from: &[PictureCamera]) -> bool {
        let Some(found) = agreeing(landmarks, start, from) else { return false };
        let kept: Vec<&Landmark> = found.used.iter().map(|i| landmarks[*i]).collect();
        let task = Task::new(&kept, start);
        let freedom = freedom(&task);
        let agrees = found.minimum.cost <= chi_squared_quantile(freedom.max(1), Z_99);
        if freedom < LEAST_FREEDOM || 3 * kept.len() < 2 * landmarks.len() || !agrees {
            return false;
        }
        self.used = (0..landmarks.len()).map(|i| found.used.contains(&i)).collect();
        let Some((minimum, rival)) = best(&task, &[found.minimum.camera], true) else { return false };
        (self.minimum, self.rival) = (minimum, rival);
        true
    }

    /// Tries every choice; whether one was found, certain or not.
    fn take_out_of_few(&mut self, landmarks: &[&Landmark], start: &Start, from: &[PictureCamera]) -> bool {
        let n = landmarks.len();
        for count in 1..=most_taken_out(n) {
            if n - count < refusal::needed(start) {
                break;
            }
            let mut passing: Vec<(Vec<usize>, Minimum, Option<PictureCamera>)> = Vec::new();
            for choice in choices(n, count) {
                let rest: Vec<&Landmark> = (0..n).filter(|i| !choice.contains(i)).map(|i| landmarks[i]).collect();
                let task = Task::new(&rest, start);
                let freedom = freedom(&task);
                let Some((minimum, rival)) = best(&task, from, false) else { continue };
                if freedom >= LEAST_FREEDOM && minimum.cost <= chi_squared_quantile(freedom, Z_99) {
                    passing.push((choice, minimum, rival));
                }
            }
            if passing.is_empty() {
                continue;
            }
            passing.sort_by(|a, b| a.1.cost.total_cmp(&b.1.cost));
            let limit = passing[0].1.cost + ALIKE_COST;
            passing.retain(|p| p.1.cost < limit);
            self.settle(passing);
            return true;
        }
        false
    }

    /// One choice is certain; several leave doubt.
    fn settle(&mut self, mut passing: Vec<(Vec<usize>, Minimum, Option<PictureCamera>)>) {
        if passing.len() == 1 {
            let (choice, minimum, rival) = passing.remove(0);
            for index in choice {
                self.used[index] = false;
            }
            (self.minimum, self.rival) = (minimum, rival);
            return;
        }
        for index in passing.into_iter().flat_map(|(choice, ..)| choice) {
            if !self.doubted.contains(&index) {
                self.doubted.push(index);
            }
        }
    }

    /// No few landmarks explain it: the one that stands out most is named, if any does.
    fn doubt_the_worst(&mut self, landmarks: &[&Landmark], start: &Start) -> Result<(), ResectionError> {
        let task = Task::new(landmarks, start);
        let solution = Solution::new(&task, &self.minimum)?;
        let squares = |i: usize| solution.fit(landmarks[i], true).map_or(0.0, |f| f.deviations.powi(2));
        let worst = (0..landmarks.len()).max_by(|a, b| squares(*a).total_cmp(&squares(*b)));
        let limit = two_degrees_one_in_a_hundred(landmarks.len());
        self.doubted.extend(worst.filter(|i| squares(*i) > limit));
        Ok(())
    }

    /// The answer, unless it is too loose to be one.
    pub(super) fn resection(self, landmarks: &[&Landmark], start: &Start) -> Result<Resection, ResectionError> {
        let used: Vec<&Landmark> = landmarks.iter().zip(&self.used).filter(|(_, u)| **u).map(|(l, _)| *l).collect();
        let task = Task::new(&used, start);
        let mut solution = Solution::new(&task, &self.minimum)?;
        let freedom = freedom(&task);
        let misfit = if freedom > 0 { (self.minimum.cost / freedom as f64).sqrt() } else { 1.0 };
        let fits_badly = freedom > 0 && self.minimum.cost > chi_squared_quantile(freedom, Z_95);
        let widened = if fits_badly { misfit.max(1.0) } else { 1.0 };
        let focal_pull = solution.focal_pull(start);
        let fits = landmarks.iter().zip(&self.used).map(|(l, used)| solution.fit(l, *used));
        let fits: Vec<LandmarkFit> = fits.collect::<Option<_>>().ok_or(ResectionError::NoView)?;
        solution.covariance *= widened * widened;
        let sigmas = solution.sigmas(&used);
        refuse_loose(&sigmas, &solution.camera, &used, start)?;
        if let Some(rival) = self.rival {
            let degrees = turn_between(&rival, &solution.camera).to_degrees();
            return Err(ResectionError::TwoCameras { degrees, cameras: Box::new([solution.camera, rival]) });
        }
        let suspects = self.suspects(&fits);
        let (camera, covariance, condition) = (solution.camera, solution.covariance, solution.condition);
        Ok(Resection {
            camera,
            sigmas,
            covariance,
            landmarks: fits,
            suspects,
            misfit,
            freedom,
            widened,
            focal_pull,
            condition,
        })
    }

    fn suspects(&self, fits: &[LandmarkFit]) -> Vec<Suspect> {
        let suspect = |index: usize| {
            let LandmarkFit { ref name, mm, px, used, .. } = fits[index];
            Suspect { index, name: name.clone(), mm, px, certain: !used }
        };
        let named = (0..fits.len()).filter(|i| !self.used[*i] || self.doubted.contains(i));
        let mut all: Vec<Suspect> = named.map(suspect).collect();
        all.sort_by(|a, b| fits[b.index].deviations.total_cmp(&fits[a.index].deviations));
        all
    }
}

fn freedom(task: &Task<'_>) -> usize {
    task.observations().saturating_sub(task.unknowns())
}

/// A minimum with its covariance.
pub(super) struct Solution {
    camera: PictureCamera,
    covariance: SMatrix<f64, PARAMETERS, PARAMETERS>,
    condition: f64,
}

impl Solution {
    pub(super) fn new(task: &Task<'_>, minimum: &Minimum) -> Result<Self, ResectionError> {
        let loose = || {
            if task.start.focal.is_none() && refusal::are_flat(task.landmarks) {
                ResectionError::Flat
            } else {
                ResectionError::Loose { degrees: 90.0, percent: 100.0 }
            }
        };
        let information = task.information(minimum).ok_or(ResectionError::NoView)?;
        let scale = unit_diagonal(&information);
        let scaled_information = scaled(&information, &scale);
        let eigen = SymmetricEigen::new(scaled_information.clone());
        let (least, most) = (eigen.eigenvalues.min(), eigen.eigenvalues.max());
        if least.is_nan() || least <= most / (MOST_CONDITION * MOST_CONDITION) {
            return Err(loose());
        }
        let inverse = scaled_information.cholesky().ok_or_else(loose)?.inverse();
        let free: DMatrix<f64> = scaled(&inverse, &scale);
        let by_free = task.parameters_by_free(&minimum.camera);
        let wide = &by_free * free * by_free.transpose();
        let covariance = SMatrix::from_fn(|i, j| wide[(i, j)]);
        Ok(Self { camera: minimum.camera, covariance, condition: (most / least).sqrt() })
    }

    /// How a landmark fits; `None` if it is not before the camera. The covariance must not have been widened yet.
    pub(super) fn fit(&self, landmark: &Landmark, used: bool) -> Option<LandmarkFit> {
        let name = landmark.name.clone();
        let Some(seen) = self.camera.projection(landmark.at) else {
            // A landmark that was left out may well be typed in behind the camera.
            let far = f64::INFINITY;
            let fit = LandmarkFit {
                name,
                off_px: [far; 2],
                px: far,
                mm: far,
                depth_mm: 0.0,
                deviations: far,
                checked: true,
                used,
            };
            return (!used).then_some(fit);
        };
        let off = Vector2::from(landmark.pixel) - Vector2::from(seen.pixel);
        let own = spread(landmark, &seen);
        let of_camera = seen.by_camera * self.covariance * seen.by_camera.transpose();
        let (squares, checked) =
            if used { chi_squared(off, own, of_camera) } else { (whole(off, own + of_camera), true) };
        let px = off.norm();
        let mm = px * seen.depth / self.camera.camera.focal_px;
        let deviations = squares.sqrt();
        Some(LandmarkFit { name, off_px: off.into(), px, mm, depth_mm: seen.depth, deviations, checked, used })
    }

    fn focal_pull(&self, start: &Start) -> Option<f64> {
        let (focal, sigma) = start.focal.filter(|(_, sigma)| *sigma > 0.0)?;
        let left = sigma * sigma - self.covariance[(6, 6)];
        let off = focal - self.camera.camera.focal_px;
        (left > LEAST_REDUNDANCY * sigma * sigma).then(|| off / left.sqrt())
    }

    fn sigmas(&self, landmarks: &[&Landmark]) -> Sigmas {
        let sigma = |k: usize| self.covariance[(k, k)].max(0.0).sqrt();
        let away = from_middle(&self.camera, landmarks);
        let along = away.normalize();
        let of_eye = self.covariance.fixed_view::<3, 3>(3, 3);
        let distance_mm = along.dot(&(of_eye * along)).max(0.0).sqrt();
        Sigmas {
            turn_deg: [0, 1, 2].map(|k| sigma(k).to_degrees()),
            eye_mm: [3, 4, 5].map(sigma),
            distance_mm,
            focal_px: sigma(6),
            centre_px: [7, 8].map(sigma),
            k1: sigma(9),
        }
    }
}

/// From the landmarks' middle to the eye, mm.
fn from_middle(camera: &PictureCamera, landmarks: &[&Landmark]) -> Vector3<f64> {
    let sum: Vector3<f64> = landmarks.iter().map(|l| Vector3::from(l.at)).sum();
    Vector3::from(camera.camera.eye()) - sum / landmarks.len().max(1) as f64
}

fn refuse_loose(
    sigmas: &Sigmas,
    picture: &PictureCamera,
    landmarks: &[&Landmark],
    start: &Start,
) -> Result<(), ResectionError> {
    let away = from_middle(picture, landmarks).norm();
    let share = (sigmas.focal_px / picture.camera.focal_px).max(sigmas.distance_mm / away);
    if share > MOST_RELATIVE && start.focal.is_none() {
        let flat = refusal::are_flat(landmarks);
        return Err(if flat {
            ResectionError::Flat
        } else {
            ResectionError::FocalUndetermined { percent: share * 100.0 }
        });
    }
    let degrees = sigmas.turn_deg.into_iter().fold(0.0, f64::max);
    let of_eye = Vector3::from(sigmas.eye_mm).norm() / away;
    if degrees > MOST_TURN_DEG || of_eye > MOST_RELATIVE || !degrees.is_finite() || !of_eye.is_finite() {
        return Err(ResectionError::Loose { degrees, percent: of_eye * 100.0 });
    }
    Ok(())
}

/// The chi-squared of a residual whose own covariance is `own`, of which the camera has taken up `of_camera`; only in the
/// directions that the other landmarks check, and whether those are all.
fn chi_squared(off: Vector2<f64>, own: Matrix2<f64>, of_camera: Matrix2<f64>) -> (f64, bool) {
    // In units in which `own` is one.
    let Some(half) = own.cholesky() else { return (0.0, false) };
    let Some(inverse) = half.l().try_inverse() else { return (0.0, false) };
    let (off, left) = (inverse * off, Matrix2::identity() - inverse * of_camera * inverse.transpose());
    let eigen = SymmetricEigen::new(left);
    let mut sum = 0.0;
    for k in 0..2 {
        if eigen.eigenvalues[k] > LEAST_REDUNDANCY {
            sum += eigen.eigenvectors.column(k).dot(&off).powi(2) / eigen.eigenvalues[k];
        }
    }
    (sum, eigen.eigenvalues.min() > LEAST_REDUNDANCY)
}

/// The chi-squared of a difference with its covariance.
fn whole(off: Vector2<f64>, covariance: Matrix2<f64>) -> f64 {
    covariance.try_inverse().map_or(0.0, |inverse| off.dot(&(inverse * off)))
}

#[cfg(test)]
mod tests {
    use super::choices;

    #[test]
    fn every_choice_comes_once() {
        assert_eq!(choices(4, 2), [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]]);
        assert_eq!(choices(10, 3).len(), 120);
    }
}
