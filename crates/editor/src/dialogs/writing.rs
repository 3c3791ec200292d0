//! Writing what takes a while, such as the book: made beside the window's thread, with progress and a way to stop it.

use super::questions::tell;
use super::{Dialog, Stay, buttons, modal};
use crate::app::App;
use desk::{Outcome, Progress, Work};
use egui::ProgressBar;
use std::sync::Arc;

/// What is being written.
pub(crate) struct Writing {
    what: String,
    work: Work<(), Result<String, String>>,
}

/// Begins; `write` gives what to say when it is done, or why nothing was written. It looks at its progress before it puts
/// anything on disk, so that what is stopped leaves nothing.
pub(crate) fn begin(
    app: &mut App,
    ctx: &egui::Context,
    what: String,
    write: impl FnOnce(&Progress) -> Result<String, String> + Send + 'static,
) {
    let ctx = ctx.clone();
    let mut work = Work::new(Arc::new(move || ctx.request_repaint()));
    work.want((), write);
    app.dialog = Some(Dialog::Writing(Writing { what, work }));
}

/// Draws the dialog, or tells how it ended.
pub(super) fn show(ctx: &egui::Context, app: &mut App, writing: &mut Writing) -> Stay {
    if let Some((_, outcome)) = writing.work.poll() {
        match outcome {
            Outcome::Done(Ok(said)) => app.note = Some(said),
            Outcome::Done(Err(why)) | Outcome::Broke(why) => tell(app, "Nothing was written", why),
        }
        ctx.request_repaint();
        return Stay::Closed;
    }
    let mut stay = Stay::Open;
    modal(ctx, &writing.what, 420.0, |ui| {
        ui.add(ProgressBar::new(writing.work.progress().unwrap_or(0.0)).show_percentage());
        if buttons(ui, &["Stop"], false).is_some() {
            app.note = Some("Stopped; nothing was written.".to_owned());
            stay = Stay::Closed;
        }
    });
    stay
}
