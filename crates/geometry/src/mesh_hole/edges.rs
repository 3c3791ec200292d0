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
