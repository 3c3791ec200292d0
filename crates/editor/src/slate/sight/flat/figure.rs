//! A flat figure of known sides: a rectangle, a chequered grid; how well its plane is read.

use super::super::OnTable;
use super::super::rows::{fact, short};
use super::square;
use crate::commands::Command;
use crate::light_table::flat::FlatAsk;
use crate::light_table::flat::Wanted;
use crate::light_table::flat::read::Read;
use crate::light_table::marks::OnPicture;
use crate::slate::field::FIELD;
use crate::slate::{Ask, Seen, command_button, field, heading, note};
use crate::units::Units;
use crate::view::{Selected, ViewState};
use egui::{DragValue, RichText, Ui};
use photo::Rectification;
use project::edit::Edit;
use project::photograph::{FigurePoint, FlatFigure};

/// The figure.
pub(super) fn part(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, on: &OnTable<'_>, read: &Read, asks: &mut Vec<Ask>) {
    heading(ui, "Flat figure");
    let wanted = seen.table.flat.wanted;
    let Some(figure) = &on.picture.photograph.figure else {
        note(
            ui,
            "A hatch, a door or a board whose sides you know, lying in the plane to be read: its four corners, or a chequered grid.",
        );
        ui.horizontal_wrapped(|ui| command_button(ui, Command::MarkFigure, asks));
        grid(ui, view, wanted, asks);
        return;
    };
    shape(ui, view, on, figure, asks);
    let plane = match &read.figure {
        None => return,
        Some(Err(why)) => {
            ui.colored_label(seen.theme.warning, RichText::new(why.to_string()).small());
            remove(ui, on, asks);
            return;
        }
        Some(Ok(plane)) => plane,
    };
    points(ui, view, on, plane, asks);
    errors(ui, view, on, plane);
    square::part(ui, seen, view, on, asks);
    remove(ui, on, asks);
}

fn remove(ui: &mut Ui, on: &OnTable<'_>, asks: &mut Vec<Ask>) {
    if ui.button("Remove the figure").clicked() {
        asks.push(Ask::Do(Edit::SetFigure { picture: on.index, figure: None }));
    }
}

/// A chequered grid, to be clicked row by row.
fn grid(ui: &mut Ui, view: &ViewState, wanted: Wanted, asks: &mut Vec<Ask>) {
    let mut now = wanted;
    short(ui, "Grid", |ui| {
        let [columns, rows] = &mut now.grid;
        ui.add(DragValue::new(columns).range(2..=40).speed(0.05)).accessible_name("Columns of the grid");
        ui.label("×");
        ui.add(DragValue::new(rows).range(2..=40).speed(0.05)).accessible_name("Rows of the grid");
        note(ui, "crossings");
    });
    short(ui, "Apart", |ui| {
        let units = view.units;
        let mut shown = units.shown(now.spacing);
        let field =
            DragValue::new(&mut shown).range(0.01..=1e5).speed(0.2 / units.mm()).suffix(format!(" {}", units.sign()));
        if ui.add_sized([FIELD, 22.0], field).accessible_name("Spacing of the grid").changed() {
            now.spacing = shown * units.mm();
        }
        note(ui, "full size");
    });
    if now != wanted {
        asks.push(Ask::Flat(FlatAsk::Want(now)));
    }
    let button = ui.button("Mark a grid").on_hover_text("Its crossings, row by row from the upper left.");
    if button.clicked() {
        asks.push(Ask::Flat(FlatAsk::MarkGrid));
    }
}

