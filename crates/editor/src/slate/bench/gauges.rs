//! Widths and heights the form must keep.

use super::{group, one_of_several, thrust_line::fine};
use crate::slate::field::reading;
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, note};
use crate::view::{Item, ViewState};
use egui::{RichText, Ui};
use project::airframe::{Gauge, GaugeMeasure, GaugeRule};
use project::edit::Edit;

/// All gauges.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    let selected = view.selected.item();
    group(ui, seen, "Gauges", matches!(selected, Some(Item::Gauge(_))));
    let all = &seen.document.airframe.gauges;
    if all.is_empty() {
        note(ui, "A width or height the form must keep somewhere, such as where the landing gear passes.");
    }
    for (index, gauge) in all.iter().enumerate() {
        let title = format!("{}. {} at {}", index + 1, gauge.name, view.units.length(gauge.station));
        one_of_several(ui, ("gauge", index), &title, selected == Some(Item::Gauge(index)), |ui| {
            one(ui, seen, view, index, gauge, asks);
        });
    }
    if ui.button("Add a gauge").on_hover_text("Begins as the width the form has in its middle.").clicked() {
        asks.push(Ask::Do(Edit::AddGauge(begin(seen))));
    }
}

/// The width that the form has in its middle.
fn begin(seen: &Seen<'_>) -> Gauge {
    let (front, rear) = seen.derived.loft().map_or((0.0, 300.0), geometry::loft::Loft::x_range);
    let station = f64::midpoint(front, rear).round();
    let half_box = seen.derived.half_box(station);
    let (height, width) = half_box.map_or((0.0, 120.0), |b| (b.height.round(), (2.0 * b.breadth).round().max(1.0)));
    Gauge {
        name: format!("Gauge {}", seen.document.airframe.gauges.len() + 1),
        station,
        measure: GaugeMeasure::WidthAt { height },
        rule: GaugeRule::AtLeast,
        value: width,
        tolerance: 0.5,
    }
}

fn one(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, index: usize, gauge: &Gauge, asks: &mut Vec<Ask>) {
    let name = format!("Gauge {}", index + 1);
    let edit = |with| Edit::ReplaceGauge { index, with };
    let part = Part { name: &name, now: gauge, units: view.units, edit: &edit };
    part.text(ui, "Name", &gauge.name, asks, |gauge, name| gauge.name = name);
    part.length(ui, "Station", gauge.station, asks, |gauge, x| gauge.station = x);
    let wide = matches!(gauge.measure, GaugeMeasure::WidthAt { .. });
    let there = seen.derived.half_box(gauge.station);
    part.choice(ui, "Measures", &[("width", true), ("height", false)], wide, asks, |gauge, wide| {
        // Begins with what the form has there.
        (gauge.measure, gauge.value) = match (wide, there) {
            (true, Some(b)) => (GaugeMeasure::WidthAt { height: b.height.round() }, (2.0 * b.breadth).round().max(1.0)),
            (true, None) => (GaugeMeasure::WidthAt { height: 0.0 }, gauge.value),
            (false, Some(b)) => (GaugeMeasure::HeightAt { half_breadth: 0.0 }, (b.crown - b.keel).round().max(1.0)),
            (false, None) => (GaugeMeasure::HeightAt { half_breadth: 0.0 }, gauge.value),
        };
    });
    match gauge.measure {
        GaugeMeasure::WidthAt { height } => part.length(ui, "At height", height, asks, |gauge, height| {
            gauge.measure = GaugeMeasure::WidthAt { height };
        }),
        GaugeMeasure::HeightAt { half_breadth } => {
            part.length(ui, "At half-breadth", half_breadth, asks, |gauge, half_breadth| {
                gauge.measure = GaugeMeasure::HeightAt { half_breadth };
            });
        }
    }
    let rules = [("at least", GaugeRule::AtLeast), ("at most", GaugeRule::AtMost), ("exactly", GaugeRule::Exactly)];
    part.choice(ui, "Must be", &rules, gauge.rule, asks, |gauge, rule| gauge.rule = rule);
    part.length(ui, if wide { "Width" } else { "Height" }, gauge.value, asks, |gauge, mm| gauge.value = mm);
    part.length(ui, "Tolerance", gauge.tolerance, asks, |gauge, mm| gauge.tolerance = mm);
    measured(ui, seen, view, index, gauge);
    if ui.button("Remove it").accessible_name(format!("Remove {}", name.to_lowercase())).clicked() {
        asks.push(Ask::Do(Edit::RemoveGauge { index }));
    }
}

fn measured(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, index: usize, gauge: &Gauge) {
    let Some(Some(value)) = seen.measures.gauges.get(index).copied() else {
        note(ui, "The form does not reach this gauge yet.");
        return;
    };
    reading(ui, "The form has", fine(value, view.units));
    let missing = fit::gauges::missing(gauge, value);
    let (text, colour) = if missing == 0.0 {
        ("it fits".to_owned(), seen.theme.good)
    } else {
        let way = if missing > 0.0 { "too little" } else { "too much" };
        (format!("{} {way}", fine(missing.abs(), view.units)), seen.theme.warning)
    };
    ui.label(RichText::new(text).color(colour));
}
