//! All forms together, each where it is mounted.

use super::super::openings::{CutMesh, MeshKind, MeshOrder, cut_mesh};
use super::super::picture::{Shown, shaded};
use super::super::{MeshFailure, MeshFormat, NotLofted, PictureFailure, View, picture};
use crate::reckoned::Reckoned;
use form::Lofted;
use form::meeting::{Placed, mirrored};
use form::space::Vector;
use geometry::mesh::Mesh;
use project::document::Document;
use project::mount::Mount;
use shade::Line;
use sheets::mesh_file::{stl, three_mf};
use std::sync::Arc;

/// The closed meshes of the first form and of every mounted one, where they are mounted, as one; a mirrored one twice. Ducts of their
/// openings are pockets; a plain hole has no depth, so it stays closed and is told. They go into each other and are not united: for a
/// picture, and for a look at the whole.
///
/// # Errors
/// The first form, or a mounted one, cannot be lofted yet.
pub fn assembled(document: &Document, lofted: &[Arc<Lofted>], tolerance: f64) -> Result<CutMesh, NotLofted> {
    let mut all = CutMesh::default();
    let order = MeshOrder { kind: MeshKind::Pockets, tolerance, trim: None, closed_ends: [false; 2] };
    for (i, (form, lofted)) in document.forms.iter().zip(lofted).enumerate() {
        if i > 0 && form.mount.is_none() {
            continue;
        }
        let skin = lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?;
        let made = cut_mesh(form, skin.loft(), &order);
        let bodies = match &form.mount {
            Some(mount) if i > 0 => placed(&made.mesh, mount),
            _ => vec![made.mesh],
        };
        all.cut += made.cut * bodies.len();
        all.left_out.extend(made.left_out);
        bodies.iter().for_each(|mesh| append(&mut all.mesh, mesh));
    }
    Ok(all)
}

/// [`assembled`] as the bytes of a file, with what became of the openings.
///
/// # Errors
/// As [`assembled`], or nothing is there.
pub fn assembled_file(
    document: &Document,
    lofted: &[Arc<Lofted>],
    tolerance: f64,
    format: MeshFormat,
) -> Result<(Vec<u8>, CutMesh), MeshFailure> {
    let made = assembled(document, lofted, tolerance)?;
    let bytes = match format {
        MeshFormat::Stl => stl(&made.mesh)?,
        MeshFormat::ThreeMf => three_mf(&made.mesh, &document.name)?,
    };
    Ok((bytes, made))
}

/// A mesh of an added form where it is mounted, and its mirror image.
fn placed(mesh: &Mesh, mount: &Mount) -> Vec<Mesh> {
    let placed = Placed::new(mount);
    let vertices: Vec<Vector> = mesh.vertices.iter().map(|p| placed.to_first(*p)).collect();
    let twin = mount.mirrored.then(|| Mesh {
        vertices: vertices.iter().copied().map(mirrored).collect(),
        // Outward is the other way round in a mirror.
        triangles: mesh.triangles.iter().map(|[a, b, c]| [*a, *c, *b]).collect(),
    });
    std::iter::once(Mesh { vertices, triangles: mesh.triangles.clone() }).chain(twin).collect()
}

fn append(all: &mut Mesh, mesh: &Mesh) {
    let before = all.vertices.len() as u32;
    all.vertices.extend(&mesh.vertices);
    all.triangles.extend(mesh.triangles.iter().map(|t| t.map(|v| v + before)));
}

/// A picture of a form of a document; the shaded one of the first form with all that is mounted on it, and the lines where they meet.
///
/// # Errors
/// As [`picture`].
pub fn picture_of(
    document: &Document,
    lofted: &[Arc<Lofted>],
    index: usize,
    view: View,
) -> Result<Vec<u8>, PictureFailure> {
    let document = &*document.in_force();
    let (Some(form), Some(own)) = (document.forms.get(index), lofted.get(index)) else {
        return Err(PictureFailure::Nothing(String::new()));
    };
    if index > 0 || view != View::Shaded {
        return picture(form, own, view);
    }
    let loft = own.skin.as_ref().ok_or_else(|| PictureFailure::Nothing(form.name.clone()))?.loft();
    let mut shown = Shown::default();
    for (form, lofted) in document.forms.iter().zip(lofted).skip(1) {
        if let (Some(mount), Some(skin)) = (&form.mount, &lofted.skin) {
            shown.bodies.extend(placed(&skin.loft().mesh(FINE), mount));
        }
    }
    for added in Reckoned::default().meetings(document, lofted) {
        let lines = added.meeting.both(&added.mount);
        shown.lines.extend(lines.iter().map(|line| Line { points: line.points(), opacity: 0.9, ..Line::default() }));
    }
    Ok(shaded(form, loft, super::super::picture::SHADED, &shown)?)
}

/// Closeness of the meshes of added forms in a picture, mm.
const FINE: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::added::tests::{document, lofted};

    #[test]
    fn all_bodies_are_there_closed_and_outward_the_mirrored_one_twice() {
        let document = document();
        let lofted = lofted(&document);
        let volume = |i: usize| lofted[i].skin.as_ref().unwrap().loft().mesh(0.05).volume();
        let all = assembled(&document, &lofted, 0.05).unwrap().mesh;
        assert_eq!(all.open_edges(), 0);
        let sum = volume(0) + 2.0 * volume(1);
        assert!((all.volume() / sum - 1.0).abs() < 1e-9, "{} {sum}", all.volume());
        let (port, starboard) = all.vertices.iter().fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v[1]), b.max(v[1])));
        assert!((port + starboard).abs() < 1e-9 && starboard > 105.0);
    }
    /// A duct is a pocket of its own form's body, on both sides of a mirrored one; the volume that it takes is that of the form alone.
    #[test]
    fn ducts_are_pockets_of_every_body() {
        use project::opening::{Duct, Opening, Outline, Purpose, Seen};
        let mut document = document();
        let scoop = Opening {
            name: "Scoop".into(),
            purpose: Purpose::Intake,
            seen: Seen::Above,
            mirrored: false,
            outline: Outline::Ellipse { centre: [60.0, 0.0], size: [16.0, 10.0], turn_deg: 0.0 },
            duct: Some(Duct { depth: 12.0, lip_radius: 0.0, wall: 1.0, inner: None }),
        };
        let plain = Opening { name: "Screw".into(), seen: Seen::Above, duct: None, ..scoop.clone() };
        Arc::make_mut(&mut document.forms[1]).openings = vec![Arc::new(scoop)];
        Arc::make_mut(&mut document.forms[0]).openings = vec![Arc::new(plain)];
        let lofted = lofted(&document);
        let all = assembled(&document, &lofted, 0.05).unwrap();
        assert_eq!((all.cut, all.left_out.len(), all.mesh.open_edges()), (2, 1, 0));
        let alone = |i: usize, kind: MeshKind| {
            let order = MeshOrder { kind, tolerance: 0.05, trim: None, closed_ends: [false; 2] };
            cut_mesh(&document.forms[i], lofted[i].whole_skin().unwrap().loft(), &order).mesh.volume()
        };
        let sum = alone(0, MeshKind::Body) + 2.0 * alone(1, MeshKind::Pockets);
        assert!((all.mesh.volume() / sum - 1.0).abs() < 1e-9, "{} {sum}", all.mesh.volume());
        assert!(alone(1, MeshKind::Body) - alone(1, MeshKind::Pockets) > 500.0);
    }
}
