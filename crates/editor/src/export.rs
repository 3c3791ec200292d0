//! Writes tables, meshes and sheets; reads tables of offsets.

use crate::app::App;
use crate::dialogs::Purpose;
use crate::dialogs::questions::tell;
use desk::output::{MeshFormat, form_from_offsets, mesh_file, offsets};
use project::edit::Edit;
use std::path::{Path, PathBuf};

/// Chord error of a written mesh, mm: finer than any printer or mill used for plugs.
const MESH: f64 = 0.02;

/// Does one of the writing or reading purposes with a chosen file.
pub(crate) fn run(app: &mut App, purpose: &Purpose, path: &Path) {
    let outcome = match purpose {
        Purpose::WriteOffsets => write_offsets(app, &ending(path, "csv")),
        Purpose::WriteMesh => write_mesh(app, path),
        Purpose::WritePdf => write_pdf(app, &ending(path, "pdf")),
        Purpose::ReadOffsets => read_offsets(app, path),
        Purpose::Open | Purpose::Save(_) | Purpose::Picture => return,
    };
    match outcome {
        Ok(said) => app.note = Some(said),
        Err(why) if *purpose == Purpose::ReadOffsets => tell(app, "The table could not be read", why),
        Err(why) => tell(app, "Nothing was written", why),
    }
}

/// The path with an ending, if it has none.
fn ending(path: &Path, ending: &str) -> PathBuf {
    if path.extension().is_some() { path.to_owned() } else { path.with_extension(ending) }
}

fn written(path: &Path) -> String {
    format!("Written: {}", path.display())
}

fn write_offsets(app: &App, path: &Path) -> Result<String, String> {
    let lofted = app.desk.skin(app.view.form).ok_or("There is no form.")?;
    let table = offsets(&app.form(), &lofted).map_err(|e| e.to_string())?;
    desk::files::export(path, table.as_bytes()).map_err(|e| e.to_string())?;
    Ok(written(path))
}

fn write_mesh(app: &App, path: &Path) -> Result<String, String> {
    let path = ending(path, "stl");
    let three_mf = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("3mf"));
    let format = if three_mf { MeshFormat::ThreeMf } else { MeshFormat::Stl };
    let lofted = app.desk.skin(app.view.form).ok_or("There is no form.")?;
    let bytes = mesh_file(&app.form(), &lofted, MESH, None, format).map_err(|e| e.to_string())?;
    desk::files::export(&path, &bytes).map_err(|e| e.to_string())?;
    Ok(written(&path))
}

fn write_pdf(app: &App, path: &Path) -> Result<String, String> {
    let layout = app.sheets.as_ref().and_then(|s| s.layout()).ok_or("The pages are not laid out yet.")?;
    let pdf = sheets::pdf::write_pdf(&layout.set).map_err(|e| e.to_string())?;
    desk::files::export(path, &pdf).map_err(|e| e.to_string())?;
    Ok(format!("{}. Print at 100 %.", written(path)))
}

fn read_offsets(app: &mut App, path: &Path) -> Result<String, String> {
    let text = desk::files::read_text(path).map_err(|e| e.to_string())?;
    let name = path.file_stem().map_or_else(|| "Form".into(), |n| n.to_string_lossy().into_owned());
    let document = form_from_offsets(&text, &name).map_err(|e| e.to_string())?;
    let form = document.forms.first().ok_or("The table holds no form.")?;
    let count = app.desk.document().forms.len();
    // An empty form is there to be filled; one with work in it is not to be lost.
    let empty = project::document::LineName::ALL.iter().all(|l| app.form().lines.get(*l).points.is_empty());
    let edit = if empty {
        Edit::ReplaceForm { form: app.view.form, with: (**form).clone() }
    } else {
        Edit::AddForm((**form).clone())
    };
    app.desk.apply(&edit).map_err(|e| e.to_string())?;
    if !empty {
        app.view.form = count;
    }
    app.view.fit_wanted = true;
    Ok(format!("Read {} stations from {}.", form.sections.len(), path.display()))
}
