//! The trace that is selected: what it is of, and how it is taken apart or gone on with.

use crate::commands::Command;
use crate::light_table::marks::{OnPicture, trace_name};
use crate::light_table::tracing::asks::TraceAsk;
use crate::light_table::tracing::edits::{self, Cut};
use crate::slate::sight::OnTable;
use crate::slate::{Ask, Seen, command_button, field, heading, note};
use crate::view::{Selected, ViewState};
use egui::{Align, ComboBox, Id, Response, Ui};
use project::edit::Edit;
use project::photograph::{Trace, Traced};

/// The trace, and its point if one is selected.
pub(super) struct Chosen<'a> {
    pub(super) on: &'a OnTable<'a>,
    pub(super) trace: usize,
    pub(super) point: Option<usize>,
    pub(super) there: &'a Trace,
}

impl Chosen<'_> {
    fn edit(&self, of: Traced) -> Edit {
        let with = Trace { of, points: self.there.points.clone() };
        Edit::ReplaceTrace { picture: self.on.index, index: self.trace, with }
    }
}

/// What it is, and what can be done with it by hand.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, chosen: &Chosen<'_>, asks: &mut Vec<Ask>) {
    let count = chosen.there.points.len();
    let point = chosen.point.map_or(String::new(), |point| format!(", point {} of {count}", point + 1));
    let title = ui.scope(|ui| heading(ui, &format!("{}{point}", trace_name(chosen.there)))).response;
    come_into_view(ui, chosen, &title);
    kind(ui, seen, view, chosen, asks);
    if let Some(point) = chosen.point {
        at_point(ui, chosen, point, asks);
    } else {
        ui.horizontal_wrapped(|ui| {
            command_button(ui, Command::GoOnTracing, asks);
            if ui
                .button("Remove")
                .on_hover_text("Removes the whole trace.")
                .accessible_name("Remove the trace")
                .clicked()
            {
                asks.push(Ask::Command(Command::Delete));
            }
        });
        let key = ui.ctx().format_modifiers(egui::Modifiers::COMMAND);
        note(
            ui,
            format!("{key}+click or double-click on its line adds a point; drag points, or select one to split there."),
        );
    }
}

/// A trace that was just selected comes to the top, wherever the page was; a point of it stays where it is seen.
fn come_into_view(ui: &Ui, chosen: &Chosen<'_>, title: &Response) {
    let now = (chosen.on.index, chosen.trace);
    let id = Id::unique("the trace that the slate shows");
    let last = ui.data_mut(|d| {
        let last = d.get_temp::<(usize, usize)>(id);
        d.insert_temp(id, now);
        last
    });
    if last != Some(now) {
        title.scroll_to_me(Some(Align::TOP));
    }
}

fn kind(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, chosen: &Chosen<'_>, asks: &mut Vec<Ask>) {
    let of = chosen.there.of;
    let seam = matches!(of, Traced::Seam { .. });
    ui.horizontal(|ui| {
        ui.label("It is");
        let outline = ui.selectable_label(!seam, "an outline").on_hover_text("The form against what is behind it.");
        if outline.clicked() && seam {
            asks.push(Ask::Do(chosen.edit(Traced::Outline)));
        }
        let tip = "A panel line or edge of paint that runs round the form at one station.";
        if ui.selectable_label(seam, "a seam").on_hover_text(tip).clicked() && !seam {
            let station = middle(seen);
            asks.push(Ask::Do(chosen.edit(Traced::Seam { station })));
        }
    });
    if let Traced::Seam { station } = of {
        field::length(ui, "Station", "Station of the seam", station, view.units, asks, |station| {
            chosen.edit(Traced::Seam { station })
        });
        stations(ui, seen, view, "Station of the seam, from the form", station, |station| {
            asks.push(Ask::Do(chosen.edit(Traced::Seam { station })));
        });
    }
}

/// A station to begin with.
fn middle(seen: &Seen<'_>) -> f64 {
    let sections = &seen.form.sections;
    sections.get(sections.len() / 2).map_or(0.0, |s| s.station)
}

/// The stations that the form has, to choose from.
pub(super) fn stations(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    name: &str,
    now: f64,
    mut choose: impl FnMut(f64),
) {
    let sections = seen.form.sections.iter().map(|s| ("control section", s.station));
    let stations = seen.form.stations.iter().map(|x| ("station", *x));
    let rear = seen.document.airframe.fuselage.iter().map(|end| ("fuselage end", end.station));
    let mut all: Vec<(&str, f64)> = sections.chain(rear).chain(stations).collect();
    if all.is_empty() {
        return;
    }
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    let text = |(what, x): &(&str, f64)| format!("{what} at {}", view.units.length(*x));
    let same = all.iter().find(|(_, x)| (x - now).abs() < 0.005);
    ui.horizontal(|ui| {
        ui.label("or the");
        let combo = ComboBox::from_id_salt(name)
            .width(196.0)
            .truncate()
            .selected_text(same.map_or("place of the form…".into(), text));
        let shown = combo.show_ui(ui, |ui| {
            for place in &all {
                if ui.selectable_label(same == Some(place), text(place)).clicked() {
                    choose(place.1);
                }
            }
        });
        shown.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, name));
    });
}

fn at_point(ui: &mut Ui, chosen: &Chosen<'_>, point: usize, asks: &mut Vec<Ask>) {
    let cut = |ui: &mut Ui, asks: &mut Vec<Ask>, label: &str, tip: &str, cut: Cut| {
        let can = edits::can_split(chosen.there, point, cut);
        let none = "There has to be a trace left on either side.";
        let button = ui.add_enabled(can, egui::Button::new(label)).on_hover_text(tip).on_disabled_hover_text(none);
        if button.clicked() {
            asks.push(Ask::Trace(TraceAsk::Split { point, cut }));
        }
    };
    ui.horizontal_wrapped(|ui| {
        cut(ui, asks, "Split here", "Two traces, which both keep this point.", Cut::AtPoint);
        let tip = "Two traces. Use it where an exhaust, a propeller or a hand covers the edge.";
        cut(ui, asks, "Leave out to the next point", tip, Cut::AfterPoint);
        if ui.button("Remove").on_hover_text("Removes this point alone.").accessible_name("Remove the point").clicked()
        {
            asks.push(Ask::Command(Command::Delete));
        }
        let whole = Selected::OnPicture { picture: chosen.on.index, what: OnPicture::Trace(chosen.trace) };
        if ui.button("Whole trace").on_hover_text("Selects the whole trace.").clicked() {
            asks.push(Ask::Select(whole));
        }
    });
}
