//! Laminate, mass and balance, computed beside the window's thread once the document is at rest. Until the next result is there the
//! last one stays, and is told to be of before.

use crate::app::App;
use crate::theme::Theme;
use desk::shell::Source;
use desk::shell::mass::{Weighing, proposed_reinforcement};
use desk::{Outcome, Work};
use egui::{RichText, Ui};
use project::edit::Edit;
use std::sync::Arc;

/// What was weighed, or why nothing could be.
type Answer = Result<Option<Weighing>, String>;

/// Mass and balance as they were computed last, and what is under way.
pub(crate) struct WeightsWork {
    work: Work<Source, Answer>,
    last: Option<(Source, Answer)>,
    /// Whether the last result is of the document as it is.
    fresh: bool,
}

impl WeightsWork {
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), last: None, fresh: false }
    }

    /// What was weighed last.
    pub(crate) fn weighing(&self) -> Option<&Weighing> {
        self.last.as_ref()?.1.as_ref().ok()?.as_ref()
    }

    /// Whether it is of the document as it is.
    #[cfg(test)]
    pub(crate) fn is_fresh(&self) -> bool {
        self.fresh
    }

    /// Says that the result is of before, or why there is none.
    pub(crate) fn standing(&self, ui: &mut Ui, theme: &Theme) {
        let (text, colour) = match &self.last {
            Some((_, Err(why))) => (why.as_str(), theme.warning),
            _ if self.fresh => return,
            _ => ("Being weighed; what stands here is of before.", theme.weak),
        };
        ui.label(RichText::new(text).small().color(colour));
    }
}

/// Something about mass and balance that is no edit by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum WeightsAsk {
    /// Plies that strengthen the rim and the screws.
    Strengthen,
}

pub(super) fn act(app: &mut App, asked: WeightsAsk) {
    match asked {
        WeightsAsk::Strengthen => strengthen(app),
    }
}

fn strengthen(app: &mut App) {
    let document = app.desk.document().clone();
    let more = proposed_reinforcement(&document);
    if more.is_empty() {
        app.note = Some("There is nothing to strengthen, or it is strengthened already.".into());
        return;
    }
    let mut shell = (*document.shell).clone();
    shell.laminate.plies.extend(more);
    app.message = app.desk.apply(&Edit::SetShell(shell)).err().map(|refused| refused.to_string());
}

pub(super) fn refresh(app: &mut App) {
    let Some(weights) = app.shell.as_mut().map(|shell| &mut shell.weights) else { return };
    if let Some((of, outcome)) = weights.work.poll() {
        let answer = match outcome {
            Outcome::Done(answer) => answer,
            Outcome::Broke(why) => Err(why),
        };
        weights.last = Some((of, answer));
    }
    if app.view.tab != crate::view::Tab::Shell || app.desk.is_previewing() {
        return;
    }
    let document = app.desk.document().clone();
    let lofted: Vec<_> = (0..document.forms.len()).filter_map(|form| app.desk.skin(form)).collect();
    let wanted = Source::of(&document, &lofted);
    weights.fresh = weights.last.as_ref().is_some_and(|(of, _)| *of == wanted);
    if weights.fresh {
        weights.work.cancel();
        return;
    }
    let source = app.desk.plan_source();
    let (of, known) = (wanted.clone(), app.desk.reckoned().clone());
    weights.work.want(wanted, move |progress| {
        let mut told = |share: f32| {
            progress.tell(share);
            !progress.is_cancelled()
        };
        let planned =
            source.and_then(|of| known.plans().planned(&of, &mut |_| !progress.is_cancelled()).ok().flatten());
        known.weighing(&of, planned.as_deref(), &mut told).map_err(|why| why.to_string())
    });
}
