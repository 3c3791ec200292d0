//! What a solve found, how far it is to be trusted, and where it came from.

use crate::finding::{Finding, doubtful, findings};
use crate::look::{Look, form_row};
use crate::misfit::Fit;
use crate::outline::Spot;
use crate::pose::MOVES;
use crate::shape::{Frame, Shape};
use crate::sketch::Function;
use crate::state::{Layout, State};
use crate::task::Task;
use crate::traced::{Group, Memory, Point, Trace};
use nalgebra::{DMatrix, DVector};
use photo::Camera;

/// Where a search came to rest.
#[derive(Clone, Debug)]
pub(crate) struct Settled {
    pub(crate) layout: Layout,
    pub(crate) groups: Vec<Group>,
    pub(crate) points: Vec<Point>,
    pub(crate) state: State,
    pub(crate) memory: Vec<Memory>,
    pub(crate) look: Look,
    pub(crate) fits: Vec<Fit>,
}

/// The form and the cameras after a solve.
#[derive(Clone, Debug)]
pub struct Solution {
    pub(crate) task: Task,
    pub(crate) settled: Settled,
    /// Of all unknowns.
    pub(crate) covariance: DMatrix<f64>,
    observations: Vec<Observation>,
    cameras: Vec<CameraAfter>,
    landmarks: Vec<LandmarkAfter>,
    findings: Vec<Finding>,
}

/// A traced point and what became of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// The photograph, counted from 0.
    pub photograph: usize,
    /// Outline or seam.
    pub trace: Trace,
    /// Index within the outline or the seam.
    pub index: usize,
    /// Distance from the projected outline or seam, px; positive outside the form's outline.
    pub residual_px: f64,
    /// It lies too far off to count.
    pub left_out: bool,
    /// The place of the form that it shows; `None` for a point left out that shows none.
    pub spot: Option<Spot>,
}

/// A camera after a solve.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraAfter {
    /// The camera.
    pub camera: Camera,
    /// How closely it is known; `None` where it was taken as exact.
    pub sigma: Option<CameraSigma>,
    /// Pixel residuals (projected less marked) of its sightings, in their order; empty where the camera was exact.
    pub sightings_px: Vec<[f64; 2]>,
}

/// How closely a camera is known, one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraSigma {
    /// Turning about the camera's right, down and forward axes, degrees.
    pub turn_deg: [f64; 3],
    /// Place of the form's middle against the camera, right, down and forward, mm.
    pub shift_mm: [f64; 3],
    /// Focal length, px.
    pub focal_px: f64,
}

/// A landmark after a solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandmarkAfter {
    /// How far it lies from where it was said to lie, mm.
    pub moved_mm: [f64; 3],
    /// The same in its own standard deviations.
    pub strain: f64,
    /// Whether any sought camera sees it.
    pub used: bool,
}

/// A section before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionChange {
    /// mm aft of the datum.
    pub station: f64,
    /// As drawn.
    pub before: SectionNumbers,
    /// As solved.
    pub after: SectionNumbers,
    /// Half-breadths by height, from keel to crown.
    pub rows: Vec<HeightRow>,
}

/// The numbers of one superelliptic section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionNumbers {
    /// Half-breadth, mm.
    pub breadth: f64,
    /// Breadth height, z mm.
    pub breadth_height: f64,
    /// Exponent above the breadth.
    pub above: f64,
    /// Exponent below the breadth.
    pub below: f64,
}

impl From<&Frame> for SectionNumbers {
    fn from(frame: &Frame) -> Self {
        Self {
            breadth: frame.breadth.0,
            breadth_height: frame.middle.0,
            above: frame.exponents[0].0,
            below: frame.exponents[1].0,
        }
    }
}

/// One height of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightRow {
    /// z, mm.
    pub z: f64,
    /// Half-breadth as drawn, mm.
    pub before: f64,
    /// Half-breadth as solved, mm.
    pub after: f64,
    /// Predicted standard deviation of the solved half-breadth at this height, mm.
    pub sigma: f64,
    /// What it was before the photographs spoke, mm.
    pub prior_sigma: f64,
}

/// How much of a value the photographs say and how much is the prior's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Grade {
    /// The deviation has shrunk below a third: the photographs say it.
    Measured,
    /// In between.
    Partly,
    /// More than 0.8 of the deviation is left: it is as good as drawn.
    Guessed,
}

