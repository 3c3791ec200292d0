//! `plugwright picture`.

use super::{open_form, say};
use crate::arguments::Picture;
use crate::failure::Failure;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Picture) -> Result<ExitCode, Failure> {
    if !arguments.to.extension().is_some_and(|e| e.eq_ignore_ascii_case("png")) {
        return Err(Failure::PictureEnding(arguments.to.clone()));
    }
    let (form, lofted) = open_form(&arguments.source)?;
    let png = desk::output::picture(&form, &lofted, arguments.view.view())?;
    desk::files::export(&arguments.to, &png)?;
    say(&format!("wrote {}", arguments.to.display()));
    Ok(ExitCode::SUCCESS)
}
