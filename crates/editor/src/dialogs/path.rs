//! Choosing a file: by the system's dialog where one runs, else by this one in the window.

use super::{Stay, buttons, files, modal};
use crate::app::App;
use crate::dialogs::After;
use crate::floor::item::Which;
use egui::{Key, RichText, ScrollArea, TextEdit, Ui};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What a file is chosen for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Purpose {
    Open,
    Save(Option<After>),
    Picture,
    ReadOffsets,
    /// Points of one of the fuselage's sections.
    ReadPoints(Which),
    WriteOffsets,
    WriteMesh,
    WritePdf,
    WriteBook,
    /// Into a folder, for cuts in card so wide, mm.
    WriteCut {
        kerf: f64,
    },
}

impl Purpose {
    fn title(&self) -> &'static str {
        match self {
            Self::Open => "Open a project",
            Self::Save(_) => "Save the project as",
            Self::Picture => "Bring in a picture",
            Self::ReadOffsets => "Read a table of offsets",
            Self::ReadPoints(_) => "Read the fuselage's points",
            Self::WriteOffsets => "Write the table of offsets",
            Self::WriteMesh => "Write a mesh",
            Self::WritePdf => "Write the sheets",
            Self::WriteBook => "Write the book",
            Self::WriteCut { .. } => "Write files for cutting into a folder",
        }
    }

    /// Endings of the files that fit, without the dot.
    fn endings(&self) -> &'static [&'static str] {
        match self {
            Self::Open | Self::Save(_) => &["ron"],
            Self::Picture => &["jpg", "jpeg", "png"],
            Self::ReadOffsets | Self::WriteOffsets => &["csv"],
            Self::ReadPoints(_) => &["csv", "tsv", "txt"],
            Self::WriteMesh => &["stl", "3mf"],
            Self::WritePdf | Self::WriteBook => &["pdf"],
            Self::WriteCut { .. } => &["svg"],
        }
    }

    /// Whether a folder is chosen, which may be there already or not.
    fn is_folder(&self) -> bool {
        matches!(self, Self::WriteCut { .. })
    }

    fn writes(&self) -> bool {
        !matches!(self, Self::Open | Self::Picture | Self::ReadOffsets | Self::ReadPoints(_))
    }
}

/// A system dialog that is open on another thread.
pub(crate) struct Pending {
    purpose: Purpose,
    name: String,
    since: Instant,
    answer: Receiver<Option<PathBuf>>,
}

/// No hand cancels a dialog this fast: then there was none.
const NO_DIALOG: Duration = Duration::from_millis(400);

/// Asks for a file.
pub(crate) fn ask(app: &mut App, ctx: &egui::Context, purpose: Purpose, name: &str) {
    let folder = app.desk.path().and_then(Path::parent).map(Path::to_owned);
    if app.own_dialogs || !system_dialogs() {
        app.dialog = Some(super::Dialog::Path(PathDialog::new(purpose, folder, name)));
        return;
    }
    let mut dialog = rfd::FileDialog::new().set_title(purpose.title()).add_filter("", purpose.endings());
    if let Some(folder) = &folder {
        dialog = dialog.set_directory(folder);
    }
    let dialog = dialog.set_file_name(name);
    let (send, answer) = channel();
    let (writes, into, repaint) = (purpose.writes(), purpose.is_folder().then(|| name.to_owned()), ctx.clone());
    let run = move || {
        let path = match into {
            // A folder of its own within the one that is picked: nothing there is mixed up with the files.
            Some(name) => dialog.pick_folder().map(|folder| folder.join(name)),
            None if writes => dialog.save_file(),
            None => dialog.pick_file(),
        };
        // The window may be gone by now; then nobody wants the answer.
        let _ = send.send(path);
        repaint.request_repaint();
    };
    if cfg!(target_os = "linux") {
        std::thread::spawn(run);
    } else {
        // The other systems want their dialogs on the window's own thread.
        run();
    }
    app.pending_path = Some(Pending { purpose, name: name.to_owned(), since: Instant::now(), answer });
}

/// On Linux a dialog comes from a portal, which is reached over the session bus.
fn system_dialogs() -> bool {
    if !cfg!(target_os = "linux") {
        return true;
    }
    let named = std::env::var_os("DBUS_SESSION_BUS_ADDRESS").is_some_and(|a| !a.is_empty());
    let runtime = std::env::var_os("XDG_RUNTIME_DIR").map(PathBuf::from);
    named || runtime.is_some_and(|folder| folder.join("bus").exists())
}

