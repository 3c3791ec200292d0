//! The project's file while it is open: looked at whenever the builder comes back to the window, since that is when other programs
//! have been at it. What has become of it is told once.

use crate::app::App;
use crate::dialogs::{Dialog, questions};
use desk::DiskNow;
use egui::{Context, Event};

/// What is known of the file, and whether to look again.
pub(crate) struct Watch {
    told: DiskNow,
    wanted: bool,
}

impl Default for Watch {
    fn default() -> Self {
        Self { told: DiskNow::AsKnown, wanted: false }
    }
}

/// Looks, if the window was come back to; not in the middle of a question or a drag.
pub(crate) fn look(app: &mut App, ctx: &Context) {
    let back = ctx.input(|i| i.events.iter().any(|e| matches!(e, Event::WindowFocused(true))));
    app.watch.wanted |= back;
    if !app.watch.wanted || app.dialog.is_some() || app.gesture.drag.is_some() {
        return;
    }
    app.watch.wanted = false;
    let now = app.desk.disk_now();
    if now != app.watch.told {
        tell(app, &now);
        app.watch.told = now;
    }
}

fn tell(app: &mut App, now: &DiskNow) {
    let Some(path) = app.desk.path().map(|path| path.display().to_string()) else { return };
    match now {
        DiskNow::AsKnown => {}
        DiskNow::Changed(_) => app.dialog = Some(Dialog::Changed),
        DiskNow::Gone => {
            let text = format!(
                "{path} is no longer there: it was removed, or a folder was renamed. The work is still in this window. Save it again, \
                 under another name if its folder has moved."
            );
            questions::tell(app, "The project's file is gone", text);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::dialogs::Dialog;
    use crate::pressed::{Window, click, plain_desk, window};
    use desk::Overwrite;
    use egui_kittest::kittest::Queryable;
    use project::edit::Edit;
    use std::path::PathBuf;

    /// A window over a saved project, and one unsaved step in it.
    fn opened<'a>() -> (tempfile::TempDir, PathBuf, Window<'a>) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cowl.plug.ron");
        let mut desk = plain_desk();
        desk.save_as(&path, Overwrite::Refuse).unwrap();
        let mut window = window(desk);
        window.state_mut().desk.apply(&Edit::SetName("Mine".into())).unwrap();
        (folder, path, window)
    }

    fn theirs(path: &std::path::Path) {
        let mut document = desk::files::open(path).unwrap().document;
        document.name = "Theirs".into();
        desk::files::save(&document, path, None, Overwrite::OnPurpose).unwrap();
    }

    fn come_back(window: &mut Window<'_>) {
        window.event(egui::Event::WindowFocused(true));
        window.run_ok();
    }

    fn named(window: &Window<'_>) -> String {
        window.state().desk.document().name.clone()
    }

    #[test]
    fn a_file_that_was_changed_elsewhere_is_told_once_and_can_be_taken() {
        let (_folder, path, mut window) = opened();
        come_back(&mut window);
        assert!(window.state().dialog.is_none());
        theirs(&path);
        come_back(&mut window);
        assert!(window.query_by_label_contains("work that is not saved").is_some());
        click(&mut window, "Keep mine");
        come_back(&mut window);
        assert!(window.state().dialog.is_none(), "told twice");
        assert_eq!(named(&window), "Mine");
        // Saving asks before it overwrites; what is there can be taken then too.
        window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::S);
        window.run_ok();
        assert!(window.query_by_label_contains("changed by somebody else").is_some());
        click(&mut window, "Take what is on disk");
        assert_eq!(named(&window), "Theirs");
        assert!(!window.state().desk.is_changed());
    }

    #[test]
    fn a_changed_file_is_overwritten_knowingly_or_left_to_another_name() {
        let (folder, path, mut window) = opened();
        theirs(&path);
        come_back(&mut window);
        click(&mut window, "Save mine as…");
        assert!(matches!(window.state().dialog, Some(Dialog::Path(_))));
        let ctx = window.ctx.clone();
        let other = folder.path().join("mine.plug.ron");
        crate::dialogs::files::save_to(window.state_mut(), &ctx, &other, Overwrite::Refuse, None);
        assert_eq!(desk::files::open(&other).unwrap().document.name, "Mine");
        assert_eq!(desk::files::open(&path).unwrap().document.name, "Theirs");

        let (_folder, path, mut window) = opened();
        theirs(&path);
        window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::S);
        window.run_ok();
        click(&mut window, "Overwrite");
        assert_eq!(desk::files::open(&path).unwrap().document.name, "Mine");
        come_back(&mut window);
        assert!(window.state().dialog.is_none());
    }

    #[test]
    fn a_file_that_is_gone_is_told_and_saved_anew() {
        let (_folder, path, mut window) = opened();
        std::fs::remove_file(&path).unwrap();
        come_back(&mut window);
        assert!(window.query_by_label_contains("is no longer there").is_some());
        click(&mut window, "Close");
        window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::S);
        window.run_ok();
        assert_eq!(desk::files::open(&path).unwrap().document.name, "Mine");
    }

    #[test]
    fn what_cannot_be_saved_there_can_be_saved_elsewhere() {
        let (folder, path, mut window) = opened();
        let moved = folder.path().join("moved.plug.ron");
        std::fs::rename(&path, &moved).unwrap();
        std::fs::create_dir(&path).unwrap();
        window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::S);
        window.run_ok();
        assert!(window.query_by_label_contains("cowl.plug.ron cannot be written").is_some());
        click(&mut window, "Save under another name");
        assert!(matches!(window.state().dialog, Some(Dialog::Path(_))));
        assert_eq!(named(&window), "Mine");
    }
}
