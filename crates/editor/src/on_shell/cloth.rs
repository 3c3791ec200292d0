//! Cloth in the window: draped beside the window's thread, quickly while its start is dragged, whole with slits and patterns once the
//! document is at rest; shown as a heat map of its shear, with its start, the way of its warp, its yarns and slits.
//!
//! - [`lies`]: a ply made ready to be drawn; [`start`]: where it begins, and what drags of that change; [`paint`]: on the floor;
//!   [`flat`]: as it will be cut. The page is `slate/shell/cloth`.

pub(crate) mod flat;
pub(crate) mod lies;
mod paint;
pub(crate) mod start;

pub(super) use paint::{paint, under_the_pointer};
pub(super) use start::{add_to, edit_for};

use super::ShellPage;
use crate::app::App;
use crate::view::{Tab, ViewState};
use desk::shell::cloth::{
    ClothPlan, ClothSurface, PlyToLay, Proposal, SurfaceSource, Surfaces, drape_ply, plies_to_lay, proposals,
};
use desk::{Outcome, Progress, Reckoned, Work};
use form::Lofted;
use lies::Lies;
use project::document::Document;
use project::laminate::Fabric;
use project::shell::Draping;
use std::sync::Arc;

/// One ply, in one piece.
type Quick = (SurfaceSource, Draping, PlyToLay);
/// It with the surface that it lies on, or why it does not.
type Draped = Result<(Arc<ClothSurface>, Arc<Lies>), String>;
/// All plies.
type All = (SurfaceSource, Draping, Vec<PlyToLay>, Vec<f64>);
/// What a search reads; where cloth starts and how it is turned is what it seeks.
type Sought = (SurfaceSource, Fabric, Option<f64>, f64);

/// The plan, with every ply ready to be drawn.
#[derive(Debug)]
pub(crate) struct Planned {
    pub(crate) plan: Arc<ClothPlan>,
    /// Each ply as it is laid in the end.
    pub(crate) lies: Vec<Arc<Lies>>,
}

/// Cloth as it was draped last, and what is under way.
pub(crate) struct ClothWork {
    known: Reckoned,
    surface: Option<(SurfaceSource, Arc<ClothSurface>)>,
    quick: Work<Quick, Draped>,
    lies: Option<(Quick, Arc<Lies>)>,
    whole: Work<All, Result<Option<Arc<Planned>>, String>>,
    planned: Option<(All, Arc<Planned>)>,
    stopped: Option<All>,
    search: Work<Sought, Result<Option<Vec<Proposal>>, String>>,
    found: Option<(Sought, Vec<Proposal>)>,
    now: Option<Now>,
    failure: Option<String>,
    /// Which of the plies is looked at.
    pub(crate) ply: usize,
    pub(crate) looks: Looks,
    /// Counts what was shown, so that pictures of it know when they are old.
    revision: u64,
}

/// How cloth is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Looks {
    /// Every fourth yarn is drawn.
    pub(crate) yarns: bool,
    /// As it lies before anything is slit.
    pub(crate) uncut: bool,
    /// The flat cloth lies large over the floor.
    pub(crate) flat_large: bool,
}

/// What the document asks for.
#[derive(Clone)]
struct Now {
    source: SurfaceSource,
    lofted: Arc<Lofted>,
    plies: Vec<PlyToLay>,
    all: All,
}

/// How what is shown stands to the document.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Standing {
    /// It is of the document, with slits and patterns.
    Whole,
    /// The ply is draped; slits and patterns are so far, from 0 to 1.
    Draped(f32),
    /// The ply is draped; slits and patterns were given up.
    Stopped,
    /// It is of before, or there is nothing yet.
    Old,
}

/// Something about cloth that is no edit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ClothAsk {
    /// Another of the plies to be looked at.
    Ply(usize),
    /// Another way to look at it.
    Look(Looks),
    /// The best start and way to be sought.
    Search,
    /// The search to be given up.
    StopSearch,
    /// What was found to be forgotten.
    Forget,
    /// One of what was found to be taken.
    Take(usize),
    /// Slits and patterns to be given up, or worked out after all.
    StopPlan(bool),
}

impl ClothWork {
    pub(crate) fn new(ctx: &egui::Context) -> Self {
        let wake = || {
            let ctx = ctx.clone();
            Arc::new(move || ctx.request_repaint()) as desk::Wake
        };
        Self {
            known: Reckoned::default(),
            surface: None,
            quick: Work::new(wake()),
            lies: None,
            whole: Work::new(wake()),
            planned: None,
            stopped: None,
            search: Work::new(wake()),
            found: None,
            now: None,
            failure: None,
            ply: 0,
            looks: Looks { yarns: false, uncut: false, flat_large: false },
            revision: 0,
        }
    }

    /// The surface of the document, once it has been read.
    pub(crate) fn surface(&self) -> Option<&ClothSurface> {
        let (source, surface) = self.surface.as_ref()?;
        (source == &self.now.as_ref()?.source).then_some(&**surface)
    }

