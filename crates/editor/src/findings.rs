//! What the checks found: counted in the status line, listed above it, each with its place and a hint.

pub(crate) mod list;
pub(crate) mod place;

use crate::app::App;
use crate::planning::{Age, Planning};
use crate::theme::Theme;
use desk::{Outcome, Planned, Progress, Reckoned, Work};
use egui::Color32;
use form::{Finding, Lofted, Severity};
use project::document::{Document, LineName};
use std::sync::Arc;

/// The findings of the document, made beside the window's thread, and those of the plug as it was planned last.
pub(crate) struct Findings {
    work: Work<Same, Vec<Finding>>,
    /// What the form, the pictures and the fit have to say.
    own: Vec<Finding>,
    /// The plan whose findings are in the list.
    planned: Option<Arc<Planned>>,
    /// All of them.
    list: Vec<Finding>,
    /// The plan is of before.
    planning: bool,
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
        let work = Work::new(Arc::new(move || ctx.request_repaint()));
        Self { work, own: Vec::new(), planned: None, list: Vec::new(), planning: false }
    }

    /// Has the document checked, once it is at rest, and takes over what the plan of the plug found.
    pub(crate) fn refresh(&mut self, desk: &desk::Desk, planning: &Planning) {
        if !desk.is_previewing() {
            let document = desk.document().clone();
            let lofted: Vec<Arc<Lofted>> = (0..document.forms.len()).filter_map(|form| desk.skin(form)).collect();
            let (job, known) = (document.clone(), desk.reckoned().clone());
            self.work.want(Same(document), move |progress| check(&job, &lofted, &known, progress));
        }
        self.planning = desk.document().build.stack.used && matches!(planning.age(), Age::Old(_));
        let planned = planning.planned();
        let replanned = planned.map(Arc::as_ptr) != self.planned.as_ref().map(Arc::as_ptr);
        let checked = self.work.poll();
        if !replanned && checked.is_none() {
            return;
        }
        self.planned = planned.cloned();
        if let Some((_, Outcome::Done(own))) = checked {
            self.own = own;
        }
        self.list = desk::joined(self.own.clone(), self.planned.as_deref());
    }

    /// What was found last, the gravest first.
    pub(crate) fn list(&self) -> &[Finding] {
        &self.list
    }

    /// Whether the document has changed since the list was made.
    pub(crate) fn is_checking(&self) -> bool {
        self.work.progress().is_some() || self.planning
    }

    /// Whether a finding came from the plan of the plug.
    pub(crate) fn is_of_plug(&self, finding: &Finding) -> bool {
        let found = self.planned.iter().flat_map(|planned| &planned.plan.findings);
        found.into_iter().any(|f| f.what == finding.what)
    }

    /// How many of each severity: errors, warnings, notes.
    pub(crate) fn counts(&self) -> [usize; 3] {
        [Severity::Error, Severity::Warning, Severity::Note]
            .map(|severity| self.list.iter().filter(|f| f.severity == severity).count())
    }
}

fn check(document: &Document, lofted: &[Arc<Lofted>], known: &Reckoned, progress: &Progress) -> Vec<Finding> {
    let mut found = desk::findings(document, lofted, known);
    // What is given up half-way is thrown away by whoever gave it up.
    let shell = desk::shell::Source::of(document, lofted);
    let slow = desk::shell::slow_findings(&shell, None, known, &mut |_| !progress.is_cancelled());
    found.extend(slow.into_iter().flatten());
    found
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
    let [errors, warnings, notes] = findings.counts();
    let many = |count: usize, what: &str| match count {
        0 => None,
        1 => Some(format!("1 {what}")),
        n => Some(format!("{n} {what}s")),
    };
    let parts: Vec<String> =
        [many(errors, "error"), many(warnings, "warning"), many(notes, "note")].into_iter().flatten().collect();
    let found = if parts.is_empty() { "no findings".to_owned() } else { parts.join(", ") };
    // What is known stays to be read while the next list is made.
    if findings.is_checking() { format!("{found} · checking…") } else { found }
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
