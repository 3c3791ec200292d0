//! Following the edge: how it is sought, and what was found.

use super::chosen::Chosen;
use crate::commands::Command;
use crate::light_table::following::found::Found;
use crate::light_table::following::{self, Following, Proposal, Scope};
use crate::light_table::tracing::asks::TraceAsk;
use crate::slate::field::{self, Number, reading};
use crate::slate::{Ask, Seen, command_button, heading, note};
use crate::view::ViewState;
use egui::{ProgressBar, Ui};
use photo::following::Doubt;

/// Everything about the edge along the selected trace.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, chosen: &Chosen<'_>, asks: &mut Vec<Ask>) {
    let following = seen.table.tracing.following.as_ref();
    let proposal = following.and_then(|f| f.proposal.as_ref()).filter(|p| p.is_of(chosen.on.index, chosen.trace));
    heading(ui, "The edge");
    if let Some(share) = following.and_then(Following::progress) {
        ui.horizontal(|ui| {
            ui.add(ProgressBar::new(share).desired_width(150.0).text("following…"));
            if ui.button("Stop").accessible_name("Stop following the edge").clicked() {
                asks.push(Ask::Trace(TraceAsk::Stop));
            }
        });
        return;
    }
    if let Some(proposal) = proposal {
        proposed(ui, seen, proposal, asks);
    }
    if chosen.point.is_some() {
        scope(ui, following.map_or(Scope::Whole, |f| f.scope), asks);
    }
    settings(ui, chosen, following, asks);
    if proposal.is_none() {
        command_button(ui, Command::FollowEdge, asks);
        match following.and_then(|f| f.failure(view.selected)) {
            Some(why) => {
                ui.colored_label(seen.theme.warning, why);
            }
            None => note(ui, "Draws the line to the strongest edge near it. You see it first, and decide."),
        }
    }
}

fn scope(ui: &mut Ui, now: Scope, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        ui.label("Follow");
        let options = [
            (Scope::Whole, "whole", "The whole trace."),
            (Scope::Stretch, "about the point", "From the point before to the point after the selected one."),
            (Scope::Point, "this point", "Moves the selected point alone."),
        ];
        for (scope, label, tip) in options {
            let name = format!("Follow: {label}");
            if ui.selectable_label(now == scope, label).on_hover_text(tip).accessible_name(name).clicked() {
                asks.push(Ask::Trace(TraceAsk::Scope(scope)));
            }
        }
    });
}

fn settings(ui: &mut Ui, chosen: &Chosen<'_>, following: Option<&Following>, asks: &mut Vec<Ask>) {
    let how = following::how(following, chosen.on.picture.size_px);
    let number =
        |label, name: &str, range| Number { label, name: name.into(), suffix: "px", decimals: 0, speed: 0.2, range };
    let half = number("Sought within ±", "How far from the trace the edge is sought", [2.0, 60.0]);
    let tip = "How far to each side of the trace. Less where another edge runs beside it, more for coarse clicks.";
    ui.scope(|ui| field::asking(ui, &half, how.half_width, asks, |px| Ask::Trace(TraceAsk::HalfWidth(px))))
        .response
        .on_hover_text(tip);
    let spacing = number("A point every", "Distance of the points along the edge", [1.0, 1000.0]);
    ui.scope(|ui| field::asking(ui, &spacing, how.spacing, asks, |px| Ask::Trace(TraceAsk::Spacing(px))))
        .response
        .on_hover_text("Distance of the points along the edge.");
}

fn proposed(ui: &mut Ui, seen: &Seen<'_>, proposal: &Proposal, asks: &mut Vec<Ask>) {
    let found = &proposal.found;
    let pieces = match found.pieces.len() {
        1 => String::new(),
        n => format!(", in {n} traces"),
    };
    reading(ui, "Sure points", format!("{}{pieces}", found.sure));
    reading(ui, "Farthest from old", format!("{:.1} px", found.moved));
    reading(ui, "By its noise", format!("± {:.2} px", found.deviation));
    doubts(ui, seen, found);
    let mut too = proposal.trust_too;
    let closeness = found.closeness();
    let tick = ui.checkbox(&mut too, format!("also: traced to ± {closeness:.1} px"));
    let tip = "Sets how closely all traces of this picture are believed, in the same step. Leave it off while others are \
               still coarse. Never below 0.3 px: haze, paint and lenses shift an edge by more than its noise tells \
               (a working value, no source).";
    if tick.on_hover_text(tip).changed() {
        asks.push(Ask::Trace(TraceAsk::TrustToo(too)));
    }
    ui.horizontal(|ui| {
        let take = egui::Button::new("Take it (Enter)").fill(seen.theme.accent_wash);
        if ui.add(take).accessible_name("Take the edge").clicked() {
            asks.push(Ask::Trace(TraceAsk::Accept));
        }
        if ui.button("Drop it (Esc)").accessible_name("Drop the edge").clicked() {
            asks.push(Ask::Trace(TraceAsk::Drop));
        }
    });
}

/// The most places that are told by number.
const MOST_TOLD: usize = 12;

/// What speaks against which places, each reason once.
fn doubts(ui: &mut Ui, seen: &Seen<'_>, found: &Found) {
    let mut kinds: Vec<(Doubt, Vec<usize>)> = Vec::new();
    for (index, place) in found.doubtful.iter().enumerate() {
        match kinds.iter_mut().find(|(doubt, _)| *doubt == place.doubt) {
            Some((_, places)) => places.push(index + 1),
            None => kinds.push((place.doubt, vec![index + 1])),
        }
    }
    for (doubt, places) in kinds {
        let mut numbers: Vec<String> = places.iter().take(MOST_TOLD).map(usize::to_string).collect();
        if places.len() > MOST_TOLD {
            numbers.push("…".into());
        }
        ui.colored_label(seen.theme.warning, format!("{}: {}", numbers.join(", "), doubt.text()));
    }
    if !found.doubtful.is_empty() {
        note(ui, "Doubtful places are left out. Where several points in a row are, the trace ends and another begins.");
    }
}
