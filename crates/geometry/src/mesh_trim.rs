//! A closed mesh cut by a plane: what lies ahead of it goes, and a flat cap closes what is left.
//!
//! The cut runs along the mesh's own triangles, so what is left stays as close to the trimmed body as the mesh is to the whole one.
//! New vertices belong to the edges they divide, so neighbours share them and the mesh stays closed by construction.

use std::collections::BTreeMap;

use crate::mesh::{Mesh, ears};
use crate::oblique::ObliquePlane;

/// A vertex this near the plane, mm along the datum axis, lies on it.
const ON_PLANE: f64 = 1e-7;

impl Mesh {
    /// The part of the mesh behind a plane. A mesh that the plane misses stays as it is, or nothing is left of it.
    #[must_use]
    pub fn trimmed(&self, plane: &ObliquePlane) -> Self {
        let ahead: Vec<f64> = self.vertices.iter().map(|v| snapped(plane.at([v[1], v[2]]) - v[0])).collect();
        if ahead.iter().all(|a| *a <= 0.0) {
            return self.clone();
        }
        let mut trim = Trim { ahead, out: Self::default(), kept: BTreeMap::new(), cuts: BTreeMap::new() };
        let mut rim = Rim::default();
        for t in &self.triangles {
            let corners = trim.behind(self, *t);
            for i in 1..corners.len().saturating_sub(1) {
                trim.out.triangles.push([corners[0].0, corners[i].0, corners[i + 1].0]);
            }
            for (i, a) in corners.iter().enumerate().filter(|_| corners.len() > 2) {
                let b = corners[(i + 1) % corners.len()];
                if a.1 && b.1 {
                    rim.add(a.0, b.0);
                }
            }
        }
        rim.close(&mut trim.out);
        trim.out
    }
}

fn snapped(ahead: f64) -> f64 {
    if ahead.abs() < ON_PLANE { 0.0 } else { ahead }
}

struct Trim {
    /// How far each old vertex lies ahead of the plane.
    ahead: Vec<f64>,
    out: Mesh,
    kept: BTreeMap<u32, u32>,
    cuts: BTreeMap<(u32, u32), u32>,
}

impl Trim {
    /// The corners of a triangle's part behind the plane, as new vertices, and whether each lies on the plane.
    fn behind(&mut self, mesh: &Mesh, t: [u32; 3]) -> Vec<(u32, bool)> {
        let mut corners = Vec::new();
        for i in 0..3 {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            let (at_a, at_b) = (self.ahead[a as usize], self.ahead[b as usize]);
            if at_a <= 0.0 {
                corners.push((self.keep(mesh, a), at_a == 0.0));
            }
            if at_a * at_b < 0.0 {
                corners.push((self.cut(mesh, a, b), true));
            }
        }
        corners
    }

    fn keep(&mut self, mesh: &Mesh, v: u32) -> u32 {
        let vertices = &mut self.out.vertices;
        *self.kept.entry(v).or_insert_with(|| {
            vertices.push(mesh.vertices[v as usize]);
            (vertices.len() - 1) as u32
        })
    }

    fn cut(&mut self, mesh: &Mesh, a: u32, b: u32) -> u32 {
        // From the same end for both triangles that share the edge, so that rounding is the same too.
        let (a, b) = (a.min(b), a.max(b));
        let (at_a, at_b) = (self.ahead[a as usize], self.ahead[b as usize]);
        let share = at_a / (at_a - at_b);
        let (p, q) = (mesh.vertices[a as usize], mesh.vertices[b as usize]);
        let vertices = &mut self.out.vertices;
        *self.cuts.entry((a, b)).or_insert_with(|| {
            vertices.push([0, 1, 2].map(|k| p[k] + share * (q[k] - p[k])));
            (vertices.len() - 1) as u32
        })
    }
}

/// Edges of the cut, each to the vertices that follow it the way a cap runs.
#[derive(Default)]
struct Rim(BTreeMap<u32, Vec<u32>>);

impl Rim {
    /// An edge of a kept triangle from `a` to `b`: the cap runs against it. Two triangles that both kept the edge close it themselves.
    fn add(&mut self, a: u32, b: u32) {
        if let Some(back) = self.0.get_mut(&a).and_then(|next| Some((next.iter().position(|n| *n == b)?, next))) {
            back.1.remove(back.0);
            return;
        }
        self.0.entry(b).or_default().push(a);
    }

    /// Caps every loop.
    fn close(mut self, mesh: &mut Mesh) {
        while let Some(start) = self.0.iter().find(|e| !e.1.is_empty()).map(|e| *e.0) {
            let mut outline = vec![start];
            let mut at = start;
            while let Some(next) = self.0.get_mut(&at).and_then(Vec::pop).filter(|n| *n != start) {
                outline.push(next);
                at = next;
            }
            if outline.len() > 2 {
                let triangles = {
                    let at = |i: u32| [mesh.vertices[i as usize][1], mesh.vertices[i as usize][2]];
                    ears(&outline, &at)
                };
                mesh.triangles.extend(triangles);
            }
        }
    }
}
