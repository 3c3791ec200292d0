//! The file door: projects and their pictures, read and written whole.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;
use project::document::Document;
use project::file::{MAX_TEXT, NoPicture, Opened, Problem, from_file, to_file};

use crate::failure::FileFailure;
use crate::ours::is_ours;

/// How the name of a project file ends.
pub const ENDING: &str = ".plug.ron";
/// A picture is at most this large, bytes.
const MAX_PICTURE: u64 = 512 * 1024 * 1024;

/// A project file and what it held when we last read or wrote it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnDisk {
    /// The project file.
    pub path: PathBuf,
    /// Of its text.
    pub hash: blake3::Hash,
}

/// What to do when a file that is not ours, or no longer as we know it, has the name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Overwrite {
    /// Say so and write nothing.
    #[default]
    Refuse,
    /// The builder was asked and said yes.
    OnPurpose,
}

/// What lies where a project was read or written last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DiskNow {
    /// What we know of.
    AsKnown,
    /// Somebody else wrote it; the hash of what is there now, `None` if it cannot be read.
    Changed(Option<blake3::Hash>),
    /// Nothing: the file was removed, or a folder on its way renamed.
    Gone,
}

/// Looks at a project's file as it is now.
pub(crate) fn disk_now(known: &OnDisk) -> DiskNow {
    match read_at_most(&known.path, MAX_TEXT as u64).map(|text| blake3::hash(&text)) {
        Ok(hash) if hash == known.hash => DiskNow::AsKnown,
        Ok(hash) => DiskNow::Changed(Some(hash)),
        Err(cause) if matches!(cause.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => DiskNow::Gone,
        Err(_) => DiskNow::Changed(None),
    }
}

/// A project as it was read.
#[derive(Clone, Debug)]
pub struct OpenedFile {
    /// The document.
    pub document: Document,
    /// What could not be had, and what to do.
    pub problems: Vec<Problem>,
    /// Where it came from.
    pub on_disk: OnDisk,
}

/// Opens a project file, or the only project in a folder.
///
/// # Errors
/// The file is missing, cannot be read, or is no good project. A missing picture is a problem and no error.
pub fn open(path: &Path) -> Result<OpenedFile, FileFailure> {
    let path = whole_path(&find_project(path)?);
    let text = read_text(&path)?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let Opened { document, problems } = from_file(&text, &mut |picture| read_picture(folder, picture))
        .map_err(|error| FileFailure::Text { path: path.clone(), error })?;
    Ok(OpenedFile { document, problems, on_disk: OnDisk { hash: blake3::hash(text.as_bytes()), path } })
}

/// The project file that a path means: itself, or the only one in the folder.
///
/// # Errors
/// Nothing there, or a folder with no project or with several.
pub fn find_project(path: &Path) -> Result<PathBuf, FileFailure> {
    let about = fs::metadata(path).map_err(|cause| FileFailure::unreadable(path, cause))?;
    if !about.is_dir() {
        return Ok(path.to_owned());
    }
    let mut found = Vec::new();
    for entry in fs::read_dir(path).map_err(|cause| FileFailure::unreadable(path, cause))? {
        let name = entry.map_err(|cause| FileFailure::unreadable(path, cause))?.file_name();
        let name = name.to_string_lossy().into_owned();
        if name.ends_with(ENDING) && !name.starts_with('.') {
            found.push(name);
        }
    }
    found.sort();
    match &found[..] {
        [] => Err(FileFailure::NoProject { folder: path.to_owned() }),
        [only] => Ok(path.join(only)),
        _ => Err(FileFailure::SeveralProjects { folder: path.to_owned(), names: found }),
    }
}

/// From the root, so that two ways to name a file compare equal and a change of folder does not matter.
fn whole_path(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

/// The path with the ending of a project file, if it has none of its own: `cowl` becomes `cowl.plug.ron`.
pub fn with_ending(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default();
    if Path::new(name).extension().is_some_and(|extension| extension == "ron") {
        return path.to_owned();
    }
    let mut name = name.to_owned();
    name.push(ENDING);
    path.with_file_name(name)
}

/// Writes a project: its pictures first, then its text, each whole or not at all. `known` is what we believe is on disk.
///
/// # Errors
/// The file is not as we know it (nothing is written unless on purpose), or a file cannot be written.
pub fn save(
    document: &Document,
    path: &Path,
    known: Option<&OnDisk>,
    overwrite: Overwrite,
) -> Result<OnDisk, FileFailure> {
    let path = &whole_path(path);
    let written = to_file(document).map_err(|error| FileFailure::Text { path: path.clone(), error })?;
    if overwrite == Overwrite::Refuse {
        check_unchanged(path, known)?;
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    // A folder for the pictures is made, but not one for the project: its name may be a slip of the pen.
    fs::metadata(folder).map_err(|cause| FileFailure::unwritable(path, cause))?;
    for (picture, bytes) in &written.pictures {
        write_picture(&folder.join(picture), bytes)?;
    }
    write_whole(path, written.text.as_bytes())?;
    Ok(OnDisk { path: path.clone(), hash: blake3::hash(written.text.as_bytes()) })
}

/// What lies there is what we know of, or nothing.
fn check_unchanged(path: &Path, known: Option<&OnDisk>) -> Result<(), FileFailure> {
    let hash = match read_at_most(path, MAX_TEXT as u64) {
        Ok(text) => Some(blake3::hash(&text)),
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(cause) if cause.kind() == io::ErrorKind::FileTooLarge => None,
        Err(cause) => return Err(FileFailure::unwritable(path, cause)),
    };
    match known.filter(|known| known.path == path) {
        None => Err(FileFailure::Exists { path: path.to_owned() }),
        Some(known) if Some(known.hash) != hash => Err(FileFailure::ChangedOnDisk { path: path.to_owned() }),
        Some(_) => Ok(()),
    }
}

/// Writes a picture that no file on disk has yet; one with the same name and other bytes stays.
pub(crate) fn write_picture(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    match fs::read(path) {
        Ok(there) if there == bytes => return Ok(()),
        Ok(_) => return Err(FileFailure::PictureInTheWay { path: path.to_owned() }),
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => {}
        Err(cause) => return Err(FileFailure::unwritable(path, cause)),
    }
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(|cause| FileFailure::unwritable(folder, cause))?;
    }
    write_whole(path, bytes)
}

/// Writes something made of a project, such as a PDF or a table, whole or not at all. It takes the place of one of its kind that we
/// wrote, and of nothing else: no project, no photograph and nobody's table is written over, whatever name was given by mistake.
///
/// # Errors
/// The name is that of something else, or the file cannot be written; what was there before stays.
pub fn export(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    may_export(path, bytes)?;
    write_whole(path, bytes)
}

/// Whether [`export`] would write these bytes there, so that several files are all written or none.
///
/// # Errors
/// The name is that of something that is not ours.
pub(crate) fn may_export(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    if is_project(path) {
        return Err(FileFailure::ProjectInTheWay { path: path.to_owned() });
    }
    match read_at_most(path, MAX_PICTURE) {
        Ok(there) if is_ours(&there, bytes) => Ok(()),
        Ok(_) => Err(FileFailure::NotOurs { path: path.to_owned() }),
        Err(cause) if cause.kind() == io::ErrorKind::FileTooLarge => {
            Err(FileFailure::NotOurs { path: path.to_owned() })
        }
        // Nothing there, or nothing that is written over: writing it says which.
        Err(_) => Ok(()),
    }
}

/// Whether a file begins as a project does.
fn is_project(path: &Path) -> bool {
    let mut head = Vec::new();
    let there = fs::metadata(path).is_ok_and(|m| m.is_file());
    let read = there && File::open(path).and_then(|f| f.take(HEAD).read_to_end(&mut head)).is_ok();
    read && String::from_utf8_lossy(&head).contains(project::file::FORMAT)
}

/// Within so many bytes a project says what it is.
const HEAD: u64 = 1024;

/// Writes a file so that a crash leaves the old one or the new one, whole. A link is followed, so that the file it names is
/// written and the link stays; what is no regular file (a device, a pipe, a folder) is left alone.
///
/// # Errors
/// The file cannot be written; what was there before stays.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    let path = &fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if fs::metadata(path).is_ok_and(|m| !m.is_file()) {
        let cause = io::Error::new(io::ErrorKind::InvalidInput, "it is not a file");
        return Err(FileFailure::unwritable(path, cause));
    }
    // A new file takes the old one's place, which would not mind that it is protected.
    if fs::metadata(path).is_ok_and(|m| m.permissions().readonly()) {
        return Err(FileFailure::Protected { path: path.to_owned() });
    }
    let write = || {
        let mut file = AtomicWriteFile::open(path)?;
        file.write_all(bytes)?;
        file.commit()
    };
    write().map_err(|cause| FileFailure::unwritable(path, cause))
}