/// Takes the system dialog's answer, once it is there.
pub(crate) fn take_answer(app: &mut App, ctx: &egui::Context) {
    let Some(pending) = app.pending_path.take() else { return };
    match pending.answer.try_recv() {
        Ok(Some(path)) => files::chosen(app, ctx, pending.purpose, &path),
        // A dialog that came back at once was none at all: no portal answers on this bus.
        Ok(None) if pending.since.elapsed() < NO_DIALOG => {
            app.own_dialogs = true;
            ask(app, ctx, pending.purpose, &pending.name);
        }
        Ok(None) | Err(TryRecvError::Disconnected) => {}
        Err(TryRecvError::Empty) => app.pending_path = Some(pending),
    }
}

/// The dialog in the window.
pub(crate) struct PathDialog {
    purpose: Purpose,
    folder: PathBuf,
    name: String,
    /// The folder whose entries are listed: the one that is typed, as far as it exists.
    listed: PathBuf,
    entries: Vec<Entry>,
    /// The name is being typed: only what begins like it is listed.
    typing: bool,
    problem: Option<String>,
    /// A file that is there, and would be written over: named once before it is.
    named: Option<PathBuf>,
    fresh: bool,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Entry {
    /// Folders come first.
    file: bool,
    name: String,
}

impl PathDialog {
    fn new(purpose: Purpose, folder: Option<PathBuf>, name: &str) -> Self {
        let folder = folder.or_else(|| std::env::current_dir().ok()).unwrap_or_else(|| PathBuf::from("."));
        let mut dialog = Self {
            purpose,
            listed: folder.clone(),
            folder,
            name: name.to_owned(),
            entries: Vec::new(),
            typing: false,
            problem: None,
            named: None,
            fresh: true,
        };
        dialog.list();
        dialog
    }

    fn list(&mut self) {
        match entries(&self.listed, self.purpose.endings()) {
            Ok(entries) => {
                self.entries = entries;
                self.problem = None;
            }
            Err(error) => {
                self.entries.clear();
                self.problem = Some(format!("This folder cannot be read: {error}."));
            }
        }
    }

    fn enter(&mut self, folder: PathBuf) {
        if self.name.contains(std::path::is_separator) {
            self.name.clear();
        }
        self.typing = false;
        self.folder.clone_from(&folder);
        self.listed = folder;
        self.list();
    }

    /// Lists the folder that is typed.
    fn follow(&mut self) {
        self.typing = true;
        self.problem = None;
        let typed = self.typed();
        let ends = self.name.ends_with(std::path::is_separator);
        let folder = if ends || self.name.is_empty() { Some(typed.as_path()) } else { typed.parent() };
        if let Some(folder) = folder.filter(|folder| **folder != self.listed && folder.is_dir()) {
            self.listed = folder.to_owned();
            self.list();
        }
    }

    /// Whether an entry goes on with what is typed.
    fn fits(&self, entry: &Entry) -> bool {
        let begun = self.name.rsplit(std::path::is_separator).next().unwrap_or_default().to_lowercase();
        !self.typing || self.purpose.writes() || entry.name.to_lowercase().starts_with(&begun)
    }

    /// Takes an entry of the list for the name.
    fn take(&mut self, entry: &Entry) {
        self.typing = false;
        self.name = if self.listed == self.folder {
            entry.name.clone()
        } else {
            self.listed.join(&entry.name).display().to_string()
        };
    }

    /// What the typed name means: a folder to enter, or a file.
    fn typed(&self) -> PathBuf {
        self.folder.join(self.name.trim())
    }
}

fn entries(folder: &Path, endings: &[&str]) -> std::io::Result<Vec<Entry>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let file = !entry.path().is_dir();
        let fits = !file || has_ending(&name, endings);
        if fits && !name.starts_with('.') {
            found.push(Entry { file, name });
        }
    }
    found.sort();
    Ok(found)
}

fn has_ending(name: &str, endings: &[&str]) -> bool {
    let ending = Path::new(name).extension().map(|e| e.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| endings.contains(&ending.as_str()))
}

