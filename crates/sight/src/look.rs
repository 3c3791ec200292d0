//! What every observation says of one choice of the unknowns, and how its residual answers to each of them.

use crate::edge::Seen;
use crate::outline::{Contact, Sight};
use crate::pose::MOVES;
use crate::shape::{Frame, Model};
use crate::sketch::Function;
use crate::state::{Layout, State};
use crate::task::{CameraTrust, Task};
use crate::traced::{Group, Memory, Point, Trace};
use nalgebra::{DMatrix, DVector, Vector2};

/// Residuals beyond this many deviations count by their size instead of their square (Huber 1964).
pub(crate) const HUBER: f64 = 2.5;

/// All that stays the same during a search.
pub(crate) struct Scene<'a> {
    pub(crate) task: &'a Task,
    pub(crate) layout: Layout,
    pub(crate) points: Vec<Point>,
    pub(crate) groups: Vec<Group>,
    /// Prior deviation of each of the form's unknowns; 1 but where a function is held closer for a trial.
    pub(crate) looseness: Vec<f64>,
}

/// What is seen for one choice of the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct Look {
    /// Of each point; `None` for points that are left out and lie nowhere.
    pub(crate) contacts: Vec<Option<Contact>>,
    /// Of each sighting of each sought photograph, px.
    pub(crate) sightings: Vec<Vec<Vector2<f64>>>,
    /// Sum of all terms, in squared deviations.
    pub(crate) cost: f64,
}

/// The normal equations at one choice of the unknowns.
pub(crate) struct Normal {
    pub(crate) matrix: DMatrix<f64>,
    pub(crate) slope: DVector<f64>,
}

fn huber(squared: f64) -> f64 {
    if squared <= HUBER * HUBER { squared } else { 2.0 * HUBER * squared.sqrt() - HUBER * HUBER }
}

/// The weight under which the square has the slope of Huber's term.
pub(crate) fn weight(squared: f64) -> f64 {
    if squared <= HUBER * HUBER { 1.0 } else { HUBER / squared.sqrt() }
}

impl Scene<'_> {
    /// `traced` says whether traced points count, or only landmarks. `None` where the form is impossible, lies behind a
    /// camera, or a point shows nothing.
    pub(crate) fn look(&self, state: &State, memory: &[Memory], traced: bool) -> Option<Look> {
        let shape = self.task.model.shape(&state.form);
        shape.check().ok()?;
        let mut cost = state.form.iter().zip(&self.looseness).map(|(z, loose)| (z / loose).powi(2)).sum::<f64>();
        let contacts = if traced { self.contacts(state, memory)? } else { vec![None; self.points.len()] };
        for ((point, contact), memory) in self.points.iter().zip(&contacts).zip(memory) {
            if let Some(contact) = contact.filter(|_| !memory.left_out) {
                cost += huber((contact.residual / self.groups[point.group].used).powi(2));
            }
        }
        let mut sightings = Vec::new();
        for (k, photograph) in self.task.photographs.iter().enumerate() {
            let CameraTrust::Sought { focal_share } = photograph.trust else {
                sightings.push(Vec::new());
                continue;
            };
            cost += self.focal_strain(state, k, focal_share).powi(2);
            let of = |s: &crate::task::Sighting| {
                Some(state.poses[k].pixel(&state.landmark(self.task, s.landmark))? - Vector2::from(s.pixel))
            };
            let all: Vec<Vector2<f64>> = photograph.sightings.iter().map(of).collect::<Option<_>>()?;
            cost += all.iter().map(|r| huber(r.norm_squared() / photograph.landmark_sigma.powi(2))).sum::<f64>();
            sightings.push(all);
        }
        cost += state.offsets.iter().map(|o| huber(o.norm_squared())).sum::<f64>();
        cost.is_finite().then_some(Look { contacts, sightings, cost })
    }

    fn focal_strain(&self, state: &State, k: usize, share: f64) -> f64 {
        (state.poses[k].camera().focal_px / self.task.photographs[k].camera.focal_px).ln() / share
    }

    fn contacts(&self, state: &State, memory: &[Memory]) -> Option<Vec<Option<Contact>>> {
        let shape = self.task.model.shape(&state.form);
        let sights: Vec<Sight<'_>> = state.poses.iter().map(|pose| Sight::new(&shape, pose)).collect();
        let mut edges: Vec<Option<Vec<Seen>>> = vec![None; sights.len()];
        let mut out = Vec::with_capacity(self.points.len());
        for (point, memory) in self.points.iter().zip(memory) {
            let sight = &sights[point.photograph];
            let contact = match point.trace {
                Trace::Outline => sight.outline_contact(point, memory, &mut edges[point.photograph]),
                Trace::Seam(_) => sight.nearest_on_seam(point.pixel, point.station, memory.spot.map(|s| s.angle)),
            };
            if contact.is_none() && !memory.left_out {
                return None;
            }
            out.push(contact);
        }
        Some(out)
    }

    /// The derivative of a point's pixel distance by all unknowns.
    pub(crate) fn row(&self, state: &State, photograph: usize, contact: &Contact) -> Option<Vec<f64>> {
        let seen = state.poses[photograph].see(&contact.point)?;
        let mut row = vec![0.0; self.layout.total];
        let by_point = contact.normal.transpose() * seen.by_point;
        form_row(&self.task.model, &contact.frame, contact.spot.angle, [-by_point[1], -by_point[2]], &mut row);
        if let Some(at) = self.layout.cameras[photograph] {
            let by_moves = contact.normal.transpose() * seen.by_moves;
            (0..MOVES).for_each(|k| row[at + k] = -by_moves[k]);
        }
        Some(row)
    }

    /// Gauss-Newton's equations with Huber's weights.
    pub(crate) fn normal(&self, state: &State, look: &Look, memory: &[Memory]) -> Option<Normal> {
        let mut rows = Rows { width: self.layout.total, numbers: Vec::new(), residuals: Vec::new() };
        for ((point, contact), memory) in self.points.iter().zip(&look.contacts).zip(memory) {
            if let Some(contact) = contact.as_ref().filter(|_| !memory.left_out) {
                let sigma = self.groups[point.group].used;
                let r = contact.residual / sigma;
                let row = self.row(state, point.photograph, contact)?;
                rows.push(row, contact.residual, weight(r * r).sqrt() / sigma);
            }
        }
        self.landmark_rows(state, look, &mut rows)?;
        self.prior_rows(state, &mut rows);
        let jacobian = DMatrix::from_row_slice(rows.residuals.len(), rows.width, &rows.numbers);
        let residuals = DVector::from_vec(rows.residuals);
        Some(Normal { matrix: jacobian.tr_mul(&jacobian), slope: jacobian.tr_mul(&residuals) })
    }

    fn landmark_rows(&self, state: &State, look: &Look, rows: &mut Rows) -> Option<()> {
        for (k, photograph) in self.task.photographs.iter().enumerate() {
            let Some(at) = self.layout.cameras[k] else { continue };
            for (sighting, r) in photograph.sightings.iter().zip(&look.sightings[k]) {
                let i = sighting.landmark;
                let seen = state.poses[k].see(&state.landmark(self.task, i))?;
                let scale = 1.0 / photograph.landmark_sigma;
                let root = weight(r.norm_squared() * scale * scale).sqrt() * scale;
                for axis in 0..2 {
                    let mut row = vec![0.0; self.layout.total];
                    (0..MOVES).for_each(|m| row[at + m] = seen.by_moves[(axis, m)]);
                    if let Some(own) = self.layout.landmarks[i] {
                        let sigma = self.task.landmarks[i].sigma;
                        (0..3).for_each(|m| row[own + m] = seen.by_point[(axis, m)] * sigma[m]);
                    }
                    rows.push(row, r[axis], root);
                }
            }
        }
        Some(())
    }

    fn prior_rows(&self, state: &State, rows: &mut Rows) {
        let total = self.layout.total;
        let unit = |at: usize| {
            let mut row = vec![0.0; total];
            row[at] = 1.0;
            row
        };
        for (j, (z, loose)) in state.form.iter().zip(&self.looseness).enumerate() {
            rows.push(unit(j), *z, 1.0 / loose);
        }
        for (offset, own) in state.offsets.iter().zip(&self.layout.landmarks) {
            let root = weight(offset.norm_squared()).sqrt();
            if let Some(own) = own {
                (0..3).for_each(|m| rows.push(unit(own + m), offset[m], root));
            }
        }
        for (k, photograph) in self.task.photographs.iter().enumerate() {
            if let (Some(at), CameraTrust::Sought { focal_share }) = (self.layout.cameras[k], photograph.trust) {
                let strain = self.focal_strain(state, k, focal_share);
                rows.push(unit(at + MOVES - 1), strain * focal_share, 1.0 / focal_share);
            }
        }
    }
}