    /// The surface that was read last, be it of before.
    pub(crate) fn last_surface(&self) -> Option<&ClothSurface> {
        self.surface.as_ref().map(|(_, surface)| &**surface)
    }

    /// The plies, from the plug outward.
    pub(crate) fn plies(&self) -> &[PlyToLay] {
        self.now.as_ref().map_or(&[], |now| &now.plies)
    }

    /// The ply that is looked at.
    pub(crate) fn chosen(&self) -> Option<&PlyToLay> {
        self.plies().get(self.ply)
    }

    /// What is shown of the chosen ply.
    pub(crate) fn shown(&self) -> Option<&Arc<Lies>> {
        match self.fresh_plan() {
            Some(planned) if !self.looks.uncut => planned.lies.get(self.ply),
            _ => self.lies.as_ref().map(|(_, lies)| lies),
        }
    }

    /// The chosen ply in one piece, as it was draped last.
    pub(crate) fn in_one_piece(&self) -> Option<&Arc<Lies>> {
        self.lies.as_ref().map(|(_, lies)| lies)
    }

    /// The plan that was made last, be it of before.
    pub(crate) fn planned(&self) -> Option<&Arc<Planned>> {
        self.planned.as_ref().map(|(_, planned)| planned)
    }

    /// The plan, if it is of the document as it is.
    pub(crate) fn fresh_plan(&self) -> Option<&Arc<Planned>> {
        let (of, planned) = self.planned.as_ref()?;
        (Some(of) == self.now.as_ref().map(|now| &now.all)).then_some(planned)
    }

    /// How what is shown stands to the document.
    pub(crate) fn standing(&self) -> Standing {
        let draped = self.lies.as_ref().map(|(of, _)| of) == self.wanted().as_ref();
        match self.whole.progress() {
            _ if !draped => Standing::Old,
            _ if self.fresh_plan().is_some() => Standing::Whole,
            Some(share) => Standing::Draped(share),
            None if self.stopped.is_some() => Standing::Stopped,
            None => Standing::Draped(0.0),
        }
    }

    /// Why nothing lies.
    pub(crate) fn failure(&self) -> Option<&str> {
        self.failure.as_deref()
    }

    /// How far the search is.
    pub(crate) fn searching(&self) -> Option<f32> {
        self.search.progress()
    }

    /// What was found, and whether it is of the form and the cloth as they are.
    pub(crate) fn found(&self) -> Option<(&[Proposal], bool)> {
        let (of, found) = self.found.as_ref()?;
        let fresh = self.now.as_ref().and_then(Now::sought).is_some_and(|sought| sought == *of);
        Some((found, fresh))
    }

    /// Another whenever something else is shown.
    pub(crate) fn revision(&self) -> u64 {
        self.revision
    }

    fn wanted(&self) -> Option<Quick> {
        let now = self.now.as_ref()?;
        Some((now.source.clone(), now.all.1, now.plies.get(self.ply)?.clone()))
    }

    /// Takes what has come, and asks for what the document asks for.
    fn refresh(&mut self, document: &Arc<Document>, now: Option<Now>, form: usize, at_rest: bool) {
        self.now = now;
        self.ply = self.ply.min(self.plies().len().saturating_sub(1));
        self.arrivals();
        let Some(wanted) = self.wanted() else {
            let shown = self.lies.take().is_some() || self.planned.take().is_some();
            self.revision += u64::from(shown);
            self.quick.cancel();
            self.whole.cancel();
            return;
        };
        let draped = self.lies.as_ref().is_some_and(|(of, _)| *of == wanted);
        // One at a time: a drag that goes on would else cancel every drape before it has come.
        if !draped && self.quick.progress().is_none() {
            let surfaces = self.known.surfaces().clone();
            let (source, draping, ply) = wanted.clone();
            self.quick.want(wanted, move |_| quick(&surfaces, &source, &draping, &ply));
        }
        if at_rest && draped {
            self.plan(document, form);
        }
    }

    fn arrivals(&mut self) {
        if let Some((of, outcome)) = self.quick.poll() {
            match told(outcome) {
                Ok((surface, lies)) => {
                    self.surface = Some((of.0.clone(), surface));
                    self.lies = Some((of, lies));
                    self.failure = None;
                }
                Err(why) => {
                    self.failure = Some(why);
                    self.lies = None;
                }
            }
            self.revision += 1;
        }
        if let Some((of, outcome)) = self.whole.poll() {
            match told(outcome) {
                Ok(Some(planned)) => self.planned = Some((of, planned)),
                Ok(None) => {}
                Err(why) => self.failure = Some(why),
            }
            self.revision += 1;
        }
        if let Some((of, outcome)) = self.search.poll() {
            match told(outcome) {
                Ok(Some(found)) => self.found = Some((of, found)),
                Ok(None) => {}
                Err(why) => self.failure = Some(why),
            }
            // The same may be sought again once this is forgotten.
            self.search.cancel();
        }
    }

