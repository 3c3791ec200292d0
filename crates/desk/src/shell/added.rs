//! Forms that are put on the first one: each a small project of its own, its line of meeting, and what deserves a look about it.

mod findings;
mod hits;
mod shape;

pub use findings::findings;
pub use shape::{AddedShape, outline, shape};

use form::meeting::Meeting;
use project::build::Build;
use project::document::{Document, Form};
use project::laminate::Extent;
use project::mount::Mount;
use project::shell::{Draping, Parting, Release, Shell, Weights};
use std::borrow::Cow;
use std::sync::Arc;

/// How near chords are to the line of meeting, mm.
pub const CLOSE: f64 = 0.02;

/// An added form as a project of its own: that form alone, in its own axes, with its own way of building (or that of the project, without
/// its stack), no airframe and no pictures. `None` for the first form, and for one that is not there.
///
/// Of the shell it has laminate and way of draping; strips and patches, which are given by stations of the first form, stay with that.
/// Whatever is made of a first form can so be made of an added one.
pub fn as_project(document: &Document, index: usize) -> Option<Document> {
    let form = document.forms.get(index).filter(|_| index > 0)?;
    let mut build = form.build.as_ref().map_or_else(
        || {
            let mut build = (*document.build).clone();
            build.stack.used = false;
            build.stack.boards.clear();
            build
        },
        |own| (**own).clone(),
    );
    build.coat = document.shell.coat().unwrap_or(build.coat);
    Some(Document {
        forms: vec![Arc::new(Form { mount: None, build: None, ..(**form).clone() })],
        pictures: Vec::new(),
        airframe: Arc::default(),
        build: Arc::<Build>::new(build),
        shell: Arc::new(own_shell(&document.shell)),
        ..document.clone()
    })
}

fn own_shell(shell: &Shell) -> Shell {
    let mut laminate = shell.laminate.clone();
    laminate.plies.retain(|ply| ply.extent == Extent::Whole);
    let draping = Draping { start: None, closed_front: false, closed_rear: false, ..shell.draping };
    // The joint line is the first form's.
    let release = Release { way: None, parting: Parting::Whole, ..shell.release };
    Shell { laminate, draping, release, weights: Weights::default(), ..shell.clone() }
}

/// Any form as the first of a project: the document itself for the first, [`as_project`] for the others.
pub fn project_of(document: &Document, index: usize) -> Option<Cow<'_, Document>> {
    if index == 0 { Some(Cow::Borrowed(document)) } else { as_project(document, index).map(Cow::Owned) }
}

/// Where an added form meets the first.
#[derive(Clone, Debug, PartialEq)]
pub struct AddedMeeting {
    /// Index of the added form.
    pub form: usize,
    /// How it is mounted.
    pub mount: Mount,
    /// What it meets.
    pub meeting: Meeting,
}

/// The land along which an added shell lies on the first one and is glued, mm beside the line of meeting: the project's overlap of cloth.
pub fn land(document: &Document) -> f64 {
    document.shell.draping.overlap
}

#[cfg(test)]
pub(crate) mod tests;
