//! The slate: the panel with the numbers of what is selected, all of them to be changed.

pub(crate) mod bench;
mod build;
pub(crate) mod field;
mod lines;
mod part;
mod pictures;
mod project_page;
mod sections;
mod several;
mod shell;
mod sight;
mod stations;

use crate::commands::Command;
use crate::derived::Derived;
use crate::figures::Measures;
use crate::light_table::LightTable;
use crate::light_table::flat::FlatAsk;
use crate::light_table::landmarks::LandmarkAsk;
use crate::light_table::solving::act::SolvingAsk;
use crate::light_table::tracing::asks::TraceAsk;
use crate::on_shell::{ShellAsk, ShellWork};
use crate::pictures::Decoded;
use crate::planning::Age;
use crate::theme::{self, Theme};
use crate::view::{Selected, Tab, ViewState};
use desk::Planned;
use egui::{Rect, RichText, ScrollArea, Ui};
use form::Finding;
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
    /// Something about what lies on the bench that is no edit.
    Bench(bench::BenchAsk),
    /// Something about landmarks that is no edit.
    Landmark(LandmarkAsk),
    /// Something about distances, straight lines and flat figures that is no edit.
    Flat(FlatAsk),
    /// Something about traces that is no edit.
    Trace(TraceAsk),
    /// Something to select.
    Select(Selected),
    /// The place of a finding.
    GoTo(Box<Finding>),
    /// The plan of the plug to be given up, or to be made after all.
    StopPlanning(bool),
    /// Another project, after unsaved work was asked about.
    Open(std::path::PathBuf),
    /// Another form on the floor.
    ShowForm(usize),
    /// Something about the sections solved from photographs that is no edit.
    Solving(SolvingAsk),
    /// Something about the shell that is no edit.
    Shell(ShellAsk),
}

/// What the slate reads.
pub(crate) struct Seen<'a> {
    pub(crate) document: &'a Document,
    pub(crate) form: &'a Form,
    pub(crate) derived: &'a Derived,
    pub(crate) theme: &'static Theme,
    pub(crate) pictures: &'a Decoded,
    pub(crate) table: &'a LightTable,
    pub(crate) measures: &'a Measures,
    /// The plug as it was planned last.
    pub(crate) planned: &'a Planned,
    /// Whether that is of the document as it is.
    pub(crate) age: Age,
    /// What is computed of the shell.
    pub(crate) shell: Option<&'a ShellWork>,
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
            Tab::Shell => shell::page(ui, seen, view, asks),
            Tab::Pictures => pictures::page(ui, seen, view, asks),
            Tab::Project => project_page::page(ui, seen, view, asks),
        }
    });
}

fn tabs(ui: &mut Ui, theme: &Theme, view: &mut ViewState) {
    let size = tab_size(ui);
    ui.horizontal_wrapped(|ui| {
        let gaps = Tab::ALL.len() as f32 - 1.0;
        let room = ui.available_width() - tabs_width(ui, size) - 1.0;
        ui.spacing_mut().item_spacing.x = (room / gaps).floor().clamp(LEAST_GAP, 16.0);
        ui.spacing_mut().button_padding.x = 0.0;
        for tab in Tab::ALL {
            let chosen = view.tab == tab;
            let text = RichText::new(tab.label()).color(if chosen { theme.text } else { theme.weak });
            let text = text.font(if chosen { theme::bold(size) } else { egui::FontId::proportional(size) });
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

/// Least distance between two tabs, in points.
const LEAST_GAP: f32 = 6.0;

/// The tabs are set as large as they go in one row, and no smaller than notes.
fn tab_size(ui: &Ui) -> f32 {
    let room = ui.available_width() - LEAST_GAP * (Tab::ALL.len() as f32 - 1.0) - 1.0;
    let sizes = [theme::BODY, 13.0, 12.5];
    sizes.into_iter().find(|size| tabs_width(ui, *size) <= room).unwrap_or(theme::SMALL)
}

/// All of them as wide as they are when chosen, so that a choice moves none to another row.
fn tabs_width(ui: &Ui, size: f32) -> f32 {
    let width = |tab: &Tab| {
        let galley = ui.painter().layout_no_wrap(tab.label().to_owned(), theme::bold(size), egui::Color32::WHITE);
        galley.size().x
    };
    Tab::ALL.iter().map(width).sum()
}

fn shape(ui: &mut Ui, seen: &Seen<'_>, view: &mut ViewState, asks: &mut Vec<Ask>) {
    match view.selected {
        Selected::Line(line) => lines::line(ui, seen, view, line, asks),
        Selected::LinePoint { line, point } => lines::point(ui, seen, view, line, point, asks),
        Selected::Section(section) => sections::section(ui, seen, view, section, asks),
        Selected::SectionPoint { section, point } => sections::point(ui, seen, view, section, point, asks),
        Selected::Arc { section, arc } => sections::arc(ui, seen, view, section, arc, asks),
        Selected::Station(station) => stations::station(ui, seen, view, station, asks),
        Selected::Nothing
        | Selected::Bench { .. }
        | Selected::OnShell { .. }
        | Selected::Picture(_)
        | Selected::PicturePoint { .. }
        | Selected::OnPicture { .. } => overview(ui, seen, view, asks),
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
