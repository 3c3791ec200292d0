//! The end of the existing fuselage: where, which section, how it is lapped and screwed.

use super::{group, lap, pin, rear, section};
use crate::derived::Derived;
use crate::floor::item::Which;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use crate::view::{Item, ViewState};
use egui::Ui;
use project::airframe::{FuselageEnd, FuselageSection, Lap, LapSide};
use project::edit::Edit;

/// Everything about the fuselage end.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let chosen = [Item::Fuselage, Item::FuselageFurther, Item::Lap, Item::Screws];
    let selected = view.selected.item().is_some_and(|item| chosen.contains(&item.thing()));
    group(ui, seen, "Fuselage end", selected);
    let Some(end) = &seen.document.airframe.fuselage else {
        empty(ui, seen, view, asks);
        return;
    };
    let part = Part { name: "Fuselage end", now: end, units: view.units, edit: &|end| Edit::SetFuselage(Some(end)) };
    part.length(ui, "Station", end.station, asks, |end, x| end.station = x);
    section::of(ui, seen, view, &part, Which::End, asks);
    pin::part(ui, seen, view, &part, asks);
    further(ui, seen, view, &part, asks);
    lap::lap(ui, &part, asks);
    lap::screws(ui, &part, asks);
    heading(ui, "Allowed where they meet");
    part.length(ui, "Gap", end.allowed_gap, asks, |end, mm| end.allowed_gap = mm);
    part.angle(ui, "Break in slope", end.allowed_break_deg, asks, |end, degrees| end.allowed_break_deg = degrees);
    ui.add_space(6.0);
    if ui.button("Remove the fuselage end").clicked() {
        asks.push(Ask::Do(Edit::SetFuselage(None)));
    }
}

fn empty(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    note(ui, "Measure the section where the shell joins the fuselage, and how far aft of the datum it is.");
    ui.horizontal_wrapped(|ui| {
        let tip = if seen.derived.loft().is_some() {
            "Begins with the form's own rear end."
        } else {
            "Begins as an ellipse of 150 mm, 300 mm aft of the datum."
        };
        if ui.button("Add the fuselage end").on_hover_text(tip).clicked() {
            asks.push(Ask::Do(Edit::SetFuselage(Some(begin(seen.derived)))));
        }
        super::points::sources(ui, Which::End, asks);
    });
    super::points::tracing(ui, view, Which::End, asks);
}

/// As wide and high as the form's own rear end, or as a cowling's.
pub(crate) fn begin(derived: &Derived) -> FuselageEnd {
    let station = rear(derived);
    let at_rear = derived.half_box(station);
    let (width, height, centre_height) =
        at_rear.map_or((150.0, 150.0, 0.0), |b| (2.0 * b.breadth, b.crown - b.keel, f64::midpoint(b.crown, b.keel)));
    FuselageEnd {
        station,
        section: FuselageSection::Ellipse { width: width.max(1.0), height: height.max(1.0), centre_height },
        further: None,
        lap: Lap { side: LapSide::Over, length: 15.0, clearance: 0.3 },
        screws: None,
        allowed_gap: 0.5,
        allowed_break_deg: 3.0,
        pinned: None,
    }
}

fn further(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, end: &Part<'_, FuselageEnd>, asks: &mut Vec<Ask>) {
    heading(ui, "Further section");
    let Some((station, _)) = &end.now.further else {
        note(ui, "A second section, 20 to 50 mm further aft, tells the slope with which the form must meet it.");
        end.button(ui, "Add a further section", "Begins as a copy 30 mm further aft.", asks, |end| {
            end.further = Some((end.station + 30.0, end.section.clone()));
        });
        return;
    };
    let named = Part { name: "Further section", now: end.now, units: end.units, edit: end.edit };
    named.length(ui, "Station", *station, asks, |end, x| {
        if let Some(further) = &mut end.further {
            further.0 = x;
        }
    });
    section::of(ui, seen, view, end, Which::Further, asks);
    end.button(ui, "Remove the further section", "The slope is not compared any more.", asks, |end| {
        end.further = None;
    });
}