/// Draws it.
pub(super) fn show(ctx: &egui::Context, app: &mut App, dialog: &mut PathDialog) -> Stay {
    let mut stay = Stay::Open;
    let title = dialog.purpose.title();
    modal(ctx, title, 560.0, |ui| {
        let mut chosen = browse(ui, dialog);
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            ui.label(if dialog.purpose.is_folder() { "Folder" } else { "File" });
            let field = TextEdit::singleline(&mut dialog.name).desired_width(f32::INFINITY).hint_text("name or path");
            let response = ui.add(field).accessible_name("File name or path");
            if dialog.fresh {
                response.request_focus();
                super::select_all(ui, response.id);
                dialog.fresh = false;
            }
            if response.changed() {
                dialog.follow();
            }
            if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
                chosen = chosen.take().or_else(|| Some(dialog.typed()));
            }
        });
        if let Some(problem) = &dialog.problem {
            ui.colored_label(ui.visuals().error_fg_color, problem);
        }
        let yes = if dialog.purpose.writes() { "Save" } else { "Open" };
        match buttons(ui, &[yes, "Cancel"], false) {
            Some(0) => chosen = Some(dialog.typed()),
            Some(_) => stay = Stay::Closed,
            None => {}
        }
        if let Some(path) = chosen {
            stay = choose(app, ctx, dialog, path);
        }
    });
    stay
}

/// The folder and what is in it; gives the file that was clicked twice.
fn browse(ui: &mut Ui, dialog: &mut PathDialog) -> Option<PathBuf> {
    let mut chosen = None;
    ui.horizontal(|ui| {
        let parent = dialog.listed.parent().map(Path::to_owned);
        if ui.add_enabled(parent.is_some(), egui::Button::new("↑ Up")).clicked()
            && let Some(parent) = parent
        {
            dialog.enter(parent);
        }
        ui.add(egui::Label::new(RichText::new(dialog.listed.display().to_string()).weak()).truncate());
    });
    let list = ScrollArea::vertical().max_height(280.0).auto_shrink([false, false]);
    list.show(ui, |ui| {
        for entry in dialog.entries.clone().iter().filter(|entry| dialog.fits(entry)).collect::<Vec<_>>() {
            let label = if entry.file { entry.name.clone() } else { format!("{}/", entry.name) };
            let path = dialog.listed.join(&entry.name);
            let response = ui.selectable_label(entry.file && dialog.typed() == path, label);
            if response.clicked() {
                if entry.file {
                    dialog.take(entry);
                } else {
                    dialog.enter(path.clone());
                }
            }
            if entry.file && response.double_clicked() {
                chosen = Some(path);
            }
        }
        if dialog.entries.is_empty() && dialog.problem.is_none() {
            let kinds = dialog.purpose.endings().join(", ");
            crate::slate::note(ui, format!("Nothing here ends in {kinds}. Go up, or type a path below."));
        }
    });
    chosen
}

fn choose(app: &mut App, ctx: &egui::Context, dialog: &mut PathDialog, path: PathBuf) -> Stay {
    if path.is_dir() && !dialog.purpose.is_folder() {
        dialog.name.clear();
        dialog.enter(path);
        return Stay::Open;
    }
    if !dialog.purpose.writes() && !path.exists() {
        dialog.problem = Some(format!("{} does not exist. Check the name.", path.display()));
        return Stay::Open;
    }
    // Saving a project asks by itself.
    let target = crate::export::target(&dialog.purpose, &path);
    let asks = dialog.purpose.writes() && !matches!(dialog.purpose, Purpose::Save(_));
    if asks && target.is_file() && dialog.named.as_deref() != Some(&target) {
        dialog.problem = Some(format!("{} is there already. Press Save again to write it anew.", target.display()));
        dialog.named = Some(target);
        return Stay::Open;
    }
    files::chosen(app, ctx, dialog.purpose.clone(), &path);
    Stay::Closed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_come_first_and_only_files_that_fit() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["b.png", "a.JPG", "notes.txt", ".hidden.png"] {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        std::fs::create_dir(folder.path().join("more")).unwrap();
        let found = entries(folder.path(), Purpose::Picture.endings()).unwrap();
        let names: Vec<_> = found.iter().map(|e| e.name.as_str()).collect();
        assert_eq!(names, ["more", "a.JPG", "b.png"]);
    }
}
