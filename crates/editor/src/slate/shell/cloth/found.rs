//! The search for the best start and direction, and what it found, side by side.

use super::{Page, ask, bar};
use crate::on_shell::cloth::ClothAsk;
use crate::slate::{Ask, note};
use desk::shell::cloth::{Proposal, resolved_start};
use egui::{Grid, RichText, Ui};

pub(super) fn part(ui: &mut Ui, page: &Page<'_>, asks: &mut Vec<Ask>) {
    ui.add_space(4.0);
    match page.cloth.searching() {
        Some(share) => bar(ui, "seeking", share, "Stop the search", ask(ClothAsk::StopSearch), asks),
        None => {
            let tip = "Drapes the first ply some 400 times, from many starts and at many angles. Nothing changes until you take one.";
            if ui.button("Find the best start and direction").on_hover_text(tip).clicked() {
                asks.push(ask(ClothAsk::Search));
            }
        }
    }
    if let Some((found, fresh)) = page.cloth.found() {
        list(ui, page, found, fresh, asks);
    }
}

fn list(ui: &mut Ui, page: &Page<'_>, found: &[Proposal], fresh: bool, asks: &mut Vec<Ask>) {
    if found.is_empty() {
        note(ui, "Nothing was found: no yarn can begin on this form.");
    }
    Grid::new("the best ways to lay cloth").num_columns(5).spacing([8.0, 3.0]).striped(true).show(ui, |ui| {
        for text in ["", "start", "warp", "shear", "past locking"] {
            note(ui, text);
        }
        ui.end_row();
        for (index, proposal) in found.iter().enumerate() {
            row(ui, page, index, proposal, fresh, asks);
        }
    });
    note(
        ui,
        if fresh {
            "The best first. A click takes one, all plies turn with it; Undo takes it back."
        } else {
            "Found before the form or the cloth changed: seek again to be sure."
        },
    );
    if ui.small_button("Clear the list").on_hover_text("Forgets what was found.").clicked() {
        asks.push(ask(ClothAsk::Forget));
    }
}

fn row(ui: &mut Ui, page: &Page<'_>, index: usize, proposal: &Proposal, fresh: bool, asks: &mut Vec<Ask>) {
    let weak = page.seen.theme.weak;
    let text = |text: String| if fresh { RichText::new(text) } else { RichText::new(text).color(weak) };
    let name = format!("Take way {}", index + 1);
    let button = ui.selectable_label(is_taken(page, proposal), text(format!("{}.", index + 1)));
    if button.on_hover_text(format!("{}.", proposal.label)).accessible_name(name).clicked() {
        asks.push(ask(ClothAsk::Take(index)));
    }
    let where_ = match proposal.start[1] {
        turn if turn.abs() < 1e-6 => "crown".to_owned(),
        turn if (turn - 0.5).abs() < 1e-6 => "keel".to_owned(),
        turn => format!("{:.0}°", 360.0 * turn),
    };
    ui.label(text(format!("{}, {where_}", page.units.number(proposal.start[0]))));
    ui.label(text(format!("{:.0}°", proposal.warp_deg + 0.0)));
    ui.label(text(format!("{:.1}°", proposal.judgement.greatest_deg.abs())));
    let locked = &proposal.judgement;
    let past = if locked.locked + locked.missed == 0.0 {
        "none".into()
    } else {
        page.units.area(locked.locked + locked.missed)
    };
    ui.label(text(past));
    ui.end_row();
}

/// Whether the document is as the proposal says.
fn is_taken(page: &Page<'_>, proposal: &Proposal) -> bool {
    let Some(surface) = page.cloth.surface() else { return false };
    let at = resolved_start(surface, &page.shell.now.draping);
    let warp = page.cloth.plies().first().map(|ply| ply.warp_deg);
    let turned = |deg: f64| (deg - proposal.warp_deg).rem_euclid(180.0);
    let close = |d: f64| !(1e-6..=180.0 - 1e-6).contains(&d);
    at == proposal.start && warp.is_none_or(|deg| close(turned(deg)))
}
