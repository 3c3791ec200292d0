//! How the plug is built: process, coat, stack, formers, foam, gauges to sand by, and what follows from them.

mod cards;
mod foam;
mod sanding;
mod spacing;
mod stack;
#[cfg(test)]
mod tests;

use super::field::reading;
use super::part::Part;
use super::{Ask, Seen, heading, note};
use crate::commands::Command;
use crate::on_shell::added::plug::built;
use crate::planning::Age;
use crate::units::Units;
use crate::view::ViewState;
use egui::{CollapsingHeader, RichText, Ui};
use project::build::{Build, Process};
use project::edit::Edit;

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let plug = seen.shell.and_then(|shell| shell.added.plug());
    if view.form != 0 && plug.is_none() {
        // Its project is made before the next frame.
        ui.ctx().request_repaint();
        return;
    }
    let edit = |build| built(view.form, build);
    let part = Part { name: "Build", now: &*seen.document.build, units: view.units, edit: &edit };
    if view.form != 0 {
        of_another_form(ui, seen, view, asks);
    }
    process(ui, seen, &part, asks);
    derived(ui, seen, |ui| differences(ui, seen, view.units));
    fold(ui, "Stack", true, |ui| stack::part(ui, seen, view, &part, asks));
    fold(ui, "Formers", false, |ui| cards::part(ui, &part, asks));
    fold(ui, "Foam", false, |ui| foam::part(ui, seen, &part, asks));
    fold(ui, "Sanding", false, |ui| sanding::part(ui, seen, &part, asks));
    if view.form == 0 { found(ui, seen, view, asks) } else { found_here(ui, seen) }
}

/// A form after the first is built by itself: with settings of its own, or with those of the first and no stack.
fn of_another_form(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    if seen.form.build.is_some() {
        note(ui, format!("“{}” has a build of its own.", seen.form.name));
        let back = ui
            .button("Build it as the first form")
            .on_hover_text("Its own boards and settings go; Undo brings them back.");
        if back.clicked() {
            asks.push(Ask::Do(Edit::SetFormBuild { form: view.form, build: None }));
        }
    } else {
        let what = "is built as the first form, without a stack. Whatever is changed here begins a build of its own.";
        note(ui, format!("“{}” {what}", seen.form.name));
    }
}

fn fold(ui: &mut Ui, title: &str, open: bool, body: impl FnOnce(&mut Ui)) {
    ui.add_space(8.0);
    let text = RichText::new(title).font(crate::theme::bold(crate::theme::BODY));
    CollapsingHeader::new(text).id_salt(("build", title)).default_open(open).show_unindented(ui, body);
}

fn process(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    heading(ui, "What the plug is for");
    let ways = [("cloth over the plug", Process::OverPlug), ("a female mould", Process::FemaleMould)];
    build.choice(ui, "It serves for", &ways, build.now.process, asks, |build, process| build.process = process);
    note(
        ui,
        match build.now.process {
            Process::OverPlug => "The plug is the finished form less everything that comes over it.",
            Process::FemaleMould => "The plug is the finished form itself; the coat lies inside it.",
        },
    );
    if seen.document.shell.feeds_coat {
        followed_coat(ui, build);
        return;
    }
    let coat = build.now.coat;
    build.explained(ui, ("Laminate", "Cloth and resin over the plug."), coat.laminate, asks, |build, mm| {
        build.coat.laminate = mm;
    });
    build.explained(ui, ("Filler", "Filler over the cloth."), coat.filler, asks, |build, mm| build.coat.filler = mm);
    build.explained(ui, ("Paint", "Paint over all."), coat.paint, asks, |build, mm| build.coat.paint = mm);
}

/// The thicknesses that the laminate gives: read here, set where the plies are.
fn followed_coat(ui: &mut Ui, build: &Part<'_, Build>) {
    let coat = build.now.coat;
    for (label, mm) in [("Laminate", coat.laminate), ("Filler", coat.filler), ("Paint", coat.paint)] {
        reading(ui, label, format!("{} {}", build.units.fine(mm), build.units.sign()));
    }
    note(ui, "They follow the plies, on the page Shell, Laminate.");
}

/// Finished skin and plug where it matters on the bench.
fn differences(ui: &mut Ui, seen: &Seen<'_>, units: Units) {
    heading(ui, "Finished form and plug");
    let rows = &seen.planned.plan.differences;
    if rows.is_empty() {
        note(ui, "The table appears once the form has a surface.");
        return;
    }
    egui::Grid::new("skin and plug").num_columns(4).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["", "finished", "plug", "less"] {
            note(ui, text);
        }
        ui.end_row();
        for row in rows {
            ui.label(RichText::new(&row.what).small()).on_hover_text(format!("At {}.", units.length(row.station)));
            for mm in [row.finished, row.plug, row.finished - row.plug] {
                ui.label(units.fine(mm));
            }
            ui.end_row();
        }
    });
    note(ui, "The front is what the ring is fitted to.");
}

/// A cross that removes one row of a list.
fn cross(ui: &mut Ui, what: &str) -> bool {
    ui.small_button("×").on_hover_text(what).accessible_name(what).clicked()
}

/// What was found while the plug was planned is in the one list of findings; here it is only counted.
fn found(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let count = seen.planned.findings().len();
    if count == 0 {
        return;
    }
    ui.add_space(8.0);
    let what =
        if count == 1 { "1 finding about the plug".to_owned() } else { format!("{count} findings about the plug") };
    let tip = "Opens the list of findings; a click on one goes to its place.";
    if ui.add_enabled(!view.findings, egui::Button::new(what)).on_hover_text(tip).clicked() {
        asks.push(Ask::Command(Command::Findings));
    }
}

/// What was found while the plug of a form after the first was planned.
fn found_here(ui: &mut Ui, seen: &Seen<'_>) {
    if !seen.planned.used {
        return;
    }
    for finding in seen.planned.findings() {
        ui.add_space(4.0);
        ui.label(RichText::new(&finding.what).color(seen.theme.warning)).on_hover_text(finding.place_label());
        note(ui, &finding.hint);
    }
}

/// What follows from the plan of the plug; weak while it is of before the last change.
fn derived(ui: &mut Ui, seen: &Seen<'_>, body: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        if seen.age != Age::Fresh {
            ui.visuals_mut().override_text_color = Some(seen.theme.weak);
        }
        body(ui);
    });
}
