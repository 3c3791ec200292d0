//! The slate: the panel with the numbers of what is selected, all of them to be changed.

mod bench;
mod build;
pub(crate) mod field;
mod lines;
mod part;
mod pictures;
mod project_page;
mod sections;
mod stations;

use crate::commands::Command;
use crate::derived::Derived;
use crate::figures::Measures;
use crate::pictures::Decoded;
use crate::theme::{self, Theme};
use crate::view::{Selected, Tab, ViewState};
use egui::{Rect, RichText, ScrollArea, Ui};
use project::document::{Document, Form};
use project::edit::Edit;

pub(crate) use bench::removed;

/// What a panel asks for while it is drawn; done after the frame.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Ask {
    /// An edit as one step.
    Do(Edit),
    /// An edit to be shown while a number is dragged.
    Preview(Edit),
    /// What is shown becomes a step.
    Commit,
    /// A command.
    Command(Command),
    /// Something to select.
    Select(Selected),
    /// Another project, after unsaved work was asked about.
    Open(std::path::PathBuf),
    /// Another form on the floor.
    ShowForm(usize),
}

/// What the slate reads.
pub(crate) struct Seen<'a> {
    pub(crate) document: &'a Document,
    pub(crate) form: &'a Form,
    pub(crate) derived: &'a Derived,
    pub(crate) theme: &'static Theme,
    pub(crate) pictures: &'a Decoded,
    pub(crate) measures: &'a Measures,
}

/// Draws the slate and collects what it asks for. Where the loose card lies on it, it ends above the card.
pub(crate) fn show(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, card: Option<Rect>, asks: &mut Vec<Ask>) {
    tabs(ui, seen.theme, view);
    ui.add_space(4.0);
    let rect = ui.available_rect_before_wrap();
    let over = card.filter(|card| card.intersects(rect));
    let height = over.map_or(f32::INFINITY, |card| (card.top() - 8.0 - rect.top()).max(60.0));
    ScrollArea::vertical().max_height(height).id_salt(view.tab).auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 6.0);
        match view.tab {
            Tab::Shape => shape(ui, seen, view, asks),
            Tab::Stations => stations::page(ui, seen, view, asks),
            Tab::Bench => bench::page(ui, seen, view, asks),
            Tab::Build => build::page(ui, seen, view, asks),
            Tab::Pictures => pictures::page(ui, seen, view, asks),
            Tab::Project => project_page::page(ui, seen, view, asks),
        }
    });
}

fn tabs(ui: &mut Ui, theme: &Theme, view: &mut ViewState) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        ui.spacing_mut().button_padding.x = 0.0;
        for tab in Tab::ALL {
            let chosen = view.tab == tab;
            let text = RichText::new(tab.label()).color(if chosen { theme.text } else { theme.weak });
            let text = if chosen { text.font(theme::bold(theme::BODY)) } else { text };
            let response = ui.add(egui::Button::new(text).frame(false).selected(false));
            if chosen {
                let rect = response.rect;
                ui.painter().hline(rect.x_range(), rect.bottom() + 1.0, egui::Stroke::new(2.0, theme.accent));
            }
            if response.clicked() {
                view.tab = tab;
            }
        }
    });
}

fn shape(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    match view.selected {
        Selected::Line(line) => lines::line(ui, seen, view, line, asks),
        Selected::LinePoint { line, point } => lines::point(ui, seen, view, line, point, asks),
        Selected::Section(section) => sections::section(ui, seen, view, section, asks),
        Selected::SectionPoint { section, point } => sections::point(ui, seen, view, section, point, asks),
        Selected::Arc { section, arc } => sections::arc(ui, seen, view, section, arc, asks),
        Selected::Station(station) => stations::station(ui, seen, view, station, asks),
        Selected::Nothing | Selected::Bench { .. } | Selected::Picture(_) | Selected::PicturePoint { .. } => {
            overview(ui, seen, view, asks);
        }
    }
}

/// With nothing selected: what there is, and what to do next.
fn overview(ui: &mut Ui, seen: &Seen<'_>, view: &ViewState, asks: &mut Vec<Ask>) {
    project_page::checklist(ui, seen, asks);
    heading(ui, "Master lines");
    lines::list(ui, seen, asks);
    heading(ui, "Control sections");
    sections::list(ui, seen, view, asks);
}

/// A title within the slate.
pub(crate) fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(10.0);
    ui.label(RichText::new(text).font(theme::bold(theme::BODY)));
}

/// A note in small weak type.
pub(crate) fn note(ui: &mut Ui, text: impl Into<String>) {
    ui.label(RichText::new(text).small().weak());
}

/// A button for a command, with its key in the tip.
pub(crate) fn command_button(ui: &mut Ui, command: Command, asks: &mut Vec<Ask>) {
    let entry = command.entry();
    let tip = match entry.keys().first() {
        Some(key) => format!("{}\n{}", entry.tip, ui.ctx().format_shortcut(key)),
        None => entry.tip.to_owned(),
    };
    if ui.button(entry.name).on_hover_text(tip).clicked() {
        asks.push(Ask::Command(command));
    }
}
