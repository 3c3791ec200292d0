//! `plugwright from-offsets`.

use super::say;
use crate::arguments::FromOffsets;
use crate::failure::Failure;
use desk::Overwrite;
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn run(arguments: &FromOffsets) -> Result<ExitCode, Failure> {
    let text = desk::files::read_text(&arguments.table)?;
    let stem = arguments.table.file_stem().map_or_else(|| "Form".to_owned(), |s| s.to_string_lossy().into_owned());
    let document = desk::output::form_from_offsets(&text, &stem)
        .map_err(|error| Failure::Table { path: arguments.table.clone(), error })?;
    if is_same_file(&arguments.table, &arguments.to) {
        return Err(Failure::SameFile(arguments.to.clone()));
    }
    let overwrite = if arguments.overwrite { Overwrite::OnPurpose } else { Overwrite::Refuse };
    desk::files::save(&document, &arguments.to, None, overwrite)?;
    let sections = document.forms.iter().map(|f| f.sections.len()).sum::<usize>();
    say(&format!("wrote {}: {sections} control sections", arguments.to.display()));
    Ok(ExitCode::SUCCESS)
}

/// Whether both names mean one file that is there.
fn is_same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}
