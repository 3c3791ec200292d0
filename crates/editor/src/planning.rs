//! The planned plug as the window knows it: made beside the window's thread once the document is at rest. Until the next
//! plan is there the last one stays, and is shown to be of before.

use desk::{Desk, Outcome, PlanSource, Planned, Work};
use std::sync::Arc;

/// The plan that was made last, and the one that is under way.
pub(crate) struct Planning {
    work: Work<PlanSource, Option<Arc<Planned>>>,
    last: Option<(PlanSource, Arc<Planned>)>,
    /// What the document at rest asks for; `None` while the form has no surface.
    wanted: Option<PlanSource>,
    /// The builder stopped the plan for these parts.
    stopped: Option<PlanSource>,
    /// Counts the plans that were shown, so that pictures of one know when they are old.
    revision: u64,
}

/// How far the plan is that is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Age {
    /// It is of the document as it is.
    #[default]
    Fresh,
    /// It is of before; the next one is so far, from 0 to 1.
    Old(f32),
    /// It is of before, and the builder wants no other for now.
    Stopped,
}

impl Planning {
    /// Nothing planned yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        let work = Work::new(Arc::new(move || ctx.request_repaint()));
        Self { work, last: None, wanted: None, stopped: None, revision: 0 }
    }

    /// Has the plug of the first form planned, once the document is at rest.
    pub(crate) fn refresh(&mut self, desk: &Desk) {
        self.follow(desk, desk.plan_source());
    }

    /// Has the plug of a form planned that follows from these parts, once the document is at rest.
    pub(crate) fn follow(&mut self, desk: &Desk, source: Option<PlanSource>) {
        if let Some((of, Outcome::Done(Some(planned)))) = self.work.poll() {
            self.show(of, planned);
        }
        if desk.is_previewing() {
            return;
        }
        self.wanted = source.filter(PlanSource::has_surface);
        let Some(wanted) = &self.wanted else {
            self.work.cancel();
            self.revision += u64::from(self.last.take().is_some());
            return;
        };
        if self.last.as_ref().is_some_and(|(of, _)| of == wanted) {
            self.work.cancel();
        } else if let Some(known) = desk.plans().known(wanted) {
            self.work.cancel();
            let of = wanted.clone();
            self.show(of, known);
        } else if self.stopped.as_ref() != Some(wanted) {
            let (of, plans) = (wanted.clone(), desk.plans().clone());
            self.work.want(wanted.clone(), move |progress| {
                let mut told = |share: f32| {
                    progress.tell(share);
                    !progress.is_cancelled()
                };
                // Only a form without a surface has no plan, and none is asked for then.
                plans.planned(&of, &mut told).ok().flatten()
            });
        }
    }

    fn show(&mut self, of: PlanSource, planned: Arc<Planned>) {
        self.last = Some((of, planned));
        self.revision += 1;
    }

    /// Another whenever another plan is shown.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    /// What was planned last.
    pub(crate) fn planned(&self) -> Option<&Arc<Planned>> {
        self.last.as_ref().map(|(_, planned)| planned)
    }

    /// Whether that is of the document as it was when it was last at rest.
    pub(crate) fn age(&self) -> Age {
        let fresh = self.last.as_ref().map(|(of, _)| of) == self.wanted.as_ref();
        match self.work.progress() {
            _ if fresh => Age::Fresh,
            Some(share) => Age::Old(share),
            None => Age::Stopped,
        }
    }

    /// Gives the plan up that is under way, until the document changes or it is asked for again.
    pub(crate) fn stop(&mut self) {
        self.work.cancel();
        self.stopped.clone_from(&self.wanted);
    }

    /// Plans again what was stopped.
    pub(crate) fn go_on(&mut self) {
        self.stopped = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pressed::plain_desk;
    use std::sync::mpsc::channel;

    fn until(planning: &mut Planning, desk: &Desk, age: Age) {
        for _ in 0..1000 {
            planning.refresh(desk);
            if planning.age() == age {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        panic!("{:?} instead of {age:?}", planning.age());
    }

    /// Somebody else makes the very plan and takes long, so that the window's own work waits until it is given up.
    #[test]
    fn a_plan_that_is_stopped_stays_so_until_it_is_asked_for() {
        let desk = plain_desk();
        let mut planning = Planning::new(&egui::Context::default());
        let (begun, has_begun) = channel();
        let (end, may_end) = channel::<()>();
        let (of, plans) = (desk.plan_source().expect("a form"), desk.plans().clone());
        let other = std::thread::spawn(move || {
            let mut held = |_: f32| {
                begun.send(()).expect("waited for");
                may_end.recv().expect("told to end");
                false
            };
            plans.planned(&of, &mut held).expect("it has a surface")
        });
        has_begun.recv().expect("begun");
        planning.refresh(&desk);
        assert!(matches!(planning.age(), Age::Old(_)) && planning.planned().is_none());
        planning.stop();
        planning.refresh(&desk);
        assert_eq!(planning.age(), Age::Stopped);
        end.send(()).expect("the other is there");
        assert_eq!(other.join().expect("no panic"), None);
        planning.refresh(&desk);
        assert_eq!(planning.age(), Age::Stopped, "nothing begins again by itself");
        planning.go_on();
        until(&mut planning, &desk, Age::Fresh);
        assert!(planning.planned().is_some());
    }

    #[test]
    fn another_plan_is_another_revision_and_a_form_without_a_surface_has_none() {
        let mut desk = plain_desk();
        let mut planning = Planning::new(&egui::Context::default());
        until(&mut planning, &desk, Age::Fresh);
        let first = planning.revision();
        planning.refresh(&desk);
        assert_eq!(planning.revision(), first, "nothing has changed");
        let mut build = (*desk.document().build).clone();
        build.coat.laminate += 0.5;
        desk.apply(&project::edit::Edit::SetBuild(build)).expect("a good build");
        planning.refresh(&desk);
        until(&mut planning, &desk, Age::Fresh);
        assert_ne!(planning.revision(), first);
        desk.new_project();
        planning.refresh(&desk);
        assert!(planning.planned().is_none() && planning.age() == Age::Fresh);
    }
}
