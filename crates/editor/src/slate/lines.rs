//! Master lines and their points.

use super::{Ask, Seen, command_button, heading, note};
use crate::commands::Command;
use crate::slate::field::{self, Number};
use crate::theme;
use crate::view::{Selected, ViewState};
use egui::{RichText, Ui};
use project::document::{LineEnd, LineName, LinePointKind};
use project::edit::Edit;

/// All lines with their number of points.
pub(super) fn list(ui: &mut Ui, seen: &Seen<'_>, asks: &mut Vec<Ask>) {
    for line in LineName::ALL {
        let points = seen.form.lines.get(line).points.len();
        let count = match points {
            0 => "not drawn yet".to_owned(),
            1 => "1 point".to_owned(),
            n => format!("{n} points"),
        };
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(14.0, 14.0), egui::Sense::hover());
            let stroke = egui::Stroke::new(2.5, seen.theme.line(line));
            ui.painter().hline(rect.x_range(), rect.center().y, stroke);
            if ui.link(RichText::new(line.label()).color(seen.theme.text)).clicked() {
                asks.push(Ask::Select(Selected::Line(line)));
            }
            note(ui, count);
        });
    }
}

/// One line.
pub(super) fn line(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, line: LineName, asks: &mut Vec<Ask>) {
    title(ui, seen, line, line.label());
    note(ui, about(line));
    let ends = seen.form.lines.get(line);
    let ways = |front: LineEnd, rear: LineEnd| Edit::SetLineEnds { form: view.form, line, front, rear };
    heading(ui, "How it leaves its ends");
    field::row(ui, "Foremost end", |ui| {
        end(ui, &format!("{} foremost end", line.label()), ends.front, |e| asks.push(Ask::Do(ways(e, ends.rear))));
    });
    field::row(ui, "Rearmost end", |ui| {
        end(ui, &format!("{} rearmost end", line.label()), ends.rear, |e| asks.push(Ask::Do(ways(ends.front, e))));
    });
    heading(ui, "Points");
    for (point, p) in ends.points.iter().enumerate() {
        let text = format!("{}   {}   {}", point + 1, view.units.number(p.x), view.units.length(p.value));
        if ui.selectable_label(false, text).clicked() {
            asks.push(Ask::Select(Selected::LinePoint { line, point }));
        }
    }
    ui.add_space(6.0);
    let draw = match line {
        LineName::Crown => Command::DrawCrown,
        LineName::Keel => Command::DrawKeel,
        LineName::Breadth => Command::DrawBreadth,
        LineName::BreadthHeight => Command::DrawBreadthHeight,
    };
    ui.horizontal_wrapped(|ui| {
        command_button(ui, draw, asks);
        command_button(ui, Command::PointInGap, asks);
        command_button(ui, Command::Comb, asks);
    });
}

/// One point of a line.
pub(super) fn point(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, line: LineName, point: usize, asks: &mut Vec<Ask>) {
    let points = &seen.form.lines.get(line).points;
    let Some(p) = points.get(point).copied() else { return };
    let name = format!("{} point {}", line.label(), point + 1);
    title(ui, seen, line, &name);
    let form = view.form;
    let moved = |x: f64, value: f64| Edit::MoveLinePoint { form, line, point, x, value };
    field::length(ui, "Aft of datum", format!("{name} aft of datum"), p.x, view.units, asks, |x| moved(x, p.value));
    let (label, what) = if line == LineName::Breadth { ("Half-breadth", "half-breadth") } else { ("Height", "height") };
    field::length(ui, label, format!("{name} {what}"), p.value, view.units, asks, |value| moved(p.x, value));
    if crate::floor::scene::pins(seen.form, p.x) {
        note(ui, "Held by a pinned section at this station.");
    }
    heading(ui, "The line passes here");
    let kinds = [
        ("Smooth", LinePointKind::Smooth),
        ("Corner", LinePointKind::Corner),
        ("At a slope", LinePointKind::Slope(0.0)),
    ];
    ui.horizontal(|ui| {
        for (label, kind) in kinds {
            let chosen = std::mem::discriminant(&kind) == std::mem::discriminant(&p.kind);
            if ui.selectable_label(chosen, label).clicked() && !chosen {
                asks.push(Ask::Do(Edit::SetLinePointKind { form, line, point, kind }));
            }
        }
    });
    if let LinePointKind::Slope(degrees) = p.kind {
        let number = Number {
            label: "Slope",
            name: format!("{name} slope"),
            suffix: "°",
            decimals: 2,
            speed: 0.2,
            range: [-89.9, 89.9],
        };
        field::number_field(ui, &number, degrees, asks, |slope| Edit::SetLinePointKind {
            form,
            line,
            point,
            kind: LinePointKind::Slope(slope),
        });
    }
    ui.add_space(8.0);
    neighbours(ui, line, point, points.len(), asks);
    note(ui, "Arrow keys move it by 1 mm, with Shift 10, with Alt 0.1.");
}

fn neighbours(ui: &mut Ui, line: LineName, point: usize, count: usize, asks: &mut Vec<Ask>) {
    ui.horizontal(|ui| {
        let to = |point| Ask::Select(Selected::LinePoint { line, point });
        if ui.add_enabled(point > 0, egui::Button::new("← Fore")).clicked() {
            asks.push(to(point - 1));
        }
        if ui.add_enabled(point + 1 < count, egui::Button::new("Aft →")).clicked() {
            asks.push(to(point + 1));
        }
        command_button(ui, Command::Delete, asks);
    });
}

fn title(ui: &mut Ui, seen: &Seen<'_>, line: LineName, text: &str) {
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(20.0, 16.0), egui::Sense::hover());
        ui.painter().hline(rect.x_range(), rect.center().y, egui::Stroke::new(3.0, seen.theme.line(line)));
        ui.label(RichText::new(text).font(theme::bold(theme::TITLE)));
    });
}

fn about(line: LineName) -> &'static str {
    match line {
        LineName::Crown => "The upper edge of the outline, in the side view.",
        LineName::Keel => "The lower edge of the outline, in the side view.",
        LineName::Breadth => "How wide the form is, half of it, in the plan.",
        LineName::BreadthHeight => "At which height it is widest, in the side view.",
    }
}

fn end(ui: &mut Ui, name: &str, now: LineEnd, mut chosen: impl FnMut(LineEnd)) {
    let label = |end: LineEnd| match end {
        LineEnd::Free => "as it runs",
        LineEnd::Natural => "straight out",
        LineEnd::Upright => "upright, blunt",
    };
    let combo = egui::ComboBox::from_id_salt(name).selected_text(label(now)).width(100.0);
    let response = combo.show_ui(ui, |ui| {
        for end in [LineEnd::Free, LineEnd::Natural, LineEnd::Upright] {
            if ui.selectable_label(end == now, label(end)).clicked() && end != now {
                chosen(end);
            }
        }
    });
    response.response.accessible_name(name);
}
