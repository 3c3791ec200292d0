//! `plugwright offsets`.

use super::{open_form, say};
use crate::arguments::Offsets;
use crate::failure::Failure;
use std::process::ExitCode;

pub(crate) fn run(arguments: &Offsets) -> Result<ExitCode, Failure> {
    let (form, lofted) = open_form(&arguments.source)?;
    let table = desk::output::offsets(&form, &lofted)?;
    desk::files::export(&arguments.to, table.as_bytes())?;
    say(&format!("wrote {}: {} rows", arguments.to.display(), table.lines().count() - 1));
    Ok(ExitCode::SUCCESS)
}
