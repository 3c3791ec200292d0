//! Writes tables, meshes, sheets, the book and files for machines; reads tables of offsets.

use crate::act;
use crate::app::App;
use crate::dialogs::questions::tell;
use crate::dialogs::{Purpose, writing};
use desk::output::{
    MeshFormat, MeshKind, MeshOrder, book_by, cut_sheets_by, document_offsets, form_from_offsets, mesh_file_of,
    write_cut_sheets,
};
use desk::{Desk, PlanSource, Planned, Reckoned};
use form::Lofted;
use project::document::Document;
use project::edit::Edit;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Chord error of a written mesh, mm: finer than any printer or mill used for plugs.
const MESH: f64 = 0.02;

/// Does one of the writing or reading purposes with a chosen file.
pub(crate) fn run(app: &mut App, ctx: &egui::Context, purpose: &Purpose, path: &Path) {
    let path = &*target(purpose, path);
    let outcome = match purpose {
        Purpose::WriteOffsets => write_offsets(app, path),
        Purpose::WriteMesh => write_mesh(app, path),
        Purpose::WritePdf => write_pdf(app, path),
        Purpose::ReadOffsets => read_offsets(app, path),
        Purpose::WriteBook => return write_book(app, ctx, path),
        Purpose::WriteCut { kerf } => return write_cut(app, ctx, path, *kerf),
        Purpose::Open | Purpose::Save(_) | Purpose::Picture | Purpose::ReadPoints(_) => return,
    };
    match outcome {
        Ok(said) => app.note = Some(said),
        Err(why) if *purpose == Purpose::ReadOffsets => tell(app, "The table could not be read", why),
        Err(why) => tell(app, "Nothing was written", why),
    }
}

/// The file that is written when this path was chosen: with the purpose's ending, if it has none.
pub(crate) fn target(purpose: &Purpose, path: &Path) -> PathBuf {
    match purpose {
        Purpose::WriteOffsets => ending(path, "csv"),
        Purpose::WriteMesh => ending(path, "stl"),
        Purpose::WritePdf | Purpose::WriteBook => ending(path, "pdf"),
        _ => path.to_owned(),
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
    let table = document_offsets(app.desk.document(), app.view.form, &lofted).map_err(|e| e.to_string())?;
    desk::files::export(path, table.as_bytes()).map_err(|e| e.to_string())?;
    Ok(written(path))
}

fn write_mesh(app: &App, path: &Path) -> Result<String, String> {
    let three_mf = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("3mf"));
    let format = if three_mf { MeshFormat::ThreeMf } else { MeshFormat::Stl };
    let lofted = app.desk.skin(app.view.form).ok_or("There is no form.")?;
    // The closed body, as before, with its ducts as pockets: a print or a mill needs something that is closed.
    let order = MeshOrder { kind: MeshKind::Pockets, tolerance: MESH, ..MeshOrder::default() };
    let (bytes, made) = mesh_file_of(&app.form(), &lofted, &order, format).map_err(|e| e.to_string())?;
    desk::files::export(path, &bytes).map_err(|e| e.to_string())?;
    let pockets = match made.cut {
        0 => String::new(),
        1 => " 1 duct is a pocket.".to_owned(),
        n => format!(" {n} ducts are pockets."),
    };
    let closed: Vec<&str> = made.left_out.iter().map(|(name, _)| name.as_str()).collect();
    let closed = if closed.is_empty() { String::new() } else { format!(" Closed: {}.", closed.join(", ")) };
    Ok(format!("{}.{pockets}{closed}", written(path)))
}

fn write_pdf(app: &App, path: &Path) -> Result<String, String> {
    let layout = app.sheets.as_ref().and_then(|s| s.layout()).ok_or("The pages are not laid out yet.")?;
    let pdf = sheets::pdf::write_pdf(&layout.set).map_err(|e| e.to_string())?;
    desk::files::export(path, &pdf).map_err(|e| e.to_string())?;
    Ok(format!("{}. Print at 100 %.", written(path)))
}

/// The document, its lofts and its plans, as another thread needs them.
struct Source {
    document: Arc<Document>,
    lofted: Vec<Arc<Lofted>>,
    known: Reckoned,
}

impl Source {
    fn of(desk: &Desk) -> Self {
        let document = desk.document().clone();
        let lofted = (0..document.forms.len()).filter_map(|form| desk.skin(form)).collect();
        Self { document, lofted, known: desk.reckoned().clone() }
    }

    /// The planned plug, remembered or made now; nothing if there is no form.
    fn planned(&self, progress: &mut dyn FnMut(f32) -> bool) -> Result<Option<Arc<Planned>>, String> {
        let source = self.lofted.first().and_then(|first| PlanSource::of(&self.document, first));
        match source {
            Some(of) => {
                self.known.plans().planned(&of, progress).map_err(|e| e.to_string())?.map(Some).ok_or_else(stopped)
            }
            None => Ok(None),
        }
    }
}

fn stopped() -> String {
    "It was stopped.".to_owned()
}

/// Share of the work that is the plan of the plug, where it is not remembered.
const PLAN_SHARE: f32 = 0.3;

fn write_book(app: &mut App, ctx: &egui::Context, path: &Path) {
    let (source, path) = (Source::of(&app.desk), path.to_owned());
    writing::begin(app, ctx, "Writing the book…".to_owned(), move |progress| {
        let tell = |share: f32| {
            progress.tell(share);
            !progress.is_cancelled()
        };
        source.planned(&mut |share| tell(PLAN_SHARE * share))?;
        let mut rest = |share: f32| tell(PLAN_SHARE + (1.0 - PLAN_SHARE) * share);
        let book = book_by(&source.document, &source.lofted, &source.known, &mut rest).map_err(|e| e.to_string())?;
        let pdf = sheets::pdf::write_pdf(&book).map_err(|e| e.to_string())?;
        if progress.is_cancelled() {
            return Err(stopped());
        }
        desk::files::export(&path, &pdf).map_err(|e| e.to_string())?;
        Ok(format!("{}, {} pages.", written(&path), book.pages.len()))
    });
}

fn write_cut(app: &mut App, ctx: &egui::Context, folder: &Path, kerf: f64) {
    let (source, folder) = (Source::of(&app.desk), folder.to_owned());
    writing::begin(app, ctx, "Writing files for cutting…".to_owned(), move |progress| {
        let tell = |share: f32| {
            progress.tell(share);
            !progress.is_cancelled()
        };
        source.planned(&mut |share| tell(0.8 * share))?;
        let sheets = cut_sheets_by(&source.document, &source.lofted, &source.known, kerf).map_err(|e| e.to_string())?;
        if !tell(0.9) {
            return Err(stopped());
        }
        let others = write_cut_sheets(&sheets, &folder).map_err(|e| e.to_string())?;
        let large = match &sheets.too_large[..] {
            [] => String::new(),
            some => format!(" Larger than their sheet, each on one of its own: {}.", some.join(", ")),
        };
        let files = sheets.sheets.len() + sheets.wires.len();
        let others = match &others[..] {
            [] => String::new(),
            some => format!(" Not of this writing, but in the same folder: {}.", some.join(", ")),
        };
        Ok(format!("{}, {files} files.{large}{others}", written(&folder)))
    });
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
        Edit::ReplaceForm { form: app.view.form, with: act::in_place_of(&app.form(), (**form).clone()) }
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
