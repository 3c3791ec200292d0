//! `plugwright mesh`.

use super::{open, open_form, say};
use crate::arguments::Mesh;
use crate::failure::Failure;
use desk::output::{MeshFormat, mesh_file, ring_plane};
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Mesh) -> Result<ExitCode, Failure> {
    let format = format(&arguments.to)?;
    let (form, lofted) = open_form(&arguments.source)?;
    let trim = if arguments.trimmed {
        let document = open(&arguments.source.project)?;
        Some(ring_plane(&document, arguments.source.form - 1).ok_or(Failure::NoRing)?)
    } else {
        None
    };
    let bytes = mesh_file(&form, &lofted, arguments.tolerance, trim.as_ref(), format)?;
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
