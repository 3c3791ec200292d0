//! `plugwright cut`.

use super::{complain, open_project_of, say};
use crate::arguments::Cut;
use crate::failure::Failure;
use std::process::ExitCode;
use std::sync::Arc;

pub(crate) fn run(arguments: &Cut) -> Result<ExitCode, Failure> {
    let document = open_project_of(&arguments.source)?;
    let lofted: Vec<_> = document.forms.iter().map(|f| Arc::new(form::loft(f))).collect();
    let sheets = desk::output::cut_sheets(&document, &lofted, arguments.kerf)?;
    let others = desk::output::write_cut_sheets(&sheets, &arguments.to)?;
    for sheet in &sheets.sheets {
        say(&format!("wrote {}: {}", arguments.to.join(&sheet.file).display(), sheet.page.name));
    }
    if let (Some(first), Some(last)) = (sheets.wires.first(), sheets.wires.last()) {
        say(&format!(
            "wrote {} to {}: {} blocks for a hot wire, both faces of each",
            arguments.to.join(&first.file).display(),
            last.file,
            sheets.wires.len()
        ));
    }
    if !others.is_empty() {
        complain(&format!(
            "{} in the same folder: not of this writing. Take away what is not to be cut with these sheets.",
            others.join(", ")
        ));
    }
    for title in &sheets.too_large {
        complain(&format!(
            "{title} is larger than the card or board it is cut from, and stands on a sheet of its own size. Use larger ones, or join them."
        ));
    }
    Ok(ExitCode::SUCCESS)
}
