//! The planned plug: made once for all that ask for it, and remembered by the parts of the document that it is made of.
//!
//! A plan takes long beside a frame of the window, and many want the same one: the build page, the findings, sheets, book and
//! cutting files. So they share a [`Plans`].

use crate::output::NotLofted;
use crate::remembered::Remembered;
use form::openings::Target;
use form::{Finding, FinishedSkin, Lofted, PlugSurface};
use plug::{BaySagitta, OpeningOnPlug, Plan, Proposal};
use project::airframe::Airframe;
use project::build::Build;
use project::document::{Document, Form};
use std::sync::Arc;

/// Share of the work that is the plan itself; the rest is the stations that the curve asks for.
const PLAN_SHARE: f32 = 0.9;

/// The parts of a document that a plan reads: the first form's surface and openings, how it is built, and what it must fit.
#[derive(Clone, Debug)]
pub struct PlanSource {
    form: Arc<Form>,
    lofted: Arc<Lofted>,
    build: Arc<Build>,
    airframe: Arc<Airframe>,
    /// The form's own stations, where no stack sets the cards.
    stations: Vec<f64>,
}

impl PlanSource {
    /// Those of a document, with the loft of its first form; `None` without a form.
    pub fn of(document: &Document, lofted: &Arc<Lofted>) -> Option<Self> {
        let form = document.forms.first()?;
        let stations = if document.build.stack.used { Vec::new() } else { form.stations.clone() };
        Some(Self {
            stations,
            form: Arc::clone(form),
            lofted: Arc::clone(lofted),
            build: Arc::clone(&document.build),
            airframe: Arc::clone(&document.airframe),
        })
    }

    /// Whether the form has a surface; without one there is no plan.
    pub fn has_surface(&self) -> bool {
        self.lofted.whole_skin().is_some()
    }

    fn skin(&self) -> Result<&FinishedSkin, NotLofted> {
        self.lofted.whole_skin().ok_or_else(|| NotLofted::of(&self.form.name, &self.lofted))
    }
}

/// Same surface in memory, same build, and the same of the airframe as far as a plug is planned by it: keep-outs and the way
/// off do not count.
impl PartialEq for PlanSource {
    fn eq(&self, other: &Self) -> bool {
        let build = Arc::ptr_eq(&self.build, &other.build) || self.build == other.build;
        let (a, b) = (&self.airframe, &other.airframe);
        let fits = a.fuselage == b.fuselage && a.thrust == b.thrust && a.gauges == b.gauges;
        let surface = Arc::ptr_eq(&self.lofted, &other.lofted) && self.stations == other.stations;
        surface && self.form.openings == other.form.openings && build && (Arc::ptr_eq(a, b) || fits)
    }
}

/// The first form's openings as its plug meets them.
pub(crate) fn openings_on_plug(
    form: &Form,
    skin: &FinishedSkin,
    build: &Build,
    airframe: &Airframe,
) -> Vec<OpeningOnPlug> {
    let target = Target::new(skin.loft(), fit::ring_trim(airframe));
    plug::openings_on_plug(&target, form, PlugSurface::of(skin, build).taken_off())
}

/// The plug of a project's first form, and the stations that its curve asks for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Planned {
    /// Stack, formers, foam and gauges. Without a stack that is used it still tells how plug and finished form differ.
    pub plan: Plan,
    /// Whether the plug is built as a stack: only then is the plan to be followed, and only then do its findings count.
    pub used: bool,
    /// Stations as far apart as the allowed sagitta lets them be.
    pub proposal: Proposal,
    /// What sanding straight leaves at present: from face to face of the stack, or without one from station to station.
    pub present: Vec<BaySagitta>,
}

impl Planned {
    /// Plans the plug. `progress` is told how far the work is, from 0 to 1, and answers whether to go on; `None` when it does not.
    ///
    /// # Errors
    /// The form cannot be lofted yet.
    pub fn new(of: &PlanSource, progress: &mut dyn FnMut(f32) -> bool) -> Result<Option<Self>, NotLofted> {
        let skin = of.skin()?;
        if !progress(0.0) {
            return Ok(None);
        }
        let openings = openings_on_plug(&of.form, skin, &of.build, &of.airframe);
        let plan = plug::plan_with(skin, &of.build, &of.airframe, &openings);
        if !progress(PLAN_SHARE) {
            return Ok(None);
        }
        let (loft, stack) = (skin.loft(), &of.build.stack);
        let proposal = plug::propose(loft, stack.allowed_sagitta);
        let (low, high) = loft.x_range();
        let inside: Vec<f64> = of.stations.iter().copied().filter(|x| (low..=high).contains(x)).collect();
        let present = if stack.used { plan.bays.clone() } else { plug::present(loft, &inside) };
        Ok(progress(1.0).then_some(Self { plan, used: stack.used, proposal, present }))
    }

    /// Plans the plug of a document's first form; `None` if there is no form.
    ///
    /// # Errors
    /// The form cannot be lofted yet.
    pub fn of(document: &Document, lofted: &[Arc<Lofted>]) -> Result<Option<Self>, NotLofted> {
        let source = lofted.first().and_then(|first| PlanSource::of(document, first));
        source.map_or(Ok(None), |of| Self::new(&of, &mut |_| true))
    }

    /// The bay that sanding straight misses by most at present.
    pub fn coarsest(&self) -> Option<&BaySagitta> {
        self.present.iter().max_by(|a, b| a.sagitta.total_cmp(&b.sagitta))
    }

    /// The plan, if the project's plug is built by it.
    pub fn used(&self) -> Option<&Plan> {
        self.used.then_some(&self.plan)
    }

    /// What was found while the plug was planned, if it is built by the plan.
    pub fn findings(&self) -> Vec<Finding> {
        let mut found = self.used().map(|plan| plan.findings.clone()).unwrap_or_default();
        found.iter_mut().for_each(|f| f.place.form = Some(0));
        found
    }
}

/// Plans that were made of late, shared between threads. A copy shares them too.
#[derive(Clone, Debug, Default)]
pub struct Plans(Remembered<PlanSource, Planned>);

impl Plans {
    /// The plan of these parts, if it is remembered.
    pub fn known(&self, of: &PlanSource) -> Option<Arc<Planned>> {
        self.0.known(of)
    }

    /// The plan of these parts: remembered, or made by somebody else who is waited for, or made now. `progress` as in
    /// [`Planned::new`]; `None` when it says not to go on.
    ///
    /// # Errors
    /// The form cannot be lofted yet.
    pub fn planned(
        &self,
        of: &PlanSource,
        progress: &mut dyn FnMut(f32) -> bool,
    ) -> Result<Option<Arc<Planned>>, NotLofted> {
        self.0.made(of, progress, |progress| Planned::new(of, progress))
    }
}
