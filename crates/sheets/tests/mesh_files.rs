//! STL and 3MF read back: closed, facing outward, in millimetres.
#![allow(clippy::unwrap_used, clippy::panic)] // tests may stop at the first surprise

use std::collections::HashMap;
use std::io::Read as _;

use geometry::mesh::Mesh;
use quick_xml::events::Event;
use sheets::mesh_file::{MeshFileError, stl, three_mf};

/// An ellipsoid of 24 by 16 faces with semi-axes 30, 20 and 10, outward.
fn ellipsoid() -> Mesh {
    let (around, down) = (24_u32, 16_u32);
    let mut mesh = Mesh { vertices: vec![[0.0, 0.0, 10.0]], triangles: Vec::new() };
    for j in 1..down {
        for i in 0..around {
            let (s, c) = (f64::from(j) * std::f64::consts::PI / f64::from(down)).sin_cos();
            let (si, co) = (f64::from(i) * std::f64::consts::TAU / f64::from(around)).sin_cos();
            mesh.vertices.push([30.0 * s * co, 20.0 * s * si, 10.0 * c]);
        }
    }
    mesh.vertices.push([0.0, 0.0, -10.0]);
    let last = mesh.vertices.len() as u32 - 1;
    let at = |j: u32, i: u32| 1 + (j - 1) * around + i % around;
    for i in 0..around {
        mesh.triangles.push([0, at(1, i), at(1, i + 1)]);
        mesh.triangles.push([last, at(down - 1, i + 1), at(down - 1, i)]);
        for j in 1..down - 1 {
            mesh.triangles.push([at(j, i), at(j + 1, i), at(j + 1, i + 1)]);
            mesh.triangles.push([at(j, i), at(j + 1, i + 1), at(j, i + 1)]);
        }
    }
    mesh
}

/// By the divergence theorem; positive when the faces look outward.
fn volume(mesh: &Mesh) -> f64 {
    mesh.triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|k| mesh.vertices[k as usize]);
            (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
                + a[2] * (b[0] * c[1] - b[1] * c[0]))
                / 6.0
        })
        .sum()
}

/// Every edge is run through once each way.
fn is_closed(mesh: &Mesh) -> bool {
    let mut edges: HashMap<(u32, u32), i32> = HashMap::new();
    for t in &mesh.triangles {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            *edges.entry((a.min(b), a.max(b))).or_default() += if a < b { 1 } else { -1 };
            *edges.entry((b, a)).or_default() += 0;
        }
    }
    edges.values().all(|n| *n == 0)
}

fn read_stl(bytes: &[u8]) -> Mesh {
    let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap()) as usize;
    assert_eq!(bytes.len(), 84 + 50 * count);
    let mut mesh = Mesh::default();
    let mut known: HashMap<[u32; 3], u32> = HashMap::new();
    for facet in bytes[84..].chunks_exact(50) {
        let float = |k: usize| f32::from_le_bytes(facet[4 * k..4 * k + 4].try_into().unwrap());
        let mut corners = [0; 3];
        for (c, corner) in corners.iter_mut().enumerate() {
            let p = [0, 1, 2].map(|k| float(3 + 3 * c + k));
            *corner = *known.entry(p.map(f32::to_bits)).or_insert_with(|| {
                mesh.vertices.push(p.map(f64::from));
                mesh.vertices.len() as u32 - 1
            });
        }
        let normal = [0, 1, 2].map(|k| f64::from(float(k)));
        let length = normal.iter().map(|c| c * c).sum::<f64>().sqrt();
        assert!((length - 1.0).abs() < 1e-6, "normals have length 1");
        mesh.triangles.push(corners);
    }
    mesh
}

#[test]
fn stl_holds_the_same_closed_body() {
    let mesh = ellipsoid();
    let bytes = stl(&mesh).unwrap();
    assert!(!bytes.starts_with(b"solid") && String::from_utf8_lossy(&bytes[..80]).contains("millimetres"));
    let back = read_stl(&bytes);
    assert_eq!((back.vertices.len(), back.triangles.len()), (mesh.vertices.len(), mesh.triangles.len()));
    assert!(is_closed(&back));
    assert!((volume(&back) / volume(&mesh) - 1.0).abs() < 1e-6 && volume(&back) > 0.0);
}

fn attribute(e: &quick_xml::events::BytesStart<'_>, name: &str) -> String {
    let a = e.try_get_attribute(name).unwrap().unwrap();
    a.value.into_owned()
}

#[test]
fn three_mf_is_a_package_with_the_same_closed_body_in_millimetres() {
    let mesh = ellipsoid();
    let bytes = three_mf(&mesh, "Cowling <A> & B").unwrap();
    assert_eq!(bytes, three_mf(&mesh, "Cowling <A> & B").unwrap(), "the same mesh gives the same bytes");
    let mut package = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut text = |name: &str| {
        let mut s = String::new();
        package.by_name(name).unwrap().read_to_string(&mut s).unwrap();
        s
    };
    assert!(text("[Content_Types].xml").contains("application/vnd.ms-package.3dmanufacturing-3dmodel+xml"));
    assert!(text("_rels/.rels").contains("Target=\"/3D/3dmodel.model\""));
    let model = text("3D/3dmodel.model");
    let mut reader = quick_xml::Reader::from_str(&model);
    let (mut back, mut unit, mut items, mut words) = (Mesh::default(), String::new(), 0, String::new());
    loop {
        match reader.read_event().unwrap() {
            Event::Eof => break,
            Event::Start(e) if e.name().as_ref() == "model" => unit = attribute(&e, "unit"),
            Event::Text(t) => words += &t,
            Event::Empty(e) if e.name().as_ref() == "vertex" => {
                back.vertices.push(["x", "y", "z"].map(|n| attribute(&e, n).parse().unwrap()));
            }
            Event::Empty(e) if e.name().as_ref() == "triangle" => {
                back.triangles.push(["v1", "v2", "v3"].map(|n| attribute(&e, n).parse().unwrap()));
            }
            Event::Empty(e) if e.name().as_ref() == "item" => items += 1,
            _ => {}
        }
    }
    assert_eq!((unit.as_str(), items), ("millimeter", 1));
    assert!(words.contains("Cowling") && model.contains("&lt;A&gt; &amp; B"));
    assert_eq!((back.vertices.len(), &back.triangles), (mesh.vertices.len(), &mesh.triangles));
    assert!(is_closed(&back) && (volume(&back) / volume(&mesh) - 1.0).abs() < 1e-5);
}

#[test]
fn damaged_meshes_are_refused() {
    assert!(matches!(stl(&Mesh::default()), Err(MeshFileError::Empty)));
    let mut mesh = ellipsoid();
    mesh.triangles[7][1] = 99_999;
    assert!(matches!(stl(&mesh), Err(MeshFileError::Damaged(7))));
    let mut mesh = ellipsoid();
    mesh.vertices[0][2] = f64::NAN;
    assert!(matches!(three_mf(&mesh, ""), Err(MeshFileError::Damaged(0))));
}
