//! The unknowns of one solve in a row: the form's, each sought camera's seven, each landmark's three.

use crate::pose::{MOVES, Pose};
use crate::task::Task;
use nalgebra::{DVector, Vector3};

/// Where each unknown stands in the row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layout {
    /// The form's unknowns are the first.
    pub(crate) form: usize,
    /// First of each camera's seven; `None` for exact cameras.
    pub(crate) cameras: Vec<Option<usize>>,
    /// First of each landmark's three; `None` where no sought camera sees it or it is exact.
    pub(crate) landmarks: Vec<Option<usize>>,
    /// Length of the row.
    pub(crate) total: usize,
}

impl Layout {
    pub(crate) fn new(task: &Task) -> Self {
        let form = task.model.unknowns();
        let mut total = form;
        let mut take = |count: usize| {
            total += count;
            total - count
        };
        let cameras = task.photographs.iter().map(|p| p.is_sought().then(|| take(MOVES))).collect();
        let sought = || task.photographs.iter().filter(|p| p.is_sought());
        let seen = |i: usize| sought().flat_map(|p| &p.sightings).any(|s| s.landmark == i);
        let loose = |i: usize| seen(i) && task.landmarks[i].sigma.iter().any(|s| *s > 0.0);
        let landmarks = (0..task.landmarks.len()).map(|i| loose(i).then(|| take(3))).collect();
        Self { form, cameras, landmarks, total }
    }
}

/// One choice of all unknowns.
#[derive(Clone, Debug)]
pub(crate) struct State {
    /// The form's, in prior deviations.
    pub(crate) form: Vec<f64>,
    pub(crate) poses: Vec<Pose>,
    /// How far each landmark lies from where it is said to lie, in its own deviations.
    pub(crate) offsets: Vec<Vector3<f64>>,
}

impl State {
    /// As drawn.
    pub(crate) fn start(task: &Task) -> Self {
        let (low, high) = task.model.range();
        let x = 0.5 * (low + high);
        let sketch = task.model.sketch();
        let pivot = Vector3::new(x, 0.0, 0.5 * (sketch.crown.at(x).value + sketch.keel.at(x).value));
        Self {
            form: vec![0.0; task.model.unknowns()],
            poses: task.photographs.iter().map(|p| Pose::new(&p.camera, pivot)).collect(),
            offsets: vec![Vector3::zeros(); task.landmarks.len()],
        }
    }

    pub(crate) fn moved(&self, layout: &Layout, by: &DVector<f64>) -> Self {
        let by = by.as_slice();
        let pose = |(pose, at): (&Pose, &Option<usize>)| at.map_or(*pose, |at| pose.moved(&by[at..at + MOVES]));
        let offset = |(offset, at): (&Vector3<f64>, &Option<usize>)| {
            at.map_or(*offset, |at| offset + Vector3::from_column_slice(&by[at..at + 3]))
        };
        Self {
            form: self.form.iter().zip(by).map(|(a, b)| a + b).collect(),
            poses: self.poses.iter().zip(&layout.cameras).map(pose).collect(),
            offsets: self.offsets.iter().zip(&layout.landmarks).map(offset).collect(),
        }
    }

    /// Where a landmark lies by this choice, mm.
    pub(crate) fn landmark(&self, task: &Task, index: usize) -> Vector3<f64> {
        let landmark = &task.landmarks[index];
        Vector3::from(landmark.place) + Vector3::from(landmark.sigma).component_mul(&self.offsets[index])
    }

    /// What moves this choice to another.
    pub(crate) fn moves_to(&self, layout: &Layout, other: &Self) -> DVector<f64> {
        let mut by = DVector::zeros(layout.total);
        self.form.iter().zip(&other.form).enumerate().for_each(|(j, (a, b))| by[j] = b - a);
        for ((pose, there), at) in self.poses.iter().zip(&other.poses).zip(&layout.cameras) {
            if let Some(at) = at {
                pose.moves_to(there).iter().enumerate().for_each(|(m, v)| by[at + m] = *v);
            }
        }
        for ((offset, there), at) in self.offsets.iter().zip(&other.offsets).zip(&layout.landmarks) {
            if let Some(at) = at {
                (0..3).for_each(|m| by[at + m] = there[m] - offset[m]);
            }
        }
        by
    }
}
