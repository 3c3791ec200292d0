//! A patch of a surface laid flat as paper is: with as little stretch as can be.
//!
//! The corners of a triangle mesh are placed in a plane so that the edges keep their lengths as well as they can: the sum over all
//! edges of (difference / length)² times the area beside the edge (an edge that is short beside it counts less) is made least, by
//! Levenberg and Marquardt's method, going only part of a step where all of it would go too far. A patch of a surface that can be
//! unrolled (a cylinder, a cone) keeps all lengths but for the chords that stand for arcs; of any other what is left over is told,
//! not hidden.

mod normal;

use crate::mesh::Mesh;
use normal::{Normal, Pattern};
use std::collections::BTreeMap;

/// A patch laid flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Unrolled {
    /// Where each vertex lies, mm.
    pub flat: Vec<[f64; 2]>,
    /// The greatest change of length of an edge, as a share of it.
    pub stretch: f64,
}

/// An edge with what its change of length counts.
struct Edge {
    ends: [usize; 2],
    length: f64,
    weight: f64,
}

/// Steps at most.
const STEPS: usize = 40;
/// A step that brings less than this share is the last: slivers go on turning for long after all that can be seen stands still.
const LEAST_GAIN: f64 = 5e-4;
/// So is one that moves nothing further than this, mm.
const STILL: f64 = 1e-3;
/// The least part of a step that is tried.
const LEAST_PART: f64 = 1e-3;

/// Lays a patch flat, beginning from where its vertices are seen: `first` must show every triangle the same way round.
pub fn unrolled(patch: &Mesh, first: &[[f64; 2]]) -> Unrolled {
    let edges = edges(patch);
    let pattern = Pattern::of(first.len(), edges.iter().map(|e| e.ends));
    let mut flat = scaled(first, &edges);
    let mut cost = cost(&edges, &flat);
    let mut damping = 1e-3_f64;
    for _ in 0..STEPS {
        let step = step(&edges, &pattern, &flat, damping);
        let Some((part, next, there)) = part_of(&edges, &flat, &step, cost) else { break };
        let gain = (cost - there) / cost.max(f64::MIN_POSITIVE);
        let far = step.iter().map(|d| part * d[0].hypot(d[1])).fold(0.0, f64::max);
        (flat, cost) = (next, there);
        if gain < LEAST_GAIN || far < STILL {
            break;
        }
        damping = if part < 1.0 { 2.0 * damping } else { (0.2 * damping).max(1e-6) };
    }
    let off = |e: &Edge| (distance(&flat, e.ends) / e.length - 1.0).abs();
    let stretch = edges.iter().map(off).fold(0.0, f64::max);
    Unrolled { flat, stretch }
}

/// How much of a step brings something, with the places there and what they cost; `None` where even little of it does not.
fn part_of(edges: &[Edge], flat: &[[f64; 2]], step: &[[f64; 2]], cost: f64) -> Option<(f64, Vec<[f64; 2]>, f64)> {
    let parts = std::iter::successors(Some(1.0_f64), |part| Some(0.5 * part)).take_while(|part| *part > LEAST_PART);
    parts.into_iter().find_map(|part| {
        let next: Vec<[f64; 2]> =
            flat.iter().zip(step).map(|(p, d)| [p[0] + part * d[0], p[1] + part * d[1]]).collect();
        let there = self::cost(edges, &next);
        (there < cost).then_some((part, next, there))
    })
}

fn edges(patch: &Mesh) -> Vec<Edge> {
    let mut areas: BTreeMap<[usize; 2], f64> = BTreeMap::new();
    for t in &patch.triangles {
        let area = Mesh { vertices: t.map(|v| patch.vertices[v as usize]).to_vec(), triangles: vec![[0, 1, 2]] }.area();
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            *areas.entry([a.min(b) as usize, a.max(b) as usize]).or_default() += area;
        }
    }
    let edge = |(ends, area): ([usize; 2], f64)| {
        let [p, q] = ends.map(|v| patch.vertices[v]);
        let length = (0..3).map(|k| (q[k] - p[k]).powi(2)).sum::<f64>().sqrt();
        // An edge along a sliver has hardly any area beside it, but holds its ends together all the same; one across has much more
        // than its share, and would be so stiff that no step gets anywhere.
        (length > 1e-9).then(|| Edge { ends, length, weight: (area / (length * length)).clamp(0.01, 3.0) })
    };
    areas.into_iter().filter_map(edge).collect()
}

fn distance(flat: &[[f64; 2]], [a, b]: [usize; 2]) -> f64 {
    (flat[b][0] - flat[a][0]).hypot(flat[b][1] - flat[a][1])
}

fn cost(edges: &[Edge], flat: &[[f64; 2]]) -> f64 {
    edges.iter().map(|e| e.weight * (distance(flat, e.ends) - e.length).powi(2)).sum()
}

/// The first places, as large as the patch is on the whole.
fn scaled(first: &[[f64; 2]], edges: &[Edge]) -> Vec<[f64; 2]> {
    let seen: f64 = edges.iter().map(|e| distance(first, e.ends)).sum();
    let real: f64 = edges.iter().map(|e| e.length).sum();
    let by = if seen > 0.0 { real / seen } else { 1.0 };
    first.iter().map(|p| p.map(|c| c * by)).collect()
}

