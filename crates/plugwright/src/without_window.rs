//! What happens where no display can be reached: the demo's full output, so that there is something to see.

use crate::commands::say;
use crate::failure::Failure;
use std::path::Path;
use std::process::ExitCode;

pub(crate) fn write_demo() -> Result<ExitCode, Failure> {
    let demo = desk::demo::document()?;
    let folder = desk::output::write_everything(&demo, Path::new("."), "plugwright-demo")?;
    say(&format!(
        "No display can be reached, so the demo was written to {}/ instead: templates, build book, cutting files, table of offsets, mesh, pictures.",
        folder.display()
    ));
    Ok(ExitCode::SUCCESS)
}
