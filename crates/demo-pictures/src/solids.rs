//! Meshes of simple solids, closed and facing out.

use geometry::mesh::Mesh;
use nalgebra::Vector3;

/// Closed rings of equally many points, one after the other, joined into a skin and closed at both ends. Seen along the
/// row of rings each ring turns clockwise, or `reversed`.
pub fn skin(rings: &[Vec<[f64; 3]>], reversed: bool) -> Mesh {
    let n = rings.first().map_or(0, Vec::len) as u32;
    let mut mesh = Mesh { vertices: rings.concat(), triangles: Vec::new() };
    let rows = rings.len() as u32;
    for (row, i) in (1..rows).flat_map(|row| (0..n).map(move |i| (row, i))) {
        let (a, b) = ((row - 1) * n + i, (row - 1) * n + (i + 1) % n);
        mesh.triangles.push([a, b, a + n]);
        mesh.triangles.push([b, b + n, a + n]);
    }
    if let ([first, ..], [.., last]) = (rings, rings) {
        cap(&mut mesh, first, 0, true);
        cap(&mut mesh, last, (rows - 1) * n, false);
    }
    if reversed {
        mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    }
    mesh
}

/// Closes a ring with a fan about its middle.
fn cap(mesh: &mut Mesh, ring: &[[f64; 3]], first: u32, front: bool) {
    let middle = ring.iter().map(|&p| Vector3::from(p)).sum::<Vector3<f64>>() / ring.len() as f64;
    let centre = mesh.vertices.len() as u32;
    mesh.vertices.push(middle.into());
    let n = ring.len() as u32;
    for i in 0..n {
        let (a, b) = (first + i, first + (i + 1) % n);
        mesh.triangles.push(if front { [b, a, centre] } else { [a, b, centre] });
    }
}

/// A body of revolution about an axis through `origin`: `profile` holds [distance along, radius], rising along.
pub fn turned(origin: [f64; 3], axis: [f64; 3], profile: &[[f64; 2]], around: u32) -> Mesh {
    let origin = Vector3::from(origin);
    let axis = Vector3::from(axis).normalize();
    let aside = if axis.z.abs() < 0.9 { Vector3::z() } else { Vector3::x() };
    let u = axis.cross(&aside).normalize();
    let v = axis.cross(&u);
    let ring = |&[along, radius]: &[f64; 2]| {
        let point = |i: u32| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / f64::from(around)).sin_cos();
            (origin + axis * along + (u * cos + v * sin) * radius).into()
        };
        (0..around).map(point).collect()
    };
    skin(&profile.iter().map(ring).collect::<Vec<_>>(), false)
}

/// A tube from one point to another, its radius going from one to the other, drawn out along `along` into a streamlined
/// section `slender` times as long as it is wide (1 for a round tube).
pub fn strut(from: [f64; 3], to: [f64; 3], radii: [f64; 2], along: [f64; 3], slender: f64) -> Mesh {
    let (from, to, along) = (Vector3::from(from), Vector3::from(to), Vector3::from(along));
    let axis = (to - from).normalize();
    let chord = (along - axis * along.dot(&axis)).normalize();
    let across = axis.cross(&chord);
    let ring = |step: u32| {
        let t = f64::from(step) / 8.0;
        let radius = radii[0] + (radii[1] - radii[0]) * t;
        let middle = from + (to - from) * t;
        let point = |i: u32| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 36.0).sin_cos();
            (middle + (chord * cos * slender + across * sin) * radius).into()
        };
        (0..36).map(point).collect()
    };
    skin(&(0..=8).map(ring).collect::<Vec<_>>(), false)
}

