//! One hole in the surface: an opening, or the mirror image of one, met with the form.

mod follow;

use super::outline::{OutlineCurve, OutlineError, mirror_image};
use super::target::{SkinPlace, Target};
use project::document::Form;
use project::opening::{Duct, Opening, Purpose, Seen};

/// A place of a hole's edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HolePlace {
    /// Parameter of the outline.
    pub u: f64,
    /// Where it meets the form.
    pub place: SkinPlace,
}

/// A stretch of the outline that meets the form.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// It is the whole outline: the last place goes on to the first.
    pub closed: bool,
    /// Places in order. Where the outline crosses a crease of the surface, or from the flat front to the side, one lies there.
    pub places: Vec<HolePlace>,
}

/// Why a stretch of an outline does not go on along the surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The line of sight passes the form, or meets only what the ring trims off.
    Beyond,
    /// The line of sight steps from a nearer part of the form to a farther one.
    Fold,
}

/// A stretch of an outline that does not meet the form, or steps on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Missed {
    /// Parameters of the outline where it begins and ends; it may run over the outline's start.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Its middle in the view.
    pub at: [f64; 2],
    /// Why.
    pub why: Why,
}

/// A hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Index of the opening in the form.
    pub opening: usize,
    /// It is the mirror image.
    pub mirrored: bool,
    /// What it is for.
    pub purpose: Purpose,
    /// From where it is cut: for a mirror image the other side.
    pub seen: Seen,
    /// Its outline in that view.
    pub curve: OutlineCurve,
    /// How deep it goes, its inner outline mirrored with it.
    pub duct: Option<Duct>,
    /// The inner outline in the view; `None` where there is no duct.
    pub inner: Option<OutlineCurve>,
    /// What meets the form.
    pub runs: Vec<Run>,
    /// What does not.
    pub missed: Vec<Missed>,
    /// Where the line of sight through the outline's centroid meets the form.
    pub centre: Option<SkinPlace>,
}

impl Hole {
    /// Cuts an opening, or its mirror image. Chords between neighbouring places stay within `tolerance` mm of the edge on the surface.
    ///
    /// # Errors
    /// An outline that is none.
    pub fn cut(
        target: &Target<'_>,
        index: usize,
        opening: &Opening,
        mirrored: bool,
        tolerance: f64,
    ) -> Result<Self, OutlineError> {
        let own = OutlineCurve::of(&opening.outline)?;
        let inner = opening.duct.as_ref().map(|duct| duct.inner.as_ref().map_or(Ok(own.clone()), OutlineCurve::of));
        let inner = inner.transpose()?;
        let image =
            |curve: OutlineCurve| if mirrored { mirror_image(opening.seen, &curve) } else { (opening.seen, curve) };
        let (seen, curve) = image(own);
        let inner = inner.map(|inner| image(inner).1);
        let (runs, missed) = follow::follow(target, seen, &curve, tolerance);
        let centre = target.meet(seen, curve.centre());
        Ok(Self {
            opening: index,
            mirrored,
            purpose: opening.purpose,
            seen,
            curve,
            duct: opening.duct.clone(),
            inner,
            runs,
            missed,
            centre,
        })
    }

    /// The edge, if it is one closed curve on the surface.
    pub fn whole(&self) -> Option<&Run> {
        self.runs.first().filter(|run| run.closed)
    }

    /// Every place of the edge.
    pub fn places(&self) -> impl Iterator<Item = &SkinPlace> {
        self.runs.iter().flat_map(|run| run.places.iter().map(|p| &p.place))
    }
}

/// Every hole of a form, the mirror image after its own; for an outline that is none its index and why.
pub fn holes(target: &Target<'_>, form: &Form, tolerance: f64) -> Vec<Result<Hole, (usize, OutlineError)>> {
    let of = |(i, opening): (usize, &std::sync::Arc<Opening>)| {
        let sides: &[bool] = if opening.mirrored { &[false, true] } else { &[false] };
        let cut = |mirrored: &bool| Hole::cut(target, i, opening, *mirrored, tolerance).map_err(|why| (i, why));
        sides.iter().map(cut).collect::<Vec<_>>()
    };
    form.openings.iter().enumerate().flat_map(of).collect()
}
