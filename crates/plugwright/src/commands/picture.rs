//! `plugwright picture`.

use super::{open_at, say};
use crate::arguments::Picture;
use crate::failure::Failure;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Picture) -> Result<ExitCode, Failure> {
    if !arguments.to.extension().is_some_and(|e| e.eq_ignore_ascii_case("png")) {
        return Err(Failure::PictureEnding(arguments.to.clone()));
    }
    let (document, index) = open_at(&arguments.source)?;
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let png = desk::output::picture_of(&document, &lofted, index, arguments.view.view())?;
    desk::files::export(&arguments.to, &png)?;
    say(&format!("wrote {}", arguments.to.display()));
    Ok(ExitCode::SUCCESS)
}