/// The step of least squares, damped.
fn step(edges: &[Edge], pattern: &Pattern, flat: &[[f64; 2]], damping: f64) -> Vec<[f64; 2]> {
    let mut equations = Normal::new(pattern);
    for e in edges {
        let [a, b] = e.ends;
        let now = distance(flat, e.ends).max(1e-12);
        let way = [0, 1].map(|k| (flat[b][k] - flat[a][k]) / now);
        equations.add(e.ends, way, now - e.length, e.weight);
    }
    equations.solved(damping)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A patch of `n` by `n` cells on a surface over (u, v) from -1 to 1, and where it is seen.
    fn patch(
        n: usize,
        at: impl Fn(f64, f64) -> [f64; 3],
        seen: impl Fn([f64; 3]) -> [f64; 2],
    ) -> (Mesh, Vec<[f64; 2]>) {
        let mut mesh = Mesh::default();
        let share = |i: usize| 2.0 * i as f64 / n as f64 - 1.0;
        for j in 0..=n {
            mesh.vertices.extend((0..=n).map(|i| at(share(i), share(j))));
        }
        let number = |i: usize, j: usize| (j * (n + 1) + i) as u32;
        for (i, j) in (0..n).flat_map(|j| (0..n).map(move |i| (i, j))) {
            let [a, b, c, d] = [number(i, j), number(i + 1, j), number(i + 1, j + 1), number(i, j + 1)];
            mesh.triangles.extend(if (i + j) % 2 == 0 { [[a, b, c], [a, c, d]] } else { [[a, b, d], [b, c, d]] });
        }
        let first = mesh.vertices.iter().map(|p| seen(*p)).collect();
        (mesh, first)
    }

    /// The greatest difference between distances in the flat and those that a closed form gives, over all pairs of some vertices.
    fn greatest_off(flat: &[[f64; 2]], exact: &[[f64; 2]]) -> f64 {
        let some: Vec<usize> = (0..flat.len()).step_by(flat.len() / 60 + 1).collect();
        let mut worst = 0.0_f64;
        for &i in &some {
            for &j in &some {
                worst = worst.max((distance(flat, [i, j]) - distance(exact, [i, j])).abs());
            }
        }
        worst
    }

    /// Closed form: a cylinder of radius r unrolls to (x, r φ). The patch goes 57° round each way and is seen from above.
    #[test]
    fn a_cylinder_unrolls() {
        let r = 60.0;
        let (mesh, first) = patch(24, |u, v| [40.0 * u + 10.0 * v, r * v.sin(), r * v.cos()], |p| [p[0], p[1]]);
        let unrolled = unrolled(&mesh, &first);
        let exact: Vec<[f64; 2]> = mesh.vertices.iter().map(|p| [p[0], r * p[1].atan2(p[2])]).collect();
        let off = greatest_off(&unrolled.flat, &exact);
        // A chord over 1/12 rad is 1 - 1/(24 · 12²) of its arc: 0.035 mm over the whole width of 120 mm.
        assert!(off < 0.06 && unrolled.stretch < 1e-4, "{off} mm, {}", unrolled.stretch);
    }

    /// Closed form: a cone of half angle a unrolls to polar places (distance from the tip, angle times sin a).
    #[test]
    fn a_cone_unrolls() {
        let a = 0.4_f64;
        let at = |u: f64, v: f64| {
            let from_tip = 120.0 + 40.0 * u;
            [from_tip * a.cos(), from_tip * a.sin() * v.sin(), from_tip * a.sin() * v.cos()]
        };
        let (mesh, first) = patch(24, at, |p| [p[0], p[1]]);
        let unrolled = unrolled(&mesh, &first);
        let exact: Vec<[f64; 2]> = mesh
            .vertices
            .iter()
            .map(|p| {
                let (from_tip, turn) = (p[0] / a.cos(), p[1].atan2(p[2]) * a.sin());
                [from_tip * turn.cos(), from_tip * turn.sin()]
            })
            .collect();
        let off = greatest_off(&unrolled.flat, &exact);
        assert!(off < 0.06 && unrolled.stretch < 2e-4, "{off} mm, {}", unrolled.stretch);
    }

    /// A sphere does not unroll. A cap of angle a at the middle has a geodesic radius of R a but a rim of 2 π R sin a only, some
    /// a²/6 short of a disc's; laid flat, no place can be stretched by more than a small share of that, nor all by less.
    #[test]
    fn a_sphere_tells_its_stretch() {
        let r = 100.0;
        let at = |u: f64, v: f64| {
            let (x, y) = (0.3 * u, 0.3 * v);
            let z = (1.0 - x * x - y * y).sqrt();
            [r * x, r * y, r * z]
        };
        let (mesh, first) = patch(20, at, |p| [p[0], p[1]]);
        let unrolled = unrolled(&mesh, &first);
        assert!(unrolled.stretch > 0.003 && unrolled.stretch < 0.03, "{}", unrolled.stretch);
    }
}
