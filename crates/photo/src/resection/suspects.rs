//! Which landmarks contradict the rest.
//!
//! If all agree within their deviations, none does. Otherwise the smallest set is sought without which the others agree. Of few
//! landmarks, one is taken out, then two, every choice solved anew, so that wrong ones cannot hide behind each other; only a
//! choice that no other of its size comes near is certain. Of many, up to a third may be wrong: see `trimmed`.

use super::adjust::{Minimum, Task};
use super::refusal::{self, ResectionError};
use super::solution::{Solution, refuse_loose};
use super::starts::{starts, tilted_back, turn_between};
use super::trimmed::agreeing;
use super::{Landmark, LandmarkFit, Resection, Start, Suspect};
use crate::PictureCamera;
use crate::chi_squared::{Z_95, Z_99, Z_999, chi_squared_quantile, two_degrees_one_in_a_hundred};

/// A solution and the landmarks it was made from.
pub(super) struct Found {
    minimum: Minimum,
    /// Another camera that shows the landmarks alike.
    rival: Option<PictureCamera>,
    used: Vec<bool>,
    /// Landmarks that may be wrong though used.
    doubted: Vec<usize>,
}

/// A choice of landmarks to take out, and what the others give.
struct Choice {
    out: Vec<usize>,
    minimum: Minimum,
    rival: Option<PictureCamera>,
}

/// Cameras that differ by more than this, radians, are different minima.
const DIFFERENT: f64 = 0.05;
/// A rival whose squared deviations are larger by less than this cannot be told from the best (chance 5 %).
const RIVAL_COST: f64 = 6.0;
/// Degrees of freedom that must be left when landmarks are taken out.
const LEAST_FREEDOM: usize = 2;
/// Choices whose squared deviations are larger by less than this are as good as the best (chance 1 % in two directions).
const ALIKE_COST: f64 = 9.0;
/// Up to so many landmarks every choice is tried.
const FEW: usize = 11;

/// The camera from all landmarks, or from those that agree.
pub(super) fn solve(landmarks: &[&Landmark], start: &Start) -> Result<Found, ResectionError> {
    let mut from = starts(landmarks, start);
    let task = Task::new(landmarks, start);
    // A landmark typed in behind the camera lets no camera see them all.
    let whole = best(&task, &from, true);
    let whole = whole.map(|(minimum, rival)| Found::of_all(landmarks.len(), minimum, rival));
    if let Some(found) = &whole {
        if found.agrees(&task)? {
            return whole.ok_or(ResectionError::NoView);
        }
        from.truncate(4);
        from.push(found.minimum.camera);
    }
    let passing = if landmarks.len() > FEW {
        choice_of_many(landmarks, start, &from).into_iter().collect()
    } else {
        choices_of_few(landmarks, start, &from)
    };
    settled(whole, passing, &task)
}

