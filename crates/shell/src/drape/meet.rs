//! The place at which two links meet on a surface.

use super::geodesic::CLOSE;
use super::net::Node;
use super::surface::{At, Jet, Surface, jet_at, solve};
use form::space::{Vector, add, cross, dot, length, sub, times, unit};

const MOST_STEPS: usize = 60;
/// So many steps are taken before one has to come nearer.
const QUICK: usize = 8;
/// No step leads further than so many cells.
const TOO_FAR: f64 = 3.0;

/// Most that parameters may differ over a link for a guess from them alone.
const NEAR: f64 = 0.5;

/// The node at which links from `a` and `b` meet on the surface, on the other side of them than `o`; `bend` is that of the cell beside.
pub(super) fn meeting(surface: &impl Surface, [a, b, o]: [&Node; 3], cell: f64, bend: [f64; 2]) -> Option<Node> {
    let across = sub(a.p, b.p);
    // No two links reach this far, or the net is shut.
    if dot(across, across) >= 4.0 * cell * cell {
        return None;
    }
    let sought = |guess: At| {
        newton(surface, a.p, b.p, cell, guess, None).filter(|(_, jet)| length(sub(jet.p, o.p)) > 0.1 * cell)
    };
    let near = [a, b].iter().all(|n| (0..2).all(|k| (n.at[k] - o.at[k]).abs() < NEAR));
    let quick = near.then(|| sought([0, 1].map(|k| a.at[k] + b.at[k] - o.at[k] + bend[k]))).flatten();
    let found = quick.or_else(|| {
        let guess = towards(surface, b.at, add(b.p, sub(a.p, o.p)));
        sought(guess).or_else(|| by_sheets(surface, [a, b, o], cell, guess))
    });
    // Steps past a pole may end a turn further on, where seams and ends would be looked for in vain.
    found.map(|(at, jet)| Node::new(surface, surface.wound_to(at, a.at), &jet))
}

/// Parameters near those at which the surface comes nearest to a place. Where they run at another pace than at `from`, as from one
/// stretch of the body to the next, one step would lead far past it.
fn towards(surface: &impl Surface, from: At, place: Vector) -> At {
    let mut at = from;
    let mut jet = jet_at(surface, at);
    let mut by = jet.parameters_of(sub(place, jet.p));
    for _ in 0..MOST_NEARINGS {
        let next = surface.moved(at, by);
        let there = jet_at(surface, next);
        let (far, now) = (sub(place, there.p), sub(place, jet.p));
        if dot(far, far) > 4.0 * dot(now, now) {
            by = by.map(|b| 0.25 * b);
            continue;
        }
        (at, jet) = (next, there);
        by = jet.parameters_of(far);
        if dot(far, far) < NEARED * NEARED * dot(now, now) {
            break;
        }
    }
    at
}

/// Steps towards a place, and what share of the way left is near enough.
const MOST_NEARINGS: u32 = 8;
const NEARED: f64 = 0.05;

/// So far beyond a guess, as a share of the way to it, sheets are sought.
const BEYOND: f64 = 2.0;

