//! What the desk promises: previews and undo, files that are whole or untouched, recovery, and work beside the drawing.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests may stop at the first surprise, as tests do")]

mod demo;
mod files;
mod gestures;
#[cfg(unix)]
mod killed;
#[cfg(unix)]
mod left_behind;
mod on_disk;
mod plans;
mod recovery;
mod work;

use project::document::{Picture, PictureView, Placement};
use project::edit::Edit;
use project::starter::blank_form;

/// A form to look at.
fn a_form() -> Edit {
    Edit::ReplaceForm { form: 0, with: blank_form(240.0, 90.0, 110.0, 80.0) }
}

/// A picture of a few bytes: nothing here decodes its pixels.
fn a_picture(name: &str, tail: &[u8]) -> Edit {
    Edit::AddPicture(Picture {
        name: name.into(),
        view: PictureView::Side,
        bytes: plugwright_tests::pictures::png([2000, 1000], tail).into(),
        file: String::new(),
        size_px: [2000, 1000],
        placement: Placement { mm_per_px: 0.5, rotation_deg: 0.0, offset: [0.0, 0.0], mirrored: false },
        scale: None,
        check: None,
        level: None,
        opacity: 0.5,
        locked: false,
        hidden: false,
        photograph: project::photograph::Photograph::default(),
    })
}
