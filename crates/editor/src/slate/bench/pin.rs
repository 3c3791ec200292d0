//! A control section of the form that follows the fuselage's section.

use super::thrust_line::fine;
use crate::floor::scene::letter;
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::{Selected, ViewState};
use egui::Ui;
use project::airframe::{FuselageEnd, LapSide, Pin};

/// Whether a section follows, which one, and how far out.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    heading(ui, "The form here");
    let Some(pin) = end.now.pinned else {
        note(ui, "Pinned, the form passes through this section exactly and follows whatever becomes of it.");
        let tip = "A control section at this station takes the fuselage's section; the four lines are locked there.";
        let form = view.form;
        end.button(ui, "Pin a section to it", tip, asks, |end| end.pinned = Some(Pin { form, proud: 0.0 }));
        return;
    };
    let form = seen.document.forms.get(pin.form);
    let at = form.and_then(|form| form.sections.iter().position(|s| s.station == end.now.station));
    if let (Some(form), Some(at)) = (form, at) {
        let of = if seen.document.forms.len() > 1 { format!(" of {}", form.name) } else { String::new() };
        reading(ui, "Follows it", format!("section {}{of}", letter(at)));
    }
    let wrap = |pin| (end.edit)(FuselageEnd { pinned: Some(pin), ..end.now.clone() });
    let part = Part { name: "Pinned section", now: &pin, units: end.units, edit: &wrap };
    part.length(ui, "Stands proud by", pin.proud, asks, |pin, mm| pin.proud = mm);
    let wall = fit::wall(&seen.document.build);
    let wanted = wall + end.now.lap.clearance;
    if end.now.lap.side == LapSide::Over && (pin.proud - wanted).abs() > 5e-3 {
        let text = format!("Let it stand {} proud", fine(wanted, end.units));
        let tip = "The shell's thickness and the clearance: then its inside clears the fuselage all round.";
        part.button(ui, &text, tip, asks, |pin| pin.proud = wanted);
    }
    ui.horizontal_wrapped(|ui| {
        if let Some(at) = at.filter(|_| pin.form == view.form)
            && ui.button("Show the section").clicked()
        {
            asks.push(Ask::Select(Selected::Section(at)));
        }
        let tip = "The section keeps its points and follows no more.";
        end.button(ui, "Let it go", tip, asks, |end| end.pinned = None);
    });
}
