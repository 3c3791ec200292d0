//! How much the halves above and below the breadth differ is itself unknown, and so is how far sections depart from
//! superelliptic ones. The form is settled for several deviations of the split and of the departure, each is weighed by its
//! evidence, and what is reported is the mean over all of them, with the spread between them in its deviation.
//!
//! Evidence after Laplace: log Z = -cost / 2 - log det H / 2 + log det P / 2, with the normal equations H and the prior's P
//! (MacKay, *Information Theory, Inference, and Learning Algorithms*, 2003, section 27). An outline alone hardly tells two
//! exponents apart; but a form with one exponent seldom looks like one with two, and this is what says so. As little does
//! it tell a departure from an exponent station by station; but a superelliptic form seldom looks like one that departs.
//! All choices are alike likely before anything is seen, but where the drawn form departs itself: then none is not among
//! them, as who draws a knuckle does not hold the sections to be superelliptic.

use crate::error::SightError;
use crate::look::Look;
use crate::search::{Search, Tick};
use crate::shape::Model;
use crate::sketch::Function;
use crate::state::State;
use crate::traced::Memory;
use nalgebra::{DMatrix, DVector};

/// Deviations of the split that are tried, as shares of its prior's.
const SPLITS: [f64; 3] = [1.0, 0.3, 0.08];
/// Deviations of the departure that are tried, as shares of its prior's; the last is as good as none.
const DEPARTURES: [f64; 3] = [1.0, 0.3, 0.03];
/// The drawn form departs when it does so by this share of the departure's prior deviation.
const DEPARTS: f64 = 0.5;
/// What weighs less than this is left out.
const NEGLIGIBLE: f64 = 1e-4;

/// One choice of what is not known of the priors themselves.
struct Choice {
    split: f64,
    departure: f64,
}

struct Trial {
    state: State,
    memory: Vec<Memory>,
    covariance: DMatrix<f64>,
    evidence: f64,
}

/// Leaves the search at the mean of all that were tried; gives what is seen there and the covariance of all unknowns.
pub(crate) fn weigh(search: &mut Search<'_>, look: Look, tick: Tick<'_>) -> Result<(Look, DMatrix<f64>), SightError> {
    let choices = choices(&search.scene.task.model);
    let mut trials = vec![trial(search, &look)?];
    for choice in &choices[1..] {
        search.scene.looseness = looseness(&search.scene.task.model, choice);
        let look = search.settle(tick)?;
        trials.push(trial(search, &look)?);
    }
    search.scene.looseness.fill(1.0);
    mean(search, &trials, look)
}

/// All that are tried, the loosest first. They go from one to its neighbour, so that each descent is short.
fn choices(model: &Model) -> Vec<Choice> {
    let priors = model.priors();
    let tried = |learnt: bool, all: &'static [f64]| if learnt { all } else { &all[..1] };
    let splits = tried(priors.split_learnt && priors.split > 0.0, &SPLITS);
    let possible = DEPARTURES.len() - usize::from(model.drawn_departs(DEPARTS * priors.departure));
    let departures = tried(priors.departure_learnt && priors.departure > 0.0, &DEPARTURES[..possible]);
    let mut out = Vec::new();
    for (turn, departure) in departures.iter().enumerate() {
        let row = splits.iter().map(|split| Choice { split: *split, departure: *departure });
        if turn % 2 == 0 { out.extend(row) } else { out.extend(row.rev()) }
    }
    out
}

/// Deviations of the unknowns under a choice, as shares of their prior's.
fn looseness(model: &Model, choice: &Choice) -> Vec<f64> {
    let each = model.unknowns() / model.functions().len();
    let of = |function: &Function| match function {
        Function::Split => choice.split,
        f if f.is_departure() => choice.departure,
        _ => 1.0,
    };
    model.functions().iter().flat_map(|f| std::iter::repeat_n(of(f), each)).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawn::Drawn;
    use crate::sketch::{Priors, Sketch, blend};

    /// How many are tried, and the least departure, where the drawn form is this far from superelliptic at most.
    fn tried(departure_learnt: bool, swollen: f64) -> (usize, f64) {
        let flat = |value: f64| blend((0.0, value), (400.0, value)).unwrap();
        let (above, below) = (flat(2.2), flat(2.2));
        let (crown, keel, breadth, breadth_height) = (flat(90.0), flat(-90.0), flat(100.0), flat(0.0));
        let sketch = Sketch { crown, keel, breadth, breadth_height, above, below };
        let priors = Priors { departure: 0.01, departure_learnt, ..Priors::usual(4.0, true) };
        let drawn = Drawn::read((0.0, 400.0), |_, angles| {
            let half: Vec<f64> = angles.iter().map(|psi| 1.0 + swollen * (4.0 * psi).sin()).collect();
            Some([half.clone(), half])
        });
        let choices = choices(&Model::new(sketch, priors).unwrap().with_drawn(drawn));
        (choices.len(), choices.iter().map(|c| c.departure).fold(1.0, f64::min))
    }

    #[test]
    fn where_the_drawn_form_departs_none_is_not_among_what_is_tried() {
        assert_eq!(tried(false, 0.0), (SPLITS.len(), 1.0));
        assert_eq!(tried(true, 0.0), (9, 0.03));
        // The root mean square is 0.7 times the greatest: within half the prior's hundredth, and beyond.
        assert_eq!(tried(true, 0.005), (9, 0.03));
        assert_eq!(tried(true, 0.02), (6, 0.3));
    }
}
