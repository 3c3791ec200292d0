//! Meshes as files.

use super::NotLofted;
use super::openings::{CutMesh, MeshKind, MeshOrder, cut_mesh};
use form::Lofted;
use form::shaft::RingTrim;
use project::document::{Document, Form};
use sheets::mesh_file::{MeshFileError, stl, three_mf};

/// The kind of a mesh file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeshFormat {
    /// Binary STL.
    Stl,
    /// 3MF, ISO/IEC 25422.
    ThreeMf,
}

/// Why there is no mesh file.
#[derive(Debug, thiserror::Error)]
pub enum MeshFailure {
    /// The form cannot be lofted yet.
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    /// The file cannot be put together.
    #[error("The mesh cannot be written: {0}.")]
    File(#[from] MeshFileError),
}

/// The plane of the ring, which trims the front of the first form; `None` for other forms, and where there is no thrust line with a
/// spinner.
pub fn ring_plane(document: &Document, form: usize) -> Option<RingTrim> {
    fit::ring_trim(&document.airframe).filter(|_| form == 0)
}

/// The closed mesh of a form without its openings, within `tolerance` mm of the surface, as the bytes of a file; cut by the ring's plane where `trim` is
/// given.
///
/// # Errors
/// The form cannot be lofted yet, or has no surface.
pub fn mesh_file(
    form: &Form,
    lofted: &Lofted,
    tolerance: f64,
    trim: Option<&RingTrim>,
    format: MeshFormat,
) -> Result<Vec<u8>, MeshFailure> {
    let order = MeshOrder { kind: MeshKind::Body, tolerance, trim, closed_ends: [false; 2] };
    Ok(mesh_file_of(form, lofted, &order, format)?.0)
}

/// A mesh of a form as it is ordered, as the bytes of a file, with what became of the openings.
///
/// # Errors
/// The form cannot be lofted yet, or has no surface.
pub fn mesh_file_of(
    form: &Form,
    lofted: &Lofted,
    order: &MeshOrder<'_>,
    format: MeshFormat,
) -> Result<(Vec<u8>, CutMesh), MeshFailure> {
    let skin = lofted.whole_skin().ok_or_else(|| NotLofted::of(&form.name, lofted))?;
    let made = cut_mesh(form, skin.loft(), order);
    let bytes = match format {
        MeshFormat::Stl => stl(&made.mesh)?,
        MeshFormat::ThreeMf => three_mf(&made.mesh, &form.name)?,
    };
    Ok((bytes, made))
}

/// Whether the shell is closed at its front and at its rear: for the skin of the first form.
pub fn closed_ends(document: &Document) -> [bool; 2] {
    let draping = &document.shell.draping;
    [draping.closed_front, draping.closed_rear]
}
