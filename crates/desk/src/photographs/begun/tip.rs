//! Where crown and keel meet before an end: a round nose or a sharp one, from the traced points next to it.
//!
//! ```text
//!      ..-o--o            o--o         u runs from the tip into the form, v is the height over it.
//!    o'            .o-''               Round: v = b √u + c u for each line, both upright at the tip, as upright lines are
//!   o   round     o   sharp            near their ends.
//!    o.            'o-..               Sharp: v = c u for each line.
//!      ''-o--o            o--o
//! ```
//!
//! Where the tip lies along x is searched; height and coefficients follow by least squares of the distances, to first order
//! square to the line. Sharp is taken unless round has the better evidence n ln(S/n) + k ln n for its two coefficients more
//! (G. Schwarz, "Estimating the dimension of a model", Annals of Statistics 6, 1978; from memory).

use crate::photographs::lines::LinePlace;

/// The tip of a form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tip {
    pub(super) x: f64,
    pub(super) z: f64,
    /// A round nose, where both lines are upright; else they meet at an angle.
    pub(super) round: bool,
}

/// Points within this share of the length tell the tip.
const NOSE: f64 = 0.05;
/// As many of each line tell it, however far apart.
const FEWEST: usize = 4;
/// No further than this share of the length from the end, though.
const FURTHEST: f64 = 0.1;
/// A tip further than this share of the length beyond what was traced is not shown by it.
const REACH: f64 = 0.05;
/// Lines that are still apart by this share of the depth where they end do not show that they meet.
const APART: f64 = 0.35;

/// The tip in front (else at the rear) of crown and keel of so great a depth; `None` where they do not show that they meet.
pub(super) fn tip(lines: [&[LinePlace]; 2], front: bool, depth: f64) -> Option<Tip> {
    let inward = if front { 1.0 } else { -1.0 };
    let along = |p: &LinePlace| inward * p.x;
    let all = || lines.into_iter().flatten().map(along);
    let (first, last) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), u| (a.min(u), b.max(u)));
    let length = last - first;
    let sides = lines.map(|line| {
        let mut near: Vec<[f64; 2]> = line.iter().map(|p| [along(p) - first, p.value]).collect();
        near.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let count = near.iter().take_while(|p| p[0] < NOSE * length).count().max(FEWEST);
        near.truncate(count);
        near.retain(|p| p[0] < FURTHEST * length);
        near
    });
    let (a, b) = (sides[0].first()?, sides[1].first()?);
    if a[1] - b[1] > APART * depth {
        return None;
    }
    let found = nose(&sides, REACH * length).or_else(|| {
        // Few points tell no curve: they end where they end.
        let near = (a[0] - b[0]).hypot(a[1] - b[1]) < MEET * depth;
        near.then_some(Tip { x: a[0].min(b[0]), z: 0.5 * (a[1] + b[1]), round: true })
    })?;
    Some(Tip { x: inward * (found.x + first), ..found })
}

/// Few points: crown and keel meet where they end nearer to each other than this share of their greatest distance.
const MEET: f64 = 0.2;

/// Points (u, v) of crown and keel, u from the first point inwards.
type Sides = [Vec<[f64; 2]>; 2];

/// A tip at u, and the sum of the squares of the distances, mm².
#[derive(Clone, Copy)]
struct Found {
    u: f64,
    v: f64,
    misses: f64,
}

/// The tip no further than `reach` before the first point, its x being u.
fn nose(sides: &Sides, reach: f64) -> Option<Tip> {
    let count: usize = sides.iter().map(Vec::len).sum();
    // Two coefficients for every line, height and place.
    if count < 6 + SPARE {
        return None;
    }
    let round = sought(reach, &|u| fitted(sides, u, &round_row));
    let sharp = sought(reach, &|u| fitted(sides, u, &sharp_row));
    let n = count as f64;
    let evidence = |f: &Found, unknowns: f64| n * (f.misses / n).max(1e-12).ln() + unknowns * n.ln();
    let of = |f: Found, round: bool| Tip { x: f.u, z: f.v, round };
    match (round, sharp) {
        (Some(r), Some(s)) => Some(if evidence(&r, 6.0) < evidence(&s, 4.0) { of(r, true) } else { of(s, false) }),
        (r, s) => r.map(|r| of(r, true)).or_else(|| s.map(|s| of(s, false))),
    }
}

/// So many points more than unknowns, at least.
const SPARE: usize = 2;
/// Places that are tried at first; then it is halved so often between the neighbours of the best.
const PLACES: u32 = 80;
const HALVINGS: u32 = 16;
/// The tip may lie behind the foremost point, which scatters, by this share of the reach before it.
const BEHIND: f64 = 0.05;

