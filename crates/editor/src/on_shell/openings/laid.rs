//! Openings as they are cut through the form. Made anew only as far as something has changed: while one is dragged, the others stay.
//! As they take longer than a frame may, they follow a drag a little behind; the outline as it is drawn does not.

use crate::follower::Follower;
use form::Lofted;
use form::openings::{Areas, Hole, Passage, Target};
use project::document::{Document, Form};
use project::opening::Opening;
use std::sync::Arc;

/// How near lines keep to the curves, mm.
const DRAWN: f64 = 0.02;

/// All openings of the form that is shown, on its surface.
pub(crate) struct Laid(Follower<From, Arc<Vec<OneLaid>>>);

/// What all of them follow from.
#[derive(Clone)]
struct From {
    form: usize,
    /// Changes with the loft.
    surface: u64,
    lofted: Option<Arc<Lofted>>,
    document: Arc<Document>,
    openings: Vec<Arc<Opening>>,
}

impl From {
    /// Whether they lie on the same surface, trimmed by the same ring.
    fn is_on_the_ground_of(&self, other: &Self) -> bool {
        self.form == other.form
            && self.surface == other.surface
            && Arc::ptr_eq(&self.document.airframe, &other.document.airframe)
    }
}

impl PartialEq for From {
    fn eq(&self, other: &Self) -> bool {
        self.is_on_the_ground_of(other) && same(&self.openings, &other.openings)
    }
}

/// One opening on the surface.
#[derive(Clone, Debug)]
pub(crate) struct OneLaid {
    opening: Arc<Opening>,
    /// The hole, and that of its mirror image; or what is wrong with the outline.
    pub(crate) holes: Result<Vec<OneHole>, String>,
}

/// One hole.
#[derive(Clone, Debug)]
pub(crate) struct OneHole {
    pub(crate) hole: Hole,
    pub(crate) areas: Areas,
    /// Its duct, where it has one and lies wholly on the form.
    pub(crate) passage: Option<Passage>,
}

impl Laid {
    /// Nothing laid yet.
    pub(super) fn new(ctx: &egui::Context) -> Self {
        Self(Follower::new(ctx))
    }

    /// Brings them up to date; while something is dragged, a little behind.
    pub(super) fn refresh(
        &mut self,
        document: &Arc<Document>,
        index: usize,
        form: &Form,
        lofted: Option<Arc<Lofted>>,
        surface: u64,
        at_rest: bool,
    ) {
        let openings = form.openings.clone();
        let of = From { form: index, surface, lofted, document: document.clone(), openings };
        let before = self.0.of();
        let kept = before.is_some_and(|before| before.is_on_the_ground_of(&of));
        // The window does not wait for the first ones.
        let another_form = before.is_some_and(|before| before.form != index);
        let at_once = another_form || at_rest && before.is_some();
        let from = of.clone();
        self.0.follow(&of, at_once, move |before| {
            Arc::new(lay_all(&from, before.filter(|_| kept).map_or(&[], |all| all.as_slice())))
        });
    }

    /// One of them; `None` while the form has no surface.
    pub(crate) fn one(&self, opening: usize) -> Option<&OneLaid> {
        self.all().get(opening)
    }

    /// All of them.
    pub(crate) fn all(&self) -> &[OneLaid] {
        self.0.made().map_or(&[], |all| all.as_slice())
    }

    /// All of them, for another thread.
    pub(crate) fn shared(&self) -> Option<Arc<Vec<OneLaid>>> {
        self.0.made().cloned()
    }

    /// Whether others are being laid.
    #[cfg(test)]
    pub(crate) fn is_under_way(&self) -> bool {
        self.0.is_under_way()
    }

    /// Where the middle of an opening lies on the surface.
    pub(crate) fn middle(&self, opening: usize) -> Option<[f64; 3]> {
        let holes = self.one(opening)?.holes.as_ref().ok()?;
        Some(holes.first()?.hole.centre.as_ref()?.point)
    }

    /// Counts the changes.
    pub(super) fn revision(&self) -> u64 {
        self.0.revision()
    }
}

fn same(a: &[Arc<Opening>], b: &[Arc<Opening>]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| Arc::ptr_eq(a, b))
}

/// All of them; those that stay are taken over from before.
fn lay_all(of: &From, before: &[OneLaid]) -> Vec<OneLaid> {
    let lofted = of.lofted.as_deref();
    let Some(target) = lofted.and_then(|lofted| Target::of(&of.document, of.form, lofted)) else { return Vec::new() };
    let known = |o: &Arc<Opening>| before.iter().find(|laid| Arc::ptr_eq(&laid.opening, o)).cloned();
    of.openings.iter().map(|o| known(o).unwrap_or_else(|| lay(&target, o))).collect()
}

fn lay(target: &Target<'_>, opening: &Arc<Opening>) -> OneLaid {
    let sides: &[bool] = if opening.mirrored { &[false, true] } else { &[false] };
    let holes = sides.iter().map(|mirrored| {
        let hole = Hole::cut(target, 0, opening, *mirrored, DRAWN).map_err(|why| why.to_string())?;
        let areas = hole.areas(target);
        let passage = hole.passage(target);
        Ok(OneHole { hole, areas, passage })
    });
    OneLaid { opening: opening.clone(), holes: holes.collect() }
}
