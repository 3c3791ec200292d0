//! Sections solved from what is traced: what takes part, the solve, and all that the builder should see before accepting it.

mod photographs;
mod result;
mod sections;
mod stations;

use super::OnTable;
use crate::commands::Command;
use crate::light_table::cameras::Cameras;
use crate::light_table::solving::Solving;
use crate::light_table::solving::act::SolvingAsk;
use crate::slate::{Ask, Seen, command_button, note};
use crate::theme;
use crate::view::ViewState;
use desk::photographs::{Breadth, WhyLeftOut};
use egui::{Id, Label, ProgressBar, RichText, Ui};
use project::document::Picture;
use project::photograph::Traced;

/// What can be solved, and what came of it.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, _on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    let Some(solving) = &seen.table.solving else { return };
    parts(ui, seen);
    breadth(ui, solving, asks);
    run(ui, solving, asks);
    if let Some(why) = solving.failure() {
        ui.add(Label::new(RichText::new(why).color(seen.theme.warning)).wrap());
    }
    if let Some(found) = solving.found() {
        result::part(ui, seen, view, solving, found, asks);
    }
}

/// Whether a solve has begun or come to an end since the page was drawn last, or what stands above it has grown meanwhile.
pub(super) fn came_anew(ui: &Ui, seen: &Seen<'_>) -> bool {
    let Some(solving) = &seen.table.solving else { return false };
    let found = seen.table.cameras.as_ref().map_or(0, Cameras::revision);
    let turns = (solving.turns(), solving.progress().map(|_| found));
    let known = ui.data_mut(|d| {
        let known = d.get_temp_mut_or_default::<([u64; 2], Option<u64>)>(Id::unique("turns of the solve"));
        std::mem::replace(known, turns)
    });
    turns != known
}

/// Every picture: what it gives, or why it is left out.
fn parts(ui: &mut Ui, seen: &Seen<'_>) {
    let told: Vec<(&Picture, Result<String, String>)> =
        seen.document.pictures.iter().enumerate().map(|(index, p)| (&**p, gives(seen, index, p))).collect();
    if !told.iter().any(|(_, gives)| gives.is_ok()) {
        note(ui, "Pick landmarks and trace the form's outline in at least one photograph, then solve.");
    }
    for (picture, gives) in told {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            ui.label(RichText::new(&picture.name).font(theme::bold(theme::SMALL)));
            match gives {
                Ok(what) => ui.label(RichText::new(what).small()),
                Err(why) => ui.label(RichText::new(format!("takes no part: {why}")).small().weak()),
            }
        });
    }
}

fn gives(seen: &Seen<'_>, index: usize, picture: &Picture) -> Result<String, String> {
    let traces = &picture.photograph.traces;
    if traces.is_empty() {
        return Err(WhyLeftOut::NothingTraced.to_string());
    }
    match seen.table.cameras.as_ref().and_then(|cameras| cameras.of(index)) {
        Some(Err(why)) => return Err(why.to_string()),
        Some(Ok(_)) => {}
        None => return Ok("its camera is being looked for…".to_owned()),
    }
    let outline: usize = traces.iter().filter(|t| t.of == Traced::Outline).map(|t| t.points.len()).sum();
    let seams = traces.iter().filter(|t| matches!(t.of, Traced::Seam { .. })).count();
    let seams = match seams {
        0 => "no seam".to_owned(),
        1 => "1 seam".to_owned(),
        n => format!("{n} seams"),
    };
    Ok(if outline == 0 { seams } else { format!("outline of {outline} points, {seams}") })
}

fn breadth(ui: &mut Ui, solving: &Solving, asks: &mut Vec<Ask>) {
    let choices = [
        (Breadth::Sought, "Breadth is sought with the sections", "The breadth line may be wrong: it is solved too."),
        (Breadth::Known, "Breadth is known and stays", "The breadth line stays as it is drawn: the band is narrower."),
    ];
    for (choice, label, tip) in choices {
        if ui.radio(solving.breadth == choice, label).on_hover_text(tip).clicked() {
            asks.push(Ask::Solving(SolvingAsk::Breadth(choice)));
        }
    }
}

/// The button, or how far the solve is.
fn run(ui: &mut Ui, solving: &Solving, asks: &mut Vec<Ask>) {
    let Some(share) = solving.progress() else {
        command_button(ui, Command::SolveSections, asks);
        return;
    };
    ui.horizontal(|ui| {
        let bar = ProgressBar::new(share).desired_width((ui.available_width() - 62.0).max(60.0));
        ui.add(bar.corner_radius(2.0).text(format!("solving: {:.0} %", 100.0 * share)));
        let stop = ui.button("Stop").on_hover_text("Gives the solve up; nothing changes.");
        if stop.accessible_name("Stop solving").clicked() {
            asks.push(Ask::Solving(SolvingAsk::Stop));
        }
    });
}
