//! A triangle mesh.

/// A closed, outward-facing triangle mesh: counter-clockwise seen from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Three indices into `vertices` each.
    pub triangles: Vec<[u32; 3]>,
}
