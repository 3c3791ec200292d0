//! The part of a surface that lies in a closed line and around it.

use super::edges::{Edges, sides};
use super::{HoleRim, Parted};
use crate::mesh::Mesh;

impl Parted {
    /// What the line holds, and around it what hangs together with it within `margin` mm of the line, in whole triangles; triangles
    /// of which all corners lie where `apart` says (on a flat end, say) only where the line holds them.
    pub fn around(&self, margin: f64, apart: impl Fn([f64; 3]) -> bool) -> (Mesh, HoleRim) {
        let mesh = &self.mesh;
        let corner = |v: u32| mesh.vertices[v as usize];
        let line: Vec<[f64; 3]> = self.rim.places.iter().map(|p| corner(p.vertex)).collect();
        let edges = Edges::of(mesh.vertices.len(), mesh.triangles.iter().copied().enumerate());
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
        let mut taken = self.inside.clone();
        let mut looked_at = self.inside.clone();
        let mut front: Vec<usize> = (0..taken.len()).filter(|i| taken[*i]).collect();
        while let Some(i) = front.pop() {
            for next in sides(mesh.triangles[i]).into_iter().flat_map(|side| edges.beside(side)) {
                if !std::mem::replace(&mut looked_at[next], true) && near(next) {
                    taken[next] = true;
                    front.push(next);
                }
            }
        }
        let triangles = mesh.triangles.iter().zip(taken).filter(|(_, taken)| *taken).map(|(t, _)| *t).collect();
        let mut rim = self.rim.clone();
        let mut vertices: Vec<u32> = rim.places.iter().map(|p| p.vertex).collect();
        let patch = Mesh { vertices: mesh.vertices.clone(), triangles }.compact(&mut vertices);
        rim.places.iter_mut().zip(vertices).for_each(|(place, vertex)| place.vertex = vertex);
        (patch, rim)
    }
}

/// Distance of a place to a straight piece.
fn to_segment(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let (way, from) = ([0, 1, 2].map(|k| b[k] - a[k]), [0, 1, 2].map(|k| p[k] - a[k]));
    let length = super::dot(way, way).max(f64::MIN_POSITIVE);
    let share = (super::dot(way, from) / length).clamp(0.0, 1.0);
    let off = [0, 1, 2].map(|k| from[k] - share * way[k]);
    super::dot(off, off).sqrt()
}