impl Grade {
    /// By the ratio of the deviation after to that before.
    pub fn of(ratio: f64) -> Self {
        if ratio < 1.0 / 3.0 {
            Self::Measured
        } else if ratio <= 0.8 {
            Self::Partly
        } else {
            Self::Guessed
        }
    }
}

/// An unknown function at one station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FunctionTrust {
    /// The function.
    pub function: Function,
    /// mm aft of the datum.
    pub station: f64,
    /// By how much it deviates from the sketch, in its own unit.
    pub deviation: f64,
    /// Predicted standard deviation.
    pub sigma: f64,
    /// The prior's standard deviation.
    pub prior_sigma: f64,
}

impl FunctionTrust {
    /// Deviation after by deviation before: 0 measured, 1 guessed.
    pub fn ratio(&self) -> f64 {
        self.sigma / self.prior_sigma
    }

    /// In a word.
    pub fn grade(&self) -> Grade {
        Grade::of(self.ratio())
    }
}

impl Solution {
    pub(crate) fn new(task: Task, settled: Settled, covariance: DMatrix<f64>) -> Self {
        let observations = observations(&settled);
        let cameras = cameras(&settled, &covariance);
        let landmarks = landmarks(&task, &settled);
        let findings = findings(&task, &settled, &observations, &landmarks);
        Self { task, settled, covariance, observations, cameras, landmarks, findings }
    }

    /// The form as solved.
    pub fn shape(&self) -> Shape<'_> {
        self.task.model.shape(&self.settled.state.form)
    }

    /// The form as drawn.
    pub fn drawn(&self) -> Shape<'_> {
        self.task.model.shape(&[])
    }

    /// What the solve was given.
    pub fn task(&self) -> &Task {
        &self.task
    }

    /// The form's unknowns in prior deviations, function by function.
    pub fn unknowns(&self) -> &[f64] {
        &self.settled.state.form
    }

    /// Every traced point, photograph by photograph.
    pub fn observations(&self) -> &[Observation] {
        &self.observations
    }

    /// The cameras, photograph by photograph.
    pub fn cameras(&self) -> &[CameraAfter] {
        &self.cameras
    }

    /// The landmarks, in the order of the task.
    pub fn landmarks(&self) -> &[LandmarkAfter] {
        &self.landmarks
    }

    /// How each photograph's outline and seams are followed.
    pub fn fits(&self) -> &[Fit] {
        &self.settled.fits
    }

    /// What the builder should look at.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Whether what was found says that the solve is not to be relied on, whatever its band: something else than the form was
    /// probably traced, or what was drawn and marked does not go with it.
    pub fn is_doubtful(&self) -> bool {
        doubtful(&self.findings, self.landmarks.iter().filter(|l| l.used).count())
    }

    /// The section at a station before and after at `count` heights evenly between keel and crown, both left out; `None` where
    /// the form has no section.
    ///
    /// The deviation is that of the half-breadth at the fixed height, to first order; close to crown and keel, where a section
    /// lies level, it grows without meaning much.
    pub fn section(&self, station: f64, count: usize) -> Option<SectionChange> {
        let (low, high) = self.task.model.range();
        let slack = 1e-6 * (high - low);
        if !(station >= low - slack && station <= high + slack) {
            return None;
        }
        let (before, after) = (self.drawn().frame(station)?, self.shape().frame(station)?);
        let (crown, keel) = after.span();
        let height = |i: usize| keel + (crown - keel) * (i as f64 + 1.0) / (count as f64 + 1.0);
        let misfit = self.misfit() * self.task.model.looseness(station);
        let row = |z: f64| {
            let (own, drawn) = (half_breadth_row(self, &after, z)?, half_breadth_row(self, &before, z)?);
            Some(HeightRow {
                z,
                before: before.half_breadth(z)?,
                after: after.half_breadth(z)?,
                sigma: self.sigma(&own).hypot(misfit),
                prior_sigma: drawn.norm(),
            })
        };
        let rows = (0..count).filter_map(|i| row(height(i))).collect();
        let (before, after) = (SectionNumbers::from(&before), SectionNumbers::from(&after));
        Some(SectionChange { station, before, after, rows })
    }

    /// By how much the form misses what was traced beside noise, mm at its middle; 0 where it follows it. The band holds it,
    /// less towards end sections that are given.
    pub fn misfit(&self) -> f64 {
        let of = |fit: &Fit| {
            let pose = &self.settled.state.poses[fit.photograph];
            fit.misfit_px() * pose.depth() / pose.camera().focal_px
        };
        self.settled.fits.iter().map(of).fold(0.0, f64::max)
    }

    /// What is measured and what is guessed of every unknown function at a station; empty at given end sections.
    pub fn trust(&self, station: f64) -> Vec<FunctionTrust> {
        let model = &self.task.model;
        let (shape, shares) = (self.shape(), model.shares(station));
        let of = |(f, function): (usize, &Function)| {
            let prior = model.priors().of(*function);
            let mut row = DVector::zeros(self.settled.layout.form);
            shares.iter().enumerate().for_each(|(j, share)| row[f * shares.len() + j] = share * prior);
            let trust = FunctionTrust {
                function: *function,
                station,
                deviation: shape.deviation(*function, station).0,
                sigma: self.sigma(&row),
                prior_sigma: row.norm(),
            };
            (trust.prior_sigma > 1e-3 * prior).then_some(trust)
        };
        model.functions().iter().enumerate().filter_map(of).collect()
    }

    /// Standard deviation of a linear measure of the form's unknowns.
    fn sigma(&self, row: &DVector<f64>) -> f64 {
        let count = self.settled.layout.form;
        let covariance = self.covariance.view((0, 0), (count, count));
        row.dot(&(covariance * row)).max(0.0).sqrt()
    }
}