/// Adds how a place's (y, z), weighted by `by`, answers to the form's unknowns.
pub(crate) fn form_row(model: &Model, frame: &Frame, angle: f64, by: [f64; 2], row: &mut [f64]) {
    let answers = frame.by_functions(angle);
    let shares = model.shares(frame.x);
    for (f, function) in model.functions().iter().enumerate() {
        let answer = answers[*function as usize];
        let rate = (by[0] * answer[0] + by[1] * answer[1]) * model.priors().of(*function);
        let own = &mut row[f * shares.len()..(f + 1) * shares.len()];
        own.iter_mut().zip(&shares).for_each(|(r, share)| *r += rate * share);
    }
}

/// Functions stand in the order of [`Function::ALL`], which is the order of their numbers.
const _: () = assert!(Function::Exponent as usize == 0 && Function::BelowCorners as usize == 7);

struct Rows {
    width: usize,
    numbers: Vec<f64>,
    residuals: Vec<f64>,
}

impl Rows {
    fn push(&mut self, row: Vec<f64>, residual: f64, root_weight: f64) {
        self.numbers.extend(row.into_iter().map(|v| v * root_weight));
        self.residuals.push(residual * root_weight);
    }
}

impl Sight<'_> {
    /// From the remembered place, or from the nearest place of the whole edge.
    fn outline_contact(&self, point: &Point, memory: &Memory, edge: &mut Option<Vec<Seen>>) -> Option<Contact> {
        if let Some(contact) = memory.spot.and_then(|spot| self.nearest(point.pixel, spot)) {
            return Some(contact);
        }
        self.contact_from(point.pixel, edge.get_or_insert_with(|| self.edge()))
    }

    /// From the nearest place of the edge; where Newton finds no nearer one, that place itself.
    pub(crate) fn contact_from(&self, pixel: Vector2<f64>, edge: &[Seen]) -> Option<Contact> {
        let distance = |e: &Seen| (pixel - e.1).norm_squared();
        let (spot, _) = edge.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
        self.nearest(pixel, *spot).or_else(|| self.contact(pixel, *spot))
    }
}