/// Reads a text, such as a table of offsets, of at most 32 MiB.
///
/// # Errors
/// The file is missing, too large, not UTF-8 or cannot be read.
pub fn read_text(path: &Path) -> Result<String, FileFailure> {
    let read = || {
        let bytes = read_at_most(path, MAX_TEXT as u64)?;
        String::from_utf8(bytes).map_err(|error| io::Error::new(io::ErrorKind::InvalidData, error.utf8_error()))
    };
    read().map_err(|cause| FileFailure::unreadable(path, cause))
}

/// A picture of a project: only from the project's own folder, and only one that could be decoded as far as is seen without doing it.
fn read_picture(folder: &Path, picture: &str) -> Result<Vec<u8>, NoPicture> {
    let path = folder.join(picture);
    let bytes = read_at_most(&path, MAX_PICTURE).map_err(|cause| cause.to_string())?;
    if leads_out(folder, &path) {
        let why = "This is a link to a place outside of the project's folder, which need not be there tomorrow.";
        return Err(NoPicture::Broken(why.into()));
    }
    photo::check(&bytes).map_err(|why| NoPicture::Broken(why.to_string()))?;
    Ok(bytes)
}

/// Whether a path within a folder is that of a file elsewhere, by a link on the way.
fn leads_out(folder: &Path, path: &Path) -> bool {
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    match (fs::canonicalize(folder), fs::canonicalize(path)) {
        (Ok(folder), Ok(path)) => !path.starts_with(folder),
        _ => false,
    }
}

/// Only from a regular file: a pipe or a device would never end.
fn read_at_most(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    if !fs::metadata(path)?.is_file() {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "not a file"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(io::ErrorKind::FileTooLarge.into());
    }
    Ok(bytes)
}
