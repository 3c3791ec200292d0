//! What an opening comes to in area, and where its outline leaves the form.

use crate::on_shell::openings::Laid;
use crate::slate::{Seen, note};
use crate::units::Units;
use egui::{RichText, Ui};
use form::openings::Why;

/// Areas of one opening, each side by itself, and what is wrong with it.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, laid: Option<&Laid>, index: usize, units: Units) {
    let Some(one) = laid.and_then(|laid| laid.one(index)) else {
        note(ui, "Its areas are told once the form has a surface.");
        return;
    };
    let holes = match &one.holes {
        Ok(holes) => holes,
        Err(why) => {
            ui.label(RichText::new(format!("No opening: {why}.")).color(seen.theme.error));
            return;
        }
    };
    let Some(first) = holes.first() else { return };
    let areas = &first.areas;
    ui.add_space(4.0);
    let each = if holes.len() > 1 { "Each of both: " } else { "" };
    let (drawn, skin, flow) = (units.area(areas.outline), units.area(areas.surface), units.area(areas.to_flow));
    note(ui, format!("{each}as drawn {drawn}, on the skin {skin}, square to the flow {flow}."));
    for why in first.hole.missed.iter().map(|missed| missed.why).take(1) {
        let what = match why {
            Why::Beyond => "Part of its outline passes the form by. Bring it onto the form, or make it smaller.",
            Why::Fold => "The form hides part of it along the line of sight. Move it, or draw it from elsewhere.",
        };
        ui.label(RichText::new(what).color(seen.theme.warning));
    }
}
