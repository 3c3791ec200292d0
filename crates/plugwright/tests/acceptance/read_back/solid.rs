//! The finished form as the mesh that the program writes, and how far a place lies from it.

use std::collections::BTreeMap;

type Point3 = [f64; 3];

/// Width of a bin of triangles along x, mm.
const BIN: f64 = 4.0;

/// The skin without its flat ends.
pub(crate) struct Skin {
    triangles: Vec<[Point3; 3]>,
    /// Numbers of the triangles that reach into each bin.
    bins: BTreeMap<i64, Vec<usize>>,
    pub(crate) ends: (f64, f64),
}

impl Skin {
    /// From the bytes of a binary STL.
    pub(crate) fn read(stl: &[u8]) -> Self {
        let value = |b: &[u8]| f64::from(f32::from_le_bytes([b[0], b[1], b[2], b[3]]));
        let corner = |b: &[u8]| -> Point3 { [value(&b[0..4]), value(&b[4..8]), value(&b[8..12])] };
        let triangle = |b: &[u8]| [corner(&b[12..24]), corner(&b[24..36]), corner(&b[36..48])];
        let all: Vec<[Point3; 3]> = stl[84..].chunks_exact(50).map(triangle).collect();
        let xs = || all.iter().flatten().map(|p| p[0]);
        let ends = (xs().fold(f64::INFINITY, f64::min), xs().fold(f64::NEG_INFINITY, f64::max));
        let cap = |t: &[Point3; 3]| [ends.0, ends.1].iter().any(|e| t.iter().all(|p| (p[0] - e).abs() < 1e-4));
        let triangles: Vec<[Point3; 3]> = all.iter().filter(|t| !cap(t)).copied().collect();
        let mut bins: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
        for (k, t) in triangles.iter().enumerate() {
            let (low, high) = (t[0][0].min(t[1][0]).min(t[2][0]), t[0][0].max(t[1][0]).max(t[2][0]));
            (bin(low)..=bin(high)).for_each(|b| bins.entry(b).or_default().push(k));
        }
        Self { triangles, bins, ends }
    }

    /// Distance of a place to the skin, if that is less than `reach`.
    pub(crate) fn distance(&self, p: Point3, reach: f64) -> f64 {
        let near = self.bins.range(bin(p[0] - reach)..=bin(p[0] + reach)).flat_map(|b| b.1);
        near.map(|&k| to_triangle(p, &self.triangles[k])).fold(reach, f64::min)
    }
}

fn bin(x: f64) -> i64 {
    (x / BIN).floor() as i64
}

fn less(a: Point3, b: Point3) -> Point3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn dot(a: Point3, b: Point3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// The place's foot on the plane if that lies in the triangle, or else the nearest place on a side.
fn to_triangle(p: Point3, [a, b, c]: &[Point3; 3]) -> f64 {
    let normal = cross(less(*b, *a), less(*c, *a));
    let long = dot(normal, normal).sqrt();
    let within = |u: Point3, v: Point3| dot(cross(less(v, u), less(p, u)), normal) >= 0.0;
    if long > 0.0 && within(*a, *b) && within(*b, *c) && within(*c, *a) {
        return (dot(less(p, *a), normal) / long).abs();
    }
    [(*a, *b), (*b, *c), (*c, *a)].into_iter().map(|(u, v)| to_side(p, u, v)).fold(f64::INFINITY, f64::min)
}

fn to_side(p: Point3, a: Point3, b: Point3) -> f64 {
    let (d, q) = (less(b, a), less(p, a));
    let long = dot(d, d);
    let t = if long > 0.0 { (dot(q, d) / long).clamp(0.0, 1.0) } else { 0.0 };
    let away = less(q, [t * d[0], t * d[1], t * d[2]]);
    dot(away, away).sqrt()
}
