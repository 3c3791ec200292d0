//! Remakes `demo-projects/ostrel`: `cargo run -p plugwright-demo-pictures`.

use plugwright_demo_pictures::demo::{self, DemoError};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "..", "..", "demo-projects", "ostrel"].iter().collect();
    match remake(&folder) {
        Ok(report) => {
            let _ = std::io::stdout().write_all(report.as_bytes());
            ExitCode::SUCCESS
        }
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "The demo could not be remade: {error}");
            ExitCode::FAILURE
        }
    }
}

#[derive(Debug, thiserror::Error)]
enum Failure {
    #[error(transparent)]
    Demo(#[from] DemoError),
    #[error("{0}: {1}")]
    Disk(PathBuf, std::io::Error),
}

/// Writes every file that differs and removes pictures that the project no longer has.
fn remake(folder: &Path) -> Result<String, Failure> {
    let files = demo::files()?;
    let at = |path: PathBuf| move |error| Failure::Disk(path, error);
    let pictures = folder.join("pictures");
    std::fs::create_dir_all(&pictures).map_err(at(pictures.clone()))?;
    let mut report = String::new();
    for (name, bytes) in &files {
        let path = folder.join(name);
        let same = std::fs::read(&path).is_ok_and(|there| there == *bytes);
        if !same {
            std::fs::write(&path, bytes).map_err(at(path))?;
        }
        let state = if same { "as it was" } else { "written" };
        report.push_str(&format!("{name}: {} kB, {state}\n", bytes.len().div_ceil(1000)));
    }
    for entry in std::fs::read_dir(&pictures).map_err(at(pictures.clone()))? {
        let path = entry.map_err(at(pictures.clone()))?.path();
        let name = path.file_name().map(|name| format!("pictures/{}", name.to_string_lossy())).unwrap_or_default();
        let is_old = path.extension().is_some_and(|e| e == "jpg") && !files.iter().any(|(path, _)| *path == name);
        if is_old {
            std::fs::remove_file(&path).map_err(at(path))?;
            report.push_str(&format!("{name}: removed\n"));
        }
    }
    Ok(report)
}
