//! `plugwright mesh`.

use super::{open_at, say};
use crate::arguments::Mesh;
use crate::failure::Failure;
use desk::output::{MeshFormat, mesh_file, ring_plane};
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Mesh) -> Result<ExitCode, Failure> {
    let format = format(&arguments.to)?;
    let (document, index) = open_at(&arguments.source)?;
    let form = &document.forms[index];
    let lofted = form::loft(form);
    let trim = if arguments.trimmed { Some(ring_plane(&document, index).ok_or(Failure::NoRing)?) } else { None };
    let bytes = mesh_file(form, &lofted, arguments.tolerance, trim.as_ref(), format)?;
    desk::files::export(&arguments.to, &bytes)?;
    say(&format!("wrote {}: within {} mm, lengths in mm", arguments.to.display(), arguments.tolerance));
    Ok(ExitCode::SUCCESS)
}

fn format(path: &Path) -> Result<MeshFormat, Failure> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref() {
        Some("stl") => Ok(MeshFormat::Stl),
        Some("3mf") => Ok(MeshFormat::ThreeMf),
        _ => Err(Failure::MeshEnding(path.to_owned())),
    }
}
