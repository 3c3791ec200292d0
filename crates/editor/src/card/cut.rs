//! The shaded body with its openings cut out.

use crate::on_shell::openings::OneLaid;
use geometry::mesh::Mesh;

/// The mesh with a hole for every opening that lies wholly on the form; one that cannot be cut stays closed, and shows its rim only.
pub(super) fn cut(mesh: &Mesh, laid: &[OneLaid]) -> Mesh {
    let mut mesh = mesh.clone();
    let holes = laid.iter().filter_map(|one| one.holes.as_ref().ok()).flatten();
    for hole in holes.map(|one| &one.hole) {
        let Some(run) = hole.whole() else { continue };
        let line: Vec<[f64; 3]> = run.places.iter().map(|p| p.place.point).collect();
        if let Ok((with, _)) = mesh.with_hole(&line, hole.seen.sight()) {
            mesh = with;
        }
    }
    mesh
}
