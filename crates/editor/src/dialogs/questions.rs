//! Questions with a few answers.

use super::{After, Dialog, Stay, buttons, files, modal};
use crate::app::App;
use crate::pictures;
use desk::{Overwrite, Recovery};
use project::document::PictureView;
use std::path::Path;

/// Unsaved work stands in the way.
pub(super) fn unsaved(ctx: &egui::Context, app: &mut App, after: &After) -> Stay {
    let mut stay = Stay::Open;
    let name = app.desk.document().name.clone();
    modal(ctx, &format!("Save “{name}” first?"), 420.0, |ui| {
        ui.label("It has work in it that is not in its file yet.");
        match buttons(ui, &["Save", "Don't save", "Cancel"], true) {
            Some(0) => {
                stay = Stay::Closed;
                files::save(app, ctx, Some(after.clone()));
            }
            Some(1) => {
                stay = Stay::Closed;
                files::proceed(app, ctx, after.clone());
            }
            Some(_) => stay = Stay::Closed,
            None => {}
        }
    });
    stay
}

/// A file is in the way: another one, or the project's own that somebody else has changed.
pub(super) fn overwrite(
    ctx: &egui::Context,
    app: &mut App,
    path: &Path,
    why: &str,
    changed: bool,
    then: Option<&After>,
) -> Stay {
    let mut stay = Stay::Open;
    modal(ctx, "Overwrite the file?", 540.0, |ui| {
        ui.label(why);
        let four = ["Choose another name", "Overwrite", TAKE, "Cancel"];
        let three = ["Choose another name", "Overwrite", "Cancel"];
        let pressed = buttons(ui, if changed { &four } else { &three }, false);
        if pressed.is_some() {
            stay = Stay::Closed;
        }
        match pressed {
            Some(0) => files::ask_save_as(app, ctx, then.cloned()),
            Some(1) => files::save_to(app, ctx, path, Overwrite::OnPurpose, then.cloned()),
            Some(2) if changed => files::open_now(app, path),
            _ => {}
        }
    });
    stay
}

const TAKE: &str = "Take what is on disk";

/// Somebody else wrote the project's file while it was open here.
pub(super) fn changed(ctx: &egui::Context, app: &mut App) -> Stay {
    let Some(path) = app.desk.path().map(Path::to_owned) else { return Stay::Closed };
    let mut stay = Stay::Open;
    modal(ctx, "The project's file has changed", 540.0, |ui| {
        ui.label(format!("{} was written by another window or program since it was opened here.", path.display()));
        if app.desk.is_changed() {
            ui.label("This window has work that is not saved; to take what is on disk gives that up.");
        }
        let pressed = buttons(ui, &["Keep mine", TAKE, "Save mine as…"], false);
        if pressed.is_some() {
            stay = Stay::Closed;
        }
        match pressed {
            Some(1) => files::open_now(app, &path),
            Some(2) => files::ask_save_as(app, ctx, None),
            _ => {}
        }
    });
    stay
}

/// The project could not be saved where it was to be; elsewhere it may.
pub(super) fn not_saved(ctx: &egui::Context, app: &mut App, why: &str, then: Option<&After>) -> Stay {
    let mut stay = Stay::Open;
    modal(ctx, "The project could not be saved", 480.0, |ui| {
        ui.label(why);
        ui.label("The work is still in this window.");
        let pressed = buttons(ui, &["Save under another name", "Close"], false);
        if pressed.is_some() {
            stay = Stay::Closed;
        }
        if pressed == Some(0) {
            files::ask_save_as(app, ctx, then.cloned());
        }
    });
    stay
}

/// A picture that is about to be laid under a view.
pub(crate) struct NewPicture {
    name: String,
    bytes: Vec<u8>,
    /// The view it most likely shows: Enter takes it.
    likely: PictureView,
    fresh: bool,
}

