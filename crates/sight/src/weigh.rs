//! How much the halves above and below the breadth differ is itself unknown. The form is settled for several deviations of the
//! split, each is weighed by its evidence, and what is reported is the mean over all of them, with the spread between
//! them in its deviation.
//!
//! Evidence after Laplace: log Z = -cost / 2 - log det H / 2 + log det P / 2, with the normal equations H and the prior's P
//! (MacKay, *Information Theory, Inference, and Learning Algorithms*, 2003, section 27). An outline alone hardly tells two
//! exponents apart; but a form with one exponent seldom looks like one with two, and this is what says so.

use crate::error::SightError;
use crate::look::Look;
use crate::search::{Search, Tick};
use crate::sketch::Function;
use crate::state::State;
use crate::traced::Memory;
use nalgebra::{DMatrix, DVector};

/// Deviations of the split that are tried, as shares of its prior's.
const TRIED: [f64; 3] = [1.0, 0.3, 0.08];
/// What weighs less than this is left out.
const NEGLIGIBLE: f64 = 1e-4;

struct Trial {
    state: State,
    memory: Vec<Memory>,
    covariance: DMatrix<f64>,
    evidence: f64,
}

/// Leaves the search at the mean of all that were tried; gives what is seen there and the covariance of all unknowns.
pub(crate) fn weigh(search: &mut Search<'_>, look: Look, tick: Tick<'_>) -> Result<(Look, DMatrix<f64>), SightError> {
    let model = &search.scene.task.model;
    let split = model.functions().iter().position(|f| *f == Function::Split);
    let (Some(place), true) = (split, model.priors().split_learnt) else {
        let covariance = search.root(&look)?.inverse();
        return Ok((look, covariance));
    };
    let each = model.unknowns() / model.functions().len();
    let mut trials = vec![trial(search, &look)?];
    for share in &TRIED[1..] {
        search.scene.looseness[place * each..(place + 1) * each].fill(*share);
        let look = search.settle(tick)?;
        trials.push(trial(search, &look)?);
    }
    search.scene.looseness.fill(1.0);
    mean(search, &trials, look)
}

fn trial(search: &Search<'_>, look: &Look) -> Result<Trial, SightError> {
    let root = search.root(look)?;
    let log_det: f64 = root.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
    let prior: f64 = search.scene.looseness.iter().map(|loose| -loose.ln()).sum();
    let evidence = prior - 0.5 * look.cost - log_det;
    Ok(Trial { state: search.state.clone(), memory: search.memory.clone(), covariance: root.inverse(), evidence })
}

fn mean(search: &mut Search<'_>, trials: &[Trial], first: Look) -> Result<(Look, DMatrix<f64>), SightError> {
    let Some(best) = trials.iter().max_by(|a, b| a.evidence.total_cmp(&b.evidence)) else {
        return Err(SightError::Singular);
    };
    let layout = &search.scene.layout;
    let weights: Vec<f64> = trials.iter().map(|t| (t.evidence - best.evidence).exp()).collect();
    let sum: f64 = weights.iter().sum();
    let parts: Vec<(f64, DVector<f64>, &Trial)> = weights
        .iter()
        .zip(trials)
        .map(|(w, t)| (w / sum, best.state.moves_to(layout, &t.state), t))
        .filter(|(w, ..)| *w > NEGLIGIBLE)
        .collect();
    let kept: f64 = parts.iter().map(|p| p.0).sum();
    let mut middle = DVector::zeros(layout.total);
    parts.iter().for_each(|(w, by, _)| middle += by * (w / kept));
    let mut covariance = DMatrix::zeros(layout.total, layout.total);
    for (w, by, trial) in &parts {
        let apart = by - &middle;
        covariance += (&trial.covariance + &apart * apart.transpose()) * (w / kept);
    }
    search.state = best.state.moved(layout, &middle);
    search.memory.clone_from(&best.memory);
    // The mean of possible forms may itself be impossible; then the widest trial stands, which came first.
    match search.scene.look(&search.state, &search.memory, true) {
        Some(look) => Ok((look, covariance)),
        None => {
            search.state = trials[0].state.clone();
            Ok((first, trials[0].covariance.clone()))
        }
    }
}
