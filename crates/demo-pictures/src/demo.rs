//! The whole demo as files, by their path in its folder.

use crate::{airframe, bowl, landmarks, ostrel, photograph, placed, truth, views};
use std::sync::Arc;

/// Name of the project file.
pub const PROJECT: &str = "ostrel.plug.ron";
/// Name of the second demo's project file.
pub const BOWL: &str = "bowl.plug.ron";

/// The demo could not be made, which would be a mistake in this crate.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// A form gives no skin.
    #[error(transparent)]
    Skin(#[from] airframe::NoSkin),
    /// A picture could not be encoded.
    #[error(transparent)]
    Picture(#[from] image::ImageError),
    /// The project cannot be written.
    #[error(transparent)]
    Project(#[from] project::file::FileError),
    /// The truth cannot be written.
    #[error(transparent)]
    Truth(#[from] serde_json::Error),
}

/// Makes every file of the first demo: the project, its pictures, `truth.json`, and `files.rs`, by which the program has them
/// built in. The same bytes from run to run.
///
/// # Errors
/// A mistake in this crate.
pub fn files() -> Result<Vec<(String, Vec<u8>)>, DemoError> {
    let aircraft = airframe::parts()?;
    let shots = views::shots();
    let mut document = ostrel::document();
    for shot in &shots {
        let print = photograph::take(shot, &aircraft)?;
        document.pictures.push(Arc::new(placed::picture(shot, print.jpeg)?));
    }
    let file = project::file::to_file(&document)?;
    let named: Vec<_> = shots.iter().zip(&document.pictures).map(|(shot, p)| (shot, p.file.clone())).collect();
    let truth = truth::text(&named, &aircraft, &landmarks::landmarks()?)?;
    let mut files = vec![(PROJECT.to_owned(), file.text.into_bytes())];
    files.extend(file.pictures.iter().map(|(path, bytes)| (path.clone(), bytes.to_vec())));
    let built_in = built_in(files.iter().map(|(path, _)| path.as_str()));
    files.push(("truth.json".into(), truth.into_bytes()));
    files.push(("files.rs".into(), built_in.into_bytes()));
    Ok(files)
}

/// The same of the second demo, which has no pictures and so no truth about them.
///
/// # Errors
/// A mistake in this crate.
pub fn bowl_files() -> Result<Vec<(String, Vec<u8>)>, DemoError> {
    let file = project::file::to_file(&bowl::document())?;
    let built_in = built_in([BOWL].into_iter());
    Ok(vec![(BOWL.to_owned(), file.text.into_bytes()), ("files.rs".into(), built_in.into_bytes())])
}

/// A Rust expression with the files' bytes, to be included.
fn built_in<'a>(paths: impl Iterator<Item = &'a str>) -> String {
    let entries: String = paths.map(|path| format!("    (\"{path}\", include_bytes!(\"{path}\")),\n")).collect();
    format!("// Written by `cargo run -p plugwright-demo-pictures`: what the program has built in.\n&[\n{entries}]\n")
}
