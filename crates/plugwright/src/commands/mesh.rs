//! `plugwright mesh`.

use super::{open_at, say};
use crate::arguments::Mesh;
use crate::failure::Failure;
use desk::output::{CutMesh, MeshFormat, MeshKind, MeshOrder, assembled_file, closed_ends, mesh_file_of, ring_plane};
use project::document::Document;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Mesh) -> Result<ExitCode, Failure> {
    let format = format(&arguments.to)?;
    let (document, index) = open_at(&arguments.source)?;
    if arguments.assembled {
        return all_together(arguments, &document, format);
    }
    let form = &document.forms[index];
    let lofted = form::loft(form);
    let trim = if arguments.trimmed { Some(ring_plane(&document, index).ok_or(Failure::NoRing)?) } else { None };
    let order = MeshOrder {
        kind: arguments.kind.kind(),
        tolerance: arguments.tolerance,
        trim: trim.as_ref(),
        closed_ends: closed_ends(&document),
    };
    let (bytes, made) = mesh_file_of(form, &lofted, &order, format)?;
    desk::files::export(&arguments.to, &bytes)?;
    say(&format!("wrote {}: within {} mm, lengths in mm", arguments.to.display(), arguments.tolerance));
    openings(order.kind, form.openings.len(), &made);
    Ok(ExitCode::SUCCESS)
}

fn all_together(arguments: &Mesh, document: &Document, format: MeshFormat) -> Result<ExitCode, Failure> {
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let (bytes, made) = assembled_file(document, &lofted, arguments.tolerance, format)?;
    desk::files::export(&arguments.to, &bytes)?;
    let mounted = document.forms.iter().filter_map(|f| f.mount);
    let bodies: usize = 1 + mounted.map(|mount| if mount.mirrored { 2 } else { 1 }).sum::<usize>();
    say(&format!("wrote {}: within {} mm, lengths in mm", arguments.to.display(), arguments.tolerance));
    say(&format!("{bodies} closed bodies as they are mounted; they go into each other and are not united"));
    let count = document.forms.iter().map(|form| form.openings.len()).sum();
    openings(MeshKind::Pockets, count, &made);
    Ok(ExitCode::SUCCESS)
}

/// Says what became of the openings.
fn openings(kind: MeshKind, count: usize, made: &CutMesh) {
    if count == 0 {
        return;
    }
    let holes = |n: usize| if n == 1 { "1 hole".to_owned() } else { format!("{n} holes") };
    match kind {
        MeshKind::Body => say("the closed body, without its openings; --kind pockets or skin has them"),
        MeshKind::Pockets => say(&format!("the closed body, {} as pockets", holes(made.cut))),
        MeshKind::Skin => say(&format!("the surface without thickness, {} cut", holes(made.cut))),
    }
    made.left_out.iter().for_each(|(name, why)| say(&format!("left out: {name}: {why}")));
}

fn format(path: &Path) -> Result<MeshFormat, Failure> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref() {
        Some("stl") => Ok(MeshFormat::Stl),
        Some("3mf") => Ok(MeshFormat::ThreeMf),
        _ => Err(Failure::MeshEnding(path.to_owned())),
    }
}
