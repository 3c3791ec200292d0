//! The slits of the chosen ply.

use super::{Page, leads};
use crate::slate::{Ask, heading, note};
use crate::view::ViewState;
use desk::shell::cloth::Slit;
use egui::{RichText, Ui};

pub(super) fn part(ui: &mut Ui, page: &Page<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    heading(ui, "Slits");
    page.shell.tick(ui, "Slit where one piece folds", page.shell.now.draping.slits, asks, |shell, slits| {
        shell.draping.slits = slits;
    });
    let tip = "Edges lie over one another by so much: at slits, gores and where the cloth meets itself.";
    super::tipped(ui, tip, |ui| {
        page.shell.length(ui, "Overlap", page.shell.now.draping.overlap, asks, |shell, mm| shell.draping.overlap = mm);
    });
    let Some((ply, lies)) = page.mended() else { return };
    if ply.slits.is_empty() {
        note(ui, if ply.one_piece() { "None are needed." } else { "There are none." });
        return;
    }
    for (k, slit) in ply.slits.iter().enumerate() {
        one(ui, page, view, k, slit);
    }
    if lies.judgement.one_piece() {
        let text = format!(
            "Draped again with {}: greatest shear {:.1}°, nothing past locking.",
            ply.slits_in_words(),
            lies.judgement.greatest_deg.abs()
        );
        note(ui, text);
    }
}

fn one(ui: &mut Ui, page: &Page<'_>, view: &mut ViewState, k: usize, slit: &Slit) {
    let units = page.units;
    let length = units.length(slit.length);
    let title = RichText::new(format!("{}. {length} long, from {}", k + 1, page.place(&slit.tip))).underline();
    leads(ui, view, title, &slit.tip);
    let mut text = if slit.lap >= 0.0 {
        let mut text = format!("Its edges lie over one another by {} at the mouth.", units.length(slit.overlap));
        if slit.lap > slit.overlap {
            text = format!("{text} Cut off what is more ({} uncut).", units.length(slit.lap));
        }
        text
    } else {
        let gore = slit.gore.map_or_else(String::new, |[long, wide]| {
            format!(", {} long and {} wide with its overlap", units.length(long), units.length(wide))
        });
        format!("Its edges part by {} at the mouth: set a gore in{gore}.", units.length(-slit.lap))
    };
    if slit.strip > 0.0 && slit.gore.is_none() {
        text = format!("{text} Lay a strip under it, {} long.", units.length(slit.strip));
    }
    note(ui, text);
}