    fn plan(&mut self, document: &Arc<Document>, form: usize) {
        let Some(now) = &self.now else { return };
        if self.stopped.as_ref().is_some_and(|stopped| *stopped != now.all) {
            self.stopped = None;
        }
        let known = self.planned.as_ref().is_some_and(|(of, _)| *of == now.all);
        if known || self.stopped.is_some() {
            return;
        }
        let (known, lofted, document) = (self.known.clone(), Arc::clone(&now.lofted), Arc::clone(document));
        self.whole.want(now.all.clone(), move |progress| whole(&known, &lofted, &document, form, progress));
    }

    fn seek(&mut self, document: &Arc<Document>, form: usize) {
        let Some((sought, source)) = self.now.as_ref().and_then(|now| Some((now.sought()?, now.source.clone()))) else {
            return;
        };
        let (surfaces, document) = (self.known.surfaces().clone(), Arc::clone(document));
        self.found = None;
        self.search.want(sought, move |progress| {
            let surface = surfaces.surface(&source).map_err(|why| why.to_string())?;
            proposals(&document, form, &surface, &mut telling(progress)).map_err(|why| why.to_string())
        });
    }
}

impl Now {
    fn of(app: &App) -> Option<Self> {
        let (document, form) = (app.desk.document(), app.view.form);
        let lofted = Arc::clone(app.derived.lofted()?);
        let source = SurfaceSource::of(document, form, &lofted).filter(SurfaceSource::has_surface)?;
        let (plies, draping) = (plies_to_lay(document, source.halves()), document.shell.draping);
        let all = (source.clone(), draping, plies.clone(), app.form().stations.clone());
        Some(Self { source, lofted, plies, all })
    }

    fn sought(&self) -> Option<Sought> {
        let draping = self.all.1;
        Some((self.source.clone(), self.plies.first()?.fabric.clone(), draping.cell, draping.overlap))
    }
}

fn quick(surfaces: &Surfaces, source: &SurfaceSource, draping: &Draping, ply: &PlyToLay) -> Draped {
    let surface = surfaces.surface(source).map_err(|why| why.to_string())?;
    let draped = drape_ply(&surface, draping, ply).map_err(|why| why.to_string())?;
    let lies = Lies::new(&draped.cloth, ply);
    Ok((surface, Arc::new(lies)))
}

fn whole(
    known: &Reckoned,
    lofted: &Arc<Lofted>,
    document: &Document,
    form: usize,
    progress: &Progress,
) -> Result<Option<Arc<Planned>>, String> {
    let plan = known.cloth(document, form, lofted, &mut telling(progress)).map_err(|why| why.to_string())?;
    Ok(plan.map(|plan| {
        let lies = plan.plies.iter().map(|ply| Arc::new(Lies::new(ply.cloth(), &ply.ply))).collect();
        Arc::new(Planned { plan, lies })
    }))
}

fn telling(progress: &Progress) -> impl FnMut(f32) -> bool {
    |share| {
        progress.tell(share);
        !progress.is_cancelled()
    }
}

fn told<T>(outcome: Outcome<Result<T, String>>) -> Result<T, String> {
    match outcome {
        Outcome::Done(result) => result,
        Outcome::Broke(why) => Err(why),
    }
}

/// Whether the page about cloth is open.
pub(crate) fn is_open(view: &ViewState) -> bool {
    view.tab == Tab::Shell && view.shell == ShellPage::Cloth
}

pub(super) fn refresh(app: &mut App) {
    if !is_open(&app.view) {
        return;
    }
    let (document, form, at_rest) = (Arc::clone(app.desk.document()), app.view.form, !app.desk.is_previewing());
    let now = Now::of(app);
    if let Some(shell) = &mut app.shell {
        shell.cloth.known = app.desk.reckoned().clone();
        shell.cloth.refresh(&document, now, form, at_rest);
    }
}

pub(super) fn act(app: &mut App, asked: ClothAsk) {
    let (document, form) = (Arc::clone(app.desk.document()), app.view.form);
    let Some(cloth) = app.shell.as_mut().map(|shell| &mut shell.cloth) else { return };
    match asked {
        ClothAsk::Ply(ply) => {
            cloth.ply = ply;
            cloth.revision += 1;
        }
        ClothAsk::Look(looks) => {
            cloth.looks = looks;
            cloth.revision += 1;
        }
        ClothAsk::Search => cloth.seek(&document, form),
        ClothAsk::StopSearch => cloth.search.cancel(),
        ClothAsk::Forget => cloth.found = None,
        ClothAsk::StopPlan(true) => {
            cloth.whole.cancel();
            cloth.stopped = cloth.now.as_ref().map(|now| now.all.clone());
        }
        ClothAsk::StopPlan(false) => cloth.stopped = None,
        ClothAsk::Take(index) => {
            let proposal = cloth.found.as_ref().and_then(|(_, found)| found.get(index));
            if let Some(edit) = proposal.map(|proposal| proposal.edit_of(&document.shell)) {
                crate::act::edit_once(app, &edit);
            }
        }
    }
}
