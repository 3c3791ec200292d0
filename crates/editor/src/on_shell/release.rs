//! The release in the window: the draft map, what is undercut, and the joint line. Computed beside the window's thread once the document
//! is at rest, while its page is open.

use super::ShellPage;
use super::cloth::under_the_pointer;
use super::heat::draw::{self, Paint};
use super::heat::scale::Scale;
use super::heat::{HeatMap, Patch, normal_of};
use crate::app::App;
use crate::floor::draw::Look;
use crate::view::{Tab, ViewState};
use desk::shell::Source;
use desk::shell::release::Releasing;
use desk::{Outcome, Progress, Reckoned, Work};
use egui::Painter;
use form::space::{Vector, dot, sub, times};
use shell::release::{DraftCell, Joint};
use std::sync::Arc;

/// What was found, ready to be drawn.
#[derive(Debug)]
pub(crate) struct Told {
    pub(crate) releasing: Arc<Releasing>,
    /// All ways to part the shell, the one with least undercut first.
    pub(crate) joints: Arc<Vec<Joint>>,
    pub(crate) scale: Scale,
    pub(crate) draft: Arc<HeatMap>,
}

/// The release as it was computed last, and what is under way.
pub(crate) struct ReleaseWork {
    work: Work<Source, Result<Option<Arc<Told>>, String>>,
    last: Option<(Source, Arc<Told>)>,
    wanted: Option<Source>,
    stopped: bool,
    failure: Option<String>,
    /// Counts what was shown, so that pictures of it know when they are old.
    revision: u64,
}

/// How what is shown stands to the document.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Standing {
    /// It is of the document as it was when it was last at rest.
    Fresh,
    /// It is of before, or there is nothing yet; the next is so far, from 0 to 1.
    Old(f32),
    /// It is of before, and was given up.
    Stopped,
}

/// Something about the release that is no edit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ReleaseAsk {
    /// To be given up, or worked out after all.
    Stop(bool),
}

impl ReleaseWork {
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        let work = Work::new(Arc::new(move || ctx.request_repaint()));
        Self { work, last: None, wanted: None, stopped: false, failure: None, revision: 0 }
    }

    /// What was found last.
    pub(crate) fn told(&self) -> Option<&Arc<Told>> {
        self.last.as_ref().map(|(_, told)| told)
    }

    /// Why nothing was.
    pub(crate) fn failure(&self) -> Option<&str> {
        self.failure.as_deref()
    }

    /// How what is shown stands to the document.
    pub(crate) fn standing(&self) -> Standing {
        if self.failure.is_some() || self.last.as_ref().map(|(of, _)| of) == self.wanted.as_ref() {
            return Standing::Fresh;
        }
        match self.work.progress() {
            Some(share) => Standing::Old(share),
            None if self.stopped => Standing::Stopped,
            None => Standing::Old(0.0),
        }
    }

    /// Another whenever something else is shown.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    fn refresh(&mut self, now: Option<Source>, known: &Reckoned) {
        if let Some((of, outcome)) = self.work.poll() {
            let answer = match outcome {
                Outcome::Done(answer) => answer,
                Outcome::Broke(why) => Err(why),
            };
            match answer {
                Ok(Some(told)) => (self.last, self.failure) = (Some((of, told)), None),
                Ok(None) => {}
                Err(why) => (self.last, self.failure) = (None, Some(why)),
            }
            self.revision += 1;
        }
        let Some(now) = now else { return };
        if self.wanted.as_ref() != Some(&now) {
            (self.wanted, self.stopped, self.failure) = (Some(now.clone()), false, None);
        }
        if !now.has_surface() {
            self.work.cancel();
            self.revision += u64::from(self.last.take().is_some());
        } else if self.last.as_ref().is_none_or(|(of, _)| *of != now) && self.failure.is_none() && !self.stopped {
            let known = known.clone();
            self.work.want(now.clone(), move |progress| told(&now, &known, progress));
        }
    }
}

/// Share of the work that is the release itself; the rest is the joint lines.
const FIRST: f32 = 0.4;