/// One choice is certain. Several leave doubt, and so does none.
fn settled(whole: Option<Found>, mut passing: Vec<Choice>, task: &Task<'_>) -> Result<Found, ResectionError> {
    if passing.len() == 1 || (whole.is_none() && !passing.is_empty()) {
        return Ok(Found::without(passing.swap_remove(0), task.landmarks.len()));
    }
    let mut found = whole.ok_or(ResectionError::NoView)?;
    if passing.is_empty() {
        found.doubt_the_worst(task)?;
    }
    for index in passing.into_iter().flat_map(|choice| choice.out) {
        if !found.doubted.contains(&index) {
            found.doubted.push(index);
        }
    }
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

/// The largest set that agrees, if it is two thirds or more.
fn choice_of_many(landmarks: &[&Landmark], start: &Start, from: &[PictureCamera]) -> Option<Choice> {
    let found = agreeing(landmarks, start, from)?;
    let kept: Vec<&Landmark> = found.used.iter().map(|i| landmarks[*i]).collect();
    let task = Task::new(&kept, start);
    if 3 * kept.len() < 2 * landmarks.len() || !agree(&task, &found.minimum) {
        return None;
    }
    let (minimum, rival) = best(&task, &[found.minimum.camera], true)?;
    let out = (0..landmarks.len()).filter(|i| !found.used.contains(i)).collect();
    Some(Choice { out, minimum, rival })
}

/// The smallest choices after which the others agree, the best first.
fn choices_of_few(landmarks: &[&Landmark], start: &Start, from: &[PictureCamera]) -> Vec<Choice> {
    let n = landmarks.len();
    let most = most_taken_out(n).min(n.saturating_sub(refusal::needed(start)));
    for count in 1..=most {
        let tried = choices(n, count).into_iter().filter_map(|out| tried(landmarks, start, from, out));
        let mut passing: Vec<Choice> = tried.collect();
        passing.sort_by(|a, b| a.minimum.cost.total_cmp(&b.minimum.cost));
        if let Some(first) = passing.first() {
            let limit = first.minimum.cost + ALIKE_COST;
            passing.retain(|choice| choice.minimum.cost < limit);
            return passing;
        }
    }
    Vec::new()
}

/// What the landmarks give without some of them, if they agree then.
fn tried(landmarks: &[&Landmark], start: &Start, from: &[PictureCamera], out: Vec<usize>) -> Option<Choice> {
    let kept = landmarks.iter().enumerate().filter(|(i, _)| !out.contains(i));
    let kept: Vec<&Landmark> = kept.map(|(_, l)| *l).collect();
    let task = Task::new(&kept, start);
    let (minimum, rival) = best(&task, from, false)?;
    agree(&task, &minimum).then_some(Choice { out, minimum, rival })
}

/// Whether landmarks that were left over agree, with enough of them to tell.
fn agree(task: &Task<'_>, minimum: &Minimum) -> bool {
    let freedom = freedom(task);
    freedom >= LEAST_FREEDOM && minimum.cost <= chi_squared_quantile(freedom, Z_99)
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

/// How many of few landmarks may be taken out: a quarter, more or less.
fn most_taken_out(n: usize) -> usize {
    match n {
        0..=4 => 0,
        5..=7 => 1,
        _ => 2,
    }
}

fn freedom(task: &Task<'_>) -> usize {
    task.observations().saturating_sub(task.unknowns())
}

impl Found {
    fn of_all(count: usize, minimum: Minimum, rival: Option<PictureCamera>) -> Self {
        Self { minimum, rival, used: vec![true; count], doubted: Vec::new() }
    }

    fn without(Choice { out, minimum, rival }: Choice, count: usize) -> Self {
        Self { used: (0..count).map(|i| !out.contains(&i)).collect(), ..Self::of_all(count, minimum, rival) }
    }

    fn agrees(&self, task: &Task<'_>) -> Result<bool, ResectionError> {
        let freedom = freedom(task);
        if freedom > 0 && self.minimum.cost > chi_squared_quantile(freedom, Z_999) {
            return Ok(false);
        }
        let solution = Solution::new(task, &self.minimum)?;
        let limit = two_degrees_one_in_a_hundred(task.landmarks.len());
        Ok(task.landmarks.iter().all(|l| solution.fit(l, true).is_some_and(|f| f.deviations.powi(2) <= limit)))
    }

    /// No choice explains it: the landmark that stands out most is named, if any does.
    fn doubt_the_worst(&mut self, task: &Task<'_>) -> Result<(), ResectionError> {
        let solution = Solution::new(task, &self.minimum)?;
        let squares = |i: usize| solution.fit(task.landmarks[i], true).map_or(0.0, |f| f.deviations.powi(2));
        let worst = (0..task.landmarks.len()).max_by(|a, b| squares(*a).total_cmp(&squares(*b)));
        let limit = two_degrees_one_in_a_hundred(task.landmarks.len());
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
        refuse_loose(&solution.sigmas(&used), &solution.camera, &used, start)?;
        solution.covariance *= widened * widened;
        let sigmas = solution.sigmas(&used);
        let suspects = self.suspects(&fits);
        if refuse_loose(&sigmas, &solution.camera, &used, start).is_err() {
            let worst = suspects.first().map(|s| s.name.clone());
            return Err(ResectionError::Contradiction { times: widened, worst });
        }
        if let Some(rival) = self.rival {
            let degrees = turn_between(&rival, &solution.camera).to_degrees();
            return Err(ResectionError::TwoCameras { degrees, cameras: Box::new([solution.camera, rival]) });
        }
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

#[cfg(test)]
mod tests {
    use super::choices;

    #[test]
    fn every_choice_comes_once() {
        assert_eq!(choices(4, 2), [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]]);
        assert_eq!(choices(10, 3).len(), 120);
    }
}
