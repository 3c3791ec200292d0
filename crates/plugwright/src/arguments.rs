//! The command line.

use clap::{Args, Parser, Subcommand, ValueEnum};
use desk::output::{MeshKind, View};
use project::document::Paper;
use std::path::PathBuf;

/// A lofting editor for large scale radio-controlled aircraft.
///
/// Without a command it opens the editor: on PROJECT, or on the last project, or on a working copy of the demo.
#[derive(Debug, Parser)]
#[command(name = "plugwright", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Arguments {
    /// The project to open: a project file, or a folder with one project in it.
    pub(crate) project: Option<PathBuf>,
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Measure a form: length, volume, surface, centroid, and sections at stations.
    Measure(Measure),
    /// List the findings of a project. Exit code 1 if one of them is an error.
    Check(Check),
    /// Write the table of offsets of a form.
    Offsets(Offsets),
    /// Make a project from a table of offsets.
    FromOffsets(FromOffsets),
    /// Write the templates as a PDF, true to size.
    Sheets(Sheets),
    /// Show the stack of boards and cards: ledger, formers, foam blocks, how they are cut from boards, mass.
    Stack(Stack),
    /// Write a mesh of a form: the closed body, with ducts as pockets, or the skin with its openings.
    Mesh(Mesh),
    /// Draw a picture of a form.
    Picture(Picture),
    /// Write the build book as a PDF.
    Book(Book),
    /// Write the parts on sheets of card and the blocks on boards as SVG, for a machine that cuts.
    Cut(Cut),
    /// Find the cameras of the pictures from their landmarks. Exit code 1 if a landmark is suspect or a camera is not found.
    Camera(Camera),
    /// Tell what the shell is made of and weighs: plies, resin in pots, shopping list, mass, balance of the aircraft.
    Mass(Mass),
    /// Tell whether the shell comes off its plug, and along which line to part it. Exit code 1 if it is held.
    Release(Release),
    /// Solve the sections of the first form from what is traced in photographs, into a new project.
    Solve(Solve),
    /// Lay the laminate's cloth on a form: shear, folds, slits, what is cut from the roll. Exit code 1 if a ply folds even so.
    Cloth(Cloth),
}

/// Which project, and which of its forms.
#[derive(Args, Debug)]
pub(crate) struct Source {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// Number of the form, counted from 1.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub(crate) form: usize,
}

