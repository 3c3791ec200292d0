//! `mesh`: closed, outward, of the right volume; two kinds of file.

use crate::folder::{Folder, number};
use crate::tables;
use std::collections::HashMap;

type Triangle = [[f32; 3]; 3];

/// The triangles of a binary STL: 84 bytes of head, 50 a triangle.
fn stl(bytes: &[u8]) -> Vec<Triangle> {
    assert!(!bytes.starts_with(b"solid"), "a binary file must not look like one in words");
    let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap()) as usize;
    assert_eq!(bytes.len(), 84 + 50 * count);
    let float = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().unwrap());
    let triangle = |t: usize| [0, 1, 2].map(|v| [0, 1, 2].map(|k| float(84 + 50 * t + 12 + 12 * v + 4 * k)));
    (0..count).map(triangle).collect()
}

/// By the divergence theorem: positive only if the triangles face outward.
fn volume(triangles: &[Triangle]) -> f64 {
    let six = |t: &Triangle| {
        let [a, b, c] = t.map(|p| p.map(f64::from));
        a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])
    };
    triangles.iter().map(six).sum::<f64>() / 6.0
}

/// Closed: each edge is walked once in each direction.
fn assert_closed(triangles: &[Triangle]) {
    let key = |p: [f32; 3]| p.map(f32::to_bits);
    let mut walked: HashMap<_, i32> = HashMap::new();
    for t in triangles {
        for k in 0..3 {
            *walked.entry((key(t[k]), key(t[(k + 1) % 3]))).or_default() += 1;
        }
    }
    for (&(a, b), &n) in &walked {
        assert!(n == 1 && walked.get(&(b, a)) == Some(&1), "an edge is open or walked twice");
    }
}

#[test]
fn an_stl_is_closed_and_as_large_as_the_form() {
    let folder = Folder::with_demo();
    let measured = folder.measured("demo", &[]);
    let (want, surface) = (number(&measured["volume_mm3"]), number(&measured["lateral_surface_mm2"]));
    let mut counts = Vec::new();
    for tolerance in ["0.5", "0.05"] {
        folder.fine(&["mesh", "demo", "--to", "demo.stl", "--tolerance", tolerance]);
        let triangles = stl(&folder.read("demo.stl"));
        assert_closed(&triangles);
        // Nowhere farther off than the tolerance, so the volume is off by no more than it times the surface.
        let off = (volume(&triangles) - want).abs();
        assert!(off < tolerance.parse::<f64>().unwrap() * surface, "{off} mm3 at {tolerance} mm");
        counts.push(triangles.len());
    }
    assert!(counts[0] < counts[1], "a closer mesh has more triangles: {counts:?}");
}

/// The cover is there twice, mirrored, each body closed and outward.
#[test]
fn an_assembled_mesh_is_as_large_as_its_bodies_together() {
    let folder = Folder::with_demo();
    // Where forms are put together, ducts are hollows.
    for (file, form) in [("cowl.stl", "1"), ("cover.stl", "2")] {
        folder.fine(&["mesh", "demo", "--form", form, "--kind", "pockets", "--to", file]);
    }
    let said = folder.fine(&["mesh", "demo", "--assembled", "--to", "all.stl"]).out;
    assert!(said.contains("3 closed bodies"), "{said}");
    let [cowl, cover, all] = ["cowl.stl", "cover.stl", "all.stl"].map(|file| stl(&folder.read(file)));
    assert_closed(&all);
    let sum = volume(&cowl) + 2.0 * volume(&cover);
    assert!((volume(&all) / sum - 1.0).abs() < 1e-5, "{} {sum}", volume(&all));
}

/// Cut by the ring's plane nothing stands ahead of it. The demo's cowl begins behind its ring, so a copy whose spinner stands 12 mm
/// further aft is trimmed too.
#[test]
fn a_trimmed_mesh_ends_at_the_ring_s_plane() {
    let folder = Folder::with_demo();
    folder.fine(&["mesh", "demo", "--to", "whole.stl"]);
    folder.fine(&["mesh", "demo", "--to", "same.stl", "--trimmed"]);
    assert_eq!(folder.read("whole.stl"), folder.read("same.stl"), "nothing is ahead of the plane");
    let text = std::fs::read_to_string(folder.demo_file()).unwrap();
    assert!(text.contains("hub_distance: 367.5"));
    std::fs::write(folder.demo_file(), text.replacen("hub_distance: 367.5", "hub_distance: 355.5", 1)).unwrap();
    folder.fine(&["mesh", "demo", "--to", "cut.stl", "--trimmed"]);
    let (whole, cut) = (stl(&folder.read("whole.stl")), stl(&folder.read("cut.stl")));
    assert_closed(&cut);
    // The stack's answer says where the plane is: a point of it and its normal, which points ahead.
    let said = folder.fine(&["stack", "demo", "--json"]).json();
    let vector = |key: &str| [0, 1, 2].map(|k| number(&said["front"][key][k]));
    let (point, normal) = (vector("plane_mm"), vector("normal"));
    let ahead = |p: [f64; 3]| (0..3).map(|k| (p[k] - point[k]) * normal[k]).sum::<f64>();
    assert!(cut.iter().flatten().all(|p| ahead(p.map(f64::from)) < 1e-3));
    // About 10 mm of a front 33 to 40 mm in radius are gone.
    let gone = volume(&whole) - volume(&cut);
    assert!((30_000.0..60_000.0).contains(&gone), "{gone}");
    assert_eq!(said["front"]["trimmed"], true);
    folder.project("plain", &tables::cylinder());
    assert!(folder.refused(&["mesh", "plain", "--to", "plain.stl", "--trimmed"]).contains("no ring"));
}

#[test]
fn a_3mf_is_a_package_in_millimetres() {
    let folder = Folder::with_demo();
    folder.fine(&["mesh", "demo", "--to", "demo.3MF"]);
    assert!(folder.read("demo.3MF").starts_with(b"PK\x03\x04"));
}

#[test]
fn another_ending_or_an_absurd_tolerance_is_refused() {
    let folder = Folder::with_demo();
    for to in ["demo.obj", "demo", "demo.stl.txt"] {
        let said = folder.refused(&["mesh", "demo", "--to", to]);
        assert!(said.contains(".stl") && said.contains(".3mf"), "{said}");
    }
    for tolerance in ["0", "-1", "nan", "1e9", "thin"] {
        folder.refused(&["mesh", "demo", "--to", "demo.stl", "--tolerance", tolerance]);
    }
}
