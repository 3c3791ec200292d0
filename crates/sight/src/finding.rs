//! What a solve has to say beside the form: points left out, landmarks that do not fit, a form that the model cannot follow.

use crate::misfit::Fit;
use crate::outline::BEYOND;
use crate::sketch::Function;
use crate::solution::{LandmarkAfter, Observation, Settled};
use crate::task::{CameraTrust, Task};
use crate::traced::Trace;

/// One thing to look at. Photographs count from 0.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// A traced point lies too far off and was left out.
    LeftOut {
        /// The photograph.
        photograph: usize,
        /// Outline or seam.
        trace: Trace,
        /// Index within it.
        index: usize,
        /// Its distance, px.
        residual_px: f64,
    },
    /// More than a fifth of an outline's or of all seams' points are left out: the rest may be the wrong ones.
    ManyLeftOut {
        /// The photograph.
        photograph: usize,
        /// The outline; otherwise all seams.
        outline: bool,
        /// Left out.
        out: usize,
        /// Of so many.
        of: usize,
    },
    /// A landmark lies elsewhere than it is said to, or is marked in the wrong place.
    Landmark {
        /// Index into the landmarks.
        landmark: usize,
        /// How far it would have to lie off, mm.
        moved_mm: [f64; 3],
        /// In its own deviations.
        strain: f64,
        /// Its largest distance on a photograph, px.
        residual_px: f64,
    },
    /// The residuals are more than noise: the form has features that this model cannot take, or the lines that count as known
    /// are not right. The band was widened; where the form is not superelliptic it may still be too narrow.
    Strained(Fit),
    /// A function had to go further from the sketch than its prior makes likely.
    FarFromSketch {
        /// The function.
        function: Function,
        /// Where it goes furthest, mm aft of the datum.
        station: f64,
        /// How far, in prior deviations at that station.
        deviations: f64,
    },
    /// The focal length had to go further than its trust makes likely.
    Focal {
        /// The photograph.
        photograph: usize,
        /// By which factor it changed.
        factor: f64,
        /// How far, in deviations of its trust.
        deviations: f64,
    },
    /// No seam is traced and sections count as superelliptic: an outline touches each section in two places, and between them the
    /// band says only how far a superellipse could differ. A seam shows the section itself; a prior
    /// [`departure`](crate::sketch::Priors::departure) widens the band.
    ShapeOnTrust,
    /// Points of the outline show places beyond an end of the form.
    BeyondEnd {
        /// The photograph.
        photograph: usize,
        /// How many.
        points: usize,
    },
}

impl Finding {
    /// Whether what was found can hardly be so: something else was probably traced, marked or drawn, and the band does not
    /// hold what that does to the form.
    pub fn is_grave(&self) -> bool {
        match self {
            Self::FarFromSketch { deviations, .. } | Self::Focal { deviations, .. } => *deviations > GRAVE,
            Self::Strained(fit) => fit.widened > GRAVELY_WIDENED,
            Self::ManyLeftOut { .. } => true,
            Self::LeftOut { .. } | Self::Landmark { .. } | Self::ShapeOnTrust | Self::BeyondEnd { .. } => false,
        }
    }
}

/// Deviations from which something is hardly so.
const GRAVE: f64 = 4.0;
/// Closeness widened by more than this is not that of what the builder believes to have traced.
const GRAVELY_WIDENED: f64 = 3.0;
/// At most one landmark in so many may be wrong: a single one is told and left aside, more pull the camera along.
const WRONG_LANDMARKS: usize = 3;

/// Whether the findings say that the solve is not to be relied on, whatever its band.
pub(crate) fn doubtful(findings: &[Finding], landmarks: usize) -> bool {
    let wrong = findings.iter().filter(|f| matches!(f, Finding::Landmark { .. })).count();
    findings.iter().any(Finding::is_grave) || WRONG_LANDMARKS * wrong > landmarks
}

/// Deviations from which something is unlikely enough to be told.
const UNLIKELY: f64 = 3.0;
/// Landmarks are many and each has three chances.
const UNLIKELY_LANDMARK: f64 = 4.0;
/// Stations at which functions are looked at.
const LOOKS: usize = 24;