/// How the half-breadth at a height answers to the form's unknowns.
pub(crate) fn half_breadth_row(solution: &Solution, frame: &Frame, z: f64) -> Option<DVector<f64>> {
    let angle = frame.angle_at(z)?;
    let slope = frame.place(angle).by_angle;
    let mut row = DVector::zeros(solution.settled.layout.form);
    form_row(&solution.task.model, frame, angle, [1.0, -slope.y / slope.z], row.as_mut_slice());
    row.iter().all(|v| v.is_finite()).then_some(row)
}

fn observations(settled: &Settled) -> Vec<Observation> {
    let all = settled.points.iter().zip(&settled.look.contacts).zip(&settled.memory);
    all.map(|((point, contact), memory)| Observation {
        photograph: point.photograph,
        trace: point.trace,
        index: point.index,
        residual_px: contact.as_ref().map_or(f64::INFINITY, |c| c.residual),
        left_out: memory.left_out,
        spot: contact.as_ref().map(|c| c.spot),
    })
    .collect()
}

fn cameras(settled: &Settled, covariance: &DMatrix<f64>) -> Vec<CameraAfter> {
    let of = |(k, pose): (usize, &crate::pose::Pose)| {
        let sigma = settled.layout.cameras[k].map(|at| {
            let own: [f64; MOVES] = std::array::from_fn(|m| covariance[(at + m, at + m)].max(0.0).sqrt());
            CameraSigma {
                turn_deg: [0, 1, 2].map(|m| own[m].to_degrees()),
                shift_mm: [3, 4, 5].map(|m| own[m] * pose.depth()),
                focal_px: own[6] * pose.camera().focal_px,
            }
        });
        let sightings_px = settled.look.sightings[k].iter().map(|r| [r.x, r.y]).collect();
        CameraAfter { camera: *pose.camera(), sigma, sightings_px }
    };
    settled.state.poses.iter().enumerate().map(of).collect()
}

fn landmarks(task: &Task, settled: &Settled) -> Vec<LandmarkAfter> {
    let sees = |i: usize| {
        let sought = task.photographs.iter().filter(|p| p.is_sought());
        sought.flat_map(|p| &p.sightings).any(|s| s.landmark == i)
    };
    let of = |(i, offset): (usize, &nalgebra::Vector3<f64>)| LandmarkAfter {
        moved_mm: std::array::from_fn(|m| offset[m] * task.landmarks[i].sigma[m]),
        strain: offset.norm(),
        used: sees(i),
    };
    settled.state.offsets.iter().enumerate().map(of).collect()
}
