//! What lies on the bench already and the form must fit: fuselage end, thrust line, keep-outs, gauges, the way off.

mod fuselage;
mod gauges;
mod keep_outs;
mod lap;
mod paste;
mod pin;
mod points;
mod remove;
mod section;
#[cfg(test)]
mod tests;
mod thrust_line;

use super::several::{come_into_view, group, notice, one_of_several};
use super::{Ask, Seen, note};
use crate::app::App;
use crate::derived::Derived;
use crate::floor::item::Which;
use crate::floor::trace;
use crate::view::{Item, ViewState};
use egui::{Id, RichText, Ui};
use project::airframe::DrawOff;
use project::edit::Edit;

pub(crate) use fuselage::begin as begin_fuselage;
pub(crate) use paste::read_file;
pub(crate) use remove::removed;

/// What the page asks for beyond edits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BenchAsk {
    /// Points of a section from a file.
    ReadPoints(Which),
    /// A section traced on a picture.
    Trace(Which),
    /// What is traced becomes the section.
    EndTrace,
    /// The last point of the trace goes.
    TakeBack,
    /// The trace is dropped.
    DropTrace,
}

/// Does what the page asked for.
pub(crate) fn act(app: &mut App, ctx: &egui::Context, ask: BenchAsk) {
    match ask {
        BenchAsk::ReadPoints(which) => paste::ask_file(app, ctx, which),
        BenchAsk::Trace(which) => trace::begin(app, which),
        BenchAsk::EndTrace => trace::finish(app),
        BenchAsk::TakeBack => trace::take_back(app),
        BenchAsk::DropTrace => trace::cancel(app),
    }
}

/// The section that is meant where none is named: the one that is selected, or the fuselage's end.
pub(crate) fn meant(view: &ViewState) -> Which {
    view.selected.item().and_then(Item::section).unwrap_or(Which::End)
}

/// The page.
pub(super) fn page(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    notice(ui, view.selected.item().map(Id::unique));
    ui.add_space(4.0);
    note(ui, "What is there already and cannot be changed. The form is held against it while it is drawn.");
    fuselage::part(ui, seen, view, asks);
    thrust_line::part(ui, seen, view, asks);
    keep_outs::part(ui, seen, view, asks);
    gauges::part(ui, seen, view, asks);
    way_off(ui, seen, view, asks);
}

/// Whether the section of a form at a station follows the fuselage end.
pub(super) fn follows(seen: &Seen<'_>, form: usize, station: f64) -> bool {
    let end = seen.document.airframe.fuselage.as_ref();
    end.is_some_and(|end| end.station == station && end.pinned.is_some_and(|pin| pin.form == form))
}

/// How far from the datum something new is put: to the rear end of the form, or where a cowling would end.
fn rear(derived: &Derived) -> f64 {
    derived.loft().map_or(300.0, |loft| loft.x_range().1)
}

fn way_off(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    group(ui, seen, "Way on and off", view.selected.item() == Some(Item::WayOff));
    note(ui, "The shell is drawn off forward, and comes on the same way.");
    let now = seen.document.airframe.draw_off;
    ui.horizontal_wrapped(|ui| {
        for (label, way) in [("along the thrust line", DrawOff::ThrustLine), ("along the datum", DrawOff::Datum)] {
            if ui.selectable_label(now == way, label).clicked() && now != way {
                asks.push(Ask::Do(Edit::SetDrawOff(way)));
            }
        }
    });
    if seen.document.airframe.thrust.is_none() && now == DrawOff::ThrustLine {
        note(ui, "Until there is a thrust line, the datum serves.");
    }
    match &seen.measures.in_the_way {
        None => note(ui, "Whether it comes off is told once the form has a surface."),
        Some(hits) if hits.is_empty() => {
            ui.label(RichText::new("It comes off freely.").color(seen.theme.good));
        }
        Some(hits) => hits.iter().for_each(|hit| {
            ui.label(RichText::new(&hit.what).color(seen.theme.warning));
            note(ui, &hit.hint);
        }),
    }
}
