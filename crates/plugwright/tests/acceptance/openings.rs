//! Openings as the commands give them: holes and pockets in meshes, trim templates on the sheets.

use crate::folder::Folder;
use std::collections::HashMap;

/// Edges of a binary STL that lie between no two triangles of opposite sense, and its volume by the divergence theorem. Triangles whose
/// corners fell together in single precision have no edges.
fn open_edges_and_volume(bytes: &[u8]) -> (usize, f64) {
    let float = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().unwrap());
    let count = (bytes.len() - 84) / 50;
    let mut walked: HashMap<([u32; 3], [u32; 3]), i32> = HashMap::new();
    let mut volume = 0.0;
    for t in 0..count {
        let corners = [0, 1, 2].map(|v| [0, 1, 2].map(|k| float(84 + 50 * t + 12 + 12 * v + 4 * k)));
        let [a, b, c] = corners.map(|p| p.map(f64::from));
        volume += (a[0] * (b[1] * c[2] - b[2] * c[1])
            + a[1] * (b[2] * c[0] - b[0] * c[2])
            + a[2] * (b[0] * c[1] - b[1] * c[0]))
            / 6.0;
        let keys = corners.map(|p| p.map(f32::to_bits));
        for (a, b) in [(keys[0], keys[1]), (keys[1], keys[2]), (keys[2], keys[0])] {
            if a != b {
                *walked.entry((a, b)).or_default() += 1;
                *walked.entry((b, a)).or_default() -= 1;
            }
        }
    }
    (walked.values().filter(|n| **n > 0).count(), volume)
}

/// The demo has two intakes with ducts, an outlet and two exhaust holes, none of which is left out.
#[test]
fn openings_are_holes_in_the_skin_and_pockets_in_the_solid() {
    let folder = Folder::with_demo();
    let mesh = |kind: &str| {
        let said = folder.fine(&["mesh", "demo", "--to", "demo.stl", "--tolerance", "0.1", "--kind", kind]);
        let (open, volume) = open_edges_and_volume(&folder.read("demo.stl"));
        (said.out, open, volume)
    };
    let (body, pockets, skin) = (mesh("body"), mesh("pockets"), mesh("skin"));
    assert!(body.1 == 0 && body.0.contains("without its openings"), "{}", body.0);
    assert!(pockets.1 == 0 && pockets.0.contains("2 holes as pockets"), "{}: {} open", pockets.0, pockets.1);
    assert!(pockets.2 < body.2 - 10_000.0, "two ducts of 62 mm depth: {} of {}", pockets.2, body.2);
    assert!(skin.1 > 100 && skin.0.contains("5 holes cut") && !skin.0.contains("left out"), "{}", skin.0);
}
