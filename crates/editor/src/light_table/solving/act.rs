//! What is asked of a solve: to begin, to stop, to be accepted or dropped, to be looked at.

use super::{Solving, Standing};
use crate::app::App;
use crate::light_table;
use crate::view::{Fold, Shown, Tab};
use desk::photographs::Breadth;
use project::document::{Document, Picture};

/// Something asked of the solve that is no edit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SolvingAsk {
    /// The breadth line to be held or sought.
    Breadth(Breadth),
    /// The solve under way to be given up.
    Stop,
    /// The result to become part of the project.
    Accept,
    /// The result to be forgotten.
    Drop,
    /// What was solved to be drawn, or not.
    ShowAfter(bool),
    /// What was drawn before to be drawn, or not.
    ShowBefore(bool),
    /// The band to be drawn so many times as wide.
    Widen(f64),
    /// A station to be looked at, mm.
    Look(f64),
}

/// A face view narrower than this grows when a station is looked at, points.
const NARROW: f32 = 220.0;

/// Does it.
pub(crate) fn act(app: &mut App, asked: SolvingAsk) {
    if asked == SolvingAsk::Accept {
        accept(app);
        return;
    }
    let Some(solving) = &mut app.table.solving else { return };
    match asked {
        SolvingAsk::Breadth(breadth) => solving.breadth = breadth,
        SolvingAsk::Stop => solving.stop(),
        SolvingAsk::Drop => solving.forget(),
        SolvingAsk::ShowAfter(shown) => solving.looks.after = shown,
        SolvingAsk::ShowBefore(shown) => solving.looks.before = shown,
        SolvingAsk::Widen(times) => solving.looks.times = times,
        SolvingAsk::Look(station) => look(app, station),
        SolvingAsk::Accept => {}
    }
}

/// Begins a solve, with its page in sight.
pub(crate) fn begin(app: &mut App) {
    let pictures = &app.desk.document().pictures;
    let traced = |p: &Picture| !p.photograph.traces.is_empty() && !p.photograph.landmarks.is_empty();
    let telling = pictures.iter().position(|p| traced(p)).or_else(|| (!pictures.is_empty()).then_some(0));
    match app.table.picture.or(telling) {
        Some(picture) => light_table::lay(app, picture),
        None => app.view.tab = Tab::Pictures,
    }
    app.view.form = 0;
    if let Some(solving) = &mut app.table.solving {
        solving.run(&app.desk);
    }
}

/// Takes a result that has come, and turns the floor to what it changes most.
pub(crate) fn refresh(app: &mut App, ctx: &egui::Context) {
    let solving = app.table.solving.get_or_insert_with(|| Solving::new(ctx));
    let before = solving.arrived();
    solving.refresh(&app.desk);
    let most = solving.found().filter(|_| solving.arrived() != before).and_then(|found| found.most_changed());
    if let Some(station) = most {
        look(app, station);
    }
}

/// Shows a station strongly in the face view.
fn look(app: &mut App, x: f64) {
    let form = app.form();
    let near = |at: f64| (at - x).abs() < super::found::NEAR;
    let station = form.stations.iter().position(|at| near(*at)).map(Shown::Station);
    let section = || form.sections.iter().position(|s| near(s.station)).map(Shown::Control);
    app.view.shown = station.or_else(section);
    // Beside a photograph the face view is narrow: nothing of a band would be seen.
    if app.view.fold == Fold::Even && app.layout().is_some_and(|l| l.face.rect.width() < NARROW) {
        app.view.fold = Fold::Face;
        app.view.fit_wanted = true;
    }
    if let Some(solving) = &mut app.table.solving {
        solving.looks.station = Some(x);
    }
}

/// One step; only of a result that is of the project as it is.
fn accept(app: &mut App) {
    let Some(solving) = &app.table.solving else { return };
    let Some(found) = solving.found().filter(|_| solving.standing() == Standing::Fresh).cloned() else {
        app.message = Some("The project has changed since this was solved: solve again, then accept.".to_owned());
        return;
    };
    let before = app.desk.document().clone();
    crate::act::edit_once(app, &found.solved.accept);
    if app.message.is_none() {
        app.note = Some(format!("{}. Undo takes it back as one step.", changed(&before, app.desk.document())));
    }
}

/// What an accepted result has changed.
fn changed(before: &Document, after: &Document) -> String {
    let (Some(before), Some(after)) = (before.forms.first(), after.forms.first()) else {
        return "Accepted".to_owned();
    };
    let same = |x: f64| before.sections.iter().find(|s| s.station == x);
    let added = after.sections.iter().filter(|s| same(s.station).is_none()).count();
    let reshaped = after.sections.iter().filter(|s| same(s.station).is_some_and(|b| b != *s)).count();
    let lines = project::document::LineName::ALL.into_iter().filter(|n| before.lines.get(*n) != after.lines.get(*n));
    let count = |n: usize, what: &str| format!("{n} section{} {what}", if n == 1 { "" } else { "s" });
    let parts = [(reshaped, "reshaped"), (added, "added")];
    let parts = parts.into_iter().filter(|(n, _)| *n > 0).map(|(n, what)| count(n, what));
    let all: Vec<String> = parts.chain(lines.map(|name| format!("{} changed", name.label().to_lowercase()))).collect();
    if all.is_empty() { "Accepted: nothing differs".to_owned() } else { format!("Accepted: {}", all.join(", ")) }
}
