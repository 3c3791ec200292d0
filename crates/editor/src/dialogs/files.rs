//! Opening, saving and writing: what happens with a chosen file, and what comes after unsaved work.

use super::questions::tell;
use super::{After, Dialog, Purpose, path};
use crate::app::App;
use crate::light_table::LightTable;
use crate::slate::bench;
use crate::view::{Selected, Tab, ViewState};
use crate::{export, kept_view, pictures, start};
use desk::{FileFailure, Overwrite, Recovery};
use std::path::Path;

/// A new project, after unsaved work was asked about.
pub(crate) fn new(app: &mut App, ctx: &egui::Context) {
    ask_or_proceed(app, ctx, After::New);
}

/// Another project, after unsaved work was asked about.
pub(crate) fn open(app: &mut App, ctx: &egui::Context) {
    ask_or_proceed(app, ctx, After::AskOpen);
}

/// A project by its path, after unsaved work was asked about.
pub(crate) fn open_this(app: &mut App, ctx: &egui::Context, path: std::path::PathBuf) {
    ask_or_proceed(app, ctx, After::Open(path));
}

/// A demo, after unsaved work was asked about.
pub(crate) fn demo(app: &mut App, ctx: &egui::Context, demo: desk::demo::Demo) {
    ask_or_proceed(app, ctx, After::Demo(demo));
}

/// The end, after unsaved work was asked about.
pub(crate) fn quit(app: &mut App, ctx: &egui::Context) {
    ask_or_proceed(app, ctx, After::Quit);
}

fn ask_or_proceed(app: &mut App, ctx: &egui::Context, after: After) {
    if app.desk.is_changed() {
        app.dialog = Some(Dialog::Unsaved(after));
    } else {
        proceed(app, ctx, after);
    }
}

