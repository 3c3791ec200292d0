//! Which triangles lie beside the edges of a mesh.

/// Triangles by their edges. Those of all edges with the same lower vertex lie together, and a vertex has but few edges: so an edge is
/// found at once, in a mesh however large.
pub(super) struct Edges {
    /// Where the entries of each vertex begin, and where those of the last one end.
    begins: Vec<u32>,
    /// The edge's higher vertex, and a triangle beside it; each vertex's by rising triangle.
    entries: Vec<(u32, u32)>,
}

impl Edges {
    /// Those of some triangles: their numbers, rising, with their corners. `vertices` is how many vertices the mesh has.
    pub(super) fn of(vertices: usize, triangles: impl Iterator<Item = (usize, [u32; 3])> + Clone) -> Self {
        let mut begins = vec![0_u32; vertices + 1];
        let sides = triangles.flat_map(|(i, t)| sides(t).map(|side| (side, i as u32)));
        sides.clone().for_each(|((low, _), _)| begins[low as usize + 1] += 1);
        let mut sum = 0;
        for count in &mut begins {
            sum += *count;
            *count = sum;
        }
        let mut entries = vec![(0, 0); sum as usize];
        let mut next = begins.clone();
        for ((low, high), triangle) in sides {
            let at = &mut next[low as usize];
            entries[*at as usize] = (high, triangle);
            *at += 1;
        }
        Self { begins, entries }
    }

    /// The triangles beside an edge, its lower vertex first, rising.
    pub(super) fn beside(&self, (low, high): (u32, u32)) -> impl Iterator<Item = usize> + '_ {
        let [from, to] = [0, 1].map(|k| self.begins[low as usize + k] as usize);
        self.entries[from..to].iter().filter(move |entry| entry.0 == high).map(|entry| entry.1 as usize)
    }
}

/// An edge, its lower vertex first.
pub(super) fn edge(a: u32, b: u32) -> (u32, u32) {
    (a.min(b), a.max(b))
}

/// The edges of a triangle.
pub(super) fn sides([a, b, c]: [u32; 3]) -> [(u32, u32); 3] {
    [edge(a, b), edge(b, c), edge(c, a)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looking through all triangles is the reference; every third is left out, as in a part of a mesh.
    #[test]
    fn an_edge_has_the_triangles_that_looking_at_each_finds() {
        let n = 9;
        let at = |i: u32, j: u32| j * (n + 1) + i;
        let cells = (0..n).flat_map(|j| (0..n).map(move |i| (i, j)));
        let triangles: Vec<[u32; 3]> = cells
            .flat_map(|(i, j)| [[at(i, j), at(i + 1, j), at(i + 1, j + 1)], [at(i + 1, j + 1), at(i, j + 1), at(i, j)]])
            .collect();
        let some: Vec<(usize, [u32; 3])> = triangles.iter().copied().enumerate().filter(|(i, _)| i % 3 != 1).collect();
        let edges = Edges::of(((n + 1) * (n + 1)) as usize, some.iter().copied());
        for (a, b) in (0..(n + 1) * (n + 1)).flat_map(|a| (a + 1..(n + 1) * (n + 1)).map(move |b| (a, b))) {
            let has = |t: &[u32; 3]| t.contains(&a) && t.contains(&b);
            let want: Vec<usize> = some.iter().filter(|(_, t)| has(t)).map(|(i, _)| *i).collect();
            assert_eq!(edges.beside((a, b)).collect::<Vec<_>>(), want, "{a} to {b}");
        }
    }
}
