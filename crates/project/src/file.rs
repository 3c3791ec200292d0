//! The project file: RON text with a format version, pictures in files beside it. `FILE.md` beside this crate describes
//! it field by field.
//!
//! Only this module knows the saved form. It has its own types, a set for each version, apart from the document's, so
//! that a field of the document may be renamed without breaking a project.

mod checked;
mod failure;
mod pictures;
mod v1;

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;

use crate::document::{Document, Picture};
use crate::edit::lock_all;

pub use failure::FileError;
pub(crate) use pictures::file_of;
pub use pictures::{PictureKind, check_picture_path, picture_file_name, picture_kind};

/// What the first field of every project says.
pub const FORMAT: &str = "plugwright project";
/// The version that is written.
pub const VERSION: u32 = 1;
/// A project's text is at most this long, bytes.
pub const MAX_TEXT: usize = 32 * 1024 * 1024;

/// The first line of the text, for whoever opens it in an editor.
const COMMENT: &str = "// Lengths in mm at the model, angles in degrees; x aft, y to starboard, z up.\n";
/// Elements nested deeper than this are written on one line: a point a line.
const LINES_TO_DEPTH: usize = 6;

/// A project as it goes to disk.
#[derive(Clone, Debug, PartialEq)]
pub struct ProjectFile {
    /// The text of the project file.
    pub text: String,
    /// The pictures: path relative to the project file, and bytes. Pictures whose bytes are missing are left out, so
    /// that whatever lies at their place stays.
    pub pictures: Vec<(String, Arc<[u8]>)>,
}

/// An opened project.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The document. It keeps every promise of [`crate::promise`].
    pub document: Document,
    /// What could not be had, and what to do.
    pub problems: Vec<Problem>,
}

/// Why a picture's bytes cannot be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPicture {
    /// There is no file, or it cannot be read; why, in a few words.
    Unread(String),
    /// There is one, and it is not what it should be: what it is, in sentences.
    Broken(String),
}

impl<T: Into<String>> From<T> for NoPicture {
    fn from(why: T) -> Self {
        Self::Unread(why.into())
    }
}

/// Where the bytes of pictures come from: given the path from the project file, as written there.
pub type Load<'a> = &'a mut dyn FnMut(&str) -> Result<Vec<u8>, NoPicture>;

/// Something that is wrong with a project and does not keep it from opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What it is about, e.g. `picture "Side"`.
    pub place: String,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub hint: String,
    /// A file of the project is there, but is not what it should be.
    pub broken: bool,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {} {}", self.place, self.reason, self.hint)
    }
}

/// The project as text and pictures. The same document gives the same bytes everywhere.
///
/// # Errors
/// The document breaks a promise of [`crate::promise`], and so could not be opened again.
pub fn to_file(document: &Document) -> Result<ProjectFile, FileError> {
    crate::promise::check_document(document).map_err(|refused| FileError::whole(refused.reason, refused.hint))?;
    let files = pictures::files(&document.pictures);
    let project = v1::Project::from_document(document, &files);
    let pretty = ron::ser::PrettyConfig::new().depth_limit(LINES_TO_DEPTH).new_line("\n");
    let body = options()
        .to_string_pretty(&project, pretty)
        .map_err(|error| FileError::whole(format!("The project cannot be written: {error}."), "Please report this."))?;
    let with_bytes = document.pictures.iter().zip(files).filter(|(picture, _)| !picture.bytes.is_empty());
    let pictures: BTreeMap<_, _> = with_bytes.map(|(picture, file)| (file, Arc::clone(&picture.bytes))).collect();
    Ok(ProjectFile { text: format!("{COMMENT}{body}\n"), pictures: pictures.into_iter().collect() })
}

