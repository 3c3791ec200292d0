//! Meshes as files.

use super::NotLofted;
use form::Lofted;
use project::document::Form;
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

/// The closed mesh of a form, within `tolerance` mm of the surface, as the bytes of a file.
///
/// # Errors
/// The form cannot be lofted yet, or has no surface.
pub fn mesh_file(form: &Form, lofted: &Lofted, tolerance: f64, format: MeshFormat) -> Result<Vec<u8>, MeshFailure> {
    let skin = lofted.skin.as_ref().ok_or_else(|| NotLofted::of(&form.name, lofted))?;
    let mesh = skin.loft().mesh(tolerance);
    Ok(match format {
        MeshFormat::Stl => stl(&mesh)?,
        MeshFormat::ThreeMf => three_mf(&mesh, &form.name)?,
    })
}
