//! Lines on a triangle mesh along which a measure has one value: where a plane cuts it, for instance.

use crate::mesh::Mesh;
use std::collections::BTreeMap;

/// A place on an edge of a mesh: its lower vertex, its higher one, and the share of the way from the first to the second.
pub type OnEdge = (u32, u32, f64);

impl Mesh {
    /// The lines along which a measure of the vertices, straight over each triangle, has the value `level`, as places on edges. Open
    /// lines begin and end at the mesh's edge; a closed one ends where it began.
    pub fn level_lines(&self, measure: impl Fn([f64; 3]) -> f64, level: f64) -> Vec<Vec<OnEdge>> {
        let above: Vec<f64> = self.vertices.iter().map(|v| measure(*v) - level).collect();
        let cut = |a: u32, b: u32| {
            let (a, b) = (a.min(b), a.max(b));
            let (at_a, at_b) = (above[a as usize], above[b as usize]);
            // A vertex on the level counts as above it, so that a line passes through it once.
            ((at_a >= 0.0) != (at_b >= 0.0)).then(|| (a, b, at_a / (at_a - at_b)))
        };
        let mut next: BTreeMap<(u32, u32), Vec<OnEdge>> = BTreeMap::new();
        for t in &self.triangles {
            let cuts: Vec<OnEdge> =
                [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])].iter().filter_map(|e| cut(e.0, e.1)).collect();
            if let [p, q] = cuts[..] {
                next.entry((p.0, p.1)).or_default().push(q);
                next.entry((q.0, q.1)).or_default().push(p);
            }
        }
        let mut lines = Vec::new();
        // Open lines first, from an end.
        while let Some(start) = next.iter().find(|n| n.1.len() == 1).or_else(|| next.iter().next()).map(|n| *n.0) {
            let Some(first) = cut(start.0, start.1) else { break };
            lines.push(followed(&mut next, first));
        }
        lines
    }
}

fn followed(next: &mut BTreeMap<(u32, u32), Vec<OnEdge>>, first: OnEdge) -> Vec<OnEdge> {
    let mut line = vec![first];
    let mut at = (first.0, first.1);
    while let Some(to) = take(next, at) {
        let key = (to.0, to.1);
        // The way back is used up too.
        if let Some(back) = next.get_mut(&key) {
            back.retain(|b| (b.0, b.1) != at);
            if back.is_empty() {
                next.remove(&key);
            }
        }
        line.push(to);
        at = key;
    }
    line
}

fn take(next: &mut BTreeMap<(u32, u32), Vec<OnEdge>>, at: (u32, u32)) -> Option<OnEdge> {
    let all = next.get_mut(&at)?;
    let to = all.pop();
    if all.is_empty() {
        next.remove(&at);
    }
    to
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two squares of two triangles each, side by side in z = 0, and a tent of four.
    #[test]
    fn levels_run_from_edge_to_edge_or_close() {
        let vertices = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [0.0, 1.0], [1.0, 1.0], [2.0, 1.0]];
        let flat = Mesh {
            vertices: vertices.map(|[x, y]| [x, y, 0.0]).to_vec(),
            triangles: vec![[0, 1, 4], [0, 4, 3], [1, 2, 5], [1, 5, 4]],
        };
        let lines = flat.level_lines(|p| p[1], 0.25);
        assert_eq!(lines.len(), 1);
        let place = |m: &Mesh, (a, b, s): OnEdge| {
            let (p, q) = (m.vertices[a as usize], m.vertices[b as usize]);
            [0, 1, 2].map(|k| p[k] + s * (q[k] - p[k]))
        };
        let xs: Vec<f64> = lines[0].iter().map(|e| place(&flat, *e)[0]).collect();
        assert!(xs.len() == 5 && xs.iter().copied().fold(0.0, f64::max) == 2.0 && xs.contains(&0.0), "{xs:?}");
        assert!(flat.level_lines(|p| p[1], 3.0).is_empty());
        let tent = Mesh {
            vertices: vec![[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]],
            triangles: vec![[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]],
        };
        let lines = tent.level_lines(|p| p[2], 0.5);
        assert!(lines.len() == 1 && lines[0].len() == 5 && lines[0].first() == lines[0].last(), "{lines:?}");
    }
}
