//! Levenberg-Marquardt over all unknowns (Nocedal and Wright, *Numerical Optimization*, 2nd ed. 2006, section 10.3), with the
//! damping scaled by the equations' own diagonal (Marquardt 1963).

use crate::error::SightError;
use crate::look::{Look, Scene};
use crate::outline::Sight;
use crate::state::State;
use crate::traced::{Memory, Trace};
use nalgebra::{Cholesky, Dyn};

/// Most steps of one descent.
const STEPS: usize = 40;
/// A descent is done when the next step promises less than this, in squared deviations.
const ENOUGH: f64 = 1e-5;
/// A nearer place of the edge counts as found when it is nearer by this, px.
const NEARER: f64 = 0.25;
/// Most looks for nearer places in one search.
const LOOKS: usize = 4;

/// Told how many steps were taken; says whether to go on.
pub(crate) type Tick<'a> = &'a mut dyn FnMut() -> bool;

/// Where a search stands.
pub(crate) struct Search<'a> {
    pub(crate) scene: Scene<'a>,
    pub(crate) state: State,
    pub(crate) memory: Vec<Memory>,
    /// Steps taken.
    pub(crate) steps: usize,
}

impl Search<'_> {
    /// Cameras from landmarks alone: where the search begins.
    pub(crate) fn cameras_first(&mut self, tick: Tick<'_>) -> Result<(), SightError> {
        self.descend(false, tick).map(drop)
    }

    /// Descends, looks over the whole edge whether a point shows a nearer place, and descends again until none does.
    pub(crate) fn settle(&mut self, tick: Tick<'_>) -> Result<Look, SightError> {
        let mut look = self.descend(true, tick)?;
        for _ in 0..LOOKS {
            if !self.rescan(&look) {
                break;
            }
            look = self.descend(true, tick)?;
        }
        Ok(look)
    }

    fn descend(&mut self, traced: bool, tick: Tick<'_>) -> Result<Look, SightError> {
        let mut look = self.scene.look(&self.state, &self.memory, traced).ok_or_else(|| self.unseen())?;
        let mut damping = 1e-3;
        for _ in 0..STEPS {
            if !tick() {
                return Err(SightError::Cancelled);
            }
            self.steps += 1;
            self.remember(&look);
            let normal = self.scene.normal(&self.state, &look, &self.memory).ok_or(SightError::Singular)?;
            let mut promised = f64::INFINITY;
            let mut next = None;
            while next.is_none() && damping < 1e12 && promised > ENOUGH {
                let mut matrix = normal.matrix.clone();
                (0..matrix.nrows()).for_each(|i| matrix[(i, i)] *= 1.0 + damping);
                let step = -Cholesky::new(matrix).ok_or(SightError::Singular)?.solve(&normal.slope);
                promised = -(step.dot(&normal.slope) * 2.0 + step.dot(&(&normal.matrix * &step)));
                let state = self.state.moved(&self.scene.layout, &step);
                let seen = self.scene.look(&state, &self.memory, traced);
                next = seen.filter(|l| l.cost < look.cost).map(|l| (state, l));
                damping *= if next.is_some() { 0.1 } else { 8.0 };
            }
            damping = damping.max(1e-9);
            match next {
                Some((state, better)) => (self.state, look) = (state, better),
                None => break,
            }
            if promised < ENOUGH {
                break;
            }
        }
        self.remember(&look);
        Ok(look)
    }

    fn remember(&mut self, look: &Look) {
        for (memory, contact) in self.memory.iter_mut().zip(&look.contacts) {
            memory.spot = contact.as_ref().map(|c| c.spot).or(memory.spot);
        }
    }

    /// Whether a point shows a nearer place than the remembered one.
    fn rescan(&mut self, look: &Look) -> bool {
        let shape = self.scene.task.model.shape(&self.state.form);
        let sights: Vec<Sight<'_>> = self.state.poses.iter().map(|pose| Sight::new(&shape, pose)).collect();
        let edges: Vec<_> = sights.iter().map(Sight::edge).collect();
        let mut found = false;
        for ((point, contact), memory) in self.scene.points.iter().zip(&look.contacts).zip(&mut self.memory) {
            let sight = &sights[point.photograph];
            let other = match point.trace {
                Trace::Outline => sight.contact_from(point.pixel, &edges[point.photograph]),
                Trace::Seam(_) => sight.nearest_on_seam(point.pixel, point.station, None),
            };
            let now = contact.as_ref().map_or(f64::INFINITY, |c| c.residual.abs());
            if let Some(other) = other.filter(|o| o.residual.abs() < now - NEARER) {
                memory.spot = Some(other.spot);
                found |= !memory.left_out;
            }
        }
        found
    }

    /// Why nothing can be seen.
    fn unseen(&self) -> SightError {
        let shape = self.scene.task.model.shape(&self.state.form);
        let hidden = |pose| Sight::new(&shape, pose).edge().is_empty();
        SightError::CameraBehind(self.state.poses.iter().position(hidden).unwrap_or(0) + 1)
    }

    /// The root of the normal equations where the search stands; its inverse is the covariance of all unknowns.
    pub(crate) fn root(&self, look: &Look) -> Result<Cholesky<f64, Dyn>, SightError> {
        let normal = self.scene.normal(&self.state, look, &self.memory).ok_or(SightError::Singular)?;
        Cholesky::new(normal.matrix).ok_or(SightError::Singular)
    }
}
