//! Every station before and after, with its band, and what is measured there and what guessed.

use crate::floor::solved::{grade_colour, grade_word};
use crate::light_table::solving::Solving;
use crate::light_table::solving::act::SolvingAsk;
use crate::light_table::solving::found::{Found, NEAR};
use crate::slate::{Ask, Seen, heading, note};
use crate::units::Units;
use crate::view::{Shown, ViewState};
use desk::photographs::StationChange;
use egui::{Grid, RichText, Ui};
use sight::sketch::Function;
use sight::solution::{FunctionTrust, Grade};

/// The table, and under it the station that is looked at.
pub(super) fn part(
    ui: &mut Ui,
    seen: &Seen<'_>,
    view: &ViewState,
    solving: &Solving,
    found: &Found,
    asks: &mut Vec<Ask>,
) {
    heading(ui, "Stations");
    let sign = view.units.sign();
    let looked = looked_at(seen, view, solving);
    let is = |x: f64| looked.is_some_and(|at| (at - x).abs() < NEAR);
    Grid::new("solved stations").num_columns(4).spacing([10.0, 3.0]).striped(true).show(ui, |ui| {
        for text in [format!("aft, {sign}"), format!("change, {sign}"), format!("±, {sign}"), "it is".to_owned()] {
            note(ui, text);
        }
        ui.end_row();
        for station in &found.solved.stations {
            row(ui, seen, view.units, station, is(station.station), asks);
        }
    });
    note(ui, "Change is the largest of a half-breadth. Click a station to see it in the face view.");
    if let Some(station) = found.solved.stations.iter().find(|s| is(s.station)) {
        details(ui, seen, view.units, found, station);
    }
}

/// The station that the face view shows.
fn looked_at(seen: &Seen<'_>, view: &ViewState, solving: &Solving) -> Option<f64> {
    match view.shown {
        Some(Shown::Station(station)) => seen.form.stations.get(station).copied(),
        Some(Shown::Control(section)) => seen.form.sections.get(section).map(|s| s.station),
        None => solving.looks.station,
    }
}

fn row(ui: &mut Ui, seen: &Seen<'_>, units: Units, station: &StationChange, chosen: bool, asks: &mut Vec<Ask>) {
    let x = units.number(station.station);
    let choose = ui.selectable_label(chosen, &x).accessible_name(format!("Look at the solved station {x}"));
    if choose.clicked() {
        asks.push(Ask::Solving(SolvingAsk::Look(station.station)));
    }
    ui.label(units.fine(station.greatest_change()));
    ui.label(units.fine(station.band()));
    grade(ui, seen, Found::grade(station));
    ui.end_row();
}

fn grade(ui: &mut Ui, seen: &Seen<'_>, grade: Grade) {
    let tip = match grade {
        Grade::Measured => "The photographs say it: less than a third of the doubt is left.",
        Grade::Partly => "The photographs say a part of it.",
        Grade::Guessed => "As good as drawn: the photographs say next to nothing of it.",
    };
    ui.label(RichText::new(grade_word(grade)).color(grade_colour(seen.theme, grade))).on_hover_text(tip);
}

/// Numbers of one station before and after, and how far each is known.
fn details(ui: &mut Ui, seen: &Seen<'_>, units: Units, found: &Found, station: &StationChange) {
    heading(ui, &format!("At {}", units.length(station.station)));
    let (before, after) = (&station.before, &station.after);
    Grid::new("solved numbers").num_columns(3).spacing([10.0, 3.0]).show(ui, |ui| {
        for text in ["", "before", "solved"] {
            note(ui, text);
        }
        ui.end_row();
        let fine = |mm: f64| units.fine(mm);
        let plain = |n: f64| format!("{n:.2}");
        let rows = [
            (format!("Half-breadth, {}", units.sign()), fine(before.breadth), fine(after.breadth)),
            (format!("Breadth height, {}", units.sign()), fine(before.breadth_height), fine(after.breadth_height)),
            ("Exponent above".to_owned(), plain(before.above), plain(after.above)),
            ("Exponent below".to_owned(), plain(before.below), plain(after.below)),
        ];
        for (what, before, after) in rows {
            ui.label(RichText::new(what).small());
            ui.label(before);
            ui.label(after);
            ui.end_row();
        }
    });
    let trusts = by_label(found.solved.solution.trust(station.station));
    if trusts.is_empty() {
        note(ui, "An end that is given: nothing is sought here.");
        return;
    }
    Grid::new("solved trust").num_columns(3).spacing([8.0, 1.0]).show(ui, |ui| {
        for text in ["sought", "by", ""] {
            note(ui, text);
        }
        ui.end_row();
        for trust in trusts {
            ui.label(RichText::new(label(trust.function)).small());
            ui.label(RichText::new(by(&trust, units)).small());
            ui.scope(|ui| {
                ui.style_mut().override_text_style = Some(egui::TextStyle::Small);
                grade(ui, seen, trust.grade());
            });
            ui.end_row();
        }
    });
}

/// What two functions tell under one name is told once, by the one that is known least.
fn by_label(all: Vec<FunctionTrust>) -> Vec<FunctionTrust> {
    let mut out: Vec<FunctionTrust> = Vec::new();
    for trust in all {
        match out.iter_mut().find(|t| label(t.function) == label(trust.function)) {
            Some(there) if trust.ratio() > there.ratio() => *there = trust,
            Some(_) => {}
            None => out.push(trust),
        }
    }
    out
}

/// Short, so that a row fits.
fn label(function: Function) -> &'static str {
    match function {
        Function::Exponent => "Fullness",
        Function::Split => "Above less below",
        Function::BreadthHeight => "Breadth height",
        Function::Breadth => "Breadth",
        Function::AboveSlant | Function::AboveCorners => "Shape above",
        Function::BelowSlant | Function::BelowCorners => "Shape below",
    }
}

/// The change with its deviation, in the function's own unit.
fn by(trust: &FunctionTrust, units: Units) -> String {
    let sign = if trust.deviation < 0.0 { "-" } else { "+" };
    let (size, sigma) = (trust.deviation.abs(), trust.sigma);
    match trust.function {
        Function::BreadthHeight | Function::Breadth => {
            format!("{sign}{} ± {} {}", units.fine(size), units.fine(sigma), units.sign())
        }
        Function::Exponent | Function::Split => format!("{sign}{size:.2} ± {sigma:.2}"),
        _ => format!("{sign}{:.1} ± {:.1} %", 100.0 * size, 100.0 * sigma),
    }
}
