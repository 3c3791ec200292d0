//! Added forms and the first one together: meeting lines, and the first form as the one that is shown sees it.

use super::lies::{Curve, DRAWN, SIGHTS, moved};
use form::Lofted;
use form::meeting::{Meeting, Placed, meeting, outline_along};
use geometry::loft::Loft;
use project::mount::Mount;
use std::sync::Arc;

/// What follows from an added form and the first one.
#[derive(Debug)]
pub(super) struct Met {
    of: Pair,
    pub(super) meeting: Meeting,
    /// The outline of the first form as the views of this one show it, in the axes of this one; empty while it is not shown.
    pub(super) ground: [Vec<Curve>; 3],
}

/// An added form on the first one.
#[derive(Clone, Debug)]
pub(super) struct Pair {
    pub(super) first: Arc<Lofted>,
    pub(super) own: Arc<Lofted>,
    pub(super) mount: Mount,
    /// The added one is shown, so the ground under it is wanted.
    pub(super) with_ground: bool,
}

/// All of them, by the index of the form.
#[derive(Clone, PartialEq)]
pub(super) struct MetOf(pub(super) Vec<Option<Pair>>);

impl PartialEq for Pair {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.first, &other.first)
            && Arc::ptr_eq(&self.own, &other.own)
            && self.mount == other.mount
            && self.with_ground == other.with_ground
    }
}

impl MetOf {
    /// All of them; what stays is taken over from before.
    pub(super) fn meet(&self, before: &[Option<Arc<Met>>]) -> Vec<Option<Arc<Met>>> {
        let known = |pair: &Pair| before.iter().flatten().find(|met| met.of == *pair).cloned();
        let one = |pair: &Pair| known(pair).or_else(|| pair.meet().map(Arc::new));
        self.0.iter().map(|pair| pair.as_ref().and_then(one)).collect()
    }
}

impl Pair {
    fn meet(&self) -> Option<Met> {
        let (first, own) = (loft(&self.first)?, loft(&self.own)?);
        let placed = Placed::new(&self.mount);
        let ground = |sight| moved(outline_along(first, placed.way_to_first(sight), DRAWN), |p| placed.to_own(p));
        let ground = if self.with_ground { SIGHTS.map(ground) } else { Default::default() };
        Some(Met { of: self.clone(), meeting: meeting(first, own, &self.mount, DRAWN), ground })
    }
}

fn loft(lofted: &Lofted) -> Option<&Loft> {
    Some(lofted.skin.as_ref()?.loft())
}
