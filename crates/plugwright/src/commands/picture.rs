//! `plugwright picture`.

use super::{open_form, say};
use crate::arguments::Picture;
use crate::failure::Failure;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Picture) -> Result<ExitCode, Failure> {
    let (form, lofted) = open_form(&arguments.source)?;
    let png = desk::output::picture(&form, &lofted, arguments.view.view())?;
    desk::files::write_whole(&arguments.to, &png)?;
    say(&format!("wrote {}", arguments.to.display()));
    Ok(ExitCode::SUCCESS)
}
