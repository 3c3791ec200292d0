//! All that is reckoned of a document beside its lofts, remembered: the planned plug, how cloth lies, whether the shell comes off, what
//! it weighs, what its openings let through, where forms meet.
//!
//! Findings, sheets, book, pictures and every page of the window ask the same [`Reckoned`], so that each thing is reckoned once. Each is
//! a pure function of what it is remembered by.

use crate::output::remembering::{FitSource, Ground, PartsSource, TrimSource};
use crate::plans::{PlanSource, Planned, Plans};
use crate::remembered::Remembered;
use crate::shell::Source;
use crate::shell::added::{AddedMeeting, CLOSE};
use crate::shell::airflow::{Airflow, airflow_by};
use crate::shell::cloth::{ClothFailure, ClothPlan, PlyToLay, SurfaceSource, Surfaces, cloth_plan, plies_to_lay};
use crate::shell::mass::{Weighing, weigh_shells, with_plug};
use crate::shell::release::{ReleaseFailure, Releasing, joints, release, way};
use crate::{output::NotLofted, shell};
use ::shell::drape::Cover;
use ::shell::release::Joint;
use form::meeting::{Meeting, meeting};
use form::space::Vector;
use form::{Lofted, PlugSurface};
use geometry::mesh::Mesh;
use project::document::{Document, PaperSetup};
use project::mount::Mount;
use project::shell::{Draping, Release};
use sheets::{Layout, Part};
use std::sync::Arc;

/// What was reckoned of late, shared between threads. A copy shares it too.
#[derive(Clone, Debug, Default)]
pub struct Reckoned {
    plans: Plans,
    surfaces: Surfaces,
    cloths: Remembered<ClothSource, ClothPlan>,
    releases: Remembered<ReleaseSource, Releasing>,
    joints: Remembered<ReleaseSource, Vec<Joint>>,
    weighings: Remembered<Source, Weighing>,
    airs: Remembered<(Source, usize), Option<Arc<Airflow>>>,
    meetings: Remembered<MeetingSource, Meeting>,
    /// Surfaces from which templates are laid flat.
    pub(crate) grounds: Remembered<Ground, Mesh, 4>,
    /// Templates of openings, each opening by itself, so that moving one leaves the others; and of the lines where forms meet.
    pub(crate) trims: Remembered<TrimSource, Vec<Part>, 48>,
    pub(crate) fit_lines: Remembered<FitSource, Vec<Part>>,
    /// All parts of the sheets, and how they lie on paper.
    pub(crate) parts: Remembered<PartsSource, Vec<Part>, 3>,
    pub(crate) layouts: Remembered<(PartsSource, PaperSetup), Layout, 3>,
}

/// The parts of a document that its cloth follows from.
#[derive(Clone, Debug, PartialEq)]
struct ClothSource {
    surface: SurfaceSource,
    draping: Draping,
    plies: Vec<PlyToLay>,
    stations: Vec<f64>,
}

/// The parts of a document that its release follows from.
#[derive(Clone, Debug)]
struct ReleaseSource {
    lofted: Arc<Lofted>,
    taken_off: f64,
    cover: Cover,
    way: (Vector, shell::release::WayFrom),
    set: Release,
}

impl ReleaseSource {
    fn of(source: &Source) -> Result<Self, NotLofted> {
        let (skin, document) = (source.skin()?, source.document());
        let lofted = Arc::clone(&source.lofted()[0]);
        let taken_off = PlugSurface::of(skin, &document.build).taken_off();
        let set = document.shell.release;
        Ok(Self { lofted, taken_off, cover: source.cover(), way: way(document), set })
    }
}

impl PartialEq for ReleaseSource {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.lofted, &other.lofted)
            && self.taken_off == other.taken_off
            && self.cover == other.cover
            && self.way == other.way
            && self.set == other.set
    }
}

/// Two skins, the second put on the first.
#[derive(Clone, Debug)]
struct MeetingSource {
    lofted: [Arc<Lofted>; 2],
    mount: Mount,
}

impl PartialEq for MeetingSource {
    fn eq(&self, other: &Self) -> bool {
        self.lofted.iter().zip(&other.lofted).all(|(a, b)| Arc::ptr_eq(a, b)) && self.mount == other.mount
    }
}

/// Nobody gives it up.
fn on(_: f32) -> bool {
    true
}

impl Reckoned {
    /// The planned plugs.
    pub fn plans(&self) -> &Plans {
        &self.plans
    }

