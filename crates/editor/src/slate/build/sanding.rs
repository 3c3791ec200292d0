//! Outside templates to sand by, and widths that were measured after sanding.

use super::cross;
use crate::slate::part::{CELL, Part};
use crate::slate::{Ask, Seen, heading, note};
use desk::sanded::Verdict;
use egui::{RichText, Ui};
use plug::Deviation;
use project::build::{Build, MeasuredWidth};

/// Templates and measured widths.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let sanding = &build.now.sanding;
    build.tick(ui, "Templates for crown and keel", sanding.lines, asks, |build, lines| build.sanding.lines = lines);
    build.explained(
        ui,
        ("Beyond the plug", "How wide an outside template is at its narrowest."),
        sanding.land,
        asks,
        |build, mm| build.sanding.land = mm,
    );
    heading(ui, "Outside templates at stations");
    if sanding.stations.is_empty() {
        note(ui, "None yet. Each is the negative of the plug, left and right, and stands up on the bench.");
    }
    for (index, x) in sanding.stations.iter().enumerate() {
        ui.horizontal(|ui| {
            build.length(ui, &format!("Template {}", index + 1), *x, asks, |build, x| {
                if let Some(station) = build.sanding.stations.get_mut(index) {
                    *station = x;
                }
            });
            if cross(ui, &format!("Remove template {}", index + 1)) {
                let mut next = build.now.clone();
                next.sanding.stations.remove(index);
                asks.push(Ask::Do((build.edit)(next)));
            }
        });
    }
    let middle = seen.measures.ends.map_or(100.0, |(front, rear)| f64::midpoint(front, rear).round());
    ui.horizontal_wrapped(|ui| {
        build.button(ui, "Add a template", "Halfway along the form, to be moved.", asks, |build| {
            let last = build.sanding.stations.last().copied();
            build.sanding.stations.push(last.map_or(middle, |x| x + 20.0));
        });
        let stations = &seen.form.stations;
        build.button(ui, "At every station", "One for each station of the form that is shown.", asks, |build| {
            build.sanding.stations.clone_from(stations);
        });
    });
    measured(ui, seen, build, middle, asks);
}

/// Widths taken with calipers, and by how much they miss the plug.
fn measured(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, middle: f64, asks: &mut Vec<Ask>) {
    heading(ui, "Measured after sanding");
    let rows = &build.now.sanding.measured;
    if rows.is_empty() {
        note(ui, "Type in what the calipers say, and see what is left to sand.");
    }
    if !rows.is_empty() {
        let sign = build.units.sign();
        ui.horizontal(|ui| {
            for what in ["station", "height", "width"] {
                ui.add_sized([CELL, 16.0], egui::Label::new(RichText::new(format!("{what}, {sign}")).small().weak()));
            }
        });
    }
    for (index, row) in rows.iter().enumerate() {
        one(ui, build, index, *row, asks);
        let deviation = seen.planned.plan.gauges.deviations.get(index).filter(|d| d.measured == *row);
        ui.horizontal(|ui| verdict(ui, seen, build, deviation));
    }
    build.button(ui, "Add a measured width", "Station, height and width, as the calipers say.", asks, |build| {
        build.sanding.measured.push(MeasuredWidth { station: middle, height: 0.0, width: 100.0 });
    });
}

/// What is left to sand there, as soon as it is known.
fn verdict(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, deviation: Option<&Deviation>) {
    let Some(deviation) = deviation else {
        note(ui, "not compared yet");
        return;
    };
    match deviation.over().zip(Verdict::of(deviation)) {
        Some((over, verdict)) => {
            let sign = if over > 0.0 { "+" } else { "" };
            let text = format!("{sign}{} {}: {}", build.units.fine(over), build.units.sign(), verdict.label());
            ui.label(RichText::new(text).small().color(seen.theme.verdict(verdict)));
        }
        None => note(ui, "The plug has no width there: check station and height."),
    }
}

fn one(ui: &mut Ui, build: &Part<'_, Build>, index: usize, row: MeasuredWidth, asks: &mut Vec<Ask>) {
    let set = |change: fn(&mut MeasuredWidth, f64)| {
        move |build: &mut Build, mm: f64| {
            if let Some(row) = build.sanding.measured.get_mut(index) {
                change(row, mm);
            }
        }
    };
    let label = |what: &str| format!("{}: {what}", index + 1);
    ui.horizontal(|ui| {
        build.cell(ui, &label("station"), row.station, asks, set(|row, mm| row.station = mm));
        build.cell(ui, &label("height"), row.height, asks, set(|row, mm| row.height = mm));
        build.cell(ui, &label("width"), row.width, asks, set(|row, mm| row.width = mm));
        if cross(ui, &format!("Remove measured width {}", index + 1)) {
            let mut next = build.now.clone();
            next.sanding.measured.remove(index);
            asks.push(Ask::Do((build.edit)(next)));
        }
    });
}