fn told(source: &Source, known: &Reckoned, progress: &Progress) -> Result<Option<Arc<Told>>, String> {
    let mut first = |share: f32| {
        progress.tell(FIRST * share);
        !progress.is_cancelled()
    };
    let Some(releasing) = known.release(source, &mut first).map_err(|why| why.to_string())? else { return Ok(None) };
    let mut second = |share: f32| {
        progress.tell(FIRST + (1.0 - FIRST) * share);
        !progress.is_cancelled()
    };
    let Some(joints) = known.joints(source, &mut second).map_err(|why| why.to_string())? else { return Ok(None) };
    let scale = Scale::Draft { wanted_deg: releasing.wanted.draft_deg };
    let draft = Arc::new(HeatMap::new(patches(&releasing.draft)));
    Ok(Some(Arc::new(Told { releasing, joints, scale, draft })))
}

/// Draft below this is undercut, degrees: a straight side is none, whatever rounding makes of it.
const LEVEL: f64 = -1e-3;

fn patches(cells: &[DraftCell]) -> Vec<Patch> {
    let count = (4 * cells.len()).max(1) as f64;
    let sum = cells.iter().flat_map(|c| c.corners).fold([0.0; 3], form::space::add);
    let centre = times(sum, 1.0 / count);
    // They come in pairs, starboard and port.
    cells.iter().enumerate().map(|(k, cell)| patch(cell, centre, (k / 2).is_multiple_of(3))).collect()
}

fn patch(cell: &DraftCell, centre: Vector, hatched: bool) -> Patch {
    let value = 0.25 * cell.draft_deg.iter().sum::<f64>();
    let mut patch = Patch {
        corners: cell.corners,
        values: cell.draft_deg,
        value,
        beyond: value < LEVEL,
        hatched,
        faint: false,
        lines: [false; 4],
        normal: normal_of(&cell.corners),
    };
    // Cells run round either way: outward is away from the axis, or from the middle where the surface lies across it.
    let mut from = centre;
    if patch.normal[0].abs() < 0.9 {
        from[0] = patch.middle()[0];
    }
    if dot(patch.normal, sub(patch.middle(), from)) < 0.0 {
        patch.normal = times(patch.normal, -1.0);
    }
    patch
}

/// Whether the page about the release is open, and the form it is about shown.
pub(crate) fn is_open(view: &ViewState) -> bool {
    view.tab == Tab::Shell && view.shell == ShellPage::Release && view.form == 0
}

pub(super) fn act(app: &mut App, asked: ReleaseAsk) {
    let Some(work) = app.shell.as_mut().map(|shell| &mut shell.release) else { return };
    let ReleaseAsk::Stop(stop) = asked;
    work.stopped = stop;
    if stop {
        work.work.cancel();
    }
}

pub(super) fn refresh(app: &mut App) {
    if !is_open(&app.view) {
        return;
    }
    let document = app.desk.document();
    let now = (!app.desk.is_previewing()).then(|| {
        let lofted: Vec<_> = (0..document.forms.len()).filter_map(|form| app.desk.skin(form)).collect();
        Source::of(document, &lofted)
    });
    if let Some(shell) = &mut app.shell {
        shell.release.refresh(now, app.desk.reckoned());
    }
}

pub(super) fn paint(painter: &Painter, app: &App, look: &Look<'_>) {
    let Some(work) = app.shell.as_ref().map(|shell| &shell.release).filter(|_| is_open(&app.view)) else { return };
    let Some(told) = work.told() else { return };
    let old = work.standing() != Standing::Fresh;
    draw::map(painter, look, &told.draft, &Paint { scale: told.scale, old, lines: false });
    if let Some(joint) = &told.releasing.chosen {
        for line in &joint.lines {
            draw::line(painter, look, &told.draft, line, look.theme.section);
        }
    }
    for patch in told.releasing.whole.patches.iter().take(3) {
        let text = format!("held: {:.0} mm²", patch.area);
        draw::mark(painter, look, &told.draft, (patch.worst, &text), look.theme.error);
    }
    draw::legend(painter, look, "Draft along the way off, degrees", told.scale);
    under_the_pointer(painter, app, look, |view, at| {
        let patch = told.draft.under(view, at)?;
        Some(format!("draft {:.1}°", patch.value))
    });
}