#[derive(Args, Debug)]
pub(crate) struct Measure {
    #[command(flatten)]
    pub(crate) source: Source,
    /// A station in mm aft of the datum; may be given several times. Without any, the project's stations.
    #[arg(long = "at", value_name = "MM", allow_negative_numbers = true, value_parser = millimetres)]
    pub(crate) at: Vec<f64>,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Check {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Offsets {
    #[command(flatten)]
    pub(crate) source: Source,
    /// The table to write.
    #[arg(long, value_name = "TABLE.csv")]
    pub(crate) to: PathBuf,
}

#[derive(Args, Debug)]
pub(crate) struct FromOffsets {
    /// The table of offsets.
    #[arg(value_name = "TABLE.csv")]
    pub(crate) table: PathBuf,
    /// The project to write.
    #[arg(long, value_name = "PROJECT")]
    pub(crate) to: PathBuf,
    /// Write over a project that is there already.
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Sheets {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// The PDF to write.
    #[arg(long, value_name = "FILE.pdf")]
    pub(crate) to: PathBuf,
    /// The paper; without it, the project's own.
    #[arg(long, value_enum, ignore_case = true)]
    pub(crate) paper: Option<PaperName>,
    /// Write the page counts as JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Stack {
    #[command(flatten)]
    pub(crate) source: Source,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Mesh {
    #[command(flatten)]
    pub(crate) source: Source,
    /// The file to write: .stl or .3mf.
    #[arg(long, value_name = "FILE.stl|FILE.3mf")]
    pub(crate) to: PathBuf,
    /// Greatest distance between mesh and surface, mm.
    #[arg(long, value_name = "MM", default_value_t = 0.05, allow_negative_numbers = true, value_parser = tolerance)]
    pub(crate) tolerance: f64,
    /// Cut the front of the first form by the plane of its ring.
    #[arg(long)]
    pub(crate) trimmed: bool,
    /// What the mesh is of.
    #[arg(long, value_enum, default_value_t = MeshKindName::Body)]
    pub(crate) kind: MeshKindName,
    /// The closed bodies of the first form and of all forms that are mounted on it, together; they go into each other.
    #[arg(long, conflicts_with_all = ["form", "trimmed", "kind"])]
    pub(crate) assembled: bool,
}

/// What a mesh is of.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum MeshKindName {
    /// The closed body without openings.
    Body,
    /// The closed body, ducts as pockets with a floor; plain holes have no depth and stay closed.
    Pockets,
    /// The surface without thickness: open at flat ends, with holes, lined by their ducts.
    Skin,
}

impl MeshKindName {
    pub(crate) fn kind(self) -> MeshKind {
        match self {
            Self::Body => MeshKind::Body,
            Self::Pockets => MeshKind::Pockets,
            Self::Skin => MeshKind::Skin,
        }
    }
}

#[derive(Args, Debug)]
pub(crate) struct Picture {
    #[command(flatten)]
    pub(crate) source: Source,
    /// What to show.
    #[arg(long, value_enum)]
    pub(crate) view: ViewName,
    /// The PNG to write.
    #[arg(long, value_name = "FILE.png")]
    pub(crate) to: PathBuf,
}

#[derive(Args, Debug)]
pub(crate) struct Book {
    #[command(flatten)]
    pub(crate) source: Source,
    /// The PDF to write.
    #[arg(long, value_name = "FILE.pdf")]
    pub(crate) to: PathBuf,
}

#[derive(Args, Debug)]
pub(crate) struct Cut {
    #[command(flatten)]
    pub(crate) source: Source,
    /// The folder for the SVG files; it is made if need be.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) to: PathBuf,
    /// Width of what the machine takes away of card, mm: outlines grow and holes shrink by half of it.
    #[arg(long, value_name = "MM", default_value_t = 0.0, allow_negative_numbers = true, value_parser = kerf)]
    pub(crate) kerf: f64,
}

#[derive(Args, Debug)]
pub(crate) struct Camera {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Mass {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Release {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// The way the shell goes, instead of the project's own: aft, to starboard, up.
    #[arg(long, value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = way)]
    pub(crate) way: Option<Way>,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// A direction, of any length.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way(pub(crate) [f64; 3]);

#[derive(Args, Debug)]
pub(crate) struct Solve {
    /// The project: a project file, or a folder with one project in it.
    pub(crate) project: PathBuf,
    /// The new project to write; one that is there is never written over.
    #[arg(long, value_name = "NEW")]
    pub(crate) to: PathBuf,
    /// The breadth line is known: keep it as it is drawn.
    #[arg(long)]
    pub(crate) breadth_known: bool,
    /// A form that is not drawn yet is begun from what is traced from the side: crown and keel are faired within so many mm.
    #[arg(long, value_name = "MM", default_value_t = 0.2, value_parser = tolerance)]
    pub(crate) fairing: f64,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct Cloth {
    #[command(flatten)]
    pub(crate) source: Source,
    /// Search for the best start and the best way to turn the warp instead; exit code 1 if the first ply folds everywhere.
    #[arg(long, conflicts_with = "sheet")]
    pub(crate) search: bool,
    /// Write a new project that starts the cloth at the best place found; one that is there is never written over.
    #[arg(long, value_name = "NEW", requires = "search")]
    pub(crate) to: Option<PathBuf>,
    /// Side of the net's cells, mm, instead of the project's own.
    #[arg(long, value_name = "MM", value_parser = cell)]
    pub(crate) cell: Option<f64>,
    /// Unfold a plain sheet of glass or veneer that is wrapped round between two stations instead; exit code 1 if it does not lie
    /// down.
    #[arg(long, value_names = ["FROM", "TO"], num_args = 2, allow_negative_numbers = true, value_parser = millimetres)]
    pub(crate) sheet: Vec<f64>,
    /// Write JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum PaperName {
    A4,
    A3,
    A2,
    A1,
    A0,
    Letter,
    Tabloid,
    /// One sheet as large as it needs to be.
    OneSheet,
}

impl PaperName {
    pub(crate) fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::A3 => Paper::A3,
            Self::A2 => Paper::A2,
            Self::A1 => Paper::A1,
            Self::A0 => Paper::A0,
            Self::Letter => Paper::Letter,
            Self::Tabloid => Paper::Tabloid,
            Self::OneSheet => Paper::OneSheet,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum ViewName {
    /// From port, nose to the left.
    Side,
    /// Looking aft.
    Face,
    /// The half-breadth plan.
    Plan,
    /// Shaded, from ahead and above.
    Shaded,
    /// All sections in one drawing.
    Body,
    /// Side, plan and face aligned.
    Floor,
}

impl ViewName {
    pub(crate) fn view(self) -> View {
        match self {
            Self::Side => View::Side,
            Self::Face => View::Face,
            Self::Plan => View::Plan,
            Self::Shaded => View::Shaded,
            Self::Body => View::Body,
            Self::Floor => View::Floor,
        }
    }
}

fn millimetres(text: &str) -> Result<f64, String> {
    let value: f64 = text.trim().parse().map_err(|_| "not a number of millimetres".to_owned())?;
    if value.is_finite() { Ok(value) } else { Err("not a finite number of millimetres".to_owned()) }
}

fn way(text: &str) -> Result<Way, String> {
    let wrong = || "give three numbers with commas between them: aft, to starboard, up; such as -1,0,0".to_owned();
    let numbers: Vec<f64> =
        text.split(',').filter_map(|n| n.trim().parse().ok()).filter(|n: &f64| n.is_finite()).collect();
    let way: [f64; 3] = numbers.try_into().map_err(|_| wrong())?;
    if text.split(',').count() == 3 { Ok(Way(way)) } else { Err(wrong()) }
}

fn tolerance(text: &str) -> Result<f64, String> {
    let value = millimetres(text)?;
    if (0.001..=10.0).contains(&value) { Ok(value) } else { Err("choose from 0.001 to 10 mm".to_owned()) }
}

fn kerf(text: &str) -> Result<f64, String> {
    let value = millimetres(text)?;
    if (0.0..=5.0).contains(&value) { Ok(value) } else { Err("choose from 0 to 5 mm".to_owned()) }
}

fn cell(text: &str) -> Result<f64, String> {
    let value = millimetres(text)?;
    if (1.0..=50.0).contains(&value) { Ok(value) } else { Err("choose from 1 to 50 mm".to_owned()) }
}
