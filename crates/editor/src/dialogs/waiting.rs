//! Work on files that may take long: done beside the window's thread, with a way to give it up.
//!
//! What is quick is over before anybody could see a dialog, and none is shown; the dialog appears when it has lasted
//! longer than a person takes for at once.

use super::{Dialog, Stay, buttons, modal};
use crate::app::App;
use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What is to be done in the window when the work is done.
pub(crate) type Then = Box<dyn FnOnce(&mut App) + Send>;

/// Work that is waited for.
pub(crate) struct Waiting {
    what: String,
    since: Instant,
    answer: Receiver<Then>,
}

/// So long the window's own thread waits: less than is seen as a stutter.
const AT_ONCE: Duration = Duration::from_millis(40);
/// So long it takes until the dialog is seen.
const UNSEEN: Duration = Duration::from_millis(300);

/// Begins work on another thread. `work` gives what is to be done in the window afterwards; it is not done when the
/// builder gives it up.
pub(crate) fn begin(app: &mut App, what: String, work: impl FnOnce() -> Then + Send + 'static) {
    let (send, answer) = channel();
    std::thread::spawn(move || {
        // Given up meanwhile: then nobody wants the answer.
        let _ = send.send(work());
    });
    match answer.recv_timeout(AT_ONCE) {
        Ok(then) => then(app),
        Err(RecvTimeoutError::Timeout) => {
            app.dialog = Some(Dialog::Waiting(Waiting { what, since: Instant::now(), answer }));
        }
        Err(RecvTimeoutError::Disconnected) => app.message = Some(format!("{what}: this did not work.")),
    }
}

/// Draws the dialog, or takes what has come.
pub(super) fn show(ctx: &egui::Context, app: &mut App, waiting: &mut Waiting) -> Stay {
    match waiting.answer.try_recv() {
        Ok(then) => {
            then(app);
            ctx.request_repaint();
            return Stay::Closed;
        }
        Err(TryRecvError::Disconnected) => {
            app.message = Some(format!("{}: this did not work.", waiting.what));
            return Stay::Closed;
        }
        Err(TryRecvError::Empty) => {}
    }
    ctx.request_repaint_after(Duration::from_millis(30));
    if waiting.since.elapsed() < UNSEEN {
        return Stay::Open;
    }
    let mut stay = Stay::Open;
    modal(ctx, "One moment", 420.0, |ui| {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.add(egui::Label::new(waiting.what.as_str()).truncate());
        });
        if buttons(ui, &["Cancel"], false).is_some() {
            stay = Stay::Closed;
        }
    });
    stay
}
