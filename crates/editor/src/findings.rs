//! What the checks found: counted in the status line, listed above it, each with its place and a hint.

use crate::app::App;
use crate::floor::layout::View;
use crate::slate::Ask;
use crate::theme::{self, Theme};
use crate::view::{Item, Selected};
use desk::{Outcome, Work};
use egui::{Color32, Frame, Margin, Panel, RichText, ScrollArea, Ui};
use form::{Finding, Lofted, Mend, Part, Severity};
use project::document::{Document, LineName};
use project::edit::Edit;
use std::borrow::Cow;
use std::sync::Arc;

/// The findings of the document, made beside the window's thread.
pub(crate) struct Findings {
    work: Work<Same, Vec<Finding>>,
    list: Vec<Finding>,
}

/// The same document, the very one.
#[derive(Clone)]
struct Same(Arc<Document>);

impl PartialEq for Same {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

impl Findings {
    /// Nothing checked yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), list: Vec::new() }
    }

    /// Has the document checked, once it is at rest.
    pub(crate) fn refresh(&mut self, desk: &desk::Desk) {
        if !desk.is_previewing() {
            let document = desk.document().clone();
            let lofted: Vec<Arc<Lofted>> = (0..document.forms.len()).filter_map(|form| desk.skin(form)).collect();
            let job = document.clone();
            self.work.want(Same(document), move |_| check(&job, &lofted));
        }
        if let Some((_, Outcome::Done(list))) = self.work.poll() {
            self.list = list;
        }
    }

    /// What was found last, the gravest first.
    pub(crate) fn list(&self) -> &[Finding] {
        &self.list
    }

    /// Whether the document has changed since the list was made.
    pub(crate) fn is_checking(&self) -> bool {
        self.work.progress().is_some()
    }

    /// How many of each severity: errors, warnings, notes.
    pub(crate) fn counts(&self) -> [usize; 3] {
        [Severity::Error, Severity::Warning, Severity::Note]
            .map(|severity| self.list.iter().filter(|f| f.severity == severity).count())
    }
}

fn check(document: &Document, lofted: &[Arc<Lofted>]) -> Vec<Finding> {
    let mut list = desk::findings(document, |form| match lofted.get(form) {
        Some(lofted) => Cow::Borrowed(&**lofted),
        None => Cow::Owned(form::loft(&document.forms[form])),
    });
    list.sort_by_key(|f| std::cmp::Reverse(f.severity));
    list
}

fn colour(theme: &Theme, severity: Severity) -> Color32 {
    match severity {
        Severity::Error => theme.error,
        Severity::Warning => theme.warning,
        Severity::Note => theme.weak,
    }
}

/// The words for the status line.
pub(crate) fn summary(app: &App, findings: &Findings) -> String {
    if nothing_drawn(app) {
        return "nothing drawn yet".to_owned();
    }
    if findings.is_checking() {
        return "checking…".to_owned();
    }
    let [errors, warnings, notes] = findings.counts();
    let many = |count: usize, what: &str| match count {
        0 => None,
        1 => Some(format!("1 {what}")),
        n => Some(format!("{n} {what}s")),
    };
    let parts: Vec<String> =
        [many(errors, "error"), many(warnings, "warning"), many(notes, "note")].into_iter().flatten().collect();
    if parts.is_empty() { "no findings".to_owned() } else { parts.join(", ") }
}

/// The colour of the gravest finding.
pub(crate) fn gravest(app: &App, findings: &Findings, theme: &Theme) -> Color32 {
    if nothing_drawn(app) || findings.is_checking() {
        return theme.weak;
    }
    findings.list().first().map_or(theme.good, |f| colour(theme, f.severity))
}

/// An empty form is no mistake.
fn nothing_drawn(app: &App) -> bool {
    let form = app.form();
    LineName::ALL.iter().all(|line| form.lines.get(*line).points.is_empty())
}

/// The list above the status line.
pub(crate) fn panel(ui: &mut Ui, app: &App, theme: &'static Theme, asks: &mut Vec<Ask>) {
    if !app.view.findings {
        return;
    }
    let frame = Frame::new().fill(theme.panel).inner_margin(Margin::symmetric(12, 8));
    Panel::bottom("findings").frame(frame).resizable(true).default_size(96.0).size_range(60.0..=360.0).show(ui, |ui| {
        ui.label(RichText::new("Findings").font(theme::bold(theme::BODY)));
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            let list = app.findings.as_ref().map_or(&[][..], Findings::list);
            if nothing_drawn(app) {
                crate::slate::note(ui, "Nothing is drawn yet, so there is nothing to check.");
                return;
            }
            if list.is_empty() {
                crate::slate::note(
                    ui,
                    "Nothing found: the form can be lofted, and the pictures agree with themselves.",
                );
            }
            for finding in list {
                row(ui, app, finding, theme, asks);
            }
        });
    });
}

fn row(ui: &mut Ui, app: &App, finding: &Finding, theme: &Theme, asks: &mut Vec<Ask>) {
    ui.horizontal_wrapped(|ui| {
        ui.label(
            RichText::new(finding.severity.label())
                .font(theme::bold(theme::SMALL))
                .color(colour(theme, finding.severity)),
        );
        let mut text = format!("{}: {}", place(app, finding), finding.what);
        if let (Some(measured), Some(allowed)) = (finding.measured, finding.allowed) {
            text.push_str(&format!(" Measured {measured}, allowed {allowed}."));
        }
        let target = target(finding);
        if target == Selected::Nothing {
            ui.label(text);
        } else if ui.link(RichText::new(text).color(theme.text)).clicked() {
            asks.push(Ask::Select(target));
        }
        ui.label(RichText::new(&finding.hint).color(theme.weak));
        if let Some(mend) = &finding.mend {
            mend_button(ui, app, mend, asks);
        }
    });
}

/// The offered edit, as one undoable step; not while the document is ahead of what was checked.
fn mend_button(ui: &mut Ui, app: &App, mend: &Mend, asks: &mut Vec<Ask>) {
    let at_rest = app.findings.as_ref().is_some_and(|f| !f.is_checking()) && !app.desk.is_previewing();
    if ui.add_enabled(at_rest, egui::Button::new(&mend.label)).clicked() {
        asks.push(Ask::Do(Edit::Together { label: mend.label.clone(), edits: vec![mend.edit.clone()] }));
    }
}

/// The place in the editor's own words: sections go by letters here.
fn place(app: &App, finding: &Finding) -> String {
    match (finding.place.part, finding.place.station) {
        (Part::Section(section), _) => format!("Section {}", crate::floor::scene::letter(section)),
        (Part::Form, Some(x)) => format!("At {}", app.view.units.length(x)),
        (Part::Form, None) => "Form".to_owned(),
        _ => {
            let label = finding.place_label();
            let mut letters = label.chars();
            letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
        }
    }
}

fn target(finding: &Finding) -> Selected {
    match finding.place.part {
        Part::Form | Part::DrawOff => Selected::Nothing,
        Part::Fuselage => Selected::Bench { item: Item::Fuselage, view: View::Side },
        Part::Thrust => Selected::Bench { item: Item::Hub, view: View::Side },
        Part::KeepOut(index) => Selected::Bench { item: Item::KeepOut(index), view: View::Side },
        Part::Gauge(index) => Selected::Bench { item: Item::Gauge(index), view: View::Face },
        Part::Line(line) => Selected::Line(line),
        Part::Section(section) => Selected::Section(section),
        Part::Station(station) => Selected::Station(station),
        Part::Picture(picture) => Selected::Picture(picture),
    }
}
