//! The patch nearest to a place in space, found by a grid of cubes.

use super::Patch;
use form::space::{Vector, dot, length, sub};
use std::collections::HashMap;

type Cube = [i32; 3];

/// Patches by the cube that their middle lies in.
#[derive(Clone, Debug, Default)]
pub(super) struct Field {
    /// Side of a cube, mm: longer than any patch.
    side: f64,
    cubes: HashMap<Cube, Vec<u32>>,
}

impl Field {
    /// Of patches.
    pub(super) fn of(patches: &[Patch]) -> Self {
        let across = |p: &Patch| length(sub(p.corners[2], p.corners[0])).max(length(sub(p.corners[3], p.corners[1])));
        let side = patches.iter().map(across).fold(1.0, f64::max);
        let mut field = Self { side, cubes: HashMap::new() };
        // At a seam two layers lie over one another: there the one that counts is meant.
        for (k, patch) in (0..).zip(patches).filter(|(_, patch)| !patch.faint) {
            field.cubes.entry(field.cube(patch.middle())).or_default().push(k);
        }
        field
    }

    fn cube(&self, at: Vector) -> Cube {
        at.map(|c| (c / self.side).floor() as i32)
    }

    /// The patch whose middle is nearest; `None` where none is within a cube's side.
    pub(super) fn nearest<'a>(&self, patches: &'a [Patch], at: Vector) -> Option<&'a Patch> {
        if self.cubes.is_empty() {
            return None;
        }
        let [x, y, z] = self.cube(at);
        let far = |patch: &Patch| {
            let d = sub(patch.middle(), at);
            dot(d, d)
        };
        let mut best: Option<(f64, &Patch)> = None;
        for (i, j, k) in (-1..=1).flat_map(|i| (-1..=1).flat_map(move |j| (-1..=1).map(move |k| (i, j, k)))) {
            let here = self.cubes.get(&[x.wrapping_add(i), y.wrapping_add(j), z.wrapping_add(k)]);
            for patch in here.into_iter().flatten().filter_map(|k| patches.get(*k as usize)) {
                let far = far(patch);
                if best.is_none_or(|(least, _)| far < least) {
                    best = Some((far, patch));
                }
            }
        }
        best.filter(|(far, _)| *far <= self.side * self.side).map(|(_, patch)| patch)
    }
}
