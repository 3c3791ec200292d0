//! Why a command ends with exit code 2.

use desk::FileFailure;
use desk::output::{BookFailure, CutFailure, MeshFailure, NotLofted, PictureFailure, SheetsFailure};
use std::path::PathBuf;

#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    #[error(transparent)]
    File(#[from] FileFailure),
    #[error("{}: {broken}", path.display())]
    Broken { path: PathBuf, broken: String },
    #[error("{}: {error}", path.display())]
    Table { path: PathBuf, error: project::table::TableError },
    #[error("There is no form {asked}: the project has {there}. Count from 1.")]
    NoForm { asked: usize, there: usize },
    #[error(transparent)]
    NotLofted(#[from] NotLofted),
    #[error("Station {asked} mm lies outside the form, which runs from {low:.3} to {high:.3} mm.")]
    Outside { asked: f64, low: f64, high: f64 },
    #[error(transparent)]
    Sheets(#[from] SheetsFailure),
    #[error("The PDF cannot be made: {0}.")]
    Pdf(#[from] sheets::pdf::PdfError),
    #[error(transparent)]
    Mesh(#[from] MeshFailure),
    #[error("There is no ring to trim this form by: give the first form a thrust line with a spinner.")]
    NoRing,
    #[error("{}: the ending tells the kind of mesh file; use .stl or .3mf.", .0.display())]
    MeshEnding(PathBuf),
    #[error("{} is the table itself. Choose another name for the project.", .0.display())]
    SameFile(PathBuf),
    #[error("{}: pictures are written as PNG; use a name that ends in .png.", .0.display())]
    PictureEnding(PathBuf),
    #[error("\"{0}\" is neither a command nor a project that is there. `plugwright --help` lists the commands.")]
    NoSuchProject(String),
    #[error(transparent)]
    Picture(#[from] PictureFailure),
    #[error(transparent)]
    Book(#[from] BookFailure),
    #[error(transparent)]
    Cut(#[from] CutFailure),
    #[error("This project has no stack yet. Enter its boards and cards in the editor, and tell it to use them.")]
    NoStack,
    #[error("This project has no pictures. Add photographs in the editor, and pick landmarks in them.")]
    NoPictures,
    #[error(transparent)]
    Solve(#[from] desk::photographs::SolveFailure),
    #[error(transparent)]
    Begin(#[from] desk::photographs::BeginFailure),
    #[error(transparent)]
    Release(#[from] desk::shell::release::ReleaseFailure),
    #[error(transparent)]
    Cloth(#[from] desk::shell::cloth::ClothFailure),
    #[error(transparent)]
    Refused(#[from] project::edit::Refused),
    #[error("{0}")]
    Window(String),
    #[error(transparent)]
    Everything(#[from] desk::output::EverythingFailure),
    #[error("The built-in demo cannot be read: {0}. Please report this.")]
    Demo(#[from] project::file::FileError),
}
