//! Zoom, pan and what has grown, kept for each project beside this machine's habits: the builder finds the floor as it was
//! left. It is no part of the document, so looking closer changes no project.
//!
//! One project a line: the camera's numbers, the view that has grown, then the project's file. What cannot be read is
//! passed over.

use crate::app::App;
use crate::floor::layout::Camera;
use crate::view::Fold;
use std::path::{Path, PathBuf};

/// The oldest are forgotten beyond this many.
const MOST: usize = 60;

const FOLDS: [(&str, Fold); 5] =
    [("even", Fold::Even), ("side", Fold::Side), ("plan", Fold::Plan), ("face", Fold::Face), ("body", Fold::Body)];

fn file(app: &App) -> Option<PathBuf> {
    Some(app.state.as_ref()?.path().join("floors.txt"))
}

/// Keeps how the floor lies for the project that is open. Nothing is kept of a floor that simply shows everything.
pub(crate) fn save(app: &App) {
    let (Some(file), Some(project)) = (file(app), app.desk.path()) else { return };
    let Some(name) = project.to_str().filter(|name| !name.contains(['\n', '\r'])) else { return };
    let old = desk::files::read_text(&file).unwrap_or_default();
    let others = old.lines().filter(|line| split(line).is_some_and(|(_, other)| other != name));
    let this = (!app.view.fitted || app.view.fold != Fold::Even).then(|| format!("{} {name}", text(app)));
    let lines: Vec<String> = this.into_iter().chain(others.map(str::to_owned)).take(MOST).collect();
    if let Some(folder) = file.parent() {
        let _ = std::fs::create_dir_all(folder);
    }
    // A text that cannot be written costs a convenience, and is no reason to trouble the builder.
    let _ = desk::files::write_whole(&file, (lines.join("\n") + "\n").as_bytes());
}

/// Lays the floor as it was left for the project that is open.
pub(crate) fn load(app: &mut App) {
    let (Some(file), Some(project)) = (file(app), app.desk.path().map(Path::to_owned)) else { return };
    let Ok(kept) = desk::files::read_text(&file) else { return };
    let found = kept.lines().filter_map(split).find(|(_, name)| Path::new(name) == project);
    if let Some((camera, fold, form)) = found.and_then(|(view, _)| read(view)) {
        app.view.camera = camera;
        app.view.fold = fold;
        app.view.form = form;
        app.view.fit_wanted = false;
        app.view.fitted = false;
    }
}

/// How many words stand before the file's name.
const WORDS: usize = 9;

fn text(app: &App) -> String {
    let c = app.view.camera;
    let fold = FOLDS.iter().find(|(_, fold)| *fold == app.view.fold).map_or("even", |(name, _)| name);
    let [column, row] = c.split;
    format!("{} {} {} {} {} {column} {row} {fold} {}", c.scale, c.x, c.z, c.y, c.across, app.view.form)
}

/// The words about the view, and the file's name, which may have blanks in it.
fn split(line: &str) -> Option<(&str, &str)> {
    let (at, _) = line.match_indices(' ').nth(WORDS - 1)?;
    Some((&line[..at], &line[at + 1..]))
}

fn read(words: &str) -> Option<(Camera, Fold, usize)> {
    let words: Vec<&str> = words.split(' ').collect();
    let number = |i: usize| words.get(i)?.parse::<f64>().ok().filter(|n| n.is_finite() && n.abs() < 1e7);
    let share = |i: usize| number(i).map(|n| (n as f32).clamp(0.1, 0.9));
    let camera = Camera {
        scale: number(0).filter(|scale| (0.02..=200.0).contains(scale))?,
        x: number(1)?,
        z: number(2)?,
        y: number(3)?,
        across: number(4)?,
        split: [share(5)?, share(6)?],
    };
    let (_, fold) = FOLDS.iter().find(|(name, _)| Some(name) == words.get(7))?;
    Some((camera, *fold, words.get(8)?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use desk::{Desk, Overwrite, StateFolder};

    fn opened(state: &StateFolder, project: &Path) -> App {
        let start = crate::window::Start { project: Some(project.to_owned()) };
        crate::start::open(&start, Some(state.clone()))
    }

    #[test]
    fn each_project_finds_its_floor_as_it_was_left() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = StateFolder::at(folder.path().join("state"));
        let [one, two] = ["one nose.plug.ron", "two.plug.ron"].map(|name| folder.path().join(name));
        for path in [&one, &two] {
            let document = project::starter::new_document("Nose");
            desk::files::save(&document, path, None, Overwrite::Refuse).expect("saved");
        }
        let mut app = opened(&state, &one);
        assert!(app.view.fit_wanted, "nothing is known of it yet");
        app.view.camera = Camera { scale: 7.25, x: 91.5, z: -3.0, y: 12.0, across: 4.5, split: [0.5, 0.6] };
        app.view.fold = Fold::Face;
        let left = app.view.camera;
        crate::dialogs::files::open_now(&mut app, &two);
        assert!(app.view.fit_wanted && app.view.fold == Fold::Even);
        drop(app);
        let again = opened(&state, &one);
        assert_eq!((again.view.camera, again.view.fold, again.view.fit_wanted), (left, Fold::Face, false));
    }

    #[test]
    fn nonsense_is_passed_over() {
        for line in
            ["", "a b c", "NaN 0 0 0 0 0.5 0.5 even 0 /x", "1 0 0 0 0 0.5 0.5 odd 0 /x", "1 0 0 0 1e300 1 1 even 0 /x"]
        {
            assert_eq!(split(line).and_then(|(view, _)| read(view)), None, "{line}");
        }
        let app = App::over(Desk::new());
        assert_eq!(read(&text(&app)), Some((app.view.camera, Fold::Even, 0)));
    }
}
