//! Everything that can be written of a project, into one folder.

use super::{
    BookFailure, CutFailure, MeshFailure, MeshFormat, NotLofted, PictureFailure, SheetsFailure, View, assembled_file,
    book_by, cut_sheets_by, document_offsets, mesh_file, picture, picture_of, sheets_by, write_cut_sheets,
};
use crate::failure::FileFailure;
use crate::files::write_whole;
use crate::reckoned::Reckoned;
use project::document::Document;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A file of this name marks a folder as written by us, so that it may be written again.
const MARK: &str = "written-by-plugwright.txt";
/// Closeness of the mesh, mm.
const MESH_TOLERANCE: f64 = 0.05;
/// Width of the cut in card that the cutting files are led for, mm: as a knife cuts, with none.
const CARD_KERF: f64 = 0.0;

/// Why the output could not be written.
#[derive(Debug, thiserror::Error)]
#[expect(missing_docs, reason = "each passes on the failure of one kind of output")]
pub enum EverythingFailure {
    #[error(transparent)]
    File(#[from] FileFailure),
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    #[error(transparent)]
    Sheets(#[from] SheetsFailure),
    #[error("The PDF cannot be made: {0}.")]
    Pdf(#[from] sheets::pdf::PdfError),
    #[error(transparent)]
    Mesh(#[from] MeshFailure),
    #[error(transparent)]
    Picture(#[from] PictureFailure),
    #[error(transparent)]
    Book(#[from] BookFailure),
    #[error(transparent)]
    Cut(#[from] CutFailure),
    #[error("No folder {0}, {0}-2 and so on up to {0}-99 is free.")]
    NoFolder(String),
}

/// Writes templates, the build book and the files for machines that cut (in a folder `cut`), and of each form the table of offsets, the mesh (STL and 3MF) and pictures, into a folder `name` in
/// `place`; if that is there and not ours, into `name-2`, and so on. Gives the folder, as seen from `place`.
///
/// # Errors
/// A form that cannot be lofted, or a file that cannot be written.
pub fn write_everything(document: &Document, place: &Path, name: &str) -> Result<PathBuf, EverythingFailure> {
    let folder = free_folder(place, name)?;
    let at = |file: &str| place.join(&folder).join(file);
    let mark = format!(
        "This folder was written by Plugwright from the project \"{}\"; it may be written again.\n",
        document.name
    );
    write_whole(&at(MARK), mark.as_bytes())?;
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let known = Reckoned::default();
    let layout = sheets_by(document, &lofted, &known, &document.paper, &mut |_| true)?;
    write_whole(&at("templates.pdf"), &sheets::pdf::write_pdf(&layout.set)?)?;
    let book = book_by(document, &lofted, &known, &mut |_| true)?;
    write_whole(&at("book.pdf"), &sheets::pdf::write_pdf(&book)?)?;
    write_cut_sheets(&cut_sheets_by(document, &lofted, &known, CARD_KERF)?, &at("cut"))?;
    if document.forms.iter().skip(1).any(|form| form.mount.is_some()) {
        write_whole(&at("assembled.3mf"), &assembled_file(document, &lofted, MESH_TOLERANCE, MeshFormat::ThreeMf)?.0)?;
        write_whole(&at("assembled.png"), &picture_of(document, &lofted, 0, View::Shaded)?)?;
    }
    for (i, (form, lofted)) in document.in_force().forms.iter().zip(&lofted).enumerate() {
        let stem = if document.forms.len() > 1 { format!("form-{}-", i + 1) } else { String::new() };
        write_whole(&at(&format!("{stem}offsets.csv")), document_offsets(document, i, lofted)?.as_bytes())?;
        for (format, ending) in [(MeshFormat::Stl, "stl"), (MeshFormat::ThreeMf, "3mf")] {
            write_whole(&at(&format!("{stem}mesh.{ending}")), &mesh_file(form, lofted, MESH_TOLERANCE, None, format)?)?;
        }
        for (view, file) in [(View::Floor, "floor"), (View::Body, "body-plan"), (View::Shaded, "shaded")] {
            write_whole(&at(&format!("{stem}{file}.png")), &picture(form, lofted, view)?)?;
        }
    }
    Ok(folder)
}

/// The first of `name`, `name-2`, ... that is not there, or carries our mark; it is made if need be.
fn free_folder(place: &Path, name: &str) -> Result<PathBuf, EverythingFailure> {
    let names = (1..100).map(|i| if i == 1 { name.to_owned() } else { format!("{name}-{i}") });
    for candidate in names {
        let path = place.join(&candidate);
        if path.join(MARK).is_file() {
            return Ok(candidate.into());
        }
        match std::fs::create_dir(&path) {
            Ok(()) => return Ok(candidate.into()),
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(FileFailure::unwritable(&path, e).into()),
        }
    }
    Err(EverythingFailure::NoFolder(name.to_owned()))
}
