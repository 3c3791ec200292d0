//! `plugwright book`.

use super::{open_project_of, say};
use crate::arguments::Book;
use crate::failure::Failure;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Book) -> Result<ExitCode, Failure> {
    let document = open_project_of(&arguments.source)?;
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let book = desk::output::book(&document, &lofted)?;
    desk::files::export(&arguments.to, &::sheets::pdf::write_pdf(&book)?)?;
    say(&format!("wrote {}: {} pages", arguments.to.display(), book.pages.len()));
    if !document.build.stack.used {
        say(
            "The project has no stack of boards and cards yet, so ledger, blocks and gauges are missing from the book.",
        );
    }
    Ok(ExitCode::SUCCESS)
}
