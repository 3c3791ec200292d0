//! A mesh made ready for drawing: its normals, and its bounds.

use geometry::mesh::Mesh;
use nalgebra::Vector3;

/// How light meets the triangles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Normals {
    /// Each triangle is seen as the flat it is.
    Flat,
    /// Rounded across edges that bend by less than the crease angle, crisp across the others, so knuckles show.
    Smooth {
        /// The crease angle, degrees.
        crease_deg: f64,
    },
}

impl Default for Normals {
    /// 20°: more than neighbouring triangles of a fine mesh bend, less than any knuckle worth drawing.
    fn default() -> Self {
        Self::Smooth { crease_deg: 20.0 }
    }
}

/// A mesh with its normals. Making one costs about as much as drawing it, so keep it while the mesh stays.
#[derive(Clone, Debug, Default)]
pub struct Body {
    pub(crate) vertices: Vec<Vector3<f64>>,
    pub(crate) triangles: Vec<[u32; 3]>,
    /// A normal for each corner of each triangle, pointing out, in project axes.
    pub(crate) normals: Vec<[Vector3<f32>; 3]>,
    /// Every edge has its neighbour, so from outside only triangles that face the eye can be seen.
    pub(crate) closed: bool,
}

impl Body {
    /// Takes a mesh over. A closed one is drawn as seen from outside, an open one from both sides. Triangles with a corner that is missing or not finite, or without area, are left out.
    pub fn new(mesh: &Mesh, normals: Normals) -> Self {
        let vertices: Vec<_> = mesh.vertices.iter().map(|&v| Vector3::from(v)).collect();
        let faces = faces(&vertices, &mesh.triangles);
        let triangles: Vec<_> = faces.iter().map(|face| face.corners).collect();
        let normals = match normals {
            Normals::Flat => faces.iter().map(|face| [face.normal; 3]).collect(),
            Normals::Smooth { crease_deg } => smooth(vertices.len(), &faces, crease_deg),
        };
        let closed = is_closed(&triangles);
        Self { vertices, triangles, normals, closed }
    }

    /// The same body with its corners moved and its normals as they are: for bending what a lens bends. Triangles with a corner that
    /// is not finite afterwards are left out.
    #[must_use]
    pub fn moved(&self, to: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        let vertices: Vec<Vector3<f64>> = self.vertices.iter().map(|&v| Vector3::from(to(v.into()))).collect();
        if vertices.iter().all(|v| v.iter().all(|c| c.is_finite())) {
            return Self { vertices, ..self.clone() };
        }
        let there = |t: &[u32; 3]| t.iter().all(|v| vertices[*v as usize].iter().all(|c| c.is_finite()));
        let kept = self.triangles.iter().zip(&self.normals).filter(|(t, _)| there(t));
        let (triangles, normals) = kept.map(|(t, n)| (*t, *n)).unzip();
        Self { vertices, triangles, normals, closed: false }
    }

    /// How far the body reaches along each axis.
    pub fn bounds(&self) -> Bounds {
        let corners = self.triangles.iter().flatten().map(|&v| self.vertices[v as usize].into());
        Bounds::of(corners)
    }
}

/// How far something reaches along each axis, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bounds {
    /// The least x, y and z.
    pub least: [f64; 3],
    /// The greatest x, y and z.
    pub greatest: [f64; 3],
}

impl Bounds {
    /// Of points; all zero if there are none.
    pub fn of(points: impl IntoIterator<Item = [f64; 3]>) -> Self {
        let mut points = points.into_iter();
        let Some(first) = points.next() else { return Self::default() };
        points.fold(Self { least: first, greatest: first }, |b, p| Self {
            least: std::array::from_fn(|i| b.least[i].min(p[i])),
            greatest: std::array::from_fn(|i| b.greatest[i].max(p[i])),
        })
    }

    /// The point in the middle.
    pub fn middle(&self) -> [f64; 3] {
        std::array::from_fn(|i| (self.least[i] + self.greatest[i]) / 2.0)
    }

    /// From corner to corner, mm.
    pub fn diagonal(&self) -> f64 {
        (Vector3::from(self.greatest) - Vector3::from(self.least)).norm()
    }
}

/// A triangle that can be drawn.
struct Face {
    corners: [u32; 3],
    normal: Vector3<f32>,
    /// Its angles at the corners, by which it counts in a rounded normal.
    angles: [f32; 3],
}

fn faces(vertices: &[Vector3<f64>], triangles: &[[u32; 3]]) -> Vec<Face> {
    triangles.iter().filter_map(|&corners| face(vertices, corners)).collect()
}

fn face(vertices: &[Vector3<f64>], corners: [u32; 3]) -> Option<Face> {
    let corner = |i: usize| vertices.get(corners[i] as usize);
    let (a, b, c) = (corner(0)?, corner(1)?, corner(2)?);
    let across = (b - a).cross(&(c - a));
    let twice_area = across.norm();
    if !twice_area.is_finite() || twice_area <= f64::MIN_POSITIVE {
        return None;
    }
    let angle =
        |at: &Vector3<f64>, to: &Vector3<f64>, or: &Vector3<f64>| twice_area.atan2((to - at).dot(&(or - at))) as f32;
    Some(Face {
        corners,
        normal: (across / twice_area).cast(),
        angles: [angle(a, b, c), angle(b, c, a), angle(c, a, b)],
    })
}

