//! What takes longer than a frame may: at once while the document is at rest, and a little behind while something is dragged.

use desk::{Outcome, Work};

/// Something derived from `F`. While a drag goes on it is made beside the window's thread, one after the other and each from the
/// newest there is; what was made last stays meanwhile.
pub(crate) struct Follower<F, T> {
    work: Work<F, T>,
    under_way: bool,
    last: Option<(F, T)>,
    /// What failed: it would fail again.
    broke: Option<F>,
    revision: u64,
}

impl<F: PartialEq + Clone, T: Send + 'static> Follower<F, T> {
    /// Nothing made yet.
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let ctx = ctx.clone();
        let work = Work::new(std::sync::Arc::new(move || ctx.request_repaint()));
        Self { work, under_way: false, last: None, broke: None, revision: 0 }
    }

    /// Has it made from `of`, `at_once` or beside the window's thread. `make` is given what was made last, to take over what stays.
    pub(crate) fn follow<M>(&mut self, of: &F, at_once: bool, make: M)
    where
        F: Send + 'static,
        T: Clone,
        M: FnOnce(Option<&T>) -> T + Send + 'static,
    {
        self.take();
        if self.last.as_ref().is_some_and(|(from, _)| from == of) {
            self.drop_what_runs();
        } else if at_once {
            self.drop_what_runs();
            let made = make(self.made());
            self.show(of.clone(), made);
        } else if self.is_free_for(of) {
            self.under_way = true;
            let before = self.made().cloned();
            self.work.want(of.clone(), move |_| make(before.as_ref()));
        }
    }

    /// Whether [`Self::follow`] would begin it beside the window's thread, for what is costly to ask for.
    pub(crate) fn wants(&mut self, of: &F) -> bool {
        self.take();
        self.last.as_ref().is_none_or(|(from, _)| from != of) && self.is_free_for(of)
    }

    fn is_free_for(&self, of: &F) -> bool {
        !self.under_way && self.broke.as_ref() != Some(of)
    }

    fn take(&mut self) {
        match self.work.poll() {
            Some((of, Outcome::Done(made))) => {
                self.under_way = false;
                self.show(of, made);
            }
            Some((of, Outcome::Broke(_))) => {
                self.under_way = false;
                self.broke = Some(of);
            }
            None => {}
        }
    }

    fn drop_what_runs(&mut self) {
        self.work.cancel();
        self.under_way = false;
    }

    fn show(&mut self, of: F, made: T) {
        self.last = Some((of, made));
        self.revision += 1;
    }

    /// What was made last.
    pub(crate) fn made(&self) -> Option<&T> {
        self.last.as_ref().map(|(_, made)| made)
    }

    /// Whether something is being made.
    #[cfg(test)]
    pub(crate) fn is_under_way(&self) -> bool {
        self.under_way
    }

    /// What that was made from.
    pub(crate) fn of(&self) -> Option<&F> {
        self.last.as_ref().map(|(of, _)| of)
    }

    /// Another whenever something else was made.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::channel;

    fn follower() -> Follower<u32, Vec<u32>> {
        Follower::new(&egui::Context::default())
    }

    /// As frames do, until it is there.
    fn until(follower: &mut Follower<u32, Vec<u32>>, of: u32) {
        for _ in 0..6000 {
            follower.follow(&of, false, move |_| vec![of]);
            if follower.made() == Some(&vec![of]) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(2));
        }
        panic!("{of} was not made");
    }

    #[test]
    fn at_rest_it_is_there_at_once_and_knows_what_was_before() {
        let mut follower = follower();
        follower.follow(&1, true, |before| vec![before.map_or(0, Vec::len) as u32]);
        follower.follow(&2, true, |before| vec![before.map_or(0, Vec::len) as u32]);
        assert_eq!((follower.made(), follower.revision()), (Some(&vec![1]), 2));
        follower.follow(&2, true, |_| panic!("nothing has changed"));
        assert_eq!(follower.revision(), 2);
    }

    #[test]
    fn a_drag_never_waits_and_the_newest_is_made_when_the_one_before_is_done() {
        let mut follower = follower();
        follower.follow(&1, true, |_| vec![1]);
        let (end, may_end) = channel::<()>();
        follower.follow(&2, false, move |_| {
            may_end.recv().expect("told to end");
            vec![2]
        });
        follower.follow(&3, false, |_| panic!("one at a time"));
        assert_eq!(follower.made(), Some(&vec![1]), "what was there stays");
        end.send(()).expect("it runs");
        until(&mut follower, 4);
        assert_eq!(follower.revision(), 3, "the one that was under way is shown too");
    }

    #[test]
    fn what_is_made_late_does_not_replace_what_was_made_at_rest() {
        let mut follower = follower();
        let (end, may_end) = channel::<()>();
        let (begin, has_begun) = channel::<()>();
        follower.follow(&1, false, move |_| {
            begin.send(()).expect("waited for");
            may_end.recv().expect("told to end");
            vec![1]
        });
        has_begun.recv().expect("it runs");
        follower.follow(&2, true, |_| vec![2]);
        end.send(()).expect("it runs");
        for _ in 0..20 {
            std::thread::sleep(std::time::Duration::from_millis(2));
            follower.follow(&2, false, |_| panic!("nothing has changed"));
        }
        assert_eq!(follower.made(), Some(&vec![2]));
    }

    #[test]
    fn what_fails_is_not_tried_again_and_harms_nothing() {
        let mut follower = follower();
        follower.follow(&1, true, |_| vec![1]);
        // Writing the mistake down may take a while.
        for _ in 0..6000 {
            follower.follow(&2, false, |_| panic!("a mistake"));
            if follower.broke.is_some() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        follower.follow(&2, false, |_| vec![2]);
        assert!(!follower.under_way && follower.made() == Some(&vec![1]));
        until(&mut follower, 3);
    }
}