impl NewPicture {
    /// Guesses by the name, else takes the first view that has no picture yet.
    pub(crate) fn new(name: String, bytes: Vec<u8>, taken: &[PictureView]) -> Self {
        use PictureView::{Face, Plan, Reference, Side};
        let lower = name.to_lowercase();
        let named =
            [("quarter", Reference), ("side", Side), ("face", Face), ("front", Face), ("top", Plan), ("plan", Plan)];
        let by_name = named.into_iter().find(|(word, _)| lower.contains(word)).map(|(_, view)| view);
        let free = [Side, Face].into_iter().find(|view| !taken.contains(view));
        Self { name, bytes, likely: by_name.or(free).unwrap_or(Reference), fresh: true }
    }
}

/// Which view a new picture lies under.
pub(super) fn picture_view(ctx: &egui::Context, app: &mut App, asked: &mut NewPicture) -> Stay {
    let NewPicture { name, bytes, likely, fresh } = asked;
    let mut stay = Stay::Open;
    modal(ctx, &format!("Where does “{name}” lie?"), 460.0, |ui| {
        ui.label("Choose what the picture shows. It is laid under that view; you set it to scale next.");
        ui.add_space(8.0);
        let views = [
            ("Side view", "seen from port: the nose to the left", PictureView::Side),
            ("Face view", "seen from ahead, looking aft", PictureView::Face),
            ("Half-breadth plan", "seen from above: the nose to the left", PictureView::Plan),
            ("Reference only", "from elsewhere, such as three-quarter front", PictureView::Reference),
        ];
        for (label, about, view) in views {
            ui.horizontal(|ui| {
                let response = ui.add_sized([150.0, 28.0], egui::Button::new(label).selected(view == *likely));
                if *fresh && view == *likely {
                    response.request_focus();
                }
                if response.clicked() {
                    stay = Stay::Closed;
                    pictures::add(app, name, bytes, view);
                }
                super::super::slate::note(ui, about);
            });
        }
        *fresh = false;
        ui.add_space(12.0);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
            if ui.add(egui::Button::new("Cancel").min_size(egui::vec2(84.0, 28.0))).clicked() {
                stay = Stay::Closed;
            }
        });
    });
    stay
}

/// An earlier run left unsaved work.
pub(super) fn recovery(ctx: &egui::Context, app: &mut App, recovery: &mut Option<Recovery>) -> Stay {
    let Some(found) = recovery.as_ref() else { return Stay::Closed };
    let which = match found.origin() {
        Some(on_disk) => format!("It belongs to {}.", on_disk.path.display()),
        None => "It had not been saved to a file yet.".to_owned(),
    };
    let ago = found.left_at().elapsed().map_or(0, |d| d.as_secs());
    let mut stay = Stay::Open;
    modal(ctx, "Unsaved work was left behind", 460.0, |ui| {
        ui.label(format!("The program ended {} ago before this work was saved. {which}", span(ago)));
        match buttons(ui, &["Take it up again", "Throw it away", "Later"], true) {
            Some(0) => {
                stay = Stay::Closed;
                if let Some(recovery) = recovery.take() {
                    files::recover(app, recovery);
                }
            }
            Some(1) => {
                stay = Stay::Closed;
                if let Some(recovery) = recovery.take() {
                    recovery.discard();
                }
            }
            Some(_) => stay = Stay::Closed,
            None => {}
        }
    });
    stay
}

/// A span of time in words.
fn span(seconds: u64) -> String {
    match seconds {
        0..=119 => "a minute".to_owned(),
        120..=7199 => format!("{} minutes", seconds / 60),
        7200..=172_799 => format!("{} hours", seconds / 3600),
        _ => format!("{} days", seconds / 86_400),
    }
}

/// Something to read.
pub(super) fn told(ctx: &egui::Context, title: &str, text: &str) -> Stay {
    let mut stay = Stay::Open;
    modal(ctx, title, 480.0, |ui| {
        ui.label(text);
        if buttons(ui, &["Close"], true).is_some() {
            stay = Stay::Closed;
        }
    });
    stay
}

/// Tells something that does not fit into the status line.
pub(crate) fn tell(app: &mut App, title: &str, text: impl Into<String>) {
    app.dialog = Some(Dialog::Told { title: title.to_owned(), text: text.into() });
}
