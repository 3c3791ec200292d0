//! Remakes `demo-projects`: `cargo run -p plugwright-demo-pictures`.

use plugwright_demo_pictures::demo::{self, DemoError};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

fn main() -> ExitCode {
    match remake_all() {
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

/// Both demos; says what became of each file.
fn remake_all() -> Result<String, Failure> {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "..", "..", "demo-projects"].iter().collect();
    let bowl = remake(&folder.join("bowl"), &demo::bowl_files()?)?;
    Ok(bowl + &remake(&folder.join("ostrel"), &demo::files()?)?)
}

/// Writes every file that differs and removes pictures that the project no longer has.
fn remake(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<String, Failure> {
    let at = |path: PathBuf| move |error| Failure::Disk(path, error);
    let pictures = folder.join("pictures");
    let made =
        if files.iter().any(|(name, _)| name.starts_with("pictures/")) { pictures.clone() } else { folder.into() };
    std::fs::create_dir_all(&made).map_err(at(made))?;
    let mut report = String::new();
    for (name, bytes) in files {
        let path = folder.join(name);
        let same = std::fs::read(&path).is_ok_and(|there| there == *bytes);
        if !same {
            std::fs::write(&path, bytes).map_err(at(path))?;
        }
        let state = if same { "as it was" } else { "written" };
        report.push_str(&format!("{name}: {} kB, {state}\n", bytes.len().div_ceil(1000)));
    }
    if !pictures.is_dir() {
        return Ok(report);
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