    /// The surfaces that cloth lies on.
    pub fn surfaces(&self) -> &Surfaces {
        &self.surfaces
    }

    /// The plug of a document's first form; nothing if there is no form.
    ///
    /// # Errors
    /// The form cannot be lofted yet.
    pub fn planned(&self, document: &Document, lofted: &[Arc<Lofted>]) -> Result<Option<Arc<Planned>>, NotLofted> {
        let source = lofted.first().and_then(|first| PlanSource::of(document, first));
        source.map_or(Ok(None), |of| self.plans.planned(&of, &mut on))
    }

    /// The cloth of form number `form`, as [`cloth_plan`] lays it. `progress` as there.
    ///
    /// # Errors
    /// As [`cloth_plan`], or no surface.
    pub fn cloth(
        &self,
        document: &Document,
        form: usize,
        lofted: &Arc<Lofted>,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Arc<ClothPlan>>, ClothFailure> {
        let failure = || ClothFailure::NoForm(form + 1);
        let surface = SurfaceSource::of(document, form, lofted).ok_or_else(failure)?;
        let stations = document.in_force().forms.get(form).ok_or_else(failure)?.stations.clone();
        let (draping, plies) = (document.shell.draping, plies_to_lay(document, surface.halves()));
        let of = ClothSource { surface, draping, plies, stations };
        self.cloths.for_as_many(document.forms.len()).made(&of, progress, |progress| {
            let surface = self.surfaces.surface(&of.surface)?;
            cloth_plan(document, form, &surface, progress)
        })
    }

    /// Whether the shell comes off, as [`release()`] tells. `progress` as there.
    ///
    /// # Errors
    /// As [`release()`].
    pub fn release(
        &self,
        source: &Source,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Arc<Releasing>>, ReleaseFailure> {
        self.releases.for_as_many(source.document().forms.len()).made(
            &ReleaseSource::of(source)?,
            progress,
            |progress| release(source, progress),
        )
    }

    /// All ways to part the shell in two, as [`joints`] finds them. `progress` as there.
    ///
    /// # Errors
    /// As [`joints`].
    pub fn joints(
        &self,
        source: &Source,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Arc<Vec<Joint>>>, ReleaseFailure> {
        self.joints
            .for_as_many(source.document().forms.len())
            .made(&ReleaseSource::of(source)?, progress, |progress| joints(source, progress))
    }

    /// What the shell is made of and weighs. `planned` is the plug's plan, if there is one. `progress` as in [`Self::cloth`].
    ///
    /// # Errors
    /// The first form cannot be lofted yet.
    pub fn weighing(
        &self,
        source: &Source,
        planned: Option<&Planned>,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Weighing>, NotLofted> {
        let shells = self.weighings.made(source, progress, |progress| weigh_shells(source, self, progress))?;
        shells.map(|shells| with_plug((*shells).clone(), source, planned)).transpose()
    }

    /// What the openings of form number `form` let in and out; those of the first form with the forms that are put on it.
    pub fn airflow(&self, document: &Document, form: usize, lofted: &[Arc<Lofted>]) -> Option<Arc<Airflow>> {
        let source = (Source::of(document, lofted), form);
        (*self
            .airs
            .for_as_many(document.forms.len())
            .made_now(&source, || airflow_by(document, form, lofted).map(Arc::new)))
        .clone()
    }

    /// Where form number `index` meets the first one; `None` for the first itself, and for one that is
    /// not mounted or has no surface yet, or while the first has none. Within [`CLOSE`].
    pub fn meeting(&self, document: &Document, lofted: &[Arc<Lofted>], index: usize) -> Option<AddedMeeting> {
        let mount = document.forms.get(index).filter(|_| index > 0)?.mount?;
        let of = MeetingSource { lofted: [lofted.first()?.clone(), lofted.get(index)?.clone()], mount };
        let (first, added) = (of.lofted[0].whole_skin()?.loft(), of.lofted[1].whole_skin()?.loft());
        let made =
            self.meetings.for_as_many(document.forms.len()).made_now(&of, || meeting(first, added, &mount, CLOSE));
        Some(AddedMeeting { form: index, mount, meeting: (*made).clone() })
    }

    /// Where the added forms meet the first, in their order.
    pub fn meetings(&self, document: &Document, lofted: &[Arc<Lofted>]) -> Vec<AddedMeeting> {
        (1..document.forms.len()).filter_map(|index| self.meeting(document, lofted, index)).collect()
    }
}