/// Goes on without saving.
pub(crate) fn proceed(app: &mut App, ctx: &egui::Context, after: After) {
    match after {
        After::New => {
            kept_view::save(app);
            app.desk.new_project();
            look_afresh(app);
        }
        After::AskOpen => path::ask(app, ctx, Purpose::Open, ""),
        After::Open(path) => open_now(app, &path),
        After::Demo(demo) => {
            if let Some(state) = app.state.clone() {
                start::open_demo(app, &state, demo);
            }
        }
        After::Quit => {
            app.quitting = true;
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
    ctx.request_repaint();
}

/// Opens a project; the one on the desk stays if that fails.
pub(crate) fn open_now(app: &mut App, path: &Path) {
    kept_view::save(app);
    match app.desk.open(path) {
        Ok(()) => {
            look_afresh(app);
            kept_view::load(app);
            tell_of_opened(app);
        }
        Err(failure) => tell(app, "The project cannot be opened", failure.to_string()),
    }
}

/// What the builder should know of the project that was opened: what could not be had, and who else has it.
pub(crate) fn tell_of_opened(app: &mut App) {
    let mut said: Vec<String> = app.desk.problems().iter().map(ToString::to_string).collect();
    let title =
        if said.is_empty() { "The project is open elsewhere" } else { "Opened, but not everything could be had" };
    if let Some(path) = app.desk.path().filter(|_| app.desk.is_open_elsewhere()) {
        said.push(format!(
            "{} is open in another window of Plugwright. Go on there, or save this one under another name: of two windows on one file, \
             the one that saves later is asked before it overwrites the other's work.",
            path.display()
        ));
    }
    if !said.is_empty() {
        tell(app, title, said.join("\n\n"));
    }
}

/// Takes up work that an earlier run left unsaved.
pub(crate) fn recover(app: &mut App, recovery: Recovery) {
    match app.desk.recover(recovery) {
        Ok(()) => {
            look_afresh(app);
            kept_view::load(app);
            tell_of_opened(app);
        }
        Err(failure) => tell(app, "The unsaved work cannot be read", failure.to_string()),
    }
}

/// Looks at another document from the start, with the habits of this machine kept.
fn look_afresh(app: &mut App) {
    let old = &app.view;
    app.view = ViewState {
        units: old.units,
        snap: old.snap,
        areas: old.areas,
        comb: old.comb,
        card: old.card,
        reference: old.reference,
        selected: Selected::Nothing,
        ..ViewState::default()
    };
    // What lay on it, and what was solved from it, was the other project's.
    app.table = LightTable::default();
    app.message = None;
}

/// Saves where the project came from, or asks where to.
pub(crate) fn save(app: &mut App, ctx: &egui::Context, then: Option<After>) {
    match app.desk.path().map(Path::to_owned) {
        Some(path) => save_to(app, ctx, &path, Overwrite::Refuse, then),
        None => ask_save_as(app, ctx, then),
    }
}

/// Asks where to save.
pub(crate) fn ask_save_as(app: &mut App, ctx: &egui::Context, then: Option<After>) {
    let name = match app.desk.path().and_then(Path::file_name) {
        Some(name) => name.to_string_lossy().into_owned(),
        None => format!("{}{}", file_stem(&app.desk.document().name), desk::files::ENDING),
    };
    path::ask(app, ctx, Purpose::Save(then), &name);
}

/// The project's name as a file's, without what some systems forbid.
pub(crate) fn file_stem(name: &str) -> String {
    let stem: String = name.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).collect();
    let stem = stem.trim_matches('-').to_lowercase();
    if stem.is_empty() { "untitled".to_owned() } else { stem }
}

/// Saves to a file and goes on.
pub(crate) fn save_to(app: &mut App, ctx: &egui::Context, path: &Path, overwrite: Overwrite, then: Option<After>) {
    let path = desk::files::with_ending(path);
    match app.desk.save_as(&path, overwrite) {
        Ok(()) => {
            app.note = Some(format!("Saved as {}.", path.display()));
            if let Some(after) = then {
                proceed(app, ctx, after);
            }
        }
        Err(failure) if failure.may_overwrite() => {
            let changed = matches!(failure, FileFailure::ChangedOnDisk { .. });
            app.dialog = Some(Dialog::Overwrite { path, why: failure.to_string(), changed, then });
        }
        Err(failure) if failure.helps_elsewhere() => {
            app.dialog = Some(Dialog::NotSaved { why: failure.to_string(), then });
        }
        Err(failure) => tell(app, "The project could not be saved", failure.to_string()),
    }
}

/// Does what a file was chosen for.
pub(crate) fn chosen(app: &mut App, ctx: &egui::Context, purpose: Purpose, path: &Path) {
    match purpose {
        Purpose::Open => open_now(app, path),
        Purpose::Save(then) => save_to(app, ctx, path, Overwrite::Refuse, then),
        Purpose::Picture => pictures::from_file(app, path),
        Purpose::ReadPoints(which) => bench::read_file(app, which, path),
        other => export::run(app, ctx, &other, path),
    }
}

/// A file that was dropped on the window: a picture, a project, or points of the fuselage while the bench is open.
pub(crate) fn dropped(app: &mut App, ctx: &egui::Context, path: &Path) {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("ron") => ask_or_proceed(app, ctx, After::Open(path.to_owned())),
        Some("csv" | "tsv") if app.view.tab == Tab::Bench => bench::read_file(app, bench::meant(&app.view), path),
        Some("csv" | "tsv") => {
            let hint = "Open the Bench page and drop it again to read it as points of the fuselage. A table of offsets is read by the Project menu.";
            tell(app, "A table was dropped", format!("{}\n\n{hint}", path.display()));
        }
        _ => pictures::from_file(app, path),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_project_name_becomes_a_file_name_that_every_system_takes() {
        assert_eq!(file_stem("Red Kite 1:4"), "red-kite-1-4");
        assert_eq!(file_stem("  //  "), "untitled");
        assert_eq!(file_stem("Möwe"), "möwe");
    }
}
