//! Outside templates to sand by, and widths that were measured after sanding.

use super::{cross, hundredths};
use crate::slate::part::Part;
use crate::slate::{Ask, Seen, heading, note};
use egui::{RichText, Ui};
use project::build::{Build, MeasuredWidth};

/// Templates and measured widths.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, build: &Part<'_, Build>, asks: &mut Vec<Ask>) {
    let sanding = &build.now.sanding;
    build.tick(ui, "Templates for crown and keel", sanding.lines, asks, |build, lines| build.sanding.lines = lines);
    build.length(ui, "Template beyond plug", sanding.land, asks, |build, mm| build.sanding.land = mm);
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
    for (index, row) in rows.iter().enumerate() {
        one(ui, build, index, *row, asks);
        let deviation = seen.measures.plan.gauges.deviations.get(index).filter(|d| d.measured == *row);
        if let Some(over) = deviation.and_then(plug::Deviation::over) {
            let off = over.abs() > plug::ALLOWED_DEVIATION;
            let colour = if off { seen.theme.warning } else { seen.theme.good };
            let way = if over >= 0.0 { "left to sand" } else { "sanded too far" };
            let text = format!("{} {} {way}", hundredths(over.abs(), build.units), build.units.sign());
            ui.label(RichText::new(text).color(colour));
        }
    }
    build.button(ui, "Add a measured width", "Station, height and width, as the calipers say.", asks, |build| {
        build.sanding.measured.push(MeasuredWidth { station: middle, height: 0.0, width: 100.0 });
    });
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
    build.length(ui, &label("station"), row.station, asks, set(|row, mm| row.station = mm));
    build.length(ui, &label("height"), row.height, asks, set(|row, mm| row.height = mm));
    ui.horizontal(|ui| {
        build.length(ui, &label("width"), row.width, asks, set(|row, mm| row.width = mm));
        if cross(ui, &format!("Remove measured width {}", index + 1)) {
            let mut next = build.now.clone();
            next.sanding.measured.remove(index);
            asks.push(Ask::Do((build.edit)(next)));
        }
    });
}
