//! `plugwright offsets`.

use super::{open_at, say};
use crate::arguments::Offsets;
use crate::failure::Failure;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Offsets) -> Result<ExitCode, Failure> {
    let (document, index) = open_at(&arguments.source)?;
    let table = desk::output::document_offsets(&document, index, &form::loft(&document.forms[index]))?;
    desk::files::export(&arguments.to, table.as_bytes())?;
    say(&format!("wrote {}: {} rows", arguments.to.display(), table.lines().count() - 1));
    Ok(ExitCode::SUCCESS)
}
