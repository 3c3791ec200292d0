//! What is measured between the form and the bench: made beside the window's thread once the document is at
//! rest; until the next is there the last one stays.

use desk::{Desk, Outcome, Work};
use fit::keep_outs::{self, Clearance};
use fit::shell::Shell;
use fit::thrust::{self, RingMeeting};
use form::{Finding, Lofted};
use project::airframe::Airframe;
use project::build::Build;
use std::sync::Arc;

/// The figures, made in the background.
pub(crate) struct Figures {
    work: Work<MadeFrom, Measures>,
    last: Measures,
}

/// The very parts of the document that the figures depend on.
#[derive(Clone)]
struct MadeFrom {
    airframe: Arc<Airframe>,
    build: Arc<Build>,
    lofted: Arc<Lofted>,
}

impl PartialEq for MadeFrom {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.airframe, &other.airframe)
            && Arc::ptr_eq(&self.build, &other.build)
            && Arc::ptr_eq(&self.lofted, &other.lofted)
    }
}

/// What was measured on the project's first form.
#[derive(Clone, Debug, Default)]
pub(crate) struct Measures {
    /// First and last end of the form.
    pub(crate) ends: Option<(f64, f64)>,
    /// How the ring meets the form.
    pub(crate) ring: Option<RingMeeting>,
    /// Least distance of each keep-out to the inside of the shell; `None` where it has no place.
    pub(crate) keep_outs: Vec<Option<Clearance>>,
    /// What each gauge measures; `None` beyond the form.
    pub(crate) gauges: Vec<Option<f64>>,
    /// What the shell hits when it is drawn off; `None` while there is no shell.
    pub(crate) in_the_way: Option<Vec<Finding>>,
}

impl Figures {
    /// Nothing measured yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        Self { work: Work::new(Arc::new(move || ctx.request_repaint())), last: Measures::default() }
    }

    /// Has everything measured, once the document is at rest.
    pub(crate) fn refresh(&mut self, desk: &Desk) {
        if !desk.is_previewing()
            && let Some(lofted) = desk.skin(0)
        {
            let document = desk.document();
            let from = MadeFrom { airframe: document.airframe.clone(), build: document.build.clone(), lofted };
            let job = from.clone();
            self.work.want(from, move |_| measure(&job.airframe, &job.build, &job.lofted));
        }
        if let Some((_, Outcome::Done(measures))) = self.work.poll() {
            self.last = measures;
        }
    }

    /// What was measured last.
    pub(crate) fn measures(&self) -> &Measures {
        &self.last
    }

    /// Whether the document has changed since.
    #[cfg(test)]
    pub(crate) fn is_measuring(&self) -> bool {
        self.work.progress().is_some()
    }
}

fn measure(airframe: &Airframe, build: &Build, lofted: &Lofted) -> Measures {
    let Some(skin) = &lofted.skin else { return Measures::default() };
    let loft = skin.loft();
    let shaft = airframe.thrust.as_ref().map(thrust::shaft);
    let shell = Shell::new(loft, fit::wall(build), fit::ring_trim(airframe));
    let standing = keep_outs::standing(&airframe.keep_outs, shaft.as_ref(), &shell);
    Measures {
        in_the_way: Some(fit::in_the_way(airframe, &standing, &shell)),
        ends: Some(loft.x_range()),
        ring: airframe.thrust.as_ref().and_then(|line| thrust::ring_meeting(line, loft)),
        keep_outs: standing.into_iter().map(|s| s.ok().and_then(|s| s.clearance)).collect(),
        gauges: airframe.gauges.iter().map(|g| fit::gauges::measure(g, loft).map(|m| m.value)).collect(),
    }
}