/// Whether every edge is run through once each way. Edges are told apart by a 64-bit sum of scrambled numbers, so an
/// open mesh is mistaken for a closed one by chance only, about once in 10^19.
fn is_closed(triangles: &[[u32; 3]]) -> bool {
    let scrambled = |a: u32, b: u32| {
        let mut h = (u64::from(a) << 32 | u64::from(b)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        h = (h ^ (h >> 32)).wrapping_mul(0xD6E8_FEB8_6659_FD93);
        h ^ (h >> 32)
    };
    let edges = triangles.iter().flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)]);
    let sum =
        edges.fold(
            0_u64,
            |sum, (a, b)| {
                if a < b { sum.wrapping_add(scrambled(a, b)) } else { sum.wrapping_sub(scrambled(b, a)) }
            },
        );
    sum == 0
}

/// Rounds the normals, each neighbour counted by its angle at the corner (Thürmer and Wüthrich 1998, from memory), so
/// that the way a surface is cut into triangles does not show.
fn smooth(vertex_count: usize, faces: &[Face], crease_deg: f64) -> Vec<[Vector3<f32>; 3]> {
    let around = Around::new(vertex_count, faces);
    let crease = crease_deg.clamp(0.0, 180.0).to_radians().cos() as f32;
    let rounded = |face: &Face, corner: usize| {
        let mut sum = Vector3::zeros();
        for &(other, at) in around.vertex(face.corners[corner]) {
            let other = &faces[other as usize];
            if other.normal.dot(&face.normal) >= crease {
                sum += other.normal * other.angles[at as usize];
            }
        }
        let length = sum.norm();
        if length > 1e-12 { sum / length } else { face.normal }
    };
    faces.iter().map(|face| [rounded(face, 0), rounded(face, 1), rounded(face, 2)]).collect()
}

/// The faces around each vertex, in one list.
struct Around {
    starts: Vec<u32>,
    /// The face and which of its corners the vertex is.
    entries: Vec<(u32, u8)>,
}

impl Around {
    fn new(vertex_count: usize, faces: &[Face]) -> Self {
        let mut starts = vec![0_u32; vertex_count + 1];
        for &vertex in faces.iter().flat_map(|face| &face.corners) {
            starts[vertex as usize + 1] += 1;
        }
        for i in 0..vertex_count {
            starts[i + 1] += starts[i];
        }
        let mut next = starts.clone();
        let mut entries = vec![(0, 0); 3 * faces.len()];
        for (number, face) in (0..).zip(faces) {
            for (corner, &vertex) in (0..).zip(&face.corners) {
                let place = &mut next[vertex as usize];
                entries[*place as usize] = (number, corner);
                *place += 1;
            }
        }
        Self { starts, entries }
    }

    fn vertex(&self, vertex: u32) -> &[(u32, u8)] {
        let vertex = vertex as usize;
        &self.entries[self.starts[vertex] as usize..self.starts[vertex + 1] as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two squares that meet along the x axis, the second turned up by `bend_deg`.
    fn folded(bend_deg: f64) -> Mesh {
        let (sin, cos) = bend_deg.to_radians().sin_cos();
        Mesh {
            vertices: vec![
                [0.0, -1.0, 0.0],
                [1.0, -1.0, 0.0],
                [0.0, 0.0, 0.0],
                [1.0, 0.0, 0.0],
                [0.0, cos, sin],
                [1.0, cos, sin],
            ],
            triangles: vec![[0, 1, 3], [0, 3, 2], [2, 3, 5], [2, 5, 4]],
        }
    }

    #[test]
    fn a_knuckle_stays_crisp_and_a_bend_is_rounded() {
        let crisp = Body::new(&folded(40.0), Normals::Smooth { crease_deg: 30.0 });
        approx::assert_relative_eq!(crisp.normals[0][2].z, 1.0, epsilon = 1e-6);
        let rounded = Body::new(&folded(20.0), Normals::Smooth { crease_deg: 30.0 });
        // Corner 3 has 90° of each square around it, so its normal halves the bend.
        let half = 10_f32.to_radians();
        approx::assert_relative_eq!(rounded.normals[0][2].z, half.cos(), epsilon = 1e-5);
        approx::assert_relative_eq!(rounded.normals[0][2].y, -half.sin(), epsilon = 1e-5);
    }

    #[test]
    fn a_mesh_with_a_triangle_missing_is_open() {
        let mut tetrahedron = vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
        assert!(is_closed(&tetrahedron));
        tetrahedron[1] = [0, 3, 1];
        assert!(!is_closed(&tetrahedron), "one turned inside out");
        tetrahedron.swap_remove(1);
        assert!(!is_closed(&tetrahedron), "one missing");
    }

    #[test]
    fn triangles_that_cannot_be_drawn_are_left_out() {
        let mut mesh = folded(20.0);
        mesh.vertices[4][2] = f64::NAN;
        mesh.triangles.push([0, 0, 1]);
        mesh.triangles.push([0, 1, 99]);
        let body = Body::new(&mesh, Normals::default());
        assert_eq!(body.triangles.len(), 3);
        assert!(body.normals.iter().flatten().all(|n| n.iter().all(|c| c.is_finite())));
        assert_eq!(Body::new(&Mesh::default(), Normals::Flat).bounds(), Bounds::default());
    }
}
