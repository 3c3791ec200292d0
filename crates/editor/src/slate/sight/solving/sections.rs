//! What a solve has to say, what would help most, and how each control section takes it up.

use crate::light_table::marks::OnPicture;
use crate::light_table::solving::act::SolvingAsk;
use crate::light_table::solving::found::Found;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::{Selected, ViewState};
use desk::photographs::words::{Spot, Words};
use egui::{Label, RichText, Sense, Ui};

/// How many further observations are told.
const TOLD: usize = 3;

/// What to look at, each with what to do; a click leads there.
pub(super) fn findings(ui: &mut Ui, seen: &Seen<'_>, found: &Found, asks: &mut Vec<Ask>) {
    if found.findings.is_empty() {
        return;
    }
    heading(ui, "To look at");
    for words in &found.findings {
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            finding(ui, seen, words, asks);
        });
    }
}

fn finding(ui: &mut Ui, seen: &Seen<'_>, words: &Words, asks: &mut Vec<Ask>) {
    let what = RichText::new(format!("{}: {}", words.place, words.what)).color(seen.theme.warning);
    let target = target(seen, words);
    let sense = if target.is_some() { Sense::click() } else { Sense::hover() };
    let label = ui.add(Label::new(what).wrap().sense(sense));
    if let Some(ask) = target
        && label.on_hover_text("Goes there.").clicked()
    {
        asks.push(ask);
    }
    note(ui, words.hint.as_str());
}

/// Where a finding leads, if it is still there.
fn target(seen: &Seen<'_>, words: &Words) -> Option<Ask> {
    let on = |picture: usize, what: OnPicture| Selected::OnPicture { picture, what };
    let pictures = &seen.document.pictures;
    match &words.spot {
        Spot::Picture { picture, points } => {
            let p = pictures.get(*picture)?;
            let point = points.first().map(|(trace, point)| OnPicture::TracePoint { trace: *trace, point: *point });
            let there = point.filter(|what| crate::light_table::marks::exists(&p.photograph, *what));
            Some(Ask::Select(there.map_or(Selected::Picture(*picture), |what| on(*picture, what))))
        }
        Spot::Landmark(name) => {
            let find = |(picture, p): (usize, &std::sync::Arc<project::document::Picture>)| {
                let index = p.photograph.landmarks.iter().position(|l| l.name == *name)?;
                Some(Ask::Select(on(picture, OnPicture::Landmark(index))))
            };
            // The picture that lies on the table comes first.
            let lies = seen.table.picture.and_then(|i| pictures.get(i).map(|p| (i, p)));
            lies.into_iter().chain(pictures.iter().enumerate()).find_map(find)
        }
        Spot::Station(x) => Some(Ask::Solving(SolvingAsk::Look(*x))),
        Spot::Form => None,
    }
}

/// What else the builder could give, by how narrow the band would be.
pub(super) fn advice(ui: &mut Ui, view: &ViewState, found: &Found) {
    if found.advice.is_empty() {
        return;
    }
    heading(ui, "What would help most");
    let (units, band) = (view.units, found.solved.band);
    note(ui, "The band over the form would be");
    for (what, share) in found.advice.iter().take(TOLD) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            ui.label(format!("± {} {}", units.fine(share * band), units.sign()));
            ui.add(Label::new(RichText::new(format!("with {what}")).small()).wrap());
        });
    }
}

/// How the control sections take up what was solved.
pub(super) fn taken_up(ui: &mut Ui, view: &ViewState, found: &Found) {
    super::photographs::fold(ui, "Control sections once accepted", |ui| {
        for (x, how) in &found.solved.sections {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 8.0;
                ui.label(view.units.length(*x));
                ui.add(Label::new(RichText::new(how.label()).small()).wrap());
            });
        }
    });
}