pub(crate) fn findings(
    task: &Task,
    settled: &Settled,
    observations: &[Observation],
    landmarks: &[LandmarkAfter],
) -> Vec<Finding> {
    let mut out = Vec::new();
    out.extend(observations.iter().filter(|o| o.left_out).map(|o| Finding::LeftOut {
        photograph: o.photograph,
        trace: o.trace,
        index: o.index,
        residual_px: o.residual_px,
    }));
    out.extend(many_left_out(settled));
    out.extend((0..landmarks.len()).filter_map(|i| landmark(task, settled, &landmarks[i], i)));
    out.extend(settled.fits.iter().filter(|f| f.is_strained()).map(|f| Finding::Strained(*f)));
    out.extend(task.model.functions().iter().filter_map(|f| far_from_sketch(task, settled, *f)));
    out.extend((0..task.photographs.len()).filter_map(|k| focal(task, settled, k)));
    let no_seam = task.photographs.iter().all(|p| p.seams.iter().all(|s| s.pixels.is_empty()));
    out.extend((no_seam && task.model.priors().departure == 0.0).then_some(Finding::ShapeOnTrust));
    out.extend((0..task.photographs.len()).filter_map(|k| beyond_end(task, observations, k)));
    out
}

fn many_left_out(settled: &Settled) -> impl Iterator<Item = Finding> + '_ {
    settled.groups.iter().enumerate().filter_map(|(number, group)| {
        let mine = || settled.points.iter().zip(&settled.memory).filter(move |(p, _)| p.group == number);
        let (of, out) = (mine().count(), mine().filter(|(_, m)| m.left_out).count());
        let finding = Finding::ManyLeftOut { photograph: group.photograph, outline: group.outline, out, of };
        (5 * out > of).then_some(finding)
    })
}

fn landmark(task: &Task, settled: &Settled, after: &LandmarkAfter, landmark: usize) -> Option<Finding> {
    let mut residual_px = 0.0_f64;
    let mut worst = 0.0_f64;
    for (photograph, residuals) in task.photographs.iter().zip(&settled.look.sightings) {
        for (_, r) in photograph.sightings.iter().zip(residuals).filter(|(s, _)| s.landmark == landmark) {
            residual_px = residual_px.max(r.norm());
            worst = worst.max(r.norm() / photograph.landmark_sigma);
        }
    }
    let unlikely = after.strain > UNLIKELY_LANDMARK || worst > UNLIKELY_LANDMARK;
    unlikely.then_some(Finding::Landmark { landmark, moved_mm: after.moved_mm, strain: after.strain, residual_px })
}

fn far_from_sketch(task: &Task, settled: &Settled, function: Function) -> Option<Finding> {
    let (low, high) = task.model.range();
    let shape = task.model.shape(&settled.state.form);
    let at = |i: usize| low + (high - low) * (i as f64 + 0.5) / LOOKS as f64;
    let strain = |x: f64| {
        let prior = task.model.looseness(x) * task.model.priors().of(function);
        shape.deviation(function, x).0.abs() / prior
    };
    let all = (0..LOOKS).map(|i| (at(i), strain(at(i))));
    let (station, deviations) = all.max_by(|a, b| a.1.total_cmp(&b.1))?;
    (deviations > UNLIKELY).then_some(Finding::FarFromSketch { function, station, deviations })
}

fn focal(task: &Task, settled: &Settled, photograph: usize) -> Option<Finding> {
    let CameraTrust::Sought { focal_share } = task.photographs[photograph].trust else { return None };
    let factor = settled.state.poses[photograph].camera().focal_px / task.photographs[photograph].camera.focal_px;
    let deviations = factor.ln().abs() / focal_share;
    (deviations > UNLIKELY).then_some(Finding::Focal { photograph, factor, deviations })
}

fn beyond_end(task: &Task, observations: &[Observation], photograph: usize) -> Option<Finding> {
    let (low, high) = task.model.range();
    let slack = 0.1 * BEYOND * (high - low);
    let outside = |o: &&Observation| o.spot.is_some_and(|s| s.x < low - slack || s.x > high + slack);
    let mine = observations.iter().filter(|o| o.photograph == photograph && !o.left_out);
    let points = mine.filter(outside).count();
    (points > 0).then_some(Finding::BeyondEnd { photograph, points })
}
