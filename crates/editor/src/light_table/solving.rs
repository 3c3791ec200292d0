//! Sections solved from the photographs: beside the window's thread, remembered with what they were solved from, and shown
//! before anything of the project changes.
//!
//! - [`found`]: a result made ready to be drawn; [`act`]: what the slate asks for; [`draw`]: residuals and the solved outline
//!   on the light table. The floor draws bands in `floor/solved`, the slate tells the numbers in `slate/sight/solving`.

pub(crate) mod act;
pub(crate) mod draw;
pub(crate) mod found;

use desk::photographs::{Breadth, solve};
use desk::{Desk, Outcome, Work};
use found::Found;
use project::airframe::Airframe;
use project::document::{Document, Form, Picture};
use std::sync::Arc;
use std::time::Instant;

/// A result, or why there is none.
type Answer = Result<Arc<Found>, String>;

/// The solve that was made last, and the one that is under way.
pub(crate) struct Solving {
    work: Work<(Source, Breadth), Answer>,
    last: Option<Last>,
    standing: Standing,
    /// Whether the breadth line is sought with the sections.
    pub(crate) breadth: Breadth,
    pub(crate) looks: Looks,
    /// Counts the results, so that what was made of one is known to be old.
    arrived: u64,
    /// Counts the solves that were asked for.
    begun: u64,
}

struct Last {
    of: Source,
    /// What the project reads as once the result is accepted.
    accepted: Option<Source>,
    answer: Answer,
}

/// How a result stands to the project as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Standing {
    /// There is none.
    #[default]
    Nothing,
    /// It is of the project as it is, and can be accepted.
    Fresh,
    /// The project is as the result says.
    Accepted,
    /// The project has changed since: it is of before.
    Old,
}

/// What is drawn of a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Looks {
    /// What was solved, with its band.
    pub(crate) after: bool,
    /// What was drawn before.
    pub(crate) before: bool,
    /// How many times as wide as it is the band is drawn.
    pub(crate) times: f64,
    /// The station that is looked at where the floor shows no section strongly.
    pub(crate) station: Option<f64>,
}

/// What a solve reads of the document.
#[derive(Clone)]
struct Source {
    pictures: Vec<Arc<Picture>>,
    form: Option<Arc<Form>>,
    airframe: Arc<Airframe>,
    model_scale: f64,
}

impl Source {
    fn of(document: &Document) -> Self {
        Self {
            pictures: document.pictures.clone(),
            form: document.forms.first().cloned(),
            airframe: document.airframe.clone(),
            model_scale: document.model_scale,
        }
    }
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        let photographs = |a: &[Arc<Picture>], b: &[Arc<Picture>]| {
            let same = |(a, b): (&Arc<Picture>, &Arc<Picture>)| {
                Arc::ptr_eq(a, b) || (a.size_px == b.size_px && a.photograph == b.photograph)
            };
            a.len() == b.len() && a.iter().zip(b).all(same)
        };
        let same_form = match (&self.form, &other.form) {
            (Some(a), Some(b)) => Arc::ptr_eq(a, b) || (a.lines == b.lines && a.sections == b.sections),
            (None, None) => true,
            _ => false,
        };
        let same_airframe = Arc::ptr_eq(&self.airframe, &other.airframe) || self.airframe == other.airframe;
        self.model_scale == other.model_scale
            && same_form
            && same_airframe
            && photographs(&self.pictures, &other.pictures)
    }
}

/// Share of the work that is the solve itself; the rest makes it ready to be drawn.
const SOLVE_SHARE: f64 = 0.85;

impl Solving {
    /// Nothing solved yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self {
            work: Work::new(Arc::new(move || ctx.request_repaint())),
            last: None,
            standing: Standing::Nothing,
            breadth: Breadth::default(),
            looks: Looks { after: true, before: true, times: 1.0, station: None },
            arrived: 0,
            begun: 0,
        }
    }

    /// Takes a result that has come, and says how the last one stands to the project.
    pub(crate) fn refresh(&mut self, desk: &Desk) {
        if let Some(((of, _), outcome)) = self.work.poll() {
            let answer = match outcome {
                Outcome::Done(answer) => answer,
                Outcome::Broke(why) => Err(why),
            };
            let accepted = answer.as_ref().ok().map(|found| Source::of(&found.solved.after));
            self.last = Some(Last { of, accepted, answer });
            self.arrived += 1;
            // The same may be asked for again once this result is dropped.
            self.work.cancel();
        }
        let now = Source::of(desk.document());
        self.standing = self.last.as_ref().map_or(Standing::Nothing, |last| last.standing(&now));
        if self.standing == Standing::Old && self.failure().is_some() {
            self.forget();
        }
    }

    /// Solves the project as it is, unless that is under way.
    pub(crate) fn run(&mut self, desk: &Desk) {
        let (document, breadth) = (desk.document().clone(), self.breadth);
        self.begun += 1;
        self.work.want((Source::of(&document), breadth), move |progress| {
            let begun = Instant::now();
            let told = |share: f64| {
                progress.tell((SOLVE_SHARE * share) as f32);
                !progress.is_cancelled()
            };
            let solved = solve(&document, breadth, &told).map_err(|why| why.to_string())?;
            Ok(Arc::new(Found::new(solved, document, breadth, begun.elapsed())))
        });
    }

    /// Gives up the solve that is under way.
    pub(crate) fn stop(&mut self) {
        self.work.cancel();
    }

    /// Drops the last result.
    pub(crate) fn forget(&mut self) {
        self.last = None;
        self.standing = Standing::Nothing;
    }

    /// How far the solve is that is under way, from 0 to 1.
    pub(crate) fn progress(&self) -> Option<f32> {
        self.work.progress()
    }

    /// What was found last.
    pub(crate) fn found(&self) -> Option<&Arc<Found>> {
        self.last.as_ref().and_then(|last| last.answer.as_ref().ok())
    }

    /// Why nothing was found.
    pub(crate) fn failure(&self) -> Option<&str> {
        self.last.as_ref().and_then(|last| last.answer.as_ref().err()).map(String::as_str)
    }

    /// How what was found stands to the project.
    pub(crate) fn standing(&self) -> Standing {
        self.standing
    }

    /// How many solves were asked for, and how many results have come.
    pub(crate) fn turns(&self) -> [u64; 2] {
        [self.begun, self.arrived]
    }

    /// Another whenever a result has come.
    pub(crate) fn arrived(&self) -> u64 {
        self.arrived
    }
}

impl Last {
    fn standing(&self, now: &Source) -> Standing {
        if self.of == *now {
            Standing::Fresh
        } else if self.accepted.as_ref() == Some(now) {
            Standing::Accepted
        } else {
            Standing::Old
        }
    }
}
