//! The list of findings above the status line.

use super::{Findings, colour, nothing_drawn, place};
use crate::app::App;
use crate::slate::{Ask, note};
use crate::theme::{self, Theme};
use crate::units::Units;
use egui::{Align, Frame, Layout, Margin, Panel, RichText, ScrollArea, Ui, vec2};
use form::{Finding, Mend, Quantity};
use project::edit::Edit;

/// Width of the column with the severities, in points.
const SEVERITY: f32 = 58.0;

/// The list.
pub(crate) fn panel(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    if !app.view.findings {
        return;
    }
    let frame = Frame::new().fill(theme.panel).inner_margin(Margin::symmetric(12, 8));
    // On a low window the drawing keeps its room.
    let height = (0.2 * ui.ctx().content_rect().height()).clamp(84.0, 132.0);
    let sized = Panel::bottom("findings").frame(frame).resizable(true).default_size(height).size_range(60.0..=360.0);
    sized.show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.label(RichText::new("Findings").font(theme::bold(theme::BODY)));
            if app.findings.as_ref().is_some_and(Findings::is_checking) {
                note(ui, "of before the last change; checking…");
            } else if app.view.units == Units::Inch {
                note(ui, "lengths within the sentences are in mm");
            }
        });
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| rows(ui, app, theme, asks));
    });
}

fn rows(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    let list = app.findings.as_ref().map_or(&[][..], Findings::list);
    if nothing_drawn(app) {
        note(ui, "Nothing is drawn yet, so there is nothing to check.");
        return;
    }
    if list.is_empty() {
        note(ui, "Nothing found: the form can be lofted, it fits what is on the bench, and the pictures agree.");
    }
    for finding in list {
        row(ui, app, finding, theme, asks);
    }
}

/// Severity at the left, and beside it what was found, which leads to its place, with the hint.
fn row(ui: &mut Ui, app: &App, finding: &Finding, theme: &Theme, asks: &mut Vec<Ask>) {
    ui.horizontal_top(|ui| {
        let word = RichText::new(finding.severity.label()).font(theme::bold(theme::SMALL));
        ui.allocate_ui_with_layout(vec2(SEVERITY, 18.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(SEVERITY);
            ui.label(word.color(colour(theme, finding.severity)));
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let link = ui.link(RichText::new(sentence(app, finding)).color(theme.text));
            if link.on_hover_text("Goes there.").clicked() {
                asks.push(Ask::GoTo(Box::new(finding.clone())));
            }
            ui.horizontal_wrapped(|ui| {
                ui.label(RichText::new(&finding.hint).small().color(theme.weak));
                if let Some(mend) = &finding.mend {
                    mend_button(ui, app, mend, asks);
                }
            });
        });
    });
    ui.add_space(3.0);
}

fn sentence(app: &App, finding: &Finding) -> String {
    let mut text = format!("{}: {}", place::label(app, finding), finding.what);
    let shown = |q: Quantity| match q.unit {
        "mm" => format!("{} {}", app.view.units.fine(q.value), app.view.units.sign()),
        _ => q.to_string(),
    };
    match (finding.measured, finding.allowed) {
        (Some(measured), Some(allowed)) => {
            text.push_str(&format!(" Measured {}, allowed {}.", shown(measured), shown(allowed)));
        }
        (Some(measured), None) => text.push_str(&format!(" Measured {}.", shown(measured))),
        _ => {}
    }
    text
}

/// The offered edit, as one undoable step; not while the document is ahead of what was checked.
fn mend_button(ui: &mut Ui, app: &App, mend: &Mend, asks: &mut Vec<Ask>) {
    let at_rest = app.findings.as_ref().is_some_and(|f| !f.is_checking()) && !app.desk.is_previewing();
    if ui.add_enabled(at_rest, egui::Button::new(&mend.label)).clicked() {
        asks.push(Ask::Do(Edit::Together { label: mend.label.clone(), edits: vec![mend.edit.clone()] }));
    }
}
