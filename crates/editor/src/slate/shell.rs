//! The shell over the plug: openings, added forms, laminate, cloth, release, weights.

mod added;
mod cloth;
mod laminate;
mod openings;
mod release;
#[cfg(test)]
mod tests;
mod weights;

use super::{Ask, Seen};
use crate::on_shell::ShellPage;
use crate::view::ViewState;
use egui::Ui;

/// The page that is chosen, under the row of all.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        // Close together, so that all stand in two rows above the page.
        ui.spacing_mut().item_spacing = egui::vec2(2.0, 2.0);
        ui.spacing_mut().button_padding.x = 7.0;
        for page in ShellPage::ALL {
            let name = format!("Shell: {}", page.label());
            if ui.selectable_label(view.shell == page, page.label()).accessible_name(name).clicked() {
                view.shell = page;
            }
        }
    });
    match view.shell {
        ShellPage::Openings => openings::page(ui, seen, view, asks),
        ShellPage::Added => added::page(ui, seen, view, asks),
        ShellPage::Laminate => laminate::page(ui, seen, view, asks),
        ShellPage::Cloth => cloth::page(ui, seen, view, asks),
        ShellPage::Release => release::page(ui, seen, view, asks),
        ShellPage::Weights => weights::page(ui, seen, view, asks),
    }
}
