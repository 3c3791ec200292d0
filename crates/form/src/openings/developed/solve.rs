//! The flat net with the least error of its links, by damped Gauss–Newton steps (K. Levenberg, Quart. Appl. Math. 2, 1944) with a
//! banded Cholesky factor.

use super::Flat;

/// A link of the net and its true length.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub(super) ends: [usize; 2],
    pub(super) length: f64,
    /// How much its error counts.
    pub(super) weight: f64,
}

const MOST_STEPS: usize = 60;
/// A step this small, mm, ends the search.
const CLOSE: f64 = 1e-11;

/// The places of the nodes; links join nodes whose unknowns are less than `band` apart. `None` where no step helps and nothing was
/// reached.
pub(super) fn solved(first: Vec<Flat>, links: &[Link], band: usize) -> Option<Vec<Flat>> {
    let mut nodes = first;
    let mut damping = 1e-3;
    let mut error = total(&nodes, links);
    for _ in 0..MOST_STEPS {
        let step = step(&nodes, links, band, damping)?;
        let next: Vec<Flat> = nodes.iter().zip(step.chunks(2)).map(|(p, s)| [p[0] + s[0], p[1] + s[1]]).collect();
        let at = total(&next, links);
        let largest = step.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
        if at <= error {
            (nodes, error) = (next, at);
            damping = (0.1 * damping).max(1e-10);
            if largest < CLOSE {
                break;
            }
        } else {
            damping *= 10.0;
            if largest < CLOSE || damping > 1e8 {
                break;
            }
        }
    }
    error.is_finite().then_some(nodes)
}

fn total(nodes: &[Flat], links: &[Link]) -> f64 {
    links.iter().map(|l| l.weight * miss(nodes, l).0.powi(2)).sum()
}

/// How much too short a link is, and its direction.
fn miss(nodes: &[Flat], link: &Link) -> (f64, Flat) {
    let [a, b] = link.ends.map(|n| nodes[n]);
    let d = [b[0] - a[0], b[1] - a[1]];
    let far = d[0].hypot(d[1]).max(1e-12);
    (link.length - far, [d[0] / far, d[1] / far])
}

/// Solves (JᵀJ + damping) step = Jᵀ miss; row i of the band holds columns i - band to i.
fn step(nodes: &[Flat], links: &[Link], band: usize, damping: f64) -> Option<Vec<f64>> {
    let n = 2 * nodes.len();
    let width = band + 2;
    let mut matrix = vec![0.0; n * (width + 1)];
    let mut right = vec![0.0; n];
    let slot = |i: usize, j: usize| i * (width + 1) + width - (i - j);
    for i in 0..n {
        matrix[slot(i, i)] = damping;
    }
    for link in links {
        let (short, way) = miss(nodes, link);
        let columns = [2 * link.ends[0], 2 * link.ends[0] + 1, 2 * link.ends[1], 2 * link.ends[1] + 1];
        let slopes = [-way[0], -way[1], way[0], way[1]];
        for (i, a) in columns.into_iter().zip(slopes) {
            right[i] += link.weight * a * short;
            for (j, b) in columns.into_iter().zip(slopes) {
                if j <= i {
                    matrix[slot(i, j)] += link.weight * a * b;
                }
            }
        }
    }
    for i in 0..n {
        let first = i.saturating_sub(width);
        for j in first..=i {
            let from = first.max(j.saturating_sub(width));
            let sum: f64 = (from..j).map(|k| matrix[slot(i, k)] * matrix[slot(j, k)]).sum();
            let rest = matrix[slot(i, j)] - sum;
            if i == j {
                if rest <= 0.0 {
                    return None;
                }
                matrix[slot(i, i)] = rest.sqrt();
            } else {
                matrix[slot(i, j)] = rest / matrix[slot(j, j)];
            }
        }
    }
    for i in 0..n {
        let sum: f64 = (i.saturating_sub(width)..i).map(|k| matrix[slot(i, k)] * right[k]).sum();
        right[i] = (right[i] - sum) / matrix[slot(i, i)];
    }
    for i in (0..n).rev() {
        let sum: f64 = (i + 1..(i + width + 1).min(n)).map(|k| matrix[slot(k, i)] * right[k]).sum();
        right[i] = (right[i] - sum) / matrix[slot(i, i)];
    }
    right.iter().all(|s| s.is_finite()).then_some(right)
}