/// Its sides, or its spacing.
fn shape(ui: &mut Ui, view: &ViewState, on: &OnTable<'_>, figure: &FlatFigure, asks: &mut Vec<Ask>) {
    let picture = on.index;
    let scaled = |by: [f64; 2]| {
        let point = |p: &FigurePoint| FigurePoint { plane: [p.plane[0] * by[0], p.plane[1] * by[1]], ..*p };
        Edit::SetFigure {
            picture,
            figure: Some(FlatFigure { points: figure.points.iter().map(point).collect(), ..figure.clone() }),
        }
    };
    let [width, height] = size(figure);
    let of = if figure.full_size { "full size" } else { "model" };
    if figure.points.len() == 4 {
        let (w, h) = (format!("Width, {of}"), format!("Height, {of}"));
        field::length(ui, &w, "Width of the figure", width, view.units, asks, |mm| scaled([mm / width, 1.0]));
        field::length(ui, &h, "Height of the figure", height, view.units, asks, |mm| scaled([1.0, mm / height]));
    } else {
        note(
            ui,
            format!(
                "{} points in an area of {} by {}, {of}.",
                figure.points.len(),
                view.units.length(width),
                view.units.length(height)
            ),
        );
        let spacing = least_apart(figure);
        field::length(ui, "Apart", "Spacing of the figure's points", spacing, view.units, asks, |mm| {
            scaled([mm / spacing; 2])
        });
    }
    let mut full_size = figure.full_size;
    let text = "is of the full-size machine";
    if ui.checkbox(&mut full_size, text).accessible_name(format!("The figure {text}")).changed() {
        asks.push(Ask::Do(Edit::SetFigure { picture, figure: Some(FlatFigure { full_size, ..figure.clone() }) }));
    }
}

/// Breadth and height of the figure in its own plane; never nothing, for they are divided by.
fn size(figure: &FlatFigure) -> [f64; 2] {
    [0, 1].map(|k| {
        let all = || figure.points.iter().map(|p| p.plane[k]);
        (all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)).max(1e-6)
    })
}

/// The least distance between neighbours in the list: a grid's spacing.
fn least_apart(figure: &FlatFigure) -> f64 {
    let pairs = figure.points.iter().zip(figure.points.iter().skip(1));
    let apart = pairs.map(|(a, b)| (a.plane[0] - b.plane[0]).hypot(a.plane[1] - b.plane[1]));
    apart.fold(f64::INFINITY, f64::min).clamp(1e-6, 1e6)
}

/// How well each point fits.
fn points(ui: &mut Ui, view: &ViewState, on: &OnTable<'_>, plane: &Rectification, asks: &mut Vec<Ask>) {
    if plane.residuals.len() <= 4 {
        note(ui, "Four points always fit: a fifth and more would show whether one is wrong.");
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (point, residual) in plane.residuals.iter().enumerate() {
            let target = Selected::OnPicture { picture: on.index, what: OnPicture::Figure(point) };
            let text = match plane.residuals.len() {
                4 => format!("{}", point + 1),
                _ => format!("{}: {:.1} px", point + 1, residual.px),
            };
            let button = ui.selectable_label(view.selected == target, RichText::new(text).small());
            let tip = format!(
                "{:.2} px from where its plane shows it, {} at the model.",
                residual.px,
                view.units.fine(residual.mm)
            );
            if button.on_hover_text(tip).accessible_name(format!("Point {} of the figure", point + 1)).clicked() {
                asks.push(Ask::Select(target));
            }
        }
    });
    if plane.residuals.len() > 4 {
        let words = if plane.misfit <= 1.3 { "as well as points are picked" } else { "worse than points are picked" };
        fact(ui, "Points fit", format!("{words} ({:.1} times)", plane.misfit));
    }
}

/// How far readings may be off across the picture.
fn errors(ui: &mut Ui, view: &ViewState, on: &OnTable<'_>, plane: &Rectification) {
    let size = on.picture.size_px.map(f64::from);
    let at = |x: f64, y: f64| plane.read_with_error([x * size[0], y * size[1]], plane.sigma_px()).map(|r| r.error());
    let text = |error: Option<f64>, units: Units| match error {
        Some(mm) => format!("± {}", units.length(mm)),
        None => "beyond the horizon".into(),
    };
    fact(ui, "In the middle", text(at(0.5, 0.5), view.units));
    let corners = [at(0.0, 0.0), at(1.0, 0.0), at(1.0, 1.0), at(0.0, 1.0)];
    let worst = corners.iter().try_fold(0.0_f64, |worst, error| error.map(|e| worst.max(e)));
    fact(ui, "At the corners", format!("up to {}", text(worst, view.units)));
    note(ui, "Of a reading in the figure's plane, at the model; select a point to see it across the picture.");
}