/// The place that misses least; `None` where that is as far out as was looked.
fn sought(reach: f64, at: &dyn Fn(f64) -> Option<Found>) -> Option<Found> {
    let mut step = (1.0 + BEHIND) * reach / f64::from(PLACES);
    let tried = (0..=PLACES).filter_map(|i| at(f64::from(i) * step - reach));
    let mut best = tried.min_by(|a, b| a.misses.total_cmp(&b.misses))?;
    if best.u < step - reach {
        return None;
    }
    for _ in 0..HALVINGS {
        step *= 0.5;
        let beside = [best.u - step, best.u + step].into_iter().filter_map(at);
        best = beside.fold(best, |best, next| if next.misses < best.misses { next } else { best });
    }
    Some(best)
}

/// What multiplies the tip's height and the coefficients at so far from the tip on a line, and how that grows by u.
type Row<const N: usize> = dyn Fn(usize, f64) -> [[f64; N]; 2];

fn round_row(side: usize, u: f64) -> [[f64; 5]; 2] {
    let root = u.sqrt();
    let (on, growing) = ([root, u], [0.5 / root, 1.0]);
    if side == 0 {
        [[1.0, on[0], on[1], 0.0, 0.0], [0.0, growing[0], growing[1], 0.0, 0.0]]
    } else {
        [[1.0, 0.0, 0.0, on[0], on[1]], [0.0, 0.0, 0.0, growing[0], growing[1]]]
    }
}

fn sharp_row(side: usize, u: f64) -> [[f64; 3]; 2] {
    if side == 0 { [[1.0, u, 0.0], [0.0, 1.0, 0.0]] } else { [[1.0, 0.0, u], [0.0, 0.0, 1.0]] }
}

/// Both lines from a tip at `tip`; `None` where the crown does not rise over the keel.
fn fitted<const N: usize>(sides: &Sides, tip: f64, row: &Row<N>) -> Option<Found> {
    let dot = |a: &[f64; N], b: &[f64; N]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let each = || sides.iter().enumerate().flat_map(|(side, points)| points.iter().map(move |p| (side, p)));
    let mut rows: Vec<Weighed<N>> = Vec::new();
    let mut before = 0.0;
    for (side, [u, v]) in each() {
        if *u > tip + NEAREST {
            let [on, growing] = row(side, u - tip);
            rows.push(Weighed { on, growing, value: *v, weight: 1.0 });
        } else {
            before += (tip - u).max(0.0).powi(2);
        }
    }
    let mut found = [0.0; N];
    for _ in 0..ROUNDS {
        found = solved(&rows)?;
        for r in &mut rows {
            r.weight = 1.0 / (1.0 + dot(&r.growing, &found).powi(2));
        }
    }
    let misses = rows.iter().map(|r| r.weight * (r.value - dot(&r.on, &found)).powi(2)).sum::<f64>();
    let far = each().map(|(_, p)| p[0] - tip).fold(0.0, f64::max);
    let height = |side, u| dot(&row(side, u)[0], &found);
    let opens = [0.1, 1.0].into_iter().all(|share| height(0, share * far) > height(1, share * far));
    opens.then_some(Found { u: tip, v: found[0], misses: misses + before })
}

/// What lies nearer to the tip along x, or before it, tells nothing of height, mm.
const NEAREST: f64 = 0.01;
/// Rounds in which slopes and weights come to agree.
const ROUNDS: usize = 5;

/// A point's row, how it grows by u, its height, and its weight.
struct Weighed<const N: usize> {
    on: [f64; N],
    growing: [f64; N],
    value: f64,
    weight: f64,
}

/// Least squares by the normal equations and elimination with the greatest pivot of each column; `None` for rows that do not
/// tell every unknown.
fn solved<const N: usize>(rows: &[Weighed<N>]) -> Option<[f64; N]> {
    let mut left = [[0.0; N]; N];
    let mut right = [0.0; N];
    for r in rows {
        for (j, a) in r.on.iter().enumerate() {
            right[j] += r.weight * a * r.value;
            for (k, b) in r.on.iter().enumerate() {
                left[j][k] += r.weight * a * b;
            }
        }
    }
    for j in 0..N {
        let pivot = (j..N).max_by(|a, b| left[*a][j].abs().total_cmp(&left[*b][j].abs()))?;
        left.swap(j, pivot);
        right.swap(j, pivot);
        let (top, value) = (left[j], right[j]);
        if top[j].abs() < 1e-12 * rows.len() as f64 {
            return None;
        }
        for (row, right) in left.iter_mut().zip(&mut right).skip(j + 1) {
            let factor = row[j] / top[j];
            row.iter_mut().zip(&top).for_each(|(a, b)| *a -= factor * b);
            *right -= factor * value;
        }
    }
    for j in (0..N).rev() {
        let known: f64 = left[j].iter().zip(&right).skip(j + 1).map(|(a, b)| a * b).sum();
        right[j] = (right[j] - known) / left[j][j];
    }
    Some(right)
}