/// The meeting near a crease, sought on each sheet at hand as if it went on, and taken where it does lie on that sheet.
fn by_sheets(surface: &impl Surface, [a, b, o]: [&Node; 3], cell: f64, guess: At) -> Option<(At, Jet)> {
    let mut sheets: Vec<usize> = [guess, a.at, b.at].iter().map(|at| surface.sheet(*at)).collect();
    // The place guessed may lie just before a crease, or be drawn to it, and the meeting beyond.
    let beyond = |at: &At| [0, 1].map(|k| at[k] + BEYOND * (guess[k] - at[k]));
    let left = |at: At, to: At| Some(surface.leaves(surface.sheet(at), at, to)?.1);
    sheets.extend(
        [a.at, b.at, o.at]
            .iter()
            .flat_map(|at| [left(*at, guess), left(*at, beyond(at)), left(guess, beyond(at))])
            .flatten(),
    );
    sheets.sort_unstable();
    sheets.dedup();
    let sought = |sheet: usize, guess: At| newton(surface, a.p, b.p, cell, guess, Some(sheet));
    let far_from_o = |(_, jet): &(At, Jet)| length(sub(jet.p, o.p));
    let is_true = |found: &(At, Jet)| {
        let own = surface.jet(surface.sheet(found.0), found.0);
        length(sub(own.p, found.1.p)) <= CLOSE && far_from_o(found) > 0.1 * cell
    };
    // Two spheres meet a sheet in two places, mirrored in the line between their middles. Where the cloth is folded over a crease by more
    // than a right angle, the other one is meant, a little way down behind it.
    let mirrored = |sheet: usize, (at, jet): &(At, Jet)| {
        let across = unit(cross(jet.normal(), sub(a.p, b.p)));
        let out = dot(sub(jet.p, times(add(a.p, b.p), 0.5)), across);
        let by = jet.parameters_of(times(across, -2.0 * out));
        sought(sheet, surface.moved(*at, by))
    };
    let both = |sheet: usize| {
        let first = sought(sheet, guess);
        let other = first.as_ref().and_then(|first| mirrored(sheet, first));
        [first, other].into_iter().flatten().filter(is_true)
    };
    sheets.into_iter().flat_map(both).max_by(|a, b| far_from_o(a).total_cmp(&far_from_o(b)))
}

/// A step shorter than this, in mm and in either parameter, is taken along the tangent plane without looking again: its square is
/// below [`CLOSE`].
const SHORT: f64 = 1e-6;

/// Newton's method for the two distances, on one sheet or on whichever holds the place.
fn newton(
    surface: &impl Surface,
    a: Vector,
    b: Vector,
    cell: f64,
    mut at: At,
    sheet: Option<usize>,
) -> Option<(At, Jet)> {
    let mut last: Option<(At, Vector, [f64; 2])> = None;
    let mut least = f64::INFINITY;
    for count in 0..MOST_STEPS {
        let mut jet = sheet.map_or_else(|| jet_at(surface, at), |sheet| surface.jet(sheet, at));
        // Where the parameters change their pace, a step may lead far past what was meant.
        if let Some((from, p, step)) = last.filter(|(_, p, _)| length(sub(jet.p, *p)) > TOO_FAR * cell) {
            let less = step.map(|s| 0.25 * s);
            (last, at) = (Some((from, p, less)), surface.moved(from, less));
            continue;
        }
        let (from_a, from_b) = (sub(jet.p, a), sub(jet.p, b));
        let miss = [0.5 * (dot(from_a, from_a) - cell * cell), 0.5 * (dot(from_b, from_b) - cell * cell)];
        let most = miss[0].abs().max(miss[1].abs());
        if most <= CLOSE * cell {
            return Some((at, jet));
        }
        // Nor need it come nearer; so once it has taken long, a step that does not is made shorter.
        if let Some((from, p, step)) = last.filter(|_| count > QUICK && most >= least) {
            let less = step.map(|s| 0.25 * s);
            (last, at) = (Some((from, p, less)), surface.moved(from, less));
            continue;
        }
        least = most;
        let [u, v] = jet.by;
        let rows = [[dot(u, from_a), dot(v, from_a)], [dot(u, from_b), dot(v, from_b)]];
        let step = solve(rows, [-miss[0], -miss[1]])?;
        let way = add(times(u, step[0]), times(v, step[1]));
        let far = dot(way, way);
        if far < SHORT * SHORT && step[0].abs().max(step[1].abs()) < SHORT {
            jet.p = add(jet.p, way);
            return Some((surface.moved(at, step), jet));
        }
        let held = if far > cell * cell { cell / far.sqrt() } else { 1.0 };
        let step = step.map(|s| s * held);
        last = Some((at, jet.p, step));
        at = surface.moved(at, step);
    }
    None
}
