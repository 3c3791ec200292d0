//! Shaft, spinner and ring, with what follows from them beside the numbers.

use super::{group, rear};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use crate::view::{Item, ViewState};
use egui::Ui;
use fit::thrust::{self, gap_difference, shaft};
use project::airframe::{Ring, Spinner, ThrustLine};
use project::edit::Edit;

/// Everything about the thrust line.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let chosen = [Item::Firewall, Item::Hub, Item::Spinner, Item::Ring];
    group(ui, seen, "Thrust line", view.selected.item().is_some_and(|item| chosen.contains(&item.thing())));
    let Some(line) = &seen.document.airframe.thrust else {
        note(ui, "Measure the firewall's station, how far ahead of it the hub sits, and down- and side-thrust.");
        if ui.button("Add the thrust line").on_hover_text("Begins on the form's axis, with its hub ahead.").clicked() {
            asks.push(Ask::Do(Edit::SetThrust(Some(begin(seen)))));
        }
        return;
    };
    let part = Part { name: "Thrust line", now: line, units: view.units, edit: &|line| Edit::SetThrust(Some(line)) };
    part.length(ui, "Firewall", line.firewall, asks, |line, x| line.firewall = x);
    part.length(ui, "Firewall to hub", line.hub_distance, asks, |line, mm| line.hub_distance = mm);
    part.length(ui, "Hub height", line.hub_height, asks, |line, z| line.hub_height = z);
    part.angle(ui, "Down-thrust", line.down_thrust_deg, asks, |line, degrees| line.down_thrust_deg = degrees);
    part.angle(ui, "Side-thrust", line.side_thrust_deg, asks, |line, degrees| line.side_thrust_deg = degrees);
    note(ui, "Side-thrust is to starboard at the front; negative is to port.");
    mount(ui, line, view.units);
    heading(ui, "Spinner");
    part.length(ui, "Spinner diameter", line.spinner.diameter, asks, |line, mm| line.spinner.diameter = mm);
    part.length(ui, "Gap to the ring", line.spinner.gap, asks, |line, mm| line.spinner.gap = mm);
    ring(ui, seen, &part, asks);
    ui.add_space(6.0);
    if ui.button("Remove the thrust line").clicked() {
        asks.push(Ask::Do(Edit::SetThrust(None)));
    }
}

/// Square to the datum, at the height of the form's middle, its hub just ahead of the form.
fn begin(seen: &Seen<'_>) -> ThrustLine {
    let front = seen.derived.loft().map_or(0.0, |loft| loft.x_range().0);
    let at_front = seen.derived.half_box(front);
    let (diameter, hub_height) =
        at_front.map_or((70.0, 0.0), |b| ((2.0 * b.breadth).max(20.0), f64::midpoint(b.crown, b.keel)));
    let (gap, thickness) = (2.0, 3.0);
    ThrustLine {
        firewall: rear(seen.derived),
        hub_distance: rear(seen.derived) - front + gap + thickness,
        hub_height,
        down_thrust_deg: 0.0,
        side_thrust_deg: 0.0,
        spinner: Spinner { diameter, gap },
        ring: Ring { thickness, step: 0.0, square_to_thrust: true },
    }
}

/// Where the mount goes so that the hub ends up on the centre plane.
fn mount(ui: &mut Ui, line: &ThrustLine, units: Units) {
    let shaft = shaft(line);
    let [starboard, up] = shaft.mount_offset();
    heading(ui, "It follows");
    reading(ui, "Spinner centre", format!("station {}", units.length(shaft.hub[0])));
    reading(ui, "Its height", units.height(shaft.hub[2]));
    reading(ui, "Mount to", sideways(starboard, ["starboard", "port"], units));
    reading(ui, "Mount", sideways(up, ["up", "down"], units));
    reading(ui, "Shaft to datum", format!("{:.2}°", shaft.total_deg));
    note(ui, "The mount is shifted on the firewall by this much, so that the hub lies on the centre plane.");
}

fn sideways(mm: f64, [one, other]: [&str; 2], units: Units) -> String {
    let way = if mm >= 0.0 { one } else { other };
    if mm.abs() < 5e-3 { "not shifted".into() } else { format!("{} {way}", fine(mm.abs(), units)) }
}

/// A length to a hundredth of a millimetre, or a thousandth of an inch.
pub(super) fn fine(mm: f64, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{mm:.2} mm"),
        Units::Inch => units.length(mm),
    }
}

fn ring(ui: &mut Ui, seen: &Seen<'_>, part: &Part<'_, ThrustLine>, asks: &mut Vec<Ask>) {
    let (line, units) = (part.now, part.units);
    heading(ui, "Ring");
    part.length(ui, "Ring thickness", line.ring.thickness, asks, |line, mm| line.ring.thickness = mm);
    part.length(ui, "Ring step inward", line.ring.step, asks, |line, mm| line.ring.step = mm);
    let stands = [("square to the thrust line", true), ("square to the datum", false)];
    part.choice(ui, "The ring stands", &stands, line.ring.square_to_thrust, asks, |line, square| {
        line.ring.square_to_thrust = square;
    });
    reading(ui, "Ring diameter", fine(thrust::ring(line).diameter, units));
    reading(ui, "Gap differs by", fine(gap_difference(line), units));
    note(ui, "That is the difference in gap across the spinner if the ring is left square to the datum.");
    let Some((front, _)) = seen.measures.ends else {
        note(ui, "The wedge between ring and form is told at four clock points once the form has a surface.");
        return;
    };
    let wedge = thrust::wedge(&thrust::ring(line), front);
    heading(ui, "Wedge behind the ring");
    note(ui, "By the clock, looking aft.");
    for (clock, mm) in ["At 12, top", "At 3, port", "At 6, bottom", "At 9, starboard"].into_iter().zip(wedge.clock) {
        reading(ui, clock, fine(mm, units));
    }
    note(ui, "Foam or packing between the form's front and the ring; negative is trimmed off the form.");
    if let Some(meeting) = seen.measures.ring {
        let way = if meeting.proud >= 0.0 { "proud of it" } else { "inside it" };
        reading(ui, "The form stands", format!("{} {way}", fine(meeting.proud.abs(), units)));
    }
}
