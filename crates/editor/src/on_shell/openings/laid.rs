//! Openings as they are cut through the form. Made anew only as far as something has changed: while one is dragged, the others stay.

use form::Lofted;
use form::openings::{Areas, Hole, Passage, Target};
use project::airframe::Airframe;
use project::document::{Document, Form};
use project::opening::Opening;
use std::sync::Arc;

/// How near lines keep to the curves, mm.
const DRAWN: f64 = 0.02;

/// All openings of the form that is shown, on its surface.
#[derive(Debug, Default)]
pub(crate) struct Laid {
    from: Option<From>,
    all: Vec<OneLaid>,
    revision: u64,
}

/// What all of them follow from.
#[derive(Debug)]
struct From {
    form: usize,
    surface: u64,
    airframe: Arc<Airframe>,
    openings: Vec<Arc<Opening>>,
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
    /// Brings them up to date; `surface` changes with the loft.
    pub(super) fn refresh(
        &mut self,
        document: &Document,
        index: usize,
        form: &Form,
        lofted: Option<&Lofted>,
        surface: u64,
    ) {
        let same_ground = |from: &From| {
            from.form == index && from.surface == surface && Arc::ptr_eq(&from.airframe, &document.airframe)
        };
        let kept = self.from.as_ref().is_some_and(same_ground);
        if kept && self.from.as_ref().is_some_and(|from| same(&from.openings, &form.openings)) {
            return;
        }
        let before = if kept { std::mem::take(&mut self.all) } else { Vec::new() };
        let target = lofted.and_then(|lofted| Target::of(document, index, lofted));
        let known = |opening: &Arc<Opening>| before.iter().find(|laid| Arc::ptr_eq(&laid.opening, opening)).cloned();
        self.all = match &target {
            Some(target) => form.openings.iter().map(|o| known(o).unwrap_or_else(|| lay(target, o))).collect(),
            None => Vec::new(),
        };
        let openings = form.openings.clone();
        self.from = Some(From { form: index, surface, airframe: document.airframe.clone(), openings });
        self.revision += 1;
    }

    /// One of them; `None` while the form has no surface.
    pub(crate) fn one(&self, opening: usize) -> Option<&OneLaid> {
        self.all.get(opening)
    }

    /// All of them.
    pub(crate) fn all(&self) -> &[OneLaid] {
        &self.all
    }

    /// Where the middle of an opening lies on the surface.
    pub(crate) fn middle(&self, opening: usize) -> Option<[f64; 3]> {
        let holes = self.one(opening)?.holes.as_ref().ok()?;
        Some(holes.first()?.hole.centre.as_ref()?.point)
    }

    /// Counts the changes.
    pub(super) fn revision(&self) -> u64 {
        self.revision
    }
}

fn same(a: &[Arc<Opening>], b: &[Arc<Opening>]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| Arc::ptr_eq(a, b))
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