/// Reads a project. `load` gives the bytes of a picture by its path relative to the project file, or says why not.
///
/// # Errors
/// The text is no project, of an unknown version, broken or out of range; the error names line and column. A picture
/// that is missing or broken is a problem and no error.
pub fn from_file(text: &str, load: Load<'_>) -> Result<Opened, FileError> {
    if text.len() > MAX_TEXT {
        return Err(FileError::whole(
            format!("The file is larger than {} MiB.", MAX_TEXT / 1024 / 1024),
            "A project is far smaller: check that this is one.",
        ));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    check_header(&parse::<Header>(text)?)?;
    let mut document = parse::<v1::Project>(text)?.into_document();
    crate::promise::check_totals(&document).map_err(|refused| FileError::whole(refused.reason, refused.hint))?;
    let mut problems = lock_points(&mut document)?;
    if crate::edit::pin::let_go_of_strays(&mut document) {
        problems.push(Problem {
            place: "fuselage end".into(),
            reason: "The control section that is pinned to it had other points or another station, and was let go."
                .into(),
            hint: "Pin it to the fuselage end again, on the bench.".into(),
            broken: false,
        });
    }
    if crate::edit::shell::settle_coats(&mut document) {
        problems.push(Problem {
            place: "build".into(),
            reason: "What is taken off the plug was not what the plies come to, and follows them now.".into(),
            hint: "Let the shell's thickness be given by hand to set another.".into(),
            broken: false,
        });
    }
    load_pictures(&mut document, load, &mut problems);
    Ok(Opened { document, problems })
}

/// What every version of the file begins with.
#[derive(Deserialize)]
struct Header {
    format: String,
    version: u32,
}

fn check_header(header: &Header) -> Result<(), FileError> {
    if header.format != FORMAT {
        return Err(FileError::whole("This is not a Plugwright project.", "Choose a file that Plugwright has saved."));
    }
    if header.version != VERSION {
        return Err(FileError::whole(
            format!("This project is of version {}; this program reads version {VERSION}.", header.version),
            "Open it with a newer Plugwright. It has been left as it is.",
        ));
    }
    Ok(())
}

fn options() -> ron::Options {
    use ron::extensions::Extensions;
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_default_extension(Extensions::UNWRAP_VARIANT_NEWTYPES)
}

fn parse<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, FileError> {
    options().from_str(text).map_err(|error| FileError::from_ron(&error))
}

/// Sets what pinned sections lock, in case somebody changed a line by hand in the text.
fn lock_points(document: &mut Document) -> Result<Vec<Problem>, FileError> {
    let mut problems = Vec::new();
    for form in &mut document.forms {
        let mut locked = (**form).clone();
        lock_all(&mut locked).map_err(|refused| FileError::whole(refused.reason, refused.hint))?;
        if locked != **form {
            problems.push(Problem {
                place: format!("form \"{}\"", form.name),
                reason: "A master line did not pass through the measured points of a pinned section.".into(),
                hint: "It does now; look it over before you save.".into(),
                broken: false,
            });
            *form = Arc::new(locked);
        }
    }
    Ok(problems)
}

fn load_pictures(document: &mut Document, load: Load<'_>, problems: &mut Vec<Problem>) {
    for picture in &mut document.pictures {
        match load_picture(picture, load) {
            Ok(bytes) => Arc::make_mut(picture).bytes = bytes,
            Err(problem) => problems.push(problem),
        }
    }
}

fn load_picture(picture: &Picture, load: Load<'_>) -> Result<Arc<[u8]>, Problem> {
    let problem = |reason: String, hint: &str, broken: bool| Problem {
        place: format!("picture \"{}\"", picture.name),
        reason,
        hint: hint.into(),
        broken,
    };
    let broken = |reason: String| {
        problem(reason, "Put the right file there, or take it away to go on without it; its place is kept.", true)
    };
    let bytes = load(&picture.file).map_err(|why| match why {
        NoPicture::Unread(why) => problem(
            format!("{} cannot be read ({why}).", picture.file),
            "Put the file back there, or remove the picture and add it again; its place is kept.",
            false,
        ),
        NoPicture::Broken(why) => broken(format!("{}: {why}", picture.file)),
    })?;
    if picture_kind(&bytes).is_none() {
        return Err(broken(format!("{} is neither a JPEG nor a PNG picture.", picture.file)));
    }
    Ok(bytes.into())
}
