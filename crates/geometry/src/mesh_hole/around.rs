//! The part of a surface that lies in a closed line and around it.

use super::{HoleRim, Parted};
use crate::mesh::Mesh;
use std::collections::{BTreeMap, BTreeSet};

impl Parted {
    /// What the line holds, and around it what hangs together with it within `margin` mm of the line, in whole triangles; triangles
    /// of which all corners lie where `apart` says (on a flat end, say) only where the line holds them.
    pub fn around(&self, margin: f64, apart: impl Fn([f64; 3]) -> bool) -> (Mesh, HoleRim) {
        let mesh = &self.mesh;
        let corner = |v: u32| mesh.vertices[v as usize];
        let line: Vec<[f64; 3]> = self.rim.places.iter().map(|p| corner(p.vertex)).collect();
        let mut beside: BTreeMap<(u32, u32), Vec<usize>> = BTreeMap::new();
        for (i, t) in mesh.triangles.iter().enumerate() {
            sides(t).into_iter().for_each(|side| beside.entry(side).or_default().push(i));
        }
        let near = |i: usize| {
            let t = mesh.triangles[i].map(corner);
            // A place beyond the triangle's box by more than the margin is soon seen to be too far.
            let low = [0, 1, 2].map(|k| t[0][k].min(t[1][k]).min(t[2][k]) - margin);
            let high = [0, 1, 2].map(|k| t[0][k].max(t[1][k]).max(t[2][k]) + margin);
            let close = |p: &&[f64; 3]| (0..3).all(|k| low[k] <= p[k] && p[k] <= high[k]);
            let at = |p: &[f64; 3]| (0..3).any(|k| to_segment(*p, t[k], t[(k + 1) % 3]) <= margin);
            let reaches = || line.iter().filter(close).any(at);
            !t.iter().all(|p| apart(*p)) && reaches()
        };
        let mut taken: BTreeSet<usize> = (0..mesh.triangles.len()).filter(|i| self.inside[*i]).collect();
        let mut refused: BTreeSet<usize> = BTreeSet::new();
        let mut front: Vec<usize> = taken.iter().copied().collect();
        while let Some(i) = front.pop() {
            for next in sides(&mesh.triangles[i]).iter().filter_map(|side| beside.get(side)).flatten() {
                if taken.contains(next) || refused.contains(next) {
                    continue;
                }
                if near(*next) {
                    taken.insert(*next);
                    front.push(*next);
                } else {
                    refused.insert(*next);
                }
            }
        }
        let triangles = taken.into_iter().map(|i| mesh.triangles[i]).collect();
        let mut rim = self.rim.clone();
        let mut vertices: Vec<u32> = rim.places.iter().map(|p| p.vertex).collect();
        let patch = Mesh { vertices: mesh.vertices.clone(), triangles }.compact(&mut vertices);
        rim.places.iter_mut().zip(vertices).for_each(|(place, vertex)| place.vertex = vertex);
        (patch, rim)
    }
}

fn sides(t: &[u32; 3]) -> [(u32, u32); 3] {
    [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])].map(|(a, b)| (a.min(b), a.max(b)))
}

/// Distance of a place to a straight piece.
fn to_segment(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let (way, from) = ([0, 1, 2].map(|k| b[k] - a[k]), [0, 1, 2].map(|k| p[k] - a[k]));
    let length = super::dot(way, way).max(f64::MIN_POSITIVE);
    let share = (super::dot(way, from) / length).clamp(0.0, 1.0);
    let off = [0, 1, 2].map(|k| from[k] - share * way[k]);
    super::dot(off, off).sqrt()
}
