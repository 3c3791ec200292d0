//! The commands. Each reads a project, asks the desk, and writes; none knows how anything is computed.

pub(crate) mod book;
pub(crate) mod camera;
pub(crate) mod check;
pub(crate) mod cloth;
pub(crate) mod cut;
pub(crate) mod from_offsets;
pub(crate) mod mass;
pub(crate) mod measure;
pub(crate) mod mesh;
pub(crate) mod offsets;
pub(crate) mod picture;
pub(crate) mod release;
pub(crate) mod sheets;
pub(crate) mod solve;
pub(crate) mod stack;

use crate::arguments::Source;
use crate::failure::Failure;
use desk::files::OpenedFile;
use form::Lofted;
use project::document::{Document, Form};
use std::io::Write as _;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Opens a project; what is wrong with it but does not keep it from opening goes to standard error. A file of it that is there and is
/// not what it should be is nothing to go on from unseen.
pub(crate) fn open(path: &Path) -> Result<Document, Failure> {
    let opened = whole(path)?;
    opened.problems.iter().for_each(|p| complain(&p.to_string()));
    Ok(opened.document)
}

/// A project of which no file is broken; one that is missing is among its problems.
pub(crate) fn whole(path: &Path) -> Result<OpenedFile, Failure> {
    let opened = desk::files::open(path)?;
    let broken: Vec<String> = opened.problems.iter().filter(|p| p.broken).map(ToString::to_string).collect();
    if broken.is_empty() {
        Ok(opened)
    } else {
        Err(Failure::Broken { path: opened.on_disk.path, broken: broken.join("\n") })
    }
}

/// The document, and the index of the form that is meant.
pub(crate) fn open_at(source: &Source) -> Result<(Document, usize), Failure> {
    let document = open(&source.project)?;
    let there = document.forms.len();
    let index = source.form.checked_sub(1).filter(|i| *i < there);
    let index = index.ok_or(Failure::NoForm { asked: source.form, there })?;
    Ok((document, index))
}

/// The form that is meant as the first of a project: the project itself, or that of an added form alone.
pub(crate) fn open_project_of(source: &Source) -> Result<Document, Failure> {
    let (document, index) = open_at(source)?;
    let there = document.forms.len();
    let own = desk::shell::added::project_of(&document, index).ok_or(Failure::NoForm { asked: source.form, there })?;
    Ok(own.into_owned())
}

/// The form that is meant, its stations in force, and its loft.
pub(crate) fn open_form(source: &Source) -> Result<(Arc<Form>, Lofted), Failure> {
    let (document, index) = open_at(source)?;
    let there = document.forms.len();
    let own = desk::shell::added::project_of(&document, index);
    let form = own.and_then(|own| own.in_force().forms.first().cloned());
    let form = form.ok_or(Failure::NoForm { asked: source.form, there })?;
    let lofted = form::loft(&form);
    Ok((form, lofted))
}

/// Something that was to be said on standard output is lost.
static LOST: AtomicBool = AtomicBool::new(false);

/// One line on standard output. A reader that has gone away is no reason to fail; a full disk is one.
pub(crate) fn say(line: &str) {
    let said = writeln!(std::io::stdout(), "{line}");
    if said.is_err_and(|e| e.kind() != std::io::ErrorKind::BrokenPipe) {
        LOST.store(true, Ordering::Relaxed);
    }
}

/// Whether all that was said came through.
pub(crate) fn all_said() -> bool {
    !LOST.load(Ordering::Relaxed)
}

/// One line on standard error.
pub(crate) fn complain(line: &str) {
    let _ = writeln!(std::io::stderr(), "plugwright: {line}");
}