/// A surface with a wing's section, straight from root to tip. `root` and `tip` hold the leading edge and the chord;
/// `thickness` is a share of the chord, `up` the direction of the thickness.
pub fn wing(root: ([f64; 3], f64), tip: ([f64; 3], f64), thickness: f64, up: [f64; 3]) -> Mesh {
    let rings: Vec<Vec<[f64; 3]>> = (0..=24)
        .map(|step| {
            // Closer steps towards the tip, which is rounded off in the last of them.
            let t = 1.0 - (1.0 - f64::from(step) / 24.0_f64).powi(2);
            let end = if t > 0.98 { 0.6 } else { 1.0 };
            let lead: [f64; 3] = std::array::from_fn(|k| root.0[k] + (tip.0[k] - root.0[k]) * t);
            let chord = root.1 + (tip.1 - root.1) * t;
            wing_section(lead, chord, thickness * end, up)
        })
        .collect();
    let spanwise: [f64; 3] = std::array::from_fn(|k| tip.0[k] - root.0[k]);
    // The section turns from the chord to `up`; whether that is clockwise along the span depends on the side.
    let turn = Vector3::x().cross(&Vector3::from(up)).dot(&Vector3::from(spanwise));
    skin(&rings, turn < 0.0)
}

/// The thickness form of the four-digit family (Jacobs, Ward and Pinkerton, NACA Report 460, 1933, coefficients from
/// memory, the last one changed so that the trailing edge closes) about a slightly arched middle line.
fn wing_section(lead: [f64; 3], chord: f64, thickness: f64, up: [f64; 3]) -> Vec<[f64; 3]> {
    let half = |x: f64| {
        let polynomial = -0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1036 * x.powi(4);
        5.0 * thickness * (0.2969 * x.sqrt() + polynomial)
    };
    let n = 40;
    (0..2 * n)
        .map(|i| {
            let around = std::f64::consts::PI * f64::from(i) / f64::from(n);
            let x = 0.5 + 0.5 * around.cos();
            let side = if i <= n { 1.0 } else { -1.0 };
            let height = side * half(x).max(0.0) + 0.08 * x * (1.0 - x);
            let along = [chord * x, 0.0, 0.0];
            std::array::from_fn(|k| lead[k] + along[k] + up[k] * chord * height)
        })
        .collect()
}

/// The mesh `factor` times as large, about the origin.
pub fn scaled(mesh: &Mesh, factor: f64) -> Mesh {
    let vertices = mesh.vertices.iter().map(|v| v.map(|c| c * factor)).collect();
    Mesh { vertices, triangles: mesh.triangles.clone() }
}

/// Several meshes as one.
pub fn together(parts: &[Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for part in parts {
        let first = all.vertices.len() as u32;
        all.vertices.extend(&part.vertices);
        all.triangles.extend(part.triangles.iter().map(|t| t.map(|v| v + first)));
    }
    all
}

/// Volume by the divergence theorem: positive if the mesh is closed and faces out.
#[cfg(test)]
pub(crate) fn volume(mesh: &Mesh) -> f64 {
    let corner = |v: u32| Vector3::from(mesh.vertices[v as usize]);
    mesh.triangles.iter().map(|&[a, b, c]| corner(a).dot(&corner(b).cross(&corner(c))) / 6.0).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_cylinder_has_its_volume() {
        for axis in [[1.0, 0.0, 0.0], [0.0, 0.0, 2.0], [0.3, -1.0, 0.2]] {
            let mesh = turned([5.0, 1.0, 2.0], axis, &[[0.0, 10.0], [30.0, 10.0]], 400);
            let exact = std::f64::consts::PI * 100.0 * 30.0;
            assert!((volume(&mesh) / exact - 1.0).abs() < 1e-4, "{}", volume(&mesh));
        }
    }

    #[test]
    fn a_strut_has_its_volume() {
        let mesh = strut([1.0, 2.0, 3.0], [1.0, 2.0, -37.0], [4.0, 4.0], [1.0, 0.0, 0.0], 2.0);
        let exact = std::f64::consts::PI * 4.0 * 8.0 * 40.0;
        assert!((volume(&mesh) / exact - 1.0).abs() < 0.01, "{}", volume(&mesh));
    }

    #[test]
    fn wings_of_both_sides_and_a_fin_face_out() {
        let cases = [
            ([0.0, 900.0, 50.0], [0.0, 0.0, 1.0]),
            ([0.0, -900.0, 50.0], [0.0, 0.0, 1.0]),
            ([0.0, 0.0, 700.0], [0.0, 1.0, 0.0]),
        ];
        for (tip, up) in cases {
            let mesh = wing(([0.0; 3], 300.0), (tip, 200.0), 0.14, up);
            assert!(volume(&mesh) > 0.0, "tip {tip:?}");
        }
    }
}
